"""What a man's sheet says of a week, from its looks: where he stands, his ladder, and a card for each picture.

A picture is what he can see: looks and calls in which he stands alike, sees the same and has the same job are one card.
Everything is plain data in his words, so that it can be kept as it was given to him. Reads only.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import fits
from fits.defense.align import Alignment
from fits.defense.roles import Role
from fits.draw.svg import draw_view
from fits.know import Read, looks_ladder
from fits.know.answers import FORMATION
from fits.know.eyes import Eyes
from fits.know.picture import Showing, read_showing, see_picture
from fits.know.study import hears_crack
from fits.terms import Duty
from fits.told import told
from fits.words import Words, seat, words_of
from playbook.looks.specs import asks_of, expected_looks, specs_of, surroundings
from playbook.models import ExpectedLook, Group, MenuCall, Week
from playbook.week import queries, sheets, words

Data = dict[str, Any]
LADDER_LINES = 5
DUTY_WORDS = {
    Duty.FORCE: "Force: nothing outside you",
    Duty.REPLACE: "Crack: replace him as the force",
    Duty.CONFLICT: "Stay: pass first, feet still",
    Duty.ALLEY: "Run support: inside out off the force",
    Duty.OVERLAP: "Run support: outside everything",
    Duty.MAN: "Your man",
}
PREFIX = 48  # letters of a coach's sentence before its colon that are still what he sees


@dataclass(frozen=True, slots=True)
class Made:
    """A look of the week against a call, with what making a man's view of it takes."""

    play: sheets.DerivedLook
    look: fits.Look
    spec: fits.LookSpec
    alignment: Alignment
    showing: Showing
    weight: float

    @property
    def expected(self) -> ExpectedLook:
        """The row."""
        return self.play.expected


@dataclass(frozen=True, slots=True)
class View:
    """A man in a look: what he sees and what is said of it."""

    made: Made
    man: fits.Defender
    eyes: Eyes
    said: Words
    sees: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """What is drawn for a card: the look, for whom, and the state of words and scene it belongs to."""

    state: str
    role: str
    position: str
    call: str
    look: int
    words: str
    play: sheets.DerivedLook


@dataclass(frozen=True, slots=True)
class SheetOf:
    """One man's sheet as data, and the drawings that belong to it."""

    role: str
    position: str
    group: str
    content: Data
    drawings: tuple[Drawn, ...]


def make_sheets(week: Week, positions: Iterable[str] | None = None) -> list[SheetOf]:
    """Returns the sheets of the week's men, of those positions or of all, in the system's order."""
    entries = list(queries.menu(week))
    names = list(dict.fromkeys(entry.call.name for entry in sorted(entries, key=lambda entry: entry.order)))
    values = sheets.calls_of(week)
    calls = [values[name] for name in names if name in values] or list(values.values())[:1]
    if not calls:
        return []
    looks = expected_looks(week)
    made = {call.name: list(_made(week, looks, call)) for call in calls}
    wanted = None if positions is None else set(positions)
    situations = _situations(entries)
    return [
        _sheet(week, calls, made, role, situations)
        for role in calls[0].roles
        if wanted is None or role.position in wanted
    ]


def _made(week: Week, looks: Sequence[ExpectedLook], call: fits.Call) -> Iterator[Made]:
    shares = [look.share for look in looks if look.share]
    usual = sum(shares) / len(shares) if shares else 1.0
    plays = sheets.derive_plays(week, looks, call)
    specs = specs_of(asks_of(week, looks), surroundings(week.system_id, week), call)
    deriver = fits.Deriver()
    for play, spec in zip(plays, specs, strict=True):
        if play.look is None or not isinstance(spec, fits.LookSpec):
            continue
        standing = deriver.stand(spec.formation, spec.flip, spec.hash, spec.motion, spec.book)
        weight = usual if play.expected.share is None else play.expected.share
        yield Made(
            play, play.look, spec, standing.alignment(call, spec.yard_line), read_showing(play.look), weight or 0.001
        )


def _situations(entries: Sequence[MenuCall]) -> list[Data]:
    return [
        {"text": found.text, "calls": list(dict.fromkeys(str(entry.call) for entry in found.entries))}
        for found in queries.by_situation(entries)
    ]


