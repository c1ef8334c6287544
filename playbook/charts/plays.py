"""Snaps as plays: the staff's words resolved, sides related to the strength, the back and the field, success judged."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from .snaps import Snap
from .values import plain_word

OTHER_SIDE = {"left": "right", "right": "left", "strong": "weak", "weak": "strong"}

# Share of the yards to go that makes a play a success, by down. Common practice; staffs differ.
SUCCESS = {1: 0.5, 2: 0.7, 3: 1.0, 4: 1.0}
# Yards from which a play is explosive. Common practice; staffs differ.
EXPLOSIVE = {"run": 12, "pass": 16}


@dataclass(frozen=True, slots=True)
class Aliases:
    """The opponent's words and ours. A word without an alias stands for itself.

    Words are told apart as `plain_word` does, whatever their case and spaces. `together` has formations that a word
    means with one personnel only, by word and two digits. `backs` and `ends` say of our formations on which side of
    strength the offset back and the only tight end stand (strong or weak), as they are drawn.
    """

    formations: Mapping[str, str] = field(default_factory=dict)
    concepts: Mapping[str, str] = field(default_factory=dict)
    personnel: Mapping[str, str] = field(default_factory=dict)
    run_concepts: frozenset[str] = frozenset()
    together: Mapping[tuple[str, str], str] = field(default_factory=dict)
    motions: Mapping[str, str] = field(default_factory=dict)
    known_motions: frozenset[str] = frozenset()
    backs: Mapping[str, str] = field(default_factory=dict)
    ends: Mapping[str, str] = field(default_factory=dict)

    def formation(self, word: str, personnel: str = "") -> str:
        """Our name of a formation, or the word itself."""
        plain = plain_word(word)
        return self.together.get((plain, personnel)) or self.formations.get(plain, word)

    def concept(self, word: str) -> str:
        """Our name of a concept, or the word itself."""
        return self.concepts.get(plain_word(word), word)

    def motion(self, word: str) -> str:
        """Our name of a motion, or the word itself."""
        return self.motions.get(plain_word(word), word)

    def group(self, word: str) -> str:
        """The two digits of a personnel word, or the word itself."""
        return self.personnel.get(plain_word(word), word)


class CountedSnap(NamedTuple):
    """One snap ready for counting. "" or None means not known.

    `side` is left, right or middle; `to_strength` strong or weak; `to_back` to back or away from back;
    `to_field` field or boundary; `to_end` to or away from the only tight end. `back_to_strength` is where the
    back is, seen from the strength; `back_off` the same where our drawing of the formation has him on the other side.
    `motion` "" means none, None not charted; `moves` is our name of it, "" where it has no meaning in ours.
    `weight` is what the snap counts where recent games count more.
    """

    snap: Snap
    kind: str
    personnel: str
    formation: str
    concept: str
    side: str
    to_strength: str
    to_back: str
    to_field: str
    back_side: str
    back_to_strength: str
    hole: str
    success: bool | None
    motion: str | None
    moves: str
    back_off: str
    to_end: str
    explosive: bool | None
    weight: float = 1.0

    @property
    def run(self) -> bool:
        """Whether it is a run."""
        return self.kind == "run"


def read_plays(snaps: Iterable[Snap], aliases: Aliases) -> list[CountedSnap]:
    """Returns the snaps as plays; of a word's spellings the most used one stands for all."""
    listed = list(snaps)
    found = {name: _spellings(getattr(snap, name) or "" for snap in listed) for name in WORDS}
    spelled = {name: others for name, others in found.items() if others}
    if spelled:
        listed = [_in_one_spelling(snap, spelled) for snap in listed]
    return [read_play(snap, aliases) for snap in listed]


WORDS = ("game", "personnel", "formation", "backfield", "motion", "concept", "our_call")


def _spellings(words: Iterable[str]) -> dict[str, str]:
    """Returns for each spelling that is not the most used one of its word the one that is."""
    found: dict[str, Counter[str]] = {}
    for word, count in Counter(words).items():
        found.setdefault(plain_word(word), Counter())[word] = count
    usual = {plain: max(sorted(counts), key=counts.__getitem__) for plain, counts in found.items()}
    return {
        word: usual[plain]
        for plain, counts in found.items()
        if len(counts) > 1
        for word in counts
        if word != usual[plain]
    }


def _in_one_spelling(snap: Snap, spelled: Mapping[str, Mapping[str, str]]) -> Snap:
    words = {name: others[word] for name, others in spelled.items() if (word := getattr(snap, name)) in others}
    return snap._replace(**words) if words else snap


