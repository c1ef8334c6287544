"""One look is asked for in one way: a question's rows, and what goes for all looks of its week, as a `LookSpec`.

Every page, sheet, document, drawing, proof and API answer asks here. It is decided here, and nowhere else, that

- the rule book is that of the week's season; a look outside of a week goes by the latest season;
- a defender runs as fast as the first active man of his position whose 10 and 40 yards were measured (a week's variant
  has the men of the system it varies), else as his position's default says, else as the pace says;
- an option of a week is the opponent's own of that name before the library's; when it is gone there is no look.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, prefetch_related_objects

import fits
from fits.defense.pressure import find_pressure
from fits.field import SIDES
from fits.spec import DEFAULT_PACE
from fits.terms import words_of_name
from fits.timing import Pace, level_pace
from playbook import convert
from playbook.looks.asking import Ask, Setting
from playbook.models import Call, ExpectedLook, Option, RosterSpot, Season, Week
from playbook.models.offense import CONCEPT_ROWS
from playbook.models.season import label_options

Asked = fits.LookSpec | fits.FitsError


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What goes for every look of a system in a week: the rule book, the pace, and measured speeds by position.

    `stamp` names all of it.
    """

    book: fits.RuleBook
    pace: Pace
    roster: Mapping[str, fits.Speed]
    stamp: tuple[object, ...]


def surroundings(system_pk: int | None = None, week: Week | None = None) -> Surroundings:
    """Returns what goes for a system's looks, in a week or outside of any."""
    book, speeds = rule_book(week), _speeds(system_pk) if system_pk else {}
    return Surroundings(book, DEFAULT_PACE, speeds, (book.name, *sorted((k, str(v)) for k, v in speeds.items())))


def rule_book(week: Week | None = None) -> fits.RuleBook:
    """Returns the rule book of the week's season, without a week that of the latest one; college before any season."""
    season = week.season if week else Season.objects.first()
    return fits.RULE_BOOKS[season.book.replace(" ", "-")] if season else fits.COLLEGE


def _speeds(system_pk: int) -> dict[str, fits.Speed]:
    own = Q(position__system=system_pk) | Q(position__system__variants=system_pk)
    measured = RosterSpot.objects.filter(
        own, player__active=True, player__ten_yd_s__isnull=False, player__forty_yd_s__isnull=False
    )
    rows = measured.order_by("order", "pk").values_list("position__name", "player__ten_yd_s", "player__forty_yd_s")
    speeds: dict[str, fits.Speed] = {}
    for position, ten, forty in rows:
        try:
            speed = fits.speed_from_splits(float(ten), float(forty))
        except fits.FitsError:
            continue  # two measured times that no sprint can have: the position's own default stands
        speeds.setdefault(position, speed)
    return speeds


def expected_looks(week: Week) -> list[ExpectedLook]:
    """Returns the week's looks with what they are made of, pinned ones first, then by share: their order everywhere."""
    looks = list(week.expected_looks.select_related("formation", "concept", "motion"))
    label_options(looks)
    return sorted(looks, key=lambda look: (not look.pinned, -(look.share or 0), look.order))


def asks_of(week: Week, rows: Sequence[ExpectedLook], call: Call | None = None) -> list[Ask]:
    """Returns looks expected in a week as questions, in order; without a call they are to be put to one."""
    names = {name for row in rows for name in row.options}
    known: dict[str, Option] = {}
    if names:
        whose = Q(opponent=None) | Q(opponent=week.opponent_id) if week.opponent_id else Q(opponent=None)
        found = Option.objects.filter(whose, name__in=names)
        known = {option.name: option for option in sorted(found, key=lambda option: option.opponent_id is not None)}
    asks = []
    for row in rows:
        options = tuple(known[name] for name in row.options if name in known)
        gone = tuple(name for name in row.options if name not in known)
        setting = Setting(row.to, row.flip, row.hash, row.motion, options, week=week, gone=gone, back=row.back)
        asks.append(Ask(call, row.formation, row.concept, setting))  # type: ignore[arg-type]
    return asks


def spec_of(
    ask: Ask, around: Surroundings, call: fits.Call | None = None, concept: fits.Concept | None = None
) -> fits.LookSpec:
    """Returns what the engine is asked for; `call` and `concept` stand in for the saved ones when a change is tried.

    Raises fits.FitsError, and KeyError for a call that its system has not any more.
    """
    setting = ask.setting
    if setting.gone:
        raise fits.BadRequest(f"There is no option called {', '.join(map(words_of_name, setting.gone))} any more.")
    call = call or convert.call_value(ask.call)
    return fits.LookSpec(
        call=call,
        formation=convert.formation_value(ask.formation, setting.back),
        concept=concept or convert.concept_value(ask.concept),
        to=SIDES.get(setting.to),
        flip=setting.flip,
        hash=fits.Hash(setting.hash),
        yard_line=setting.yard_line,
        pressure=find_pressure(call, setting.pressure or None),
        motion=convert.motion_value(setting.motion) if setting.motion else None,
        options=tuple(convert.option_value(option) for option in setting.options),
        first_steps=dict(setting.steps),
        pace=level_pace(setting.pace) if setting.pace else around.pace,
        roster={} if setting.pace else around.roster,
        book=around.book,
    )


def specs_of(asks: Sequence[Ask], around: Surroundings, call: fits.Call | None = None) -> list[Asked]:
    """Returns the same for many, in a fixed number of queries; the error stands where there is no look to ask for."""
    _fetch(asks)
    return [_attempt(ask, around, call) for ask in asks]


def _attempt(ask: Ask, around: Surroundings, call: fits.Call | None) -> Asked:
    try:
        return spec_of(ask, around, call)
    except fits.FitsError as error:
        return error
    except KeyError:
        return fits.BadRequest(f"There is no call {ask.call} any more.")


def _fetch(asks: Iterable[Ask]) -> None:
    """Reads what the engine's values are built from, of the rows that are not built yet."""
    fresh: dict[str, dict[int, Any]] = {"formation": {}, "concept": {}, "option": {}}
    for ask in asks:
        for row in (ask.formation, ask.concept, *ask.setting.options):
            if row is not None and not convert.is_kept(row):
                fresh[row._meta.model_name].setdefault(row.pk, row)
    prefetch_related_objects(list(fresh["formation"].values()), "players")
    prefetch_related_objects(list(fresh["concept"].values()), *CONCEPT_ROWS)
    prefetch_related_objects(list(fresh["option"].values()), *CONCEPT_ROWS)