def _sheet(
    week: Week, calls: Sequence[fits.Call], made: Mapping[str, list[Made]], role: Role, situations: list[Data]
) -> SheetOf:
    parts: list[tuple[Data, list[fits.Call], list[tuple[fits.Call, View]]]] = []
    for call in calls:
        views = [view for one in made[call.name] if (view := _view(call, one, role.name))]
        first = {"stand": _stands(call, views), "reads": _reads(views), **_ladder(call, views, role.name)}
        same = next((part for part in parts if part[0] == first), None)
        if same is None:
            parts.append(same := (first, [], []))
        same[1].append(call)
        same[2].extend((call, view) for view in views)
    plans, drawings = [], []
    for first, together, views_ in parts:
        pictures, drawn = _pictures(together, views_, role)
        plans.append(
            first
            | {
                "calls": [{"name": c.name, "called": c.called, "note": c.note} for c in together],
                "pictures": pictures,
                "looks": len({view.made.expected.pk for _, view in views_}),
                "rules": asdict(sheets.my_rules(together[0], role.name, role.position)),
            }
        )
        drawings += drawn
    call = calls[0]
    left = [f"{play.title}, {play.setting}: {play.trouble}"
            for play in sheets.derive_plays(week, expected_looks(week), call) if not play.look]  # fmt: skip
    content = {
        "role": role.name,
        "said": seat(role.name, call.frame),
        "label": call.positions[role.position].label or role.position,
        "sides": words.sides_note(week.system),
        "situations": situations,
        "plans": plans,
        "left_out": left,
    }
    group = call.positions[role.position].group
    return SheetOf(role.name, role.position, str(getattr(group, "value", group)), content, tuple(drawings))


def _view(call: fits.Call, made: Made, role: str) -> View | None:
    man = made.look.defender(role)
    if man is None:
        return None
    aligned = next(m for m in made.alignment.men if m.name == role)
    eyes = Eyes(made.alignment.offense, made.alignment.strength, aligned.side, call.frame)
    picture = see_picture(made.showing, man, hears_crack(call, role, man.position))
    sees = [eyes.shown(shown) for shown in picture.keys]
    if picture.flow is not None:
        sees.append(eyes.flow(picture.flow))
    if picture.told:
        sees.append(picture.told)
    if picture.felt is not None:
        sees.append(eyes.felt(picture.felt))
    return View(made, man, eyes, words_of(made.look), tuple(dict.fromkeys(_to_him(text) for text in sees)))


def _to_him(text: str) -> str:
    return text.replace("to my side", "to me")


# Where he lines up, by what he can count before the snap.


def _stands(call: fits.Call, views: Sequence[View]) -> list[Data]:
    """Returns where he stands by formation group: the fewest groups that leave him one place in each."""
    best: list[Data] = []
    for ask in GROUPINGS:
        groups: dict[str, dict[tuple[str, str], float]] = {}
        for view in views:
            spots = groups.setdefault(ask(view), {})
            spot = (view.man.technique, _place(view, call))
            spots[spot] = spots.get(spot, 0.0) + view.made.weight
        rows = [_stand(name, spots) for name, spots in groups.items()]
        if not best or sum(row["also"] for row in rows) < sum(row["also"] for row in best):
            best = rows
        if not any(row["also"] for row in best):
            break
    return best


def _stand(name: str, spots: dict[tuple[str, str], float]) -> Data:
    (technique, place), *others = sorted(spots, key=lambda spot: -spots[spot])
    also = sum(other[0] != technique for other in others)
    about = "about " if others and not also else ""
    return {"when": name, "technique": technique, "place": about + place, "also": also}


def _place(view: View, call: fits.Call) -> str:
    """Returns his place, without the side of the ball where he has a side of his own."""
    said: Any = _OnHisSide if view.eyes.side is not None else view.said
    return words.place_words(view.man, call, said)


class _OnHisSide:
    """Words for a man who stays on his side: he needs no word for it."""

    @staticmethod
    def beside(noun: str, x: float) -> str:
        """The man of the offense."""
        return noun

    @staticmethod
    def spot(x: float) -> str:
        """How far out."""
        return "from the ball"


def _ends(view: View) -> int:
    offense = view.made.alignment.offense
    return len(offense.left.attached) + len(offense.right.attached)


def _mine(view: View) -> int:
    side = view.eyes.side
    return len(view.made.alignment.offense.view(side).attached) if side is not None else 0


