"""Personnel groups: how many backs, tight ends and receivers are on the field."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from fits.errors import BadRequest
from fits.offense.formation import Kind, OffensiveMan

LONGEST = 120  # characters of a group as somebody wrote it
SKILL_MEN = 5  # eleven less five linemen and the quarterback


class Personnel(NamedTuple):
    """A group written `ab`: a backs, b tight ends and the rest of five wide receivers.

    Source: common practice.
    """

    backs: int
    tight_ends: int

    @property
    def receivers(self) -> int:
        """Wide receivers in the group."""
        return SKILL_MEN - self.backs - self.tight_ends

    @property
    def code(self) -> str:
        """The two digits, `11` for one back and one tight end."""
        return f"{self.backs}{self.tight_ends}"

    @property
    def words(self) -> str:
        """`1 back, 1 tight end, 3 receivers`."""
        counts = ((self.backs, "back"), (self.tight_ends, "tight end"), (self.receivers, "receiver"))
        return ", ".join(f"{n} {noun}{'' if n == 1 else 's'}" for n, noun in counts)


def count_personnel(players: Iterable[OffensiveMan]) -> Personnel:
    """The group these players make, by what they are and not by where they stand."""
    kinds = [p.kind for p in players]
    return Personnel(kinds.count(Kind.BACK), kinds.count(Kind.TIGHT_END))


_EXPECTED = "two digits such as 11 (backs, then tight ends) or counts such as 1 RB, 1 TE, 3 WR"
_WORDS = {
    "back": ("rb", "hb", "fb", "tb", "back", "running back", "fullback", "tailback", "halfback"),
    "tight end": ("te", "tight end", "tightend"),
    "receiver": ("wr", "receiver", "wide receiver", "wideout", "wide out"),
    "quarterback": ("qb", "quarterback"),
    "line": ("ol", "lineman", "linemen", "offensive lineman", "offensive linemen"),
}
_NOUN = {word: noun for noun, words in _WORDS.items() for word in words}
_NOUNS = "|".join(sorted((re.escape(w) for w in _NOUN), key=len, reverse=True))
_NUMBER_FIRST = re.compile(rf"(\d+)\s*(?:x\s*)?({_NOUNS})(?:'?s)?(?![a-z])")
_NOUN_FIRST = re.compile(rf"(?<![a-z])({_NOUNS})(?:'?s)?\s*[:=]?\s*(\d+)")
_BEFORE, _AFTER = r"(?:(?:p|pers|personnel)[\s.:-]*)?", r"\s*(?:p|pers\.?|personnel|group|grouping)?"
_CODE = re.compile(rf"{_BEFORE}(\d)\s*[-/x]?\s*(\d){_AFTER}")


def parse_personnel(text: str) -> Personnel:
    """The group a staff's spelling means: `11`, `11 personnel`, `1-1`, `1 RB, 1 TE, 3 WR`, `2 backs 1 TE`.

    One digit is read with the zero a spreadsheet dropped (`1` is `01`). A sixth lineman counts as a tight end
    (common practice). Raises BadRequest, also when counts do not add up to five.
    """
    if len(text) > LONGEST:
        raise BadRequest(f"personnel: expected at most {LONGEST} characters, {_EXPECTED}, got {len(text)}")
    words = text.strip().lower()
    if re.fullmatch(r"\d{1,2}\.0+", words):
        words = words.split(".")[0]
    if re.fullmatch(r"\d", words):
        words = "0" + words
    if code := _CODE.fullmatch(words):
        return _checked(int(code[1]), int(code[2]), None, text)
    return _from_counts(words, text)


def _from_counts(words: str, text: str) -> Personnel:
    words = re.sub(r"[,;/&+|()]|\band\b", " ", words).strip()
    noun_first = words[:1].isalpha()
    pattern = _NOUN_FIRST if noun_first else _NUMBER_FIRST
    found = list(pattern.finditer(words))
    if not found or pattern.sub("", words).strip(" .-"):
        raise BadRequest(f"personnel: expected {_EXPECTED}, got {text!r}")
    totals: dict[str, int] = {}
    for match in found:
        word, number = (match[1], match[2]) if noun_first else (match[2], match[1])
        totals[_NOUN[word]] = totals.get(_NOUN[word], 0) + int(number[:4])
    if totals.get("quarterback", 1) != 1 or totals.get("line", 5) < 5:
        raise BadRequest(f"personnel: expected one quarterback and at least five linemen, got {text!r}")
    tight_ends = totals.get("tight end", 0) + totals.get("line", 5) - 5
    return _checked(totals.get("back", 0), tight_ends, totals.get("receiver"), text)


def _checked(backs: int, tight_ends: int, receivers: int | None, text: str) -> Personnel:
    total = backs + tight_ends + (receivers or 0)
    if total > SKILL_MEN or (receivers is not None and total != SKILL_MEN):
        men = f"backs, tight ends and receivers that make {SKILL_MEN}"
        raise BadRequest(f"personnel: expected {men}, got {total} in {text!r}")
    return Personnel(backs, tight_ends)
