"""What each man of a call can know: looks grouped by what he sees, and those that ask for different fits all the same.

Pure: nothing is read or written but the arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from fits.blocking.concepts import Concept, Option
from fits.defense.pressure import find_pressure, press
from fits.defense.roles import concerns
from fits.defense.system import Call
from fits.derive.look import Defender, Look
from fits.errors import UnknownName
from fits.field import COLLEGE, LEFT, RIGHT, Hash, RuleBook, Side
from fits.know.picture import (
    Picture,
    Showing,
    feel,
    other_reads,
    read_showing,
    see_picture,
)
from fits.know.smallest import smallest_hitting
from fits.matrix import derive_matrix
from fits.offense.formation import Formation
from fits.offense.motion import Motion
from fits.rules.conditions import CONDITIONS
from fits.rules.targets import TARGETS
from fits.sights import TURNS_UP, felt_text
from fits.terms import Duty, Sight

SAME_FIT = 1.5  # yards: two places nearer to each other than this are one fit
NEVER = "none: the same to him until the handoff"
Weight = Callable[[Look], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One look of a picture and what it asks of him: a place `x` in yards, or none. `say` is his coach's sentence.

    `waits` is true when his fit is the quarterback or the pitch man: he sees the ball come before he goes. `beside`
    names the man he follows to where he fits (`left of LG`), the edge he keeps outside whoever is last (`left edge`),
    or the block he holds until the ball shows (`two-gap`).
    """

    look: Look
    weight: float
    x: float | None
    waits: bool
    beside: str
    fit: str
    say: str
    rule: str

    @property
    def words(self) -> str:
        """`power from 11-doubles to the right`."""
        return f"{self.look.labels.concept} from {self.look.labels.formation} to the {self.look.to.word}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """A `cannot-know`: one picture, two plays in it that ask for different fits, and what would tell them apart.

    `weight` is what the less likely of the two fits weighs in the picture. `differs` has every read he does not have
    now, as `RT: steps out, pulls left`, the nearest to his eyes first; `extra` is the first of them, or NEVER.
    """

    picture: Picture
    plays: tuple[Demand, Demand]
    weight: float
    extra: str
    differs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A picture with its looks; `fits` are the different things they ask for, the heaviest first."""

    picture: Picture
    weight: float
    fits: tuple[tuple[Demand, ...], ...]

    @property
    def known(self) -> bool:
        """True when what he sees settles his fit."""
        return len(self.fits) == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class ManKnows:
    """One man: his pictures, those that do not settle his fit, and the reads that would settle what can be settled.

    `unseen` has what his rules ask that he cannot see, as (rule id, words): the places to look first.
    """

    role: str
    position: str
    group: str
    seen: tuple[Seen, ...]
    unknown: tuple[Unknown, ...]
    would_settle: tuple[str, ...]
    unseen: tuple[tuple[str, str], ...]
    hears_crack: bool

    @property
    def cannot_know(self) -> float:
        """The share of his pictures that ask for different fits."""
        return sum([not s.known for s in self.seen]) / len(self.seen) if self.seen else 0.0

    @property
    def at_best_wrong(self) -> float:
        """The share of looks, by weight, in which he is wrong even when he plays each picture for what is likeliest."""
        total = sum([s.weight for s in self.seen])
        right = sum([sum([p.weight for p in s.fits[0]]) for s in self.seen])
        return 1.0 - right / total if total else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Knowledge:
    """A call: every man's pictures over all the looks that were studied."""

    call: str
    looks: int
    men: tuple[ManKnows, ...]

    @property
    def pictures(self) -> int:
        """Pictures of all men together."""
        return sum([len(m.seen) for m in self.men])

    @property
    def cannot_know(self) -> float:
        """The share of all pictures that ask for different fits."""
        return sum([sum([not s.known for s in m.seen]) for m in self.men]) / max(self.pictures, 1)


