"""Two looks beside each other: a run against two calls, or against one call before and after a change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

import fits
from fits.draw.svg import Form
from fits.words import words_of
from playbook.looks import queries
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import Surroundings, asks_of, expected_looks, surroundings
from playbook.models import Call, System, Week
from playbook.system import changes as history
from playbook.system.services import Refused

LATEST = "last"  # in an address: the change that was saved last
OFFERED = 12  # changes to choose from


@dataclass(frozen=True, slots=True)
class Side:
    """One of two looks: what stands above it, its page, its drawings; `refused` says why there is none."""

    title: str
    ask: Ask | None
    verdict: queries.VerdictWords | None = None
    wide: str = ""
    narrow: str = ""
    refused: str = ""
    play: str = ""


@dataclass(frozen=True, slots=True)
class Differs:
    """A man who does not do the same in two looks: what he is called, and what he does in each."""

    man: str
    here: str
    there: str


def two_calls(ask: Ask, other: Call, up: str) -> dict[str, Any]:
    """Returns the look against its call and against another, and the men who do something else in them."""
    around = surroundings(ask.call.system_id, ask.setting.week)
    asks = [ask, replace(ask, call=other)]
    made = [_made(one, around) for one in asks]
    plays = [one.part("play", _view(up)) for one in asks]
    return two(made, [str(one.call) for one in asks], around, up, asks, plays)


def before_and_after(ask: Ask, change: history.Change, up: str) -> dict[str, Any]:
    """Returns the look just before a change of its system was saved and just after it. Raises Refused."""
    around = surroundings(ask.call.system_id, ask.setting.week)
    calls = [system.calls().get(ask.call.name) for system in history.before_and_after(ask.call.system, change.id)]
    made = [_made(ask, around, call) if call else fits.BadRequest("There was no such call then.") for call in calls]
    plays = [ask.part("play", [*_view(up), ("change", str(change.id)), ("side", side)]) for side in SIDES]
    return two(made, ["Before", "After"], around, up, (None, None), plays)


SIDES = ("before", "after")


def call_then(ask: Ask, change: str, side: str) -> fits.Call | None:
    """Returns the look's call as it stood before or after a change; none without a change. Raises fits.FitsError."""
    if not change:
        return None
    try:
        systems = history.before_and_after(ask.call.system, UUID(change))
    except (Refused, ValueError) as error:
        raise fits.BadRequest(str(error)) from error
    call = systems[side == "after"].calls().get(ask.call.name)
    if call is None:
        raise fits.BadRequest("There was no such call then.")
    return call


def first_that_differs(system: System, change: UUID, week: Week | None) -> tuple[Ask | None, bool]:
    """Returns a look that a change made another, the week's heaviest first, and whether there is one.

    Where none differs it is the first look there is. Raises Refused.
    """
    before, after = (found.calls() for found in history.before_and_after(system, change))
    rows = list(system.calls.select_related("system", "front", "coverage"))
    rows.sort(key=lambda call: before.get(call.name) == after.get(call.name))  # those that it touched first
    around, first = surroundings(system.pk, week), None
    for row in rows:
        asks = asks_of(week, expected_looks(week), row) if week else ()
        for ask in asks or queries.questions([row], queries.menu(queries.next_opponent()), Setting()):
            first = first or ask
            if before.get(row.name) == after.get(row.name):
                break
            pair = [_alone(ask, around, calls[row.name]) if row.name in calls else None for calls in (before, after)]
            if all(pair) and changed_men(*pair):  # type: ignore[arg-type]
                return ask, True
    return first, False


def tried(before: fits.Look, after: fits.Look, up: str, around: Surroundings) -> dict[str, Any]:
    """Returns a look as it is saved beside the same look with a change that is tried and not saved."""
    return two([before, after], ["Before", "After"], around, up, (None, None), ("", ""))


