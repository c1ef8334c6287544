"""What each document holds, as plain data for its template. Reads only; `step` is called once for every drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

import fits
from fits.draw.svg import FONT
from fits.terms import Frame
from fits.words import seat, words_of
from playbook import convert
from playbook.looks.specs import expected_looks
from playbook.models import Document, Group, Week
from playbook.week import queries, sheets, words

Step = Callable[[], None]
Data = dict[str, Any]
OWN_FONT = "Inter"


class NothingToPrint(Exception):
    """The document would be empty, or what was asked for is gone; the text says what is missing."""


def base(week: Week, title: str, lines: Sequence[str]) -> Data:
    """Returns what every document carries."""
    return {
        "title": title,
        "owner": f"{week}, {week.season}",
        "lines": [line for line in lines if line],
        "caution": words.CAUTION,
        "cautions": list(words.CAUTIONS),
        "sides": words.sides_note(week.system),
    }


def count_steps(document: str, week: Week, choice: dict[str, Any]) -> int:
    """Returns how many drawings the document will have, at most."""
    looks, calls = week.expected_looks.count(), queries.menu_call_names(week)
    if document == Document.BOOKLET:
        return looks * len(calls) * len(booklet_roles(week, choice["position"]))
    if document == Document.CALL_BOOK:
        return looks * week.system.calls.count()
    return 1 if document == Document.LOOK else sum(day.entries.count() for day in week.days.all())


def collect(document: str, week: Week, choice: dict[str, Any], step: Step) -> Data:
    """Returns the data of a document. Raises NothingToPrint, and fits.FileError for a system with a bad rule."""
    makers: dict[str, Callable[[Week, dict[str, Any], Step], Data]] = {
        Document.BOOKLET: booklet,
        Document.LOOK: one_look,
        Document.CALL_BOOK: call_book,
        Document.INSTALL: install,
    }
    return makers[document](week, choice, step)


def booklet_roles(week: Week, position: str) -> list[str]:
    """Returns the roles of a position in the week's system."""
    calls = convert.calls_of(week.system)
    return sheets.roles_of(next(iter(calls.values())), [position]) if calls else []


def booklet(week: Week, choice: dict[str, Any], step: Step) -> Data:
    """Returns the booklet of one position: its rules and one page for every look, for each call of the menu."""
    position, roles = choice["position"], booklet_roles(week, choice["position"])
    looks, calls = expected_looks(week), convert.calls_of(week.system)
    names = [name for name in queries.menu_call_names(week) if name in calls]
    if not roles or not looks or not names:
        raise NothingToPrint("A booklet needs a position of the week's system, a call and at least one expected look.")
    made = []
    for name in names:
        derived = sheets.derive_plays(week, looks, calls[name])
        plays = {play.expected.pk: play for play in derived}
        for role in roles:
            sheet = sheets.sheet_of(derived, calls[name], role)
            pages = []
            for card in sheet.cards:
                pages.append(_card_page(card, plays[card.look_id]))
                step()
            said = {"call": calls[name].called, "called": seat(role, Frame(week.system.frame))}
            made.append(asdict(sheet) | {"cards": pages} | said)
    label = next(iter(calls.values())).positions[position].label or position
    lines = [f"{label} ({position})", f"Calls: {', '.join(calls[name].called for name in names)}", _game(week)]
    return base(week, f"{label}: {week}", lines) | {"sheets": made}


def _card_page(card: sheets.Card, play: sheets.DerivedLook) -> Data:
    said = words_of(play.look) if play.look else None
    lanes = []
    if said is not None:
        lanes = [[said.lane(lane), ", ".join(said.men(lane.owners)) or "nobody"] for lane in reversed(said.look.lanes)]
    shown = {"key": card.key or "the ball", "leverage": card.leverage or "gap", "alt": card.alt}
    return asdict(card) | shown | {"rule": card.rule.id, "svg": svg(play, card.role), "lanes": lanes}


def one_look(week: Week, choice: dict[str, Any], step: Step) -> Data:
    """Returns one look with every man's job."""
    call = convert.calls_of(week.system).get(choice["call"])
    play = sheets.find_play(week, choice["look"], call) if call else None
    if play is None:
        raise NothingToPrint("That look or call is no longer in this week.")
    if play.look is None:
        raise NothingToPrint(f"The look cannot be drawn: {play.trouble}")
    step()
    return base(week, f"{play.title} from {play.setting}", []) | {"card": _whole_card(play)}


