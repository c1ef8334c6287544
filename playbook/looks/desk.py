"""What the desk shows around a look: its words as switchers, its men in a sentence each, the week's looks beside it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.db.models import Q
from django.urls import reverse

import fits
from fits.draw.svg import Form, up_for
from fits.explain import STEP_WORDS
from fits.field import SIDES
from fits.timing import LEVELS
from fits.words import Words, words_of
from playbook import convert
from playbook.looks import queries
from playbook.looks.asking import Ask
from playbook.looks.forms import LookForm
from playbook.looks.specs import Surroundings, asks_of, expected_looks, surroundings
from playbook.models import BackSide, Call, Concept, Coverage, ExpectedLook, Formation, Front, Week
from playbook.system import queries as rules
from playbook.week import queries as weeks

YARD_LINES = (20, 10, 5, 3, 1)  # yards to our goal line
MOST = 60  # looks on the ribbon
SEEN = 2  # what a man saw, on the list
ASKED = ("fits", "keys", "align", "force", "takes")  # kinds of rules in the order in which a touched man shows them


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer of a switcher."""

    value: str
    text: str


@dataclass(frozen=True, slots=True)
class Switch:
    """A word of the sentence that can be another: what stands before it, its choices by heading, which one it is."""

    name: str
    label: str
    before: str
    value: str
    groups: tuple[tuple[str, tuple[Choice, ...]], ...]

    @property
    def needed(self) -> bool:
        """Whether there is another choice, or it is not as usual."""
        return bool(self.value) or sum(len(choices) for _, choices in self.groups) > 1


def sentence(ask: Ask, form: LookForm, look: fits.Look | None, around: Surroundings) -> list[Switch]:
    """Returns the look in words that can be switched, in the order in which they are said."""
    said = words_of(look) if look else None
    menu, s = queries.menu(ask.opponent), ask.setting
    yards = f"{s.yard_line:g}" if s.yard_line is not None else ""
    lines = [f"{n}" for n in YARD_LINES]
    lines += [yards] if yards and yards not in lines else []
    formations, runs = _entries(menu, menu.formations, Formation), _entries(menu, menu.concepts, Concept)
    found = [
        _switch("call", "Call", "", str(ask.call.pk), *_calls(ask)),
        _switch("formation", "Formation", " against ", str(ask.formation.pk), *formations),
        _switch("concept", "Run", ", ", str(ask.concept.pk), *runs),
        _switch("to", "Direction", " ", s.to, ("", _directions(s.to, look, said))),
        _switch("hash", "Ball on", ", ball ", "" if s.hash == "middle" else s.hash, ("", _spots(said))),
        _switch(
            "yard_line", "Yards to the goal line", " at ", yards,
            ("", [("", "midfield"), *((n, f"our {n}") for n in lines)]),
        ),
        _switch(
            "motion", "Motion or shift", ", ", str(s.motion.pk) if s.motion else "",
            ("", [("", "no motion"), *((str(m.pk), str(m)) for m in form.fields["motion"].queryset)]),  # type: ignore[attr-defined]
        ),
        _switch("back", "Back", ", ", s.back, ("", _backs(ask))),
        _switch(
            "pressure", "Pressure", ", ", s.pressure,
            ("", [("", "no pressure"), *form.fields["pressure"].choices[1:]]),  # type: ignore[attr-defined]
        ),
        _switch("pace", "Speeds", ", everybody ", s.pace, ("", _paces(around))),
    ]  # fmt: skip
    return [switch for switch in found if switch.needed]


def _switch(name: str, label: str, before: str, value: str, *groups: tuple[str, Iterable[tuple[str, str]]]) -> Switch:
    made = tuple((heading, tuple(Choice(*pair) for pair in pairs)) for heading, pairs in groups)
    return Switch(name, label, before, value, made)


def _calls(ask: Ask) -> list[tuple[str, list[tuple[str, str]]]]:
    """The week's menu first, then the system's other calls."""
    rows = list(ask.call.system.calls.all())
    week = ask.setting.week
    own = set(week.menu_calls.values_list("call", flat=True)) if week else set()
    return _two(
        "This week's menu", [r for r in rows if r.pk in own], "Other calls", [r for r in rows if r.pk not in own]
    )


def _entries(menu: queries.Menu, mine: Sequence[Any], model: type[Any]) -> list[tuple[str, list[tuple[str, str]]]]:
    taken = {row.pk for row in mine}
    others = model.objects.filter(Q(opponent=None) | Q(opponent=menu.opponent)).exclude(pk__in=taken)
    return _two(str(menu.opponent or "Library"), mine, "Library", list(others))