def _counted(view: View) -> str:
    return {0: "no tight end", 1: "one tight end"}.get(_ends(view), "two tight ends")


def _to_me(view: View) -> str:
    if view.eyes.side is None:
        return _counted(view)
    return "tight end on my side" if _mine(view) else "no tight end on my side"


def _to_me_or_away(view: View) -> str:
    if view.eyes.side is None or not _ends(view):
        return _counted(view)
    return "tight end on my side" if _mine(view) else "tight end away from me"


def _receivers(view: View) -> str:
    side, offense = view.eyes.side, view.made.alignment.offense
    if side is None:
        most = max(len(offense.left.receivers), len(offense.right.receivers))
        return f"{_counted(view)}, {'three or more receivers on a side' if most > 2 else 'two and two'}"
    return f"{len(offense.view(side).receivers)} receivers on my side" + (", tight end" if _mine(view) else "")


GROUPINGS: tuple[Callable[[View], str], ...] = (
    lambda view: "every formation",
    lambda view: "tight end" if _ends(view) else "no tight end",
    _to_me,
    _counted,
    _to_me_or_away,
    _receivers,
    lambda view: str(view.made.look.labels.formation),
)


def _reads(views: Sequence[View]) -> list[str]:
    """Returns whom he reads, in order: those of most looks."""
    found: dict[tuple[str, ...], float] = {}
    for view in views:
        names = tuple(dict.fromkeys(_keys(view)))
        found[names] = found.get(names, 0.0) + view.made.weight
    return list(max(found, key=lambda names: found[names])) if found else []


def _keys(view: View) -> list[str]:
    return [view.eyes.man(key) for key in view.man.key.split(", ") if key in view.eyes.offense.by_role]


# His ladder, in the words of his rules.


def _ladder(call: fits.Call, views: Sequence[View], role: str) -> Data:
    """Returns what he sees and does, the likeliest first: a line for each sentence of his rules."""
    if not views:
        return {"ladder": [], "more": 0}
    made = [view.made for view in views]
    weights = {id(one.look): one.weight for one in made}
    climbed = looks_ladder(
        call, role, [(one.spec, one.look) for one in made], weigh=lambda look: weights.get(id(look), 0.001)
    )
    rows: dict[str, Data] = {}
    for rung in climbed.rungs:
        sees, does = _split(rung.then)
        row = rows.setdefault(does, {"sees": {}, "does": _sentence(does), "share": 0.0})
        row["share"] += rung.share
        seen = sees or ", ".join(_as_seen(read) for read in rung.when) or "whatever comes"
        row["sees"][seen] = row["sees"].get(seen, 0.0) + rung.share
    lines = sorted(rows.values(), key=lambda row: -row["share"])
    for line in lines:
        line["sees"] = " or ".join(sorted(line["sees"], key=lambda text: -line["sees"][text])[:2])
        line["share"] = words.share_words(line["share"]) if len(lines) > 1 else ""
    return {"ladder": lines[:LADDER_LINES], "more": max(0, len(lines) - LADDER_LINES)}


def _as_seen(read: Read) -> str:
    """Returns a read in his words; of the formation as his rules are told."""
    return (
        told(read.sees).replace("you are", "I am").replace("your", "my")
        if read.stage == FORMATION
        else _to_him(read.sees)
    )


def _split(say: str) -> tuple[str, str]:
    """Returns what a coach's sentence says that he sees, and what he does.

    >>> _split("guard in: outside his hip")
    ('guard in', 'outside his hip')
    """
    sees, colon, does = say.partition(": ")
    return (sees, does) if colon and len(sees) <= PREFIX else ("", say)


def _sentence(text: str) -> str:
    return words.sentence(text)


# A card for each picture.


