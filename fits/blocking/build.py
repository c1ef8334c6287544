"""Concepts and options built from their file shape, every phrase checked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fits.blocking.concepts import (
    DIRECTIONS,
    EYES,
    LEFT_WHY,
    STEPS,
    THREATS,
    BlockRule,
    Concept,
    LeftRule,
    Option,
    Part,
    ThreatRule,
)
from fits.blocking.conditions import compile_block_when
from fits.blocking.courses import course_names
from fits.blocking.lane_phrases import LANE_PHRASES
from fits.blocking.seek import LEFT_MEN
from fits.blocking.verbs import VERBS
from fits.errors import FileError
from fits.notation.phrase import PhraseError
from fits.offense.entry import Entry
from fits.terms import Step

_ROWS = ("cast", "rules", "threats", "leaves")
LABELS = (
    "line",
    "centre",
    "guard",
    "tackle",
    "attached",
    "tight end",
    "wing",
    "receiver",
    "slot",
    "back",
    "tailback",
    "fullback",
    "offset",
    "quarterback",
    "motion man",
    "back man",
)


def known_label(label: str, parts: frozenset[str]) -> bool:
    """True for a label an offensive man can carry, or a part the concept casts."""
    if label in LABELS or label in parts:
        return True
    side, _, rest = label.partition(" ")
    if side in ("play", "back", "eyes"):
        return rest in (
            "guard",
            "tackle",
            "attached",
            "tight end",
            "wing",
            "end man",
            "receiver",
            "inside receiver",
            "slot",
            "back man",
            "offset",
        ) or (rest.startswith("#") and rest[1:] in "1234")
    return False


def build_concept(data: object, where: str = "concept") -> Concept:
    """A concept from its file shape. Raises FileError (file, key, what was expected)."""
    keys = ("name", "family", "label", "source", "to", "time_s", "flags", "eyes", *_ROWS)
    e = Entry.named(data, where, "concept", keys)
    to = tuple(_word(e, f"to[{i}]", t, DIRECTIONS) for i, t in enumerate(e.items("to")))
    cast = _cast(e)
    parts = frozenset(p.name for p in cast)
    eyes = e.text("eyes", "back")
    if eyes not in EYES:
        raise e.wrong("eyes", f"one of {', '.join(EYES)}")
    rules, threats = _rules(e, parts), _threats(e, parts)
    if not rules:
        raise e.wrong("rules", "at least one blocking rule")
    if not threats:
        raise e.wrong("threats", "at least one threat, the ball carrier first")
    return Concept(
        e.text("name"),
        e.text("family", ""),
        e.label(),
        e.text("source", ""),
        to,
        e.number("time_s", 0.3, 6.0) if "time_s" in e else None,
        cast,
        rules,
        threats,
        _flags(e),
        eyes,
        _leaves(e),
    )


def build_option(data: object, where: str = "option") -> Option:
    """An option from its file shape. Raises FileError."""
    e = Entry.named(data, where, "option", ("name", "side", "label", "source", "flags", "eyes", *_ROWS))
    side = e.text("side", "offense")
    if side not in ("offense", "defense"):
        raise e.wrong("side", "offense or defense")
    cast = _cast(e)
    parts = frozenset(p.name for p in cast)
    eyes = e.text("eyes", "")
    if eyes and eyes not in EYES:
        raise e.wrong("eyes", f"one of {', '.join(EYES)}")
    return Option(
        e.text("name"),
        side,
        e.label(),
        e.text("source", ""),
        _flags(e),
        cast,
        _rules(e, parts, any_part=True),
        _threats(e, parts, any_part=True),
        eyes or None,
        _leaves(e),
    )


def _list(e: Entry, key: str) -> list[Any]:
    return list(e.items(key)) if e.data.get(key) else []


def _flags(e: Entry) -> frozenset[str]:
    flags = _list(e, "flags")
    if not all(isinstance(f, str) and f for f in flags):
        raise e.wrong("flags", "a list of words")
    return frozenset(flags)


def _word(e: Entry, key: str, value: object, known: tuple[str, ...]) -> str:
    if value not in known or not isinstance(value, str):
        raise FileError(e.where, f"{e.path}.{key}", f"one of {', '.join(known)}", value)
    return value


def _row(e: Entry, key: str, row: object, names: tuple[str, ...]) -> Mapping[str, Any]:
    return Entry(row, e.where, f"{e.path}.{key}", names).data


def _cast(e: Entry) -> tuple[Part, ...]:
    out = []
    for i, item in enumerate(_list(e, "cast")):
        row = Entry(item, e.where, f"{e.path}.cast[{i}]", ("part", "from", "required"))
        candidates = tuple(str(c) for c in row.items("from"))
        for c in candidates:
            if not known_label(c, frozenset()):
                raise row.wrong(
                    "from", f"labels of offensive men such as {', '.join(LABELS)} or play/back tight end, wing, #2"
                )
        out.append(Part(row.text("part"), candidates, row.flag("required", False)))
    return tuple(out)


def _rules(e: Entry, parts: frozenset[str], any_part: bool = False) -> tuple[BlockRule, ...]:
    out = []
    for i, item in enumerate(_list(e, "rules")):
        row = Entry(item, e.where, f"{e.path}.rules[{i}]", ("who", "when", "does", "step"))
        who, when, does, step = row.text("who"), row.text("when", ""), row.text("does"), row.text("step", "")
        if not any_part and not known_label(who, parts):
            raise row.wrong(
                "who", f"a label such as {', '.join(LABELS)}, with play/back before it, or a part of the cast"
            )
        for key, value, compiled in (("when", when, compile_block_when), ("does", does, VERBS.compile)):
            try:
                compiled(value)
            except PhraseError as error:
                raise row.wrong(key, str(error)) from None
        if step and step not in STEPS:
            raise row.wrong("step", f"one of {', '.join(STEPS)}")
        out.append(BlockRule(who, when, does, Step(step) if step else None))
    return tuple(out)


def _threats(e: Entry, parts: frozenset[str], any_part: bool = False) -> tuple[ThreatRule, ...]:
    out = []
    for i, item in enumerate(_list(e, "threats")):
        row = Entry(item, e.where, f"{e.path}.threats[{i}]", ("kind", "who", "where", "time_s", "course"))
        kind, who, where = row.text("kind"), row.text("who"), row.text("where")
        if kind not in THREATS:
            raise row.wrong("kind", f"one of {', '.join(THREATS)}")
        if not any_part and not known_label(who, parts):
            raise row.wrong("who", "a label of an offensive man or a part of the cast")
        try:
            LANE_PHRASES.compile(where)
        except PhraseError as error:
            raise row.wrong("where", str(error)) from None
        time = row.number("time_s", 0.3, 6.0) if "time_s" in row else None
        course = row.text("course", "")
        if course and course not in course_names():
            raise row.wrong("course", f"one of {', '.join(course_names())}")
        out.append(ThreatRule(kind, who, where, time, course))
    return tuple(out)


def _leaves(e: Entry) -> tuple[LeftRule, ...]:
    out = []
    for i, item in enumerate(_list(e, "leaves")):
        row = Entry(item, e.where, f"{e.path}.leaves[{i}]", ("man", "why"))
        man, why = row.text("man"), row.text("why")
        try:
            LEFT_MEN.compile(man)
        except PhraseError as error:
            raise row.wrong("man", str(error)) from None
        if why not in LEFT_WHY:
            raise row.wrong("why", f"one of {', '.join(LEFT_WHY)}")
        out.append(LeftRule(man, why))
    return tuple(out)
