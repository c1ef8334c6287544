"""The looks to expect in a week: counted from the charts, added, dropped, pinned by the staff."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Max

import fits
from playbook import convert
from playbook.models import DroppedLook, ExpectedLook, PlayerKind, Week
from playbook.scouting import queries
from playbook.scouting.expecting import Expectation, Expected, LookKey, Shape, expect_looks
from playbook.scouting.plays import OTHER_SIDE, Play
from playbook.scouting.words import Vocabulary, aliases_of, vocabulary_of

TACKLE_X = 3.3


@dataclass(frozen=True, slots=True)
class Line:
    """One look to expect, and whether it is in the week."""

    expected: Expected
    row: ExpectedLook | None
    percent: float

    @property
    def name(self) -> str:
        """How forms name it."""
        return "|".join((self.expected.key.formation, self.expected.key.concept, self.expected.key.to))


@dataclass(frozen=True, slots=True)
class Counted:
    """What the charts say of a week."""

    lines: list[Line]
    runs: int
    left_out: int
    dropped: list[LookKey]


def shape_of(formation) -> Shape:
    """Returns the shape of a formation's row, its players prefetched."""
    out = [p for p in formation.players.all() if p.kind in (PlayerKind.TIGHT_END, PlayerKind.RECEIVER)]
    wide = [p.x for p in out if abs(p.x) > TACKLE_X]
    return Shape(formation.personnel, sum(x > 0 for x in wide), sum(x < 0 for x in wide))


def shapes_of(vocabulary: Vocabulary) -> dict[str, Shape]:
    """Returns the shape of every formation that can be drawn."""
    return {name: shape_of(formation) for name, formation in vocabulary.formations.items()}


def row_key(row: ExpectedLook) -> LookKey:
    """Returns the key of a week's look. A flipped one is turned strong to the right."""
    to = row.to or own_side(row)
    return LookKey(row.formation.name, row.concept.name, OTHER_SIDE.get(to, "") if row.flip else to)


def own_side(row: ExpectedLook) -> str:
    """Returns the side that the concept chooses by itself, "" when it cannot be run."""
    try:
        standing = fits.Deriver().stand(convert.formation_value(row.formation), row.flip, fits.Hash(row.hash))
        return standing.plan(convert.concept_value(row.concept)).play.word
    except fits.FitsError:
        return ""


def count_week(week: Week) -> Counted:
    """Returns the looks that the charts of the week's opponent say, beside those that the week has."""
    rows = list(week.expected_looks.select_related("formation", "concept"))
    by_key = {row_key(row): row for row in reversed(rows)}
    dropped = [LookKey(d.formation.name, d.concept.name, d.to) for d in _dropped(week)]
    if week.opponent is None:
        return Counted([], 0, 0, dropped)
    expectation = _expect(week, week_plays(week), list(by_key), dropped)
    lines = [Line(look, by_key.get(look.key), round(100 * look.share, 1)) for look in expectation.looks]
    return Counted(lines, expectation.runs, expectation.left_out, dropped)


def week_plays(week: Week) -> list[Play]:
    """Returns the plays of the week's opponent, in our words."""
    return queries.plays_of(week.opponent, aliases=aliases_of(week.opponent)) if week.opponent else []


def _expect(week: Week, plays: Sequence[Play], also: list[LookKey], dropped: list[LookKey]) -> Expectation:
    vocabulary = vocabulary_of(week.opponent)
    families = {name: concept.family or name for name, concept in vocabulary.concepts.items()}
    return expect_looks(plays, shapes_of(vocabulary), families, also, dropped)


def _dropped(week: Week):
    return week.dropped_looks.select_related("formation", "concept")


@transaction.atomic
def take_looks(week: Week, at_least: int = 1, guesses: bool = False) -> tuple[int, int]:
    """Brings the counted looks into the week; returns how many are new and how many shares changed.

    Nothing is taken out: what the staff added or pinned stays, with its share counted; what it dropped stays dropped.
    """
    Week.objects.select_for_update().get(pk=week.pk)
    vocabulary = vocabulary_of(week.opponent) if week.opponent else None
    new = changed = 0
    order = _next_order(week)
    for line in count_week(week).lines:
        look = line.expected
        if line.row:
            if line.row.share != look.share:
                line.row.save_version(line.row.version, share=look.share, guess=look.guess)
                changed += 1
        elif vocabulary and (guesses if look.guess else look.count >= at_least):
            _add(week, vocabulary, look, order + new)
            new += 1
    return new, changed


def _next_order(week: Week) -> int:
    last = week.expected_looks.aggregate(last=Max("order"))["last"]
    return 0 if last is None else last + 1


def _add(week: Week, vocabulary: Vocabulary, look: Expected, order: int) -> ExpectedLook:
    key = look.key
    return ExpectedLook.objects.create(
        week=week,
        order=order,
        formation=vocabulary.formations[key.formation],
        concept=vocabulary.concepts[key.concept],
        to=key.to,
        hash=look.hash,
        share=look.share,
        guess=look.guess,
        note=look.why[:300],
    )


class NoSuchLook(ValueError):
    """The look is not among those that are counted."""


@transaction.atomic
def add_look(week: Week, name: str) -> ExpectedLook:
    """Brings one counted or offered look into the week. Raises NoSuchLook."""
    Week.objects.select_for_update().get(pk=week.pk)
    line = _find(week, name)
    if line.row:
        return line.row
    return _add(week, vocabulary_of(week.opponent), line.expected, _next_order(week))


@transaction.atomic
def drop_look(week: Week, name: str) -> None:
    """Takes a look out of the week and the count; it stays out until it is brought back. Raises NoSuchLook."""
    line = _find(week, name)
    vocabulary = vocabulary_of(week.opponent)
    key = line.expected.key
    DroppedLook.objects.get_or_create(
        week=week,
        formation=vocabulary.formations[key.formation],
        concept=vocabulary.concepts[key.concept],
        to=key.to,
    )
    if line.row:
        line.row.delete()


@transaction.atomic
def bring_back(week: Week, name: str) -> None:
    """Lets a dropped look be counted again."""
    formation, concept, to = (*name.split("|"), "", "")[:3]
    week.dropped_looks.filter(formation__name=formation, concept__name=concept, to=to).delete()


@transaction.atomic
def pin_look(week: Week, name: str, pinned: bool) -> None:
    """Puts a look first, or no longer; a look that is not in the week yet is added. Raises NoSuchLook."""
    row = add_look(week, name)
    row.save_version(row.version, pinned=pinned)


def _find(week: Week, name: str) -> Line:
    found = next((line for line in count_week(week).lines if line.name == name), None)
    if found is None:
        raise NoSuchLook("expected a look of this list; it may have changed since you opened the page")
    return found