def _pictures(
    calls: Sequence[fits.Call], views: Sequence[tuple[fits.Call, View]], role: Role
) -> tuple[list[Data], list[Drawn]]:
    piles: dict[tuple[object, ...], list[tuple[fits.Call, View]]] = {}
    for call, view in views:
        piles.setdefault(_same(call, view), []).append((call, view))
    total = sum(view.made.weight for _, view in views) or 1.0
    ordered = sorted(piles.values(), key=lambda pile: -sum(view.made.weight for _, view in pile))
    pictures, drawings = [], []
    for pile in ordered:
        call, view = max(pile, key=lambda one: one[1].made.weight)
        card = sheets.card_of(view.made.play, role.name)
        assert card is not None
        job = _job(call, view)
        share = sum(one.made.weight for _, one in pile) / total
        alt = f"{job['called']} lines up {job['place']}, reads {', '.join(job['reads']) or 'the ball'}, {job['does']}."
        pictures.append(
            job
            | {
                "state": card.digest,
                "share": words.share_words(share) if len(ordered) > 1 else "",
                "looks": _looks(calls, pile),
                "count": len({one.made.expected.pk for _, one in pile}),
                "drawn": f"{card.title} from {card.setting}",
                "alt": alt,
            }
        )
        drawings.append(
            Drawn(card.digest, role.name, role.position, call.name, view.made.expected.pk, alt, view.made.play)
        )
    return pictures, drawings


def _same(call: fits.Call, view: View) -> tuple[object, ...]:
    """Returns what makes two looks one picture to him; a man with no lane is told his duty, whatever he sees."""
    man, said = view.man, view.said
    place = _place(view, call) if call.scheme.look_up(man.technique) else ""  # a landmark moves with the receivers
    job = (man.technique, place, said.fit(man), man.leverage, said.says(man), man.duty)
    return job if man.lane is None else (*job, view.sees)


def _job(call: fits.Call, view: View) -> Data:
    man, said = view.man, view.said
    sees, does = _split(said.says(man))
    takes = view.made.alignment.takes.get(man.role, "")
    force = man.role in view.made.alignment.force
    where = _sentence(said.fit(man))
    does = _sentence(does)
    if man.lane is None:
        does = does or _sentence(DUTY_WORDS.get(man.duty, "") or said.fit(man))
        where = ""
        if man.group == "secondary":
            where = ". ".join(part for part in (_pass_words(takes), _support(man.duty, force)) if part)
    leverage = words.leverage_words(man)
    return {
        "called": said.man(man.role),
        "technique": man.technique,
        "place": words.sentence(words.place_words(man, call, said)),
        "reads": _keys(view),
        "sees": list(view.sees) if man.lane is not None else [],
        "when": sees,
        "does": does or where,
        "where": where if does and where != does else "",
        "leverage": man.leverage,
        "leverage_says": leverage,
    }


def _pass_words(takes: str) -> str:
    return f"Pass: {takes}" if takes else ""


def _support(duty: Duty, force: bool) -> str:
    if duty is Duty.REPLACE:
        return "Run: he cracks, you are the force, only after contact"
    if force or duty is Duty.FORCE:
        return "Run: force, nothing crosses your face outside"
    if duty is Duty.ALLEY:
        return "Run: the alley, inside out off the force"
    if duty in (Duty.OVERLAP, Duty.CUTBACK):
        return "Run: " + ("outside everything" if duty is Duty.OVERLAP else "the cutback, behind the ball")
    return "Run: come up late, when the ball is over the line; watch for the crack"


def _looks(calls: Sequence[fits.Call], pile: Sequence[tuple[fits.Call, View]]) -> list[Data]:
    """Returns the looks of a picture, the likeliest first, each with its calls where it is not all of them."""
    found: dict[int, Data] = {}
    for call, view in pile:
        row = found.setdefault(
            view.made.expected.pk,
            {
                "title": view.made.play.title,
                "setting": view.made.play.setting,
                "share": words.share_words(view.made.expected.share),
                "weight": view.made.weight,
                "guess": view.made.expected.guess,
                "note": view.made.expected.note,
                "calls": [],
            },
        )
        row["calls"].append(call.called)
    rows = sorted(found.values(), key=lambda row: -row.pop("weight"))
    for row in rows:
        row["all"] = len(row["calls"]) == len(calls)
    return rows


def draw_cards(sheet: SheetOf, plan: Data) -> None:
    """Puts the drawings of a plan's cards into them, for a coach who looks at what he would publish."""
    plays = {drawn.state: drawn for drawn in sheet.drawings}
    for card in plan["pictures"]:
        drawn = plays[card["state"]]
        if drawn.play.look is not None:
            card["svg"] = draw_view(drawn.play.look, drawn.role, drawn.words, "defense", drawn.play.book)


def groups_of(week: Week) -> list[tuple[str, str]]:
    """Returns the position groups of the week's system, as value and words."""
    used = set(week.system.positions.values_list("group", flat=True))
    return [(value, str(label)) for value, label in Group.choices if value in used]
