"""The looks to expect in a week: counted from the charts, added, dropped, pinned by the staff."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Max

import fits
from playbook import convert
from playbook.charts import queries
from playbook.charts.families import TACKLE_X
from playbook.charts.plays import OTHER_SIDE, CountedSnap
from playbook.charts.words import Vocabulary, aliases_of, vocabulary_of
from playbook.looks.specs import rule_book
from playbook.models import Concept, DroppedLook, ExpectedLook, Formation, Motion, PlayerKind, Week
from playbook.proof.expecting import Expected, LookKey, Shape, expect_looks, look_key


@dataclass(frozen=True, slots=True)
class Line:
    """One look to expect, what it is made of here, and its row when it is in the week."""

    expected: Expected
    formation: Formation
    concept: Concept
    motion: Motion | None
    row: ExpectedLook | None
    percent: float
    why: str = ""  # of a guess

    @property
    def name(self) -> str:
        """How forms name it."""
        key = self.expected.key
        return look_name(self.formation, self.concept, key.to, key.zone, self.motion, key.back)

    @property
    def back_words(self) -> str:
        """Where the back stands when that is not as drawn, in words."""
        return ExpectedLook(back=self.expected.key.back).back_words


@dataclass(frozen=True, slots=True)
class Dropped:
    """A look that the staff took out."""

    row: DroppedLook

    @property
    def key(self) -> LookKey:
        """The look."""
        row = self.row
        motion = row.motion.name if row.motion else ""
        return LookKey(row.formation.name, row.concept.name, row.to, row.zone, motion, row.back)

    @property
    def name(self) -> str:
        """How forms name it."""
        row = self.row
        return look_name(row.formation, row.concept, row.to, row.zone, row.motion, row.back)

    @property
    def back_words(self) -> str:
        """Where the back stood when that is not as drawn, in words."""
        return ExpectedLook(back=self.row.back).back_words


@dataclass(frozen=True, slots=True)
class Counted:
    """What the charts say of a week."""

    lines: list[Line]
    runs: int
    left_out: int
    unmoved: int
    dropped: list[Dropped]


def look_name(
    formation: Formation, concept: Concept, to: str, zone: str = "", motion: Motion | None = None, back: str = ""
) -> str:
    """Returns how forms name a look: by numbers, whatever letters the names of its parts have."""
    more = [zone.replace(" ", "-"), f"motion-{motion.pk}" if motion else "", f"back-{back}" if back else ""]
    return "-".join([f"{formation.pk}-{concept.pk}-{to}", *filter(None, more)])


def shape_of(formation) -> Shape:
    """Returns the shape of a formation's row, its players prefetched."""
    out = [p for p in formation.players.all() if p.kind in (PlayerKind.TIGHT_END, PlayerKind.RECEIVER)]
    wide = [p.x for p in out if abs(p.x) > TACKLE_X]
    return Shape(formation.personnel, sum(x > 0 for x in wide), sum(x < 0 for x in wide))


def shapes_of(vocabulary: Vocabulary) -> dict[str, Shape]:
    """Returns the shape of every formation that can be drawn."""
    return {name: shape_of(formation) for name, formation in vocabulary.formations.items()}


def charted_keys(plays: Iterable[CountedSnap]) -> set[LookKey]:
    """Returns the looks of the runs that were charted."""
    return {look_key(play) for play in plays if play.run}


def row_keys(rows: Iterable[ExpectedLook], charted: Container[LookKey]) -> list[LookKey]:
    """Returns the look that each of a week's rows is counted as; `charted` are those that the charts have.

    A row says a side, or the middle. One that says neither is the look without a charted side where there are such
    runs; where there are none it is the side that the concept chooses by itself.
    """
    return [_row_key(row, charted) for row in rows]


def _row_key(row: ExpectedLook, charted: Container[LookKey]) -> LookKey:
    names = (row.formation.name, row.concept.name)
    rest = (row.zone, row.motion.name if row.motion else "", row.back)
    if row.middle:
        return LookKey(*names, "middle", *rest)
    no_side = LookKey(*names, "", *rest)
    if not row.to and no_side in charted:
        return no_side
    to = row.to or own_side(row)
    return LookKey(*names, OTHER_SIDE.get(to, "") if row.flip else to, *rest)  # turned strong to the right


def own_side(row: ExpectedLook) -> str:
    """Returns the side that the concept chooses by itself, "" when it cannot be run."""
    try:
        formation, book = convert.formation_value(row.formation, row.back), rule_book(row.week)
        motion = convert.motion_value(row.motion) if row.motion else None
        standing = fits.Deriver().stand(formation, row.flip, fits.Hash(row.hash), motion, book)
        return standing.plan(convert.concept_value(row.concept)).play.word
    except fits.FitsError:
        return ""


def count_week(week: Week) -> Counted:
    """Returns the looks that the charts of the week's opponent say, beside those that the week has."""
    dropped = [Dropped(row) for row in week.dropped_looks.select_related("formation", "concept", "motion")]
    if week.opponent is None:
        return Counted([], 0, 0, 0, dropped)
    vocabulary = vocabulary_of(week.opponent)
    plays = queries.plays_of(week.opponent, aliases=aliases_of(week.opponent, vocabulary))
    by_key = _rows_by_key(week, charted_keys(plays))
    families = {name: concept.family or name for name, concept in vocabulary.concepts.items()}
    expectation = expect_looks(plays, shapes_of(vocabulary), families, list(by_key), [gone.key for gone in dropped])
    lines = [_line(look, by_key.get(look.key), vocabulary) for look in expectation.looks]
    return Counted(lines, expectation.runs, expectation.left_out, expectation.unmoved, dropped)


