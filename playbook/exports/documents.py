"""What each document holds, as plain data for its template. Reads only; `step` is called once for every drawing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from string import ascii_uppercase
from typing import Any

import fits
from fits.draw.paper import ANSWERS, LANES, draw_on_paper, draw_stills
from fits.draw.svg import FONT, Form
from fits.terms import Frame
from fits.timeline.make import derive_timeline
from fits.words import Words, seat, words_of
from playbook import convert
from playbook.looks.specs import asks_of, expected_looks, specs_of, surroundings
from playbook.models import Document, Group, Paper, Week
from playbook.week import queries, sheets, words

Step = Callable[[], None]
Data = dict[str, Any]
Choice = dict[str, Any]
OWN_FONT = "Inter"
DRAWN = 4  # looks of a call that the call book draws: what fills a page
LARGE = {Paper.A4: "a3", Paper.LETTER: "us-tabloid"}
FRAMES = {"snap": "At the snap", "read": "Keys are read", "fit": "At the line"}


class NothingToPrint(Exception):
    """The document would be empty, or what was asked for is gone; the text says what is missing."""


def base(week: Week, choice: Choice, title: str, lines: Sequence[str] = ()) -> Data:
    """Returns what every document carries."""
    paper = Paper(choice.get("paper", Paper.LETTER))
    return {
        "paper": paper.value,
        "large": LARGE[paper],
        "title": title,
        "owner": f"{week}, {week.season}",
        "lines": [line for line in lines if line],
        "caution": words.CAUTION,
        "cautions": list(words.CAUTIONS),
        "sides": f"{words.sides_note(week.system)} Drawings are seen from behind the defense.",
    }


def count_steps(document: str, week: Week, choice: Choice) -> int:
    """Returns how many drawings the document will have, at most."""
    looks = week.expected_looks.count()
    if document in (Document.BOOKLET, Document.MY_WEEK):
        return looks * len(queries.menu_call_names(week)) * len(position_roles(week, choice["position"]))
    if document == Document.QUIZ:
        return looks * len(position_roles(week, choice["position"]))
    if document == Document.CALL_BOOK:
        return looks * week.system.calls.count()
    if document == Document.INSTALL:
        return sum(day.entries.count() for day in week.days.all())
    return looks if document == Document.CARDS else len(FRAMES)


def collect(document: str, week: Week, choice: Choice, step: Step) -> Data:
    """Returns the data of a document. Raises NothingToPrint, and fits.FileError for a system with a bad rule."""
    makers: dict[str, Callable[[Week, Choice, Step], Data]] = {
        Document.BOOKLET: booklet,
        Document.MY_WEEK: my_week,
        Document.QUIZ: quiz,
        Document.HAND_OUT: hand_out,
        Document.WALL: wall,
        Document.CARDS: cards,
        Document.CALL_BOOK: call_book,
        Document.INSTALL: install,
    }
    return makers[document](week, choice, step)


def position_roles(week: Week, position: str) -> list[str]:
    """Returns the roles of a position in the week's system."""
    calls = convert.calls_of(week.system)
    return sheets.roles_of(next(iter(calls.values())), [position]) if calls else []


# for one man


def booklet(week: Week, choice: Choice, step: Step) -> Data:
    """Returns the booklet of one position: for each call of the menu a line a look, and a drawing for each job."""
    position, roles = choice["position"], position_roles(week, choice["position"])
    label, calls = _position(week, position), _menu(week)
    looks = expected_looks(week)
    if not roles or not looks or not calls:
        raise NothingToPrint("A booklet needs a position of the week's system, a call and at least one expected look.")
    made, told = [], dict[tuple[str, str], str]()
    for call in calls:
        plays = sheets.derive_plays(week, looks, call)
        for role in roles:
            sheet = sheets.sheet_of(plays, call, role)
            by_look = {play.expected.pk: play for play in plays}
            lines, jobs = _lines(sheet.cards)
            for job in jobs:
                job["svg"] = drawing(by_look[job.pop("look")], role, without=LANES)
            for _ in sheet.cards:
                step()
            made.append(
                {"call": call.called, "called": seat(role, Frame(week.system.frame)), "call_note": call.note}
                | {"this_week": [asdict(rule) for rule in sheet.this_week], "lines": lines, "jobs": jobs}
                | {"left_out": list(sheet.left_out), "rules": asdict(sheet.rules)}
                | {"as_in": _told_before(told, role, sheet.rules, call)}
            )
    said = [f"Calls: {', '.join(call.called for call in calls)}", game_words(week)]
    return base(week, choice, f"{label}: {week}", said) | {"sheets": made}