def _two(first: str, mine: Sequence[Any], then: str, others: Sequence[Any]) -> list[tuple[str, list[tuple[str, str]]]]:
    groups = [(first, mine), (then, others)]
    return [(heading, [(str(row.pk), str(row)) for row in rows]) for heading, rows in groups if rows]


def _directions(to: str, look: fits.Look | None, said: Words | None) -> list[tuple[str, str]]:
    """Both sides; the one that the run goes to by itself is the empty answer, so that the address stays plain."""
    if look is None or said is None:
        return [("", "where it goes"), *((word, f"to the offense's {word}") for word in SIDES)]
    plain = "" if not to else look.to.word
    return [(plain if side is look.to else word, said.going(side)) for word, side in SIDES.items()]


def _backs(ask: Ask) -> list[tuple[str, str]]:
    """Both sides of the quarterback, where one back stands beside him; the drawn one is the empty answer."""
    back = convert.formation_value(ask.formation).offset_back
    if back is None:
        return [("", "back as drawn")]
    drawn = "strong" if back.x > 0 else "weak"
    return [("" if side == drawn else side, f"back {label.lower()}") for side, label in BackSide.choices]


def _spots(said: Words | None) -> list[tuple[str, str]]:
    spots = [("", fits.Hash.MIDDLE), ("left", fits.Hash.LEFT), ("right", fits.Hash.RIGHT)]
    if said is None:
        return [(value, "in the middle" if not value else f"on the offense's {value} hash") for value, _ in spots]
    return [(value, said.ball_on(spot)) for value, spot in spots]


def _paces(around: Surroundings) -> list[tuple[str, str]]:
    usual = "as measured" if around.roster else "at the usual speed"
    return [("", usual), *((level, f"at {level.replace('-', ' ')} speed") for level in LEVELS)]


@dataclass(frozen=True, slots=True)
class Man:
    """One defender on the list: his name, where he fits, what he saw, and the page with his eyes."""

    role: str
    code: str
    name: str
    fit: str
    saw: str
    force: bool
    late_s: float | None
    address: str
    chosen: bool


def men(look: fits.Look, ask: Ask, view: Sequence[tuple[str, str]], role: str, up: str) -> list[Man]:
    """Returns the defenders as they stand from left to right, the secondary last."""
    said, turn = words_of(look), 1 if (up or up_for(look)) == "offense" else -1
    ordered = sorted(look.defenders, key=lambda d: (d.group == "secondary", d.x * turn))
    others = [pair for pair in view if pair[0] != "role"]
    found = []
    for d in ordered:
        seen = said.sights(d)
        saw = ", ".join(seen[:SEEN]) + (" …" if len(seen) > SEEN else "")
        late = -d.margin_s if d.margin_s is not None and d.margin_s < 0 else None
        address = ask.address(others if d.role == role else [*others, ("role", d.role)])
        force = d.duty == "force"
        found.append(
            Man(d.role, f"d:{d.role}", said.man(d.role), said.fit(d), saw, force, late, address, d.role == role)
        )
    return found


@dataclass(frozen=True, slots=True)
class RulesOf:
    """A man's rules in a front or coverage: its sections, the address of their page, the one of what he knows."""

    part: Front | Coverage
    noun: str
    sections: list[rules.Section]
    address: str
    knows: str


def rules_of(ask: Ask, position: str, back: str) -> list[RulesOf]:
    """Returns the rules of a position in the call; `back` is the look's page, to come back to from a changed rule."""
    opponent = ask.opponent or (None if ask.setting.week else queries.next_opponent())
    pairs = [
        ("call", ask.call.pk), ("opponent", opponent.pk if opponent else ""), ("formation", ask.formation.pk),
        ("concept", ask.concept.pk), ("man", position), ("desk", back), *ask.setting.pairs(),
    ]  # fmt: skip
    same = urlencode([pair for pair in pairs if pair[0] != "week"])
    found = []
    for noun, part in (("front", ask.call.front), ("coverage", ask.call.coverage)):
        kept = [section for section in rules.sections(part, position) if section.rows]
        sections = sorted(kept, key=lambda section: ASKED.index(section.kind.key))
        found.append(
            RulesOf(
                part,
                noun,
                sections,
                f"{reverse(f'system:{noun}', args=[part.pk])}?{same}",
                f"{reverse('system:knows', args=[noun, part.pk])}?{same}",
            )
        )
    return found


def ribbon(ask: Ask) -> weeks.Desk | None:
    """Returns the week's looks against the call, and where this one is among them; none outside of a week."""
    week = ask.setting.week
    if week is None or week.system_id != ask.call.system_id:
        return None
    here = next((row.pk for row in expected_looks(week) if _same(row, ask)), None)
    return weeks.desk(week, ask.call.name, here)