def study(
    call: Call,
    formations: Iterable[Formation],
    concepts: Iterable[Concept],
    *,
    to: Iterable[Side | None] = (LEFT, RIGHT),
    flips: Iterable[bool] = (False,),
    hashes: Iterable[Hash] = (Hash.MIDDLE,),
    motion: Motion | None = None,
    options: Iterable[Option] = (),
    book: RuleBook = COLLEGE,
    yard_line: float | None = None,
    pressure: str | None = None,
    weigh: Weight | None = None,
    roles: Sequence[str] | None = None,
) -> Knowledge:
    """What each man can know over those formations, concepts and directions; what does not run is left out.

    `weigh` gives how often a look comes (1 without it; a look that weighs nothing is left out); `roles` keeps to men
    or positions. Raises UnknownName for a role or a pressure the call does not have.
    """
    chosen = find_roles(call, roles)
    find_pressure(call, pressure)
    looks = derive_matrix(
        [call], formations, concepts, to=to, flips=flips, hashes=hashes, motion=motion, options=options, book=book,
        yard_line=yard_line, pressure=pressure,
    )  # fmt: skip
    made = [look for look in looks if isinstance(look, Look)]
    return study_looks(press(call, find_pressure(call, pressure)), made, weigh=weigh, roles=chosen)


def find_roles(call: Call, roles: Sequence[str] | None) -> tuple[str, ...]:
    """The men that those labels, roles or positions, name; all eleven without labels. Raises UnknownName."""
    if roles is None:
        return tuple([r.name for r in call.roles])
    found = []
    for label in roles:
        men = [r.name for r in call.roles if label in (r.name, r.position)]
        if not men:
            raise UnknownName("role", label, {n for r in call.roles for n in (r.name, r.position)})
        found += men
    return tuple(dict.fromkeys(found))


def study_looks(
    call: Call, looks: Iterable[Look], *, weigh: Weight | None = None, roles: Sequence[str] | None = None
) -> Knowledge:
    """The same for looks of that call that are derived already."""
    chosen = find_roles(call, roles)
    crack_men = frozenset([r.name for r in call.roles if hears_crack(call, r.name, r.position)])
    piles: dict[str, dict[Picture, list[Demand]]] = {role: {} for role in chosen}
    groups: dict[str, tuple[str, str]] = {}
    showings: dict[int, Showing] = {}
    count = 0
    for look in looks:
        weight = 1.0 if weigh is None else weigh(look)
        if weight <= 0.0:
            continue
        count += 1
        showing = showings[id(look)] = read_showing(look)
        for d in look.defenders:
            pile = piles.get(d.role)
            if pile is not None:
                groups[d.role] = (d.position, d.group)
                pile.setdefault(see_picture(showing, d, d.role in crack_men), []).append(_play(look, d, weight))
    men = [_man(call, role, *groups[role], pile, showings) for role, pile in piles.items() if pile]
    return Knowledge(call=call.name, looks=count, men=tuple(men))


def hears_crack(call: Call, role: str, position: str) -> bool:
    """True when that man's rules teach him the word for a crack."""
    return any("crack called" in rule.when and concerns(rule.who, role, position) for rule in call.fits)


def _unseen(call: Call, role: str, position: str, group: str) -> tuple[tuple[str, str], ...]:
    """What that man's rules ask that nothing shows him; linemen see no flow."""
    out = []
    for rule in call.fits:
        if concerns(rule.who, role, position):
            atoms = [atom.strip().removeprefix("not ") for atom in rule.when.split(" and ") if atom.strip()]
            asked = [(atom, CONDITIONS.compile(atom).sight) for atom in atoms]
            asked += [(part.strip(), TARGETS.compile(part.strip()).sight) for part in rule.fit.split(" else ")]
            out += [(rule.id, t) for t, s in asked if s is None or (s is Sight.FLOW and group == "line")]
    return tuple(out)


def _play(look: Look, d: Defender, weight: float) -> Demand:
    x = None if d.lane is None else d.fit_x
    waits = d.duty is Duty.QUARTERBACK or d.duty is Duty.PITCH
    return Demand(
        look=look, weight=weight, x=x, waits=waits, beside=_beside(look, d), fit=d.fit,
        say=d.rule.rule.say or d.fit, rule=d.rule.id,
    )  # fmt: skip


def _beside(look: Look, d: Defender) -> str:
    if d.lane is None:
        return ""
    if d.duty is Duty.TWO_GAP:
        return "two-gap"
    if d.lane in (0, len(look.lanes) - 1):
        return f"{'left' if d.lane == 0 else 'right'} edge"
    lane = look.lanes[d.lane]
    roles = [sight.split(TURNS_UP)[0] for sight in d.sights if TURNS_UP in sight]
    return " and ".join([f"{'left' if lane.right == role else 'right'} of {role}" for role in roles])