def _told_before(told: dict[tuple[str, str], str], role: str, rules: sheets.MyRules, call: fits.Call) -> str:
    """Returns the call before in which the man has just these rules, or nothing; remembers them."""
    before = told.setdefault((role, repr(rules)), call.called)
    return "" if before == call.called else before


def _lines(found: Sequence[sheets.Card]) -> tuple[list[Data], list[Data]]:
    """Returns a line for each look, and each different job with the numbers of its looks and one look to draw."""
    lines: list[Data] = []
    jobs: dict[tuple[str, ...], Data] = {}
    for number, card in enumerate(found, 1):
        what = (card.technique, card.key, card.fit, card.leverage)
        job = jobs.setdefault(what, _job(card, _letter(len(jobs))))
        job["looks"].append(number)
        line = {
            "number": number,
            "look": card.look_id,
            "title": card.title,
            "setting": card.setting,
            "share": words.share_words(card.share),
        }
        lines.append(line | {"job": job["letter"], "note": card.note, "guess": card.guess} | _told(card))
    return lines, list(jobs.values())


def _job(card: sheets.Card, letter: str) -> Data:
    return {
        "letter": letter, "look": card.look_id, "looks": [], "title": card.title, "setting": card.setting,
        "place": card.place, "saw": card.saw, "say": card.say, "leverage_says": card.leverage_says, "alt": card.alt,
    } | _told(card)  # fmt: skip


def _told(card: sheets.Card) -> Data:
    return {
        "technique": card.technique, "key": card.key or "the ball", "fit": card.fit,
        "leverage": card.leverage or "gap",
    }  # fmt: skip


def _letter(number: int) -> str:
    """Returns A to Z, then AA, AB and so on.

    >>> _letter(0), _letter(25), _letter(26), _letter(27)
    ('A', 'Z', 'AA', 'AB')
    """
    before, last = divmod(number, len(ascii_uppercase))
    return (_letter(before - 1) if before else "") + ascii_uppercase[last]


def my_week(week: Week, choice: Choice, step: Step) -> Data:
    """Returns one page a man of a position: what he does this week, job by job."""
    roles, calls = position_roles(week, choice["position"]), _menu(week)
    made = [one_week(week, calls, role, step) for role in roles]
    if not made or not any(page["calls"] for page in made):
        raise NothingToPrint("My week needs a position of the week's system, a call and at least one expected look.")
    return base(week, choice, f"My week, {_position(week, choice['position'])}: {week}", [game_words(week)]) | {
        "pages": made
    }


def one_week(week: Week, calls: Sequence[fits.Call], role: str, step: Step, person: str = "") -> Data:
    """Returns the page of one man."""
    looks, found, first, told = expected_looks(week), [], None, dict[int, str]()
    numbers = {look.pk: number for number, look in enumerate(looks, 1)}
    for call in calls:
        plays = sheets.derive_plays(week, looks, call)
        sheet = sheets.sheet_of(plays, call, role)
        lines, jobs = _lines(sheet.cards)
        told |= {line["look"]: f"{line['title']} from {line['setting']}" for line in lines}
        for job in jobs:
            job["against"] = [numbers[lines[n - 1]["look"]] for n in job["looks"]]
            first = first or _drawn(plays, job, role)
        for _ in sheet.cards:
            step()
        rules = [asdict(rule) for rule in sheet.this_week]
        if jobs:
            found.append({"call": call.called, "note": call.note, "this_week": rules, "jobs": jobs})
    called = seat(role, Frame(week.system.frame))
    label = next((call.positions[r.position].label for call in calls for r in call.roles if r.name == role), "")
    against = [{"number": numbers[pk], "text": text} for pk, text in sorted(told.items(), key=lambda p: numbers[p[0]])]
    return {
        "person": person,
        "called": called,
        "label": label,
        "looks": against,
        "calls": found,
        "drawn": first,
        "corrections": [],
    }


def _drawn(plays: Sequence[sheets.DerivedLook], job: Data, role: str) -> Data:
    play = next(play for play in plays if play.expected.pk == job["look"])
    return {
        "svg": drawing(play, role, without=LANES),
        "alt": job["alt"],
        "title": job["title"],
        "setting": job["setting"],
    }