def call_book(week: Week, choice: dict[str, Any], step: Step) -> Data:
    """Returns every call of the week's system: the rules of each position, and the week's looks drawn."""
    looks, calls = expected_looks(week), convert.calls_of(week.system)
    if not calls:
        raise NothingToPrint("The week's system has no calls yet.")
    made = []
    for call in calls.values():
        cards = []
        for play in sheets.derive_plays(week, looks, call):
            if play.look:
                cards.append(_small_card(play))
            step()
        men = [_position_rules(call, position) for position in call.positions.values()]
        head = {"name": call.called, "front": call.front.label or call.front.name, "note": call.note}
        made.append(head | {"coverage": call.coverage.label or call.coverage.name, "men": men, "cards": cards})
    lines = [str(week.system), f"{len(made)} calls", _game(week)]
    return base(week, f"Call book: {week.system}", lines) | {"calls": made}


def install(week: Week, choice: dict[str, Any], step: Step) -> Data:
    """Returns the week's plan for one position group, with contact minutes against the staff's limits."""
    group = choice["group"]
    plan = queries.plan(week, group)
    if not plan.days:
        raise NothingToPrint("The week has no days yet.")
    calls = convert.calls_of(week.system)
    days = [_day(week, day, calls, step) for day in plan.days]
    lines = [Group(group).label, str(week.system), _game(week)]
    return base(week, f"Install, {Group(group).label}: {week}", lines) | {
        "days": days,
        "contact": plan.most,
        "day_limit": week.season.contact_day_min,
        "week_limit": plan.limit,
        "limit_source": plan.source,
    }


def _day(week: Week, day: queries.DayPlan, calls: Any, step: Step) -> Data:
    entries = [entry for _, found in day.cells for entry in found]
    cards = []
    for entry in entries:
        call = calls.get(entry.call.name if entry.call else next(iter(queries.menu_call_names(week)), ""))
        if entry.look and call:
            play = sheets.find_play(week, entry.look.pk, call)
            cards += [_small_card(play) | {"call": call.called}] if play and play.look else []
        step()
    rows = [
        {
            "text": entry.text,
            "call": str(entry.call) if entry.call else "",
            "look": f"{sheets.concept_title(entry.look)}, {sheets.setting_words(entry.look)}" if entry.look else "",
            "minutes": str(entry.minutes or ""),
            "contact": entry.get_contact_display() if entry.contact else "",
        }
        for entry in entries
    ]
    date = day.day.date
    shown = f"{date:%A} {date.day} {date:%B %Y}" if date else ""
    return {
        "label": day.day.label,
        "date": shown,
        "note": day.day.note,
        "contact": day.most,
        "entries": rows,
        "cards": cards,
    }


def _position_rules(call: fits.Call, position: Any) -> Data:
    role = next(r.name for r in call.roles if r.position == position.name)
    return {"name": position.name, "label": position.label, **asdict(sheets.my_rules(call, role, position.name))}


def _small_card(play: sheets.DerivedLook) -> Data:
    return {
        "title": play.title,
        "setting": play.setting,
        "verdict": _verdict(play),
        "svg": svg(play, None),
        "alt": f"{play.title} from {play.setting} against {play.call.called}, seen from behind the defense.",
    }


def _whole_card(play: sheets.DerivedLook) -> Data:
    look = play.look
    assert look is not None
    said = words_of(look)
    return _small_card(play) | {
        "call": play.call.called,
        "note": play.expected.note,
        "findings": [said.retell(finding.text) for finding in look.findings],
        "passes": [said.passes(side) for side in look.passes],
        "men": [
            {"role": said.man(d.role), "technique": d.technique, "key": d.key, "saw": said.saw(d), "fit": said.fit(d)}
            | {"leverage": d.leverage}
            for d in look.defenders
        ],
    }


def _verdict(play: sheets.DerivedLook) -> str:
    return play.words


def _game(week: Week) -> str:
    day = week.game_on
    return f"Game: {day:%A} {day.day} {day:%B %Y}" if day else ""


def svg(play: sheets.DerivedLook, role: str | None) -> str:
    """Returns the drawing in the document's own font."""
    return sheets.draw_play(play, role).replace(FONT, OWN_FONT)
