"""The desk on which a man is given a job in a list of rows: one look drawn, its men to pick, his job in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import QueryDict

import fits
from fits.draw.svg import Form
from playbook import convert
from playbook.looks import queries as looks
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import spec_of, surroundings
from playbook.models import Call, Concept, Formation, Motion, System, Week
from playbook.rows import Rows
from playbook.system import impact, jobs, knowing, lists, services
from playbook.text import whole_number

CHOICE_KEYS = ("call", "formation", "concept", "motion")
MOST = 60  # looks whose change is worked out while somebody waits


@dataclass(frozen=True, slots=True)
class Over:
    """What a list of rows is drawn on, and what there is to choose from."""

    calls: list[Call]
    menu: looks.Menu
    motions: list[Motion]
    call: Call | None
    formation: Formation | None
    concept: Concept | None
    motion: Motion | None
    week: Week | None

    @property
    def ask(self) -> Ask | None:
        """Returns the look to draw; none where there is no call, formation or run yet."""
        if self.call and self.formation and self.concept:
            return Ask(self.call, self.formation, self.concept, Setting(motion=self.motion))
        return None


def over(system: System, data: QueryDict, calls: Any, now: Week | None, moved: bool = False) -> Over:
    """Returns what is drawn: what was chosen, else the first run of the week that goes; `moved` wants a motion."""
    week = knowing.week_with(system.pk, now)
    menu = looks.menu(week.opponent if week else looks.next_opponent())
    rows = list(calls.select_related("system", "front", "coverage"))
    chosen = whole_number(data.get("call", ""))
    concept = looks.find(Concept, data.get("concept", "")) or next(iter(menu.concepts), None)
    formation = looks.find(Formation, data.get("formation", ""))
    run = [f for f in menu.formations if looks.runs(f, concept)] if formation is None and concept is not None else []
    formation = formation or next(iter(run), None)
    motions = (
        list(Motion.objects.filter(opponent=None) | Motion.objects.filter(opponent=menu.opponent)) if moved else []
    )
    motion = looks.find(Motion, data.get("motion", "")) if moved else None
    if moved and "motion" not in data:
        places = run or ([formation] if formation else [])
        pairs = ((place, one) for place in places for one in motions if _moves(place, one))
        formation, motion = next(pairs, (formation, None))
    call = next((row for row in rows if row.pk == chosen), next(iter(rows), None))
    return Over(rows, menu, motions, call, formation, concept, motion, week)


def _moves(formation: Formation, motion: Motion) -> bool:
    if motion.kind != Motion.Kind.MOTION:
        return False
    try:
        value = convert.motion_value(motion)
        _ = fits.Deriver().stand(convert.formation_value(formation), motion=value).snap
    except fits.FitsError:
        return False
    return True


def built(data: Mapping[str, Any], system: System) -> fits.System:
    """Returns the engine's system of a changed file shape. Raises services.Refused, its cause the engine's error."""
    try:
        return fits.build_system(dict(data), system.name, fits.load_library().schemes)
    except fits.FileError as error:
        raise services.refusal(error, system) from error


def draw(on: Over, system: System, value: fits.System | None, pressure: str = "") -> dict[str, Any]:
    """Returns what the page shows of the rows as they stand; `not_drawn` says why it is the call without them."""
    if on.ask is None or on.call is None:
        return {}
    around, found = surroundings(system.pk), {"over": on}
    asks = [on.ask.at(pressure=pressure), on.ask]
    for ask, of in zip(asks, (value, None), strict=True):
        if ask is asks[0] and value is None:
            continue
        try:
            look = looks.derive(ask, around, of.calls()[on.call.name] if of else None)
        except fits.FitsError as error:
            found.setdefault("not_drawn", str(error))  # type: ignore[arg-type]
            continue
        shapes = {"svg": Form.DESK, "narrow": Form.PHONE}
        drawn = {name: looks.drawing_in_page(look, form, book=around.book) for name, form in shapes.items()}
        return found | drawn | {"look": look, "verdict": looks.sum_up(look)}
    return found


def men(look: fits.Look, told: Sequence[jobs.Row], role: str) -> dict[str, Any]:
    """Returns the men to pick, and the one who is picked: the first who is told something where nobody is."""
    found = jobs.job_men(look, told)
    man = next((one for one in found if one.role == role), None)
    return {"men": found, "man": man or next((one for one in found if one.told), found[0])}


def job_of(rows: Sequence[jobs.Row], man: jobs.JobMan, who: str = "", when: str | None = None) -> jobs.Row:
    """Returns the row that is shown of a man: of that condition, else what he always does, else the first of his."""
    mine = jobs.his(rows, man)
    alone = [row for row in mine if row.get("who") in ((who,) if who else man.names)]
    if when is not None:
        found = next((row for row in alone if row.get("when", "") == when), None)
        return found or {"who": who or man.position, "when": when}
    kept = alone or mine  # with others, where no row is for just him
    found = next((row for row in kept if not row.get("when")), next(iter(kept), None))
    return found or {"who": man.position, "when": ""}


def whos(man: jobs.JobMan, rows: Sequence[jobs.Row]) -> list[tuple[str, str]]:
    """Returns how a row may name a man: both of his position, just him, or with the others whom a row of his names."""
    found = [(man.position, f"both {man.position}"), (man.role, f"only {man.called}")]
    found = found if man.role != man.position else [(man.position, f"only {man.called}")]
    shared = dict.fromkeys(row["who"] for row in jobs.his(rows, man) if row["who"] not in man.names)
    found += [(who, f"{who} alike") for who in shared]
    return found if len(found) > 1 else []


def choices(known: Mapping[str, str], now: str) -> list[tuple[str, str]]:
    """Returns the choices with the one that stands there, which may be of the staff's own words."""
    return [*known.items(), *([(now, f"when {now}")] if now not in known else [])]


