"""What a man of a call meets and can know: his rules counted over the looks, his ladder, what looks the same to him."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import timezone

import fits
from fits.know import Ladder, Unknown, ladder, study_looks
from fits.words import words_of
from playbook import convert
from playbook.looks import queries as looks
from playbook.looks.asking import Ask
from playbook.looks.specs import asks_of, expected_looks, surroundings
from playbook.models import Call, Week
from playbook.week.current import now_first

MOST = 120  # looks that a page derives while somebody waits
_ladders: OrderedDict[tuple[object, ...], Ladder] = OrderedDict()
KEPT = 64


@dataclass(frozen=True, slots=True)
class Met:
    """The looks that a call meets: a week's with their shares, or a menu's; none when there are too many to derive."""

    words: str
    asks: tuple[Ask, ...]
    shares: tuple[float | None, ...]

    @property
    def counted(self) -> bool:
        """Whether anybody has counted how often they come."""
        return any(self.shares)


@dataclass(frozen=True, slots=True)
class Use:
    """In how many looks a fit rule decides, and the share of their runs that this is."""

    looks: int = 0
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Alike:
    """Two looks that a man cannot tell apart, what he sees in both, and what he is asked in each."""

    man: str
    one: Ask
    other: Ask
    sees: str
    here: str
    there: str
    extra: str


@dataclass(frozen=True, slots=True)
class Knows:
    """A position's ladder, and what it cannot know."""

    ladder: Ladder | None
    alike: tuple[Alike, ...]
    more: int


def week_of(opponent_pk: int | None, system_pk: int) -> Week | None:
    """Returns the week against that opponent with this system that expects something, or none."""
    return _first(opponent=opponent_pk, system=system_pk)


def week_with(system_pk: int, now: Week | None) -> Week | None:
    """Returns the current week if it has this system and expects something of an opponent, else the next that does."""
    mine = _first(opponent__isnull=False, system=system_pk, pk=now.pk) if now else None
    return mine or _first(opponent__isnull=False, system=system_pk)


def _first(**which: object) -> Week | None:
    weeks = Week.objects.filter(expected_looks__isnull=False, **which).select_related("season", "opponent", "system")
    return now_first(weeks, timezone.localdate()).first()


def met(call: Call, week: Week | None, menu: looks.Menu) -> Met:
    """Returns the looks that the call meets."""
    if week:
        rows = expected_looks(week)
        return Met(f"{week}", tuple(asks_of(week, rows, call)), tuple(row.share for row in rows))
    asks = tuple(looks.questions([call], menu)) if len(menu.formations) * len(menu.concepts) <= MOST else ()
    return Met(menu.words, asks, (None,) * len(asks))


def company(call: Call, found: Met, week: Week | None) -> list[tuple[Ask, fits.Look, float]]:
    """Returns the looks with their weights; what cannot be run is left out. Raises fits.FitsError."""
    made = looks.company_looks(found.asks, surroundings(call.system_id, week), call.system, call.name).made
    rows = zip(found.asks, made, found.shares, strict=True)
    return [(ask, look, share or 0.0) for ask, look, share in rows if isinstance(look, fits.Look)]


def uses(rows: Sequence[tuple[Ask, fits.Look, float]], position: str) -> dict[str, Use]:
    """Returns by rule id how many looks a position's fit rules decide; a look counts once."""
    found: dict[str, Use] = {}
    for _, look, share in rows:
        for rule in {man.rule.id for man in look.defenders if man.position == position}:
            was = found.get(rule, Use())
            found[rule] = Use(was.looks + 1, was.share + share)
    return found


def knows(call: Call, found: Met, week: Week | None, position: str) -> Knows:
    """Returns what the men of a position know over the looks the call meets. Raises fits.FitsError."""
    rows = company(call, found, week)
    value = convert.calls_of(call.system)[call.name]
    by_look = {id(look): ask for ask, look, _ in rows}
    known = study_looks(value, [look for _, look, _ in rows], roles=[position]) if rows else None
    alike = [_alike(man.role, unknown, by_look) for man in (known.men if known else ()) for unknown in man.unknown]
    return Knows(_ladder(call, value, found, week, position) if rows else None, tuple(alike[:3]), len(alike[3:]))


def _alike(role: str, unknown: Unknown, by_look: dict[int, Ask]) -> Alike:
    mine, other = unknown.plays
    said = words_of(mine.look)
    return Alike(
        said.man(role),
        by_look[id(mine.look)],
        by_look[id(other.look)],
        ", ".join(unknown.picture.sights),
        said.retell(mine.fit),
        said.retell(other.fit),
        unknown.extra,
    )


def _ladder(call: Call, value: fits.Call, found: Met, week: Week | None, position: str) -> Ladder:
    """Returns the ladder over those looks' runs and formations to both sides, kept by what it is made of."""
    rows = {(row._meta.model_name, row.pk): row for ask in found.asks for row in (ask.formation, ask.concept)}
    around = surroundings(call.system_id, week)
    key = (
        call.name, call.system_id, call.system.revision, position, around.book.name,
        tuple((*name, row.revision) for name, row in sorted(rows.items())),
    )  # fmt: skip
    if key not in _ladders:
        pairs = {(str(ask.formation.name), str(ask.concept.name)) for ask in found.asks}
        _ladders[key] = ladder(
            value,
            position,
            {ask.formation.pk: convert.formation_value(ask.formation) for ask in found.asks}.values(),
            {ask.concept.pk: convert.concept_value(ask.concept) for ask in found.asks}.values(),
            book=around.book,
            weigh=lambda look: float((look.formation, look.concept) in pairs),
        )
        while len(_ladders) > KEPT:
            _ladders.popitem(last=False)
    return _ladders[key]
