"""A small picture for each word of what a blocker does. He is the box, the man he blocks the dot; the run goes right.

Units of a picture 72 wide and 48 high. Own drawings.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from fits.blocking.verbs import VERBS
from fits.offense.formation import Kind
from playbook.pictures import Picture, Point, way

MID, LEFT_END = (36.0, 36.0), (14.0, 36.0)


# word: his place, the men he meets, his way, and whether the way ends in a block, in the open, or is a fake
_DRAWN: dict[str, tuple[Point, Sequence[Point], Sequence[Point], str]] = {
    "zone": (MID, [(48, 14)], [(36, 31), (46, 19)], "bar"),
    "zone off": (MID, [(36, 24), (52, 8)], [(38, 31), (51, 13)], "bar"),
    "climb": (MID, [(30, 8)], [(36, 31), (31, 13)], "bar"),
    "reach": (MID, [(50, 22)], [(40, 33), (56, 32), (54, 25)], "bar"),
    "base": (MID, [(36, 14)], [(36, 31), (36, 19)], "bar"),
    "lock": (MID, [(42, 18)], [(36, 31), (40, 23)], "bar"),
    "block out": (MID, [(54, 20)], [(39, 31), (51, 23)], "bar"),
    "down": (MID, [(18, 18)], [(33, 31), (22, 21)], "bar"),
    "pin": (MID, [(24, 26)], [(33, 32), (28, 28)], "bar"),
    "back": (MID, [(16, 22)], [(33, 32), (20, 24)], "bar"),
    "double": (MID, [(44, 20), (40, 5)], [(38, 31), (42, 25)], "bar"),
    "double inside": (MID, [(26, 20), (30, 5)], [(34, 31), (29, 24)], "bar"),
    "hinge": (MID, [(12, 24)], [(36, 31), (30, 28), (18, 27)], "bar"),
    "cut off": (MID, [(28, 20)], [(38, 31), (40, 22), (33, 20)], "bar"),
    "set": (MID, [(36, 12)], [(36, 41), (36, 46)], "open"),
    "pull and kick": (LEFT_END, [(60, 20)], [(14, 41), (50, 41), (57, 25)], "bar"),
    "pull and wrap": (LEFT_END, [(48, 8)], [(14, 41), (48, 41), (48, 13)], "bar"),
    "pull around": (LEFT_END, [(54, 8), (48, 26)], [(14, 41), (60, 41), (60, 18), (57, 12)], "bar"),
    "pull and lead": (LEFT_END, [(64, 12)], [(14, 41), (58, 44), (64, 18)], "bar"),
    "pull and trap": (LEFT_END, [(42, 22)], [(14, 41), (32, 39), (39, 27)], "bar"),
    "kick": ((30, 42), [(58, 20)], [(34, 40), (54, 24)], "bar"),
    "cross and kick": ((64, 38), [(12, 20)], [(58, 42), (30, 42), (16, 25)], "bar"),
    "cross and wrap": ((64, 38), [(24, 8)], [(58, 42), (24, 42), (24, 13)], "bar"),
    "cross and trap": ((64, 38), [(34, 20)], [(58, 40), (44, 38), (37, 25)], "bar"),
    "lead through the bubble": ((24, 42), [(42, 8), (26, 22), (58, 22)], [(28, 40), (41, 28), (42, 13)], "bar"),
    "lead through B": ((28, 42), [(44, 8)], [(32, 40), (44, 30), (44, 13)], "bar"),
    "lead outside": ((24, 42), [(62, 12), (46, 24)], [(29, 42), (58, 36), (62, 18)], "bar"),
    "crack": ((66, 34), [(36, 16)], [(60, 32), (41, 19)], "bar"),
    "arc": (MID, [(62, 10)], [(40, 33), (54, 32), (61, 16)], "bar"),
    "release": (MID, [], [(38, 31), (44, 18), (58, 8)], "open"),
    "stalk": ((36, 42), [(36, 10)], [(36, 37), (36, 15)], "bar"),
    "route": (MID, [], [(36, 31), (36, 14), (56, 14)], "open"),
    "fake": ((36, 40), [], [(40, 36), (54, 20)], "fake"),
    "carry": ((24, 40), [], [(28, 36), (44, 24), (46, 6)], "open"),
    "read": ((36, 40), [(56, 16)], [(40, 36), (53, 20)], "fake"),
    "check off": (MID, [(36, 18)], [(28, 28), (44, 44)], "none"),
}
USUAL: dict[Kind, tuple[str, ...]] = {
    Kind.LINE: (
        "zone", "reach", "base", "down", "double", "climb", "back", "block out", "pull and kick", "pull and wrap",
        "pull and trap", "pull and lead", "cut off", "hinge", "set",
    ),
    Kind.TIGHT_END: (
        "zone", "reach", "base", "down", "block out", "climb", "arc", "release", "cross and kick", "cross and wrap",
        "kick", "lead outside", "cut off", "stalk", "route",
    ),
    Kind.RECEIVER: ("stalk", "crack", "route", "release", "arc", "cross and kick", "carry", "fake"),
    Kind.BACK: ("carry", "kick", "lead through the bubble", "lead outside", "arc", "route", "fake", "read"),
    Kind.QUARTERBACK: ("fake", "read", "carry", "lead outside"),
}  # fmt: skip


@lru_cache(maxsize=1)
def pictures() -> dict[str, Picture]:
    """Returns a picture for every word of the engine's list, in its order."""
    found = {}
    for entry in VERBS.listing():
        word = str(entry["example"])
        box, dots, points, end = _DRAWN[word]
        found[word] = Picture(word, str(entry["meaning"]), (box,), tuple(dots), way(points, end), end == "fake")
    return found


def usual(kind: Kind) -> tuple[list[Picture], list[Picture]]:
    """Returns the words that such a man does most, and the others."""
    every = pictures()
    first = [every[word] for word in USUAL.get(kind, ())]
    return first, [picture for picture in every.values() if picture not in first]


def meaning(word: str) -> str:
    """Returns what the word means; nothing for a word that a system's own table has."""
    found = pictures().get(word)
    return found.meaning if found else ""