def read_play(snap: Snap, aliases: Aliases) -> CountedSnap:
    """Returns one snap as a play: every side that follows from another is filled in."""
    concept, personnel = aliases.concept(snap.concept), aliases.group(snap.personnel)
    kind = snap.play_type or ("run" if concept in aliases.run_concepts else "")
    formation = aliases.formation(snap.formation, personnel)
    drawn, end = aliases.backs.get(formation), aliases.ends.get(formation, "")
    side, to_strength, to_back, to_field, back, back_to_strength, to_end = _sides(
        snap.direction, snap.strength, snap.back, snap.hash, end
    )
    motion = snap.motion and aliases.motion(snap.motion)
    return CountedSnap(
        snap=snap,
        kind=kind,
        personnel=personnel,
        formation=formation,
        concept=concept,
        side=side,
        to_strength=to_strength,
        to_back=to_back,
        to_field=to_field,
        back_side=back,
        back_to_strength=back_to_strength,
        hole=_hole(snap.hole, side),
        success=_success(snap),
        motion=motion,
        moves=motion if motion and motion in aliases.known_motions else "",
        back_off=back_to_strength if drawn and back_to_strength != drawn else "",
        to_end=to_end,
        explosive=_explosive(kind, snap.gain),
    )


@lru_cache(maxsize=8_192)
def _sides(direction: str, strength: str, back: str, hash_: str, end: str) -> tuple[str, ...]:
    """Returns side, to_strength, to_back, to_field, back_side, back_to_strength, to_end of a play."""
    strong = strength if strength in ("left", "right") else ""
    back_side, field_side = _absolute(back, strong), {"left": "right", "right": "left"}.get(hash_, "")
    side = _side_of(direction, strong, back_side, field_side)
    return (
        side,
        direction if direction in ("strong", "weak") else _related(side, strong, "strong", "weak"),
        direction
        if direction in ("to back", "away from back")
        else _related(side, back_side, "to back", "away from back"),
        direction if direction in ("field", "boundary") else _related(side, field_side, "field", "boundary"),
        back_side,
        back if back in ("strong", "weak") else _related(back_side, strong, "strong", "weak"),
        _related(side, _absolute(end, strong), "to end", "away from end"),
    )


def _explosive(kind: str, gain: int | None) -> bool | None:
    return None if gain is None or kind not in EXPLOSIVE else gain >= EXPLOSIVE[kind]


def _absolute(place: str, strength: str) -> str:
    if place in ("left", "right"):
        return place
    if place == "strong":
        return strength
    return OTHER_SIDE.get(strength, "") if place == "weak" else ""


def _side_of(direction: str, strength: str, back: str, field_side: str) -> str:
    if direction in ("left", "right", "middle"):
        return direction
    toward = {
        "strong": strength,
        "weak": OTHER_SIDE.get(strength, ""),
        "to back": back,
        "away from back": OTHER_SIDE.get(back, ""),
        "field": field_side,
        "boundary": OTHER_SIDE.get(field_side, ""),
    }
    return toward.get(direction, "")


def _related(side: str, reference: str, same: str, other: str) -> str:
    if side not in ("left", "right") or not reference:
        return ""
    return same if side == reference else other


def _hole(hole: str, side: str) -> str:
    if " " in hole or hole == "middle" or not hole:
        return hole
    return f"{side} {hole}" if side in ("left", "right") else ""


_LOST = (
    "interception", "intercepted", "fumble lost", "turnover", "pick six", "pick 6", "defensive", "def td", "safety",
    "returned", "fumble return",
)  # fmt: skip
_GOOD = ("touchdown", "first down", "1st down")


def _success(snap: Snap) -> bool | None:
    """Whether the offense got what it needed. What it lost, or the other side scored, is none, whatever was gained."""
    told = _told(snap.result) if snap.result else None
    if told is not None:
        return told
    if snap.gain is None or snap.down is None or snap.distance is None:
        return None
    return snap.gain >= SUCCESS[snap.down] * snap.distance


@lru_cache(maxsize=8_192)
def _told(result: str) -> bool | None:
    """Whether a result alone says that the offense got what it needed."""
    text = " ".join(result.casefold().replace(",", " ").replace("/", " ").split())
    words = set(re.findall(r"[a-z0-9]+", text))
    if (
        any(word in text for word in _LOST)
        or words & {"int", "pick", "downs"}
        or ("fumble" in words and words & {"td", "touchdown"})
    ):
        return False
    return True if any(word in text for word in _GOOD) or "td" in words else None