def quiz(week: Week, choice: Choice, step: Step) -> Data:
    """Returns looks of one call drawn without fits, for every man of a position, and what is right."""
    call, roles = _call(week, choice["call"]), position_roles(week, choice["position"])
    if call is None:
        raise NothingToPrint("That call is no longer in this week's system.")
    plays = [play for play in sheets.derive_plays(week, expected_looks(week), call) if play.look]
    made = []
    for role in roles:
        found = [(play, card) for play in plays if (card := sheets.card_of(play, role))]
        asked = []
        for number, (play, card) in enumerate(found[: choice.get("looks") or None], 1):
            step()
            shown = {
                "svg": drawing(play, None, without=ANSWERS, marked=role),
                "title": card.title,
                "setting": card.setting,
            }
            alt = f"{card.title} from {card.setting}: {card.called} lines up {card.technique}. His fit is left out."
            asked.append({"number": number, "alt": alt} | shown | _told(card))
        if asked:
            made.append({"called": seat(role, Frame(week.system.frame)), "asked": asked})
    if not made:
        raise NothingToPrint("A quiz needs a position of the week's system and at least one expected look.")
    label = _position(week, choice["position"])
    return base(week, choice, f"Quiz, {label}: {week}", [call.called]) | {"call": call.called, "men": made}


# one look


def hand_out(week: Week, choice: Choice, step: Step) -> Data:
    """Returns one look as it is run in three frames, with every man's job."""
    play = _one_play(week, choice)
    (spec,) = specs_of(asks_of(week, [play.expected]), surroundings(week.system_id, week), play.call)
    if not isinstance(spec, fits.LookSpec):
        raise NothingToPrint(f"The look cannot be drawn: {spec}")
    told = derive_timeline(spec)
    numbers = [told.stills[name] for name in FRAMES]
    drawn = draw_stills(told.look, told.men, told.ball, told.snap, numbers, "defense", play.book)
    frames = []
    for name, number, svg in zip(FRAMES, numbers, drawn, strict=True):
        step()
        seconds = told.start_s + number * told.step_s
        alt = f"{play.title} from {play.setting} {seconds:.1f} seconds after the snap: where everybody is."
        frames.append({"title": FRAMES[name], "seconds": f"{seconds:.1f} s", "svg": _lettered(svg), "alt": alt})
    return base(week, choice, f"{play.title} from {play.setting}", [game_words(week)]) | {
        "card": _whole_card(play),
        "frames": frames,
    }


def wall(week: Week, choice: Choice, step: Step) -> Data:
    """Returns one look to hang on a wall."""
    play = _one_play(week, choice)
    step()
    card = _whole_card(play) | {"svg": drawing(play, None, form=Form.DESK)}
    return base(week, choice, f"{play.title} from {play.setting}") | {"card": card}


def _one_play(week: Week, choice: Choice) -> sheets.DerivedLook:
    call = _call(week, choice["call"])
    play = sheets.find_play(week, choice["look"], call) if call else None
    if play is None:
        raise NothingToPrint("That look or call is no longer in this week.")
    if play.look is None:
        raise NothingToPrint(f"The look cannot be drawn: {play.trouble}")
    return play


# one call, or all of them


def cards(week: Week, choice: Choice, step: Step) -> Data:
    """Returns the week's looks against one call, to be printed four on a page."""
    call = _call(week, choice["call"])
    if call is None:
        raise NothingToPrint("That call is no longer in this week's system.")
    made = []
    for play in sheets.derive_plays(week, expected_looks(week), call):
        if play.look:
            made.append(_small_card(play) | {"svg": drawing(play, None)})
        step()
    if not made:
        raise NothingToPrint("Cards need at least one expected look that can be run.")
    return base(week, choice, f"{call.called}: {week}") | {"call": call.called, "cards": made}


def call_book(week: Week, choice: Choice, step: Step) -> Data:
    """Returns calls of the week's system: the rules of each position, and how the week's looks stand."""
    looks, calls = expected_looks(week), list(convert.calls_of(week.system).values())
    if choice.get("calls") == "menu":
        calls = _menu(week)
    if not calls:
        raise NothingToPrint("The week's system has no calls yet.")
    made, told = [], dict[tuple[str, str], str]()
    for call in calls:
        found = []
        for play in sheets.derive_plays(week, looks, call):
            if play.look:
                drawn = {"svg": drawing(play, None)} if len(found) < DRAWN else {}
                found.append(_small_card(play) | {"worst": _worst(play)} | drawn)
            step()
        men, alike = _men_of(call, told)
        head = {"name": call.called, "front": call.front.called, "note": call.note}
        made.append(head | {"coverage": call.coverage.called, "cards": found} | {"men": men, "alike": alike})
    lines = [str(week.system), f"{len(made)} call{'s' * (len(made) > 1)}", game_words(week)]
    return base(week, choice, f"Call book: {week.system}", lines) | {"calls": made}