def _rows_by_key(week: Week, charted: Container[LookKey]) -> dict[LookKey, ExpectedLook]:
    """Returns the week's row of each look; one that says its side before one that leaves it to the concept."""
    rows = list(week.expected_looks.select_related("formation", "concept", "motion"))
    rows.sort(key=lambda row: not (row.to or row.middle))
    found: dict[LookKey, ExpectedLook] = {}
    for row, key in zip(rows, row_keys(rows, charted), strict=True):
        found.setdefault(key, row)
    return found


def _line(look: Expected, row: ExpectedLook | None, vocabulary: Vocabulary) -> Line:
    made_of = row or ExpectedLook(
        formation=vocabulary.formations[look.key.formation], concept=vocabulary.concepts[look.key.concept]
    )
    why = _why(look, vocabulary) if look.like else ""
    motion = row.motion if row else vocabulary.motions.get(look.key.motion)
    return Line(look, made_of.formation, made_of.concept, motion, row, round(100 * look.share, 1), why)


def _why(look: Expected, vocabulary: Vocabulary) -> str:
    """Returns what speaks for a guess."""
    assert look.like is not None
    key, seen = look.key, look.like.seen
    same_run, same_place = seen.concept == key.concept, seen.formation == key.formation
    run = "the same run" if same_run else f"{vocabulary.concepts[seen.concept]}, of the same family,"
    place = "here" if same_place else f"from {vocabulary.formations[seen.formation]}, a like formation"
    return f"{run} came {look.like.count} times {place}"


def week_plays(week: Week) -> list[CountedSnap]:
    """Returns the plays of the week's opponent, in our words."""
    return queries.plays_of(week.opponent, aliases=aliases_of(week.opponent)) if week.opponent else []


@transaction.atomic
def take_looks(week: Week, at_least: int = 1, guesses: bool = False) -> tuple[int, int]:
    """Brings the counted looks into the week; returns how many are new and how many shares changed.

    Nothing is taken out: what the staff added or pinned stays, with its share counted; what it dropped stays dropped.
    Taking them again changes only what the charts say differently since.
    """
    new = changed = 0
    for line in _counted_alone(week):
        look = line.expected
        if line.row:
            changed += _count_again(line.row, look)
        elif guesses if look.guess else look.count >= at_least:
            new += _add(week, line)[1]
    return new, changed


def _counted_alone(week: Week) -> list[Line]:
    """Returns the lines of a week that nobody else can change until the transaction ends."""
    Week.objects.select_for_update().get(pk=week.pk)
    list(week.expected_looks.select_for_update())
    return count_week(week).lines


def _count_again(row: ExpectedLook, look: Expected) -> bool:
    if row.share == look.share and row.guess == look.guess:
        return False
    row.save_version(row.version, share=look.share, guess=look.guess)
    return True


def _next_order(week: Week) -> int:
    last = week.expected_looks.aggregate(last=Max("order"))["last"]
    return 0 if last is None else last + 1


def _add(week: Week, line: Line) -> tuple[ExpectedLook, bool]:
    """Returns the line's look in the week and whether it is new; it is not where a row is drawn the same."""
    look = line.expected
    middle = look.key.to == "middle"
    drawn = {
        "formation": line.formation,
        "concept": line.concept,
        "motion": line.motion,
        "back": look.key.back,
        "options": [],
        "to": "" if middle else look.key.to,
        "middle": middle,
        "flip": False,
        "hash": look.hash,
        "zone": look.key.zone,
    }
    there = week.expected_looks.filter(**drawn).first()
    if there:
        return there, False
    said = {"share": look.share, "guess": look.guess, "note": line.why[:300]}
    return ExpectedLook.objects.create(week=week, order=_next_order(week), **drawn, **said), True


class NoSuchLook(ValueError):
    """The look is not among those that are counted."""


@transaction.atomic
def add_look(week: Week, name: str) -> ExpectedLook:
    """Brings one counted or offered look into the week; of one that is there the share is counted again.

    Raises NoSuchLook.
    """
    line = _find(week, name)
    if line.row is None:
        return _add(week, line)[0]
    _count_again(line.row, line.expected)
    return line.row


@transaction.atomic
def drop_look(week: Week, name: str) -> None:
    """Takes a look out of the week and the count; it stays out until it is brought back. Raises NoSuchLook."""
    line = _find(week, name)
    DroppedLook.objects.get_or_create(
        week=week,
        formation=line.formation,
        concept=line.concept,
        to=line.expected.key.to,
        zone=line.expected.key.zone,
        motion=line.motion,
        back=line.expected.key.back,
    )
    if line.row:
        line.row.delete()


@transaction.atomic
def bring_back(week: Week, name: str) -> None:
    """Lets a dropped look be counted again."""
    for gone in count_week(week).dropped:
        if gone.name == name:
            gone.row.delete()


@transaction.atomic
def pin_look(week: Week, name: str, pinned: bool) -> None:
    """Puts a look first, or no longer; a look that is not in the week yet is added. Raises NoSuchLook."""
    line = _find(week, name)
    row = line.row or _add(week, line)[0]
    row.save_version(row.version, pinned=pinned)


def _find(week: Week, name: str) -> Line:
    found = next((line for line in _counted_alone(week) if line.name == name), None)
    if found is None:
        raise NoSuchLook("expected a look of this list; it may have changed since you opened the page")
    return found
