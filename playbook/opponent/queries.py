"""What the opponents' pages read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db.models import Count, Q, QuerySet

import fits
from fits.draw.svg import draw_formation
from fits.offense.formation import read_offense
from fits.offense.personnel import count_personnel
from playbook import convert
from playbook.looks.specs import rule_book
from playbook.models import Concept, Formation, Motion, Opponent, Option

LINE = [("LT", -3.2), ("LG", -1.6), ("C", 0.0), ("RG", 1.6), ("RT", 3.2)]
START = [("QB", "quarterback", 0.0, -5.0), ("T", "back", -1.6, -5.0), ("Y", "tight end", 4.8, -0.6)]
WIDE = [("X", "receiver", -18.0, -0.6), ("H", "receiver", -9.0, -1.6), ("Z", "receiver", 18.0, -1.6)]


def opponents() -> QuerySet[Opponent]:
    """Returns all opponents with what is on their menus counted."""
    return Opponent.objects.annotate(
        formation_count=Count("formations", distinct=True),
        concept_count=Count("concepts", distinct=True),
        week_count=Count("weeks", distinct=True),
    )


def carried(model: type[Any], opponent: Opponent) -> QuerySet[Any]:
    """Returns an opponent's entries: his own, and those of the library on his menu."""
    found: QuerySet[Any] = model.objects.filter(Q(opponent=opponent) | Q(on_menus=opponent)).distinct()
    return found


def library() -> dict[str, QuerySet[Any]]:
    """Returns the staff's own formations, runs and motions."""
    return {
        "formations": Formation.objects.filter(opponent=None).prefetch_related("players"),
        "concepts": Concept.objects.filter(opponent=None),
        "motions": Motion.objects.filter(opponent=None),
        "options": Option.objects.filter(opponent=None),
    }


def men_of(formation: Formation | None) -> list[dict[str, Any]]:
    """Returns the eleven men of a formation, or of a usual one to start from, left to right in each rank."""
    if formation is not None:
        men = [{"role": p.role, "kind": p.kind, "x": p.x, "y": p.y} for p in formation.players.all()]
        roles = {man["role"] for man in men}
        men += [{"role": r, "kind": "line", "x": x, "y": -0.6} for r, x in LINE if r not in roles]
    else:
        men = [{"role": r, "kind": "line", "x": x, "y": -0.6} for r, x in LINE]
        men += [{"role": r, "kind": k, "x": x, "y": y} for r, k, x, y in START + WIDE]
    return sorted(men, key=lambda man: (man["kind"] != "line", man["x"]))


def read_formation(head: Mapping[str, Any], men: Sequence[Mapping[str, Any]]) -> fits.Formation:
    """Returns the engine's formation of a form; the personnel is counted. Raises fits.FileError."""
    players = [{key: man[key] for key in ("role", "kind", "x", "y")} for man in men]
    named = {
        "name": "formation",
        "label": head.get("label", ""),
        "note": head.get("note", ""),
        "source": head.get("source", ""),
    }
    return fits.build_formation(named | {"players": players}, "formation")


def legality(formation: fits.Formation) -> dict[str, Any]:
    """Returns what the rule book says of a formation, and how a defense reads it when it is legal."""
    book = rule_book()
    found = fits.check_formation(formation, book, fits.Hash.MIDDLE)
    told: dict[str, Any] = {
        "violations": found,
        "refused": any(violation.refused for violation in found),
        "book": book.name.replace("-", " "),
        "personnel": count_personnel(formation.players).words,
        "code": formation.personnel,
    }
    if not told["refused"]:
        offense = read_offense(formation, fits.Hash.MIDDLE, book)
        told |= {
            "passing": offense.passing.word,
            "run": offense.run.word,
            "left": [p.role for p in offense.left.receivers],
            "right": [p.role for p in offense.right.receivers],
        }
    return told


def formation_drawing(formation: Formation) -> str:
    """Returns a formation as SVG text, or nothing while its rows do not make one."""
    try:
        return draw_formation(convert.formation_value(formation))
    except fits.FitsError:
        return ""


def families(opponent: Opponent | None) -> list[tuple[str, list[Concept]]]:
    """Returns the runs to start another one from, by family: the opponent's own first, then the library's."""
    found: dict[str, list[Concept]] = {}
    whose = Q(opponent=None) | Q(opponent=opponent) if opponent else Q(opponent=None)
    for concept in sorted(
        Concept.objects.filter(whose), key=lambda row: (row.opponent_id is None, row.family, str(row))
    ):
        found.setdefault("theirs" if concept.opponent_id else concept.family or "others", []).append(concept)
    return list(found.items())


def concept_rows(concept: Concept | None) -> dict[str, list[dict[str, Any]]]:
    """Returns a concept's rows as the form has them, or the least that a run needs."""
    if concept is None:
        return {
            "cast": [],
            "rules": [{"who": "line", "does": "zone"}, {"who": "tailback", "does": "carry"}],
            "threats": [{"kind": "run", "who": "tailback", "where": "play A"}],
            "leaves": [],
        }
    data = convert.concept_dict(concept)
    cast = [{**p, "candidates": ", ".join(p["from"])} for p in data["cast"]]
    return {"cast": cast, "rules": data["rules"], "threats": data["threats"], "leaves": data.get("leaves", [])}


def concept_head(concept: Concept | None) -> dict[str, Any]:
    """Returns a concept's head as the form has it."""
    if concept is None:
        return {"to": "run strength"}
    names = ("label", "family", "time_s", "source")
    head = {name: getattr(concept, name) for name in names}
    eyes = "" if concept.eyes == "back" else concept.eyes
    head["time_s"] = "" if concept.time_s is None else concept.time_s
    return head | {"to": ", ".join(concept.to), "flags": ", ".join(concept.flags), "eyes": eyes}


def concept_data(head: Mapping[str, Any], rows: Mapping[str, Sequence[Mapping[str, Any]]]) -> dict[str, Any]:
    """Returns the shape of a file entry that a filled form describes."""
    data = {"name": "run"} | {name: head[name] for name in ("label", "family", "source")}
    data |= {"time_s": head["time_s"]} if head["time_s"] else {}
    data["to"], data["flags"] = split(head["to"]), split(head["flags"])
    data |= {"eyes": head["eyes"]} if head["eyes"] else {}
    data["cast"] = [
        {"part": r["part"], "from": split(r["candidates"]), "required": bool(r["required"])} for r in rows["cast"]
    ]
    data["rules"] = [_filled(r, ("who", "when", "does"), ("step",)) for r in rows["rules"]]
    data["leaves"] = [_filled(r, ("man", "why"), ()) for r in rows["leaves"]]
    data["threats"] = [_filled(r, ("kind", "who", "where"), ("time_s", "course")) for r in rows["threats"]]
    return data


def _filled(row: Mapping[str, Any], always: Sequence[str], maybe: Sequence[str]) -> dict[str, Any]:
    return {name: row[name] for name in always} | {name: row[name] for name in maybe if row[name]}


def split(text: str) -> list[str]:
    """Returns the words of a list with commas."""
    return [word.strip() for word in text.split(",") if word.strip()]