def _men_of(call: fits.Call, told: dict[tuple[str, str], str]) -> tuple[list[Data], list[Data]]:
    """Returns the rules of men who have others in this call than in those before, and who has the same as in which.

    `told` remembers by position and rules the call under which they stand.
    """
    men, alike = [], dict[str, list[str]]()
    for position in call.positions.values():
        man = _position_rules(call, position)
        before = told.setdefault((position.name, repr(man)), call.called)
        if before == call.called:
            men.append(man)
        else:
            alike.setdefault(before, []).append(f"{man['name']} {man['label']}".strip())
    return men, [{"call": before, "men": names} for before, names in alike.items()]


def _worst(play: sheets.DerivedLook) -> str:
    assert play.look is not None
    said = words_of(play.look)
    return next((said.retell(finding.text) for finding in play.look.findings), "")


def install(week: Week, choice: Choice, step: Step) -> Data:
    """Returns the week's plan for one position group, with contact minutes against the staff's limits."""
    group = choice["group"]
    plan = queries.plan(week, group)
    if not plan.days:
        raise NothingToPrint("The week has no days yet.")
    calls = convert.calls_of(week.system)
    days = [_day(week, day, calls, step) for day in plan.days]
    lines = [Group(group).label, str(week.system), game_words(week)]
    return base(week, choice, f"Install, {Group(group).label}: {week}", lines) | {
        "days": days,
        "contact": plan.most,
        "day_limit": week.season.contact_day_min,
        "week_limit": plan.limit,
        "limit_source": plan.source,
    }


def _day(week: Week, day: queries.DayPlan, calls: Mapping[str, fits.Call], step: Step) -> Data:
    entries = [entry for _, found in day.cells for entry in found]
    drawn = []
    for entry in entries:
        call = calls.get(entry.call.name if entry.call else next(iter(queries.menu_call_names(week)), ""))
        if entry.look and call:
            play = sheets.find_play(week, entry.look.pk, call)
            drawn += [_small_card(play) | {"svg": drawing(play, None)}] if play and play.look else []
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
        "cards": drawn,
    }


# parts


def _menu(week: Week) -> list[fits.Call]:
    """The calls of the week's menu, in its order."""
    calls = convert.calls_of(week.system)
    return [calls[name] for name in queries.menu_call_names(week) if name in calls]


def _call(week: Week, name: str) -> fits.Call | None:
    return convert.calls_of(week.system).get(name)


def _position(week: Week, name: str) -> str:
    row = week.system.positions.filter(name=name).first()
    return f"{row.name} {row.label}".strip() if row else name


def _position_rules(call: fits.Call, position: Any) -> Data:
    role = next(r.name for r in call.roles if r.position == position.name)
    return {"name": position.name, "label": position.label, **asdict(sheets.my_rules(call, role, position.name))}


def _small_card(play: sheets.DerivedLook) -> Data:
    return {
        "title": play.title,
        "setting": play.setting,
        "call": play.call.called,
        "verdict": play.words,
        "state": play.state,
        "share": words.share_words(play.expected.share),
        "note": play.expected.note,
        "alt": f"{play.title} from {play.setting} against {play.call.called}, seen from behind the defense.",
    }


def _whole_card(play: sheets.DerivedLook) -> Data:
    look = play.look
    assert look is not None
    said = words_of(look)
    return _small_card(play) | {
        "findings": [said.retell(finding.text) for finding in look.findings],
        "passes": [said.passes(side) for side in look.passes],
        "men": [_man(said, d) for d in look.defenders],
    }


def _man(said: Words, d: fits.Defender) -> Data:
    told = {"role": said.man(d.role), "technique": d.technique, "key": d.key or "the ball", "saw": said.saw(d)}
    return told | {"fit": said.fit(d), "leverage": d.leverage}


def corrected(fix: Mapping[str, Any]) -> str:
    """Returns one thing to do better, from the last game's grades."""
    of = f"{fix['concept']} from {fix['formation']}: " if fix["concept"] else ""
    wrong = ("" if fix["fit"] else "wrong fit. ") + ("" if fix["leverage"] else "wrong leverage. ")
    return f"{of}{wrong}{fix['says']}".strip()


def game_words(week: Week) -> str:
    """Returns when the game is, or nothing."""
    day = week.game_on
    return f"Game: {day:%A} {day.day} {day:%B %Y}" if day else ""


def drawing(
    play: sheets.DerivedLook,
    role: str | None,
    *,
    form: Form = Form.PHONE,
    without: frozenset[str] = frozenset(),
    marked: str = "",
) -> str:
    """Returns the drawing in the document's own font, seen from behind the defense."""
    assert play.look is not None
    return _lettered(draw_on_paper(play.look, role, "defense", play.book, form=form, without=without, marked=marked))


def _lettered(svg: str) -> str:
    return svg.replace(FONT, OWN_FONT)