def raw(found: Rows, head: Mapping[str, Any]) -> lists.Item:
    """Returns the file's shape of rows before they are checked; empty ones are left out."""
    kept = {key: [lists.item(key, _plain(row)) for row in rows if any(row.values())] for key, rows in found.items()}
    return {**head, **kept}


def _plain(row: Mapping[str, Any]) -> dict[str, Any]:
    return {name: bool(value) if name == "first" else value for name, value in row.items()}


def _met(on: Over, call: Call) -> tuple[tuple[Ask, ...], str]:
    """Returns the looks that a call meets, and whose they are; of a large library those nearest to the one drawn."""
    found = knowing.met(call, on.week, on.menu)
    if found.asks or on.formation is None or on.concept is None:
        return found.asks, found.words
    pairs = [(on.formation, run) for run in on.menu.concepts] + [(place, on.concept) for place in on.menu.formations]
    asks = tuple(Ask(call, *pair) for pair in dict.fromkeys(pairs))
    return asks, f"{on.formation}, and {on.concept} from other formations"


def compare(
    on: Over, system: System, after: fits.System, before: Mapping[str, Any], then: Mapping[str, Any]
) -> impact.Impact | None:
    """Returns which looks of the call that is drawn change: the week's heaviest, else the menu's.

    `before` and `then` are what of their setting is asked for: a pressure, a motion.
    """
    if on.call is None:
        return None
    around, (met, words) = surroundings(system.pk, on.week), _met(on, on.call)
    asks, more = met[:MOST], f" (the {MOST} heaviest)" if len(met) > MOST else ""
    sides = [
        ([ask.at(**setting) for ask in asks], of.calls()[on.call.name])
        for setting, of in ((before, services.proven(system)), (then, after))
    ]
    return impact.between(sides[0], sides[1], around, f"{words}, {on.call}{more}")


def lines_up(on: Over, system: System, value: fits.System, pressure: str) -> tuple[int, int, str]:
    """Returns how many calls and formations line up with a pressure, of how many, and the first that does not and why.

    Only the alignment counts here, so that every call can be tried against everything the week expects.
    """
    tried, told, held = set(), "", 0
    deriver, around, calls = fits.Deriver(), surroundings(system.pk, on.week), value.calls()
    for call in on.calls:
        for ask in _met(on, call)[0]:
            s = ask.setting
            key = (call.pk, ask.formation.pk, s.flip, s.hash, s.motion and s.motion.pk)
            if key in tried:
                continue
            try:
                deriver.plan(spec_of(ask, around, calls[call.name]))
            except fits.FitsError:
                continue  # nobody can run that
            tried.add(key)
            try:
                deriver.alignment(spec_of(ask.at(pressure=pressure), around, calls[call.name]))
                held += 1
            except fits.FitsError as error:
                told = told or f"{call} against {ask.formation}: {error}"
    return held, len(tried), told