def _same(row: ExpectedLook, ask: Ask) -> bool:
    """Whether that is the week's look, whatever is tried of first steps, yard line, pressure and speeds."""
    s = ask.setting
    asked = (ask.formation.pk, ask.concept.pk, s.to, s.flip, s.hash, s.motion.pk if s.motion else None, s.back)
    names = {*(option.name for option in s.options), *s.gone}
    kept = (row.formation_id, row.concept_id, row.to, row.flip, row.hash, row.motion_id, row.back)
    return kept == asked and set(row.options) == names


def steps(look: fits.Look) -> list[dict[str, Any]]:
    """Returns for each blocker what he shows first and the steps one may try instead."""
    tried = dict(look.first_steps)
    return [
        {
            "role": block.role,
            "shows": STEP_WORDS[block.step],
            "tried": tried.get(block.role, ""),
            "steps": STEP_WORDS.items(),
        }
        for block in look.blocks
    ]


def first_look(week: Week | None, row: ExpectedLook | None = None) -> str:
    """Returns the address of a week's look, of its first one, against the first call of its menu; nothing without."""
    rows = ([row] if row else expected_looks(week)[:1]) if week else []
    names = weeks.menu_call_names(week)[:1] if week else []
    call = week.system.calls.filter(name__in=names).first() if week else None
    return asks_of(week, rows, call)[0].address() if week and rows and call else ""


def look_of_call(call: Call, week: Week | None) -> str:
    """Returns the address of a look against a call: the week's first, else one that can be run; nothing without any."""
    rows = expected_looks(week)[:1] if week and week.system_id == call.system_id else []
    if week and rows:
        return asks_of(week, rows, call)[0].address()
    found = runnable()
    if "concept" not in found:
        return ""
    return Ask(call, found["formation"], found["concept"]).address()


def on_projector(ask: Ask, form: LookForm) -> dict[str, Any]:
    """Returns what the meeting view shows of a look. Raises fits.FitsError."""
    around, up = surroundings(ask.call.system_id, ask.setting.week), form.cleaned_data["up"]
    look = queries.known_look(ask, around)
    return {
        "ask": ask,
        "look": look,
        "verdict": queries.sum_up(look),
        "large": queries.drawing_in_page(look, Form.PROJECTOR, "", up, around.book),
        "narrow": queries.drawing_in_page(look, Form.PHONE, "", up, around.book),
        "play": turned(ask, "play", up),
        **beside(ask),
    }


def turned(ask: Ask, part: str, up: str) -> str:
    """The address of what belongs to the look, drawn the same way up."""
    return ask.part(part, [("up", up)] if up else [])


def beside(ask: Ask) -> dict[str, str]:
    """Returns the meeting views of the week's looks before and after one, and the page to leave to."""
    found = ribbon(ask)
    rows = (found.previous, found.next) if found else (None, None)
    before, after = (_meeting_of(row.states[0].address) if row else "" for row in rows)
    return {"previous": before, "next": after, "leave": ask.address()}


def _meeting_of(address: str) -> str:
    path, _, query = address.partition("?")
    return f"{path}/meeting?{query}"


def runnable() -> dict[str, Any]:
    """Returns a call, a formation and a run from it to start with, as far as there are any."""
    call = queries.next_call()
    if call is None:
        return {}
    around = surroundings(call.system_id)
    concepts = Concept.objects.filter(opponent=None)
    for formation in Formation.objects.filter(opponent=None):
        for concept in concepts:
            if queries.judge(Ask(call, formation, concept), around).state not in (queries.NONE, queries.BROKEN):
                return {"call": call, "formation": formation, "concept": concept}
    return {"call": call}


def shown(ask: Ask, form: LookForm, look: fits.Look, around: Surroundings) -> dict[str, Any]:
    """Returns what the page shows of a look."""
    role, up = form.cleaned_data["role"], form.cleaned_data["up"]
    view, verdict = form.view(), queries.sum_up(look)
    chosen = look.defender(role) if role else None
    way = "defense" if (up or up_for(look)) == "offense" else "offense"
    return {
        "look": look,
        "verdict": verdict,
        "wide": queries.drawing_in_page(look, Form.DESK, role, up, around.book),
        "narrow": queries.drawing_in_page(look, Form.PHONE, role, up, around.book),
        "men": men(look, ask, view, role, up),
        "eyes_of": role,
        "chosen": chosen,
        "rules_of": rules_of(ask, chosen.position, ask.address(view)) if chosen else [],
        "turned": ask.address([*(pair for pair in view if pair[0] != "up"), ("up", way)]),
        "everyone": ask.address([pair for pair in view if pair[0] != "role"]),
        "up": up,
        "place": ask.part("place", view),
        "meeting": turned(ask, "meeting", up),
        "compare": turned(ask, "compare", up),
        "steps": steps(look),
        "address": ask.address(view),
        "play": turned(ask, "play", up),
    }
