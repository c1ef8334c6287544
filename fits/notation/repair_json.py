"""Repairs of a look as plain data (schema in repair.schema.json)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from fits.derive.look import Look
from fits.notation.look_json import look_json
from fits.repair import Effect, Price, Reach, Repair


def repairs_json(look: Look, reach: Reach, repairs: Sequence[tuple[Repair, Price | None]]) -> dict[str, Any]:
    """The look, whether any fit could be in time, and each repair with its proof and price; sides are the offense's."""
    return {
        "look": look_json(look),
        "reach": asdict(reach) | {"late_s": round(reach.late_s, 3), "men": list(reach.men)},
        "repairs": [_repair(repair, price) for repair, price in repairs],
    }


def _repair(r: Repair, price: Price | None) -> dict[str, Any]:
    return {
        "kind": r.kind,
        "text": r.text,
        "size": r.size,
        "call": r.call,
        "rules": [asdict(rule) for rule in r.rules],
        "leaves": [
            {"role": v.role, "was": v.was, "by": list(v.by), "lanes_from_ball": v.from_ball, "text": v.text}
            for v in r.vacancies
        ],
        "then": list(r.then),
        "new_reads": [{"role": role, "reads": man} for role, man in r.reads],
        "price": None if price is None else price_json(price),
        "look": look_json(r.look),
    }  # fmt: skip


def price_json(price: Price) -> dict[str, Any]:
    """Counts over the other looks of the call, and the looks that get worse."""
    return {
        "looks": price.looks,
        "better": price.better,
        "worse": price.worse,
        "same": price.same,
        "bands": [{"before": was, "after": now, "looks": n} for was, now, n in price.bands],
        "worst": [_effect(effect) for effect in price.worst],
    }


def _effect(effect: Effect) -> dict[str, Any]:
    spec = effect.spec
    return {
        "formation": spec.formation.name, "concept": spec.concept.name, "to": effect.to.word,
        "before": effect.before, "after": effect.after,
    }  # fmt: skip