def _man(
    call: Call, role: str, position: str, group: str, pile: dict[Picture, list[Demand]], showings: dict[int, Showing]
) -> ManKnows:
    seen, unknown = [], []
    table: dict[str, int] = {}
    masks: list[int] = []
    for picture, plays in pile.items():
        fits = split_fits(plays)
        seen.append(Seen(picture=picture, weight=sum([p.weight for p in plays]), fits=fits))
        for other in fits[1:]:
            found = _unknown(role, picture, fits[0], other, showings)
            unknown.append(found)
            mask = 0
            for text in found.differs:
                mask |= 1 << table.setdefault(text.split(":")[0], len(table))
            if mask:
                masks.append(mask)
    unknown.sort(key=lambda u: (-u.weight, u.picture.before, u.picture.sights))
    names = list(table)
    chosen = smallest_hitting(masks, [1] * len(names), most_steps=2000).columns
    return ManKnows(
        role=role, position=position, group=group, seen=tuple(seen), unknown=tuple(unknown),
        would_settle=tuple(sorted([names[c] for c in chosen])), unseen=_unseen(call, role, position, group),
        hears_crack=hears_crack(call, role, position),
    )  # fmt: skip


def split_fits(plays: Sequence[Demand]) -> tuple[tuple[Demand, ...], ...]:
    """The plays of one picture by what they ask for: no place, or places within a yard and a half of each other.

    Beside the same man he follows is one place, and so is the edge. Quarterback and pitch man are taken late, when the
    ball shows: a man who has no place otherwise can wait for them, so there they are no fit of their own. The heaviest
    fit first, and inside one the heaviest play.
    """
    plays = _side_by_side(plays)
    piles: list[list[Demand]] = []
    none = [p for p in plays if p.x is None]
    if none:
        none += [p for p in plays if p.x is not None and p.waits]
        piles.append(none)
    start: float | None = None
    for play in sorted([p for p in plays if p.x is not None and not (none and p.waits)], key=_x):
        if start is None or _x(play) - start > SAME_FIT:
            start = _x(play)
            piles.append([])
        piles[-1].append(play)
    for pile in piles:
        pile.sort(key=lambda p: -p.weight)
    piles.sort(key=lambda pile: -sum([p.weight for p in pile]))
    return tuple([tuple(pile) for pile in piles])


def _side_by_side(plays: Sequence[Demand]) -> list[Demand]:
    """The plays with those beside the same man in one place: he follows him to wherever that is."""
    places: dict[str, float | None] = {}
    for p in plays:
        if p.beside:
            places.setdefault(p.beside, p.x)
    return [replace(p, x=places[p.beside]) if p.beside else p for p in plays]


def differ(a: Demand, b: Demand) -> bool:
    """True when two plays that look alike to a man ask him for different fits."""
    if a.x is None or b.x is None:
        return (a.x is None) != (b.x is None) and not (a.waits or b.waits)
    if a.beside and a.beside == b.beside:
        return False
    return abs(a.x - b.x) > SAME_FIT


def _x(play: Demand) -> float:
    return play.x or 0.0


def _unknown(
    role: str, picture: Picture, first: tuple[Demand, ...], other: tuple[Demand, ...], showings: dict[int, Showing]
) -> Unknown:
    best: tuple[tuple[str, ...], tuple[Demand, Demand]] | None = None
    for a, b in _pairs(first, other):  # the pair that is hardest to tell apart shows what it takes
        differs = _differences(role, picture, showings[id(a.look)], showings[id(b.look)])
        if best is None or len(differs) < len(best[0]):
            best = differs, (a, b)
        if not differs:
            break
    assert best is not None  # the first places of two piles always differ
    return Unknown(
        picture=picture, plays=best[1], weight=sum([p.weight for p in other]), extra=best[0][0] if best[0] else NEVER,
        differs=best[0],
    )  # fmt: skip


def _pairs(first: tuple[Demand, ...], other: tuple[Demand, ...], most: int = 12) -> Iterator[tuple[Demand, Demand]]:
    made = 0
    for a in first:
        for b in other:
            if differ(a, b):
                yield a, b
                made += 1
                if made == most:
                    return


def _differences(role: str, picture: Picture, a: Showing, b: Showing) -> tuple[str, ...]:
    d = a.look.defender(role)
    e = b.look.defender(role)
    assert d is not None and e is not None
    out = []
    for man in other_reads(a, d):
        one, two = a.show(man), b.show(man)
        if one != two:
            out.append(f"{man}: {one.does} or {two.does}")
    if picture.felt is None:
        one_felt, two_felt = feel(a, d), feel(b, e)
        if one_felt != two_felt:
            out.append(f"felt, later: {felt_text(one_felt)} or {felt_text(two_felt)}")
    return tuple(out)
