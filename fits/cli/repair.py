"""Finds the smallest changes that make a look sound, each derived again, and says whether any fit could be in time."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from typing import Any

from fits.cli.request import Request, add_look_arguments, read_request
from fits.derive.look import Look
from fits.notation.look_json import look_json
from fits.repair import Reach, Repair, could_reach, repair_look
from fits.words import words_of


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The look, and how the repairs are printed."""
    add_look_arguments(parser)
    parser.add_argument("--json", action="store_true", help="one JSON object with each repair's rules and look")


def run(args: argparse.Namespace) -> None:
    """Prints the repairs, smallest first. Raises FitsError."""
    request = read_request(args)
    look = request.derive()
    repairs = repair_look(request.spec, request.others, request.deriver)
    reach = could_reach(request.spec, request.deriver)
    if args.json:
        print(json.dumps(repairs_json(look, repairs, reach), ensure_ascii=False))
    else:
        print("\n".join(repair_lines(request, look, repairs, reach)))


def repairs_json(look: Look, repairs: list[Repair], reach: Reach) -> dict[str, Any]:
    """The look, whether any fit could be in time, and the repairs with their proof."""
    return {
        "look": look_json(look),
        "reach": asdict(reach) | {"late_s": round(reach.late_s, 3), "men": list(reach.men)},
        "repairs": [
            {"kind": r.kind, "text": r.text, "size": r.size, "call": r.call,
             "rules": [asdict(rule) for rule in r.rules], "look": look_json(r.look)}
            for r in repairs
        ],
    }  # fmt: skip


def repair_lines(request: Request, look: Look, repairs: list[Repair], reach: Reach) -> list[str]:
    """The same for people."""
    if look.sound:
        return ["The look is sound: nothing to repair."]
    said = words_of(look)
    lines = [f"{look.band.capitalize()}:", *(f"  {f.code}: {said.retell(f.text)}" for f in look.findings)]
    lines.append(said.retell(reach.text))
    if not repairs:
        return [*lines, "No small change makes it sound."]
    for number, repair in enumerate(repairs, start=1):
        lines.append(f"{number}. {repair.kind}: {words_of(repair.look).retell(repair.text)}")
        lines += [f"     {rule.who}: when {rule.when or 'always'}: {rule.fit}" for rule in repair.rules]
    return lines