def two(
    made: Sequence[fits.Look | fits.FitsError],
    titles: Sequence[str],
    around: Surroundings,
    up: str,
    asks: Sequence[Ask | None],
    plays: Sequence[str],
) -> dict[str, Any]:
    """Returns two looks as sides of a page, with who differs in words; `plays` is empty unless both can be run."""
    looks = [look for look in made if isinstance(look, fits.Look)]
    whole = len(looks) == 2
    changed = changed_men(*looks) if whole else ()
    sides = []
    for look, title, ask in zip(made, titles, asks, strict=True):
        if not isinstance(look, fits.Look):
            sides.append(Side(title, ask, refused=str(look)))
            continue
        drawn = [queries.drawing_in_page(look, form, "", up, around.book, changed) for form in (Form.DESK, Form.PHONE)]
        sides.append(Side(title, ask, queries.sum_up(look), *drawn))
    return {
        "sides": sides,
        "whole": whole,
        "differ": differences(*looks) if whole else [],
        "plays": " ".join(plays).strip() if whole else "",
    }


def differences(one: fits.Look, other: fits.Look) -> list[Differs]:
    """Returns everybody whose place, read or fit is not the same in two looks, with what he does in each."""
    mine, his = _jobs(one), _jobs(other)
    found = []
    for man in dict.fromkeys([*mine, *his]):
        if man not in mine or man not in his:
            found.append(Differs(man, *(" ".join(jobs[man][:2]) if man in jobs else "–" for jobs in (mine, his))))
        elif mine[man] != his[man]:
            plain = mine[man][:2] != his[man][:2]  # else only what is finer tells them apart
            found.append(Differs(man, *(" ".join(job[:2] if plain else job) for job in (mine[man], his[man]))))
    return found


def _jobs(look: fits.Look) -> Mapping[str, tuple[str, ...]]:
    """Returns for each man where he lines up, his fit, what he plays it with, what he reads, and just where he is."""
    said = words_of(look)
    found = {}
    for d in look.defenders:
        more = f"({d.leverage})" if d.leverage and d.leverage not in ("gap", d.fit) else ""
        seen = f"on {', '.join(said.sights(d)[:1])}" if d.key else ""
        just = f"{abs(d.x):.1f} yards from the ball, {d.y:.1f} deep"
        found[said.man(d.role)] = (f"{d.technique}:", said.fit(d), more, seen, just)
    return found


def changed_men(one: fits.Look, other: fits.Look) -> tuple[str, ...]:
    """Returns the roles of the defenders who stand, read, fit or play it otherwise in two looks."""
    jobs = [
        {d.role: (d.technique, round(d.x, 2), round(d.y, 2), d.key, d.fit, d.leverage, d.duty) for d in look.defenders}
        for look in (one, other)
    ]
    return tuple(role for role in jobs[1] if jobs[0].get(role) != jobs[1][role])


def _made(ask: Ask, around: Surroundings, call: fits.Call | None = None) -> fits.Look | fits.FitsError:
    try:
        return queries.known_look(ask, around, call)
    except fits.FitsError as error:
        return error


def _alone(ask: Ask, around: Surroundings, call: fits.Call) -> fits.Look | None:
    try:
        return queries.derive(ask, around, call)
    except fits.FitsError:
        return None


def _view(up: str) -> list[tuple[str, str]]:
    return [("up", up)] if up else []


def other_call(ask: Ask, asked: str) -> Call | None:
    """Returns the call to compare with: the one asked for, else the next of the menu, else of the system."""
    week, calls = ask.setting.week, [call for call in ask.call.system.calls.all() if call.pk != ask.call.pk]
    menu = set(week.menu_calls.values_list("call", flat=True)) if week else set()
    ordered = sorted(calls, key=lambda call: (str(call.pk) != asked, call.pk not in menu))
    return ordered[0] if ordered else None


def which_change(changes: Iterable[history.Change], asked: str) -> history.Change | None:
    """Returns the change that an address asks for, the last one where it says so; none for anything else."""
    return next((change for change in changes if asked in (LATEST, str(change.id))), None)
