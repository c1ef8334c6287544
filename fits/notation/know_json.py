"""What a call's men can know, as plain data (schemas in know.schema.json and ladder.schema.json)."""

from __future__ import annotations

from typing import Any

from fits.know.ladder import Ladder
from fits.know.study import Demand, Knowledge, ManKnows, Unknown


def know_json(known: Knowledge) -> dict[str, Any]:
    """One object; shares from 0 to 1, `x` in yards to the offense's right; pairs by weight, the heaviest first."""
    return {
        "call": known.call,
        "looks": known.looks,
        "pictures": known.pictures,
        "cannot_know": round(known.cannot_know, 4),
        "men": [_man(m) for m in known.men],
    }


def _man(man: ManKnows) -> dict[str, Any]:
    return {
        "role": man.role,
        "position": man.position,
        "group": man.group,
        "pictures": len(man.seen),
        "cannot_know": round(man.cannot_know, 4),
        "at_best_wrong": round(man.at_best_wrong, 4),
        "would_settle": list(man.would_settle),
        "unseen": [{"rule": rule, "asks": asks} for rule, asks in man.unseen],
        "pairs": [_pair(u) for u in man.unknown],
    }


def _pair(unknown: Unknown) -> dict[str, Any]:
    formation, flip, hash_, motion = unknown.picture.before
    return {
        "formation": formation,
        "flip": flip,
        "hash": hash_,
        "motion": motion,
        "sights": list(unknown.picture.sights),
        "weight": round(unknown.weight, 4),
        "plays": [_play(p) for p in unknown.plays],
        "extra": unknown.extra,
        "differs": list(unknown.differs),
    }


def _play(play: Demand) -> dict[str, Any]:
    return {
        "concept": play.look.concept,
        "to": play.look.to.word,
        "fit": play.fit,
        "x": None if play.x is None else round(play.x, 2) + 0.0,
        "say": play.say,
        "rule": play.rule,
        "weight": round(play.weight, 4),
    }


def ladder_json(made: Ladder) -> dict[str, Any]:
    """One object; rungs in the order of the ladder, shares from 0 to 1."""
    return {
        "call": made.call,
        "role": made.role,
        "men": list(made.men),
        "looks": made.looks,
        "pictures": made.pictures,
        "cannot_know": round(made.cannot_know, 4),
        "reads": list(made.reads),
        "bound": made.bound,
        "exact": made.exact,
        "by_heart": list(made.by_heart),
        "rungs": [
            {
                "when": [{"stage": read.stage, "sees": read.sees} for read in rung.when],
                "then": rung.then,
                "share": round(rung.share, 4),
            }
            for rung in made.rungs
        ],
    }
