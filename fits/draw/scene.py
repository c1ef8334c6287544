"""What a drawing shows, in yards: men, steps, routes, lanes and notes. Nothing here knows the picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import NamedTuple, Protocol

from fits.derive.look import Block, Defender, Lane, Look, Threat
from fits.draw.scale import finite
from fits.draw.text import describe_front, describe_look, describe_offense, look_title, paragraph_lines
from fits.errors import UnknownName
from fits.field import COLLEGE, Hash, RuleBook
from fits.offense.formation import Formation, Kind, OffensiveMan
from fits.words import Words, words_of

INNER_DEPTH = 6.5  # a defender nearer than this belongs to the inner part of the picture
REACH_Y = 1.4  # how far through the line a ball path is drawn
MEET_Y = 0.5  # where a blocker meets a man who comes through a gap
PULL_Y = -1.9  # the depth at which a puller or crosser runs behind the line


class Shape(Enum):
    """The symbol of a man."""

    LINEMAN = "lineman"
    TIGHT_END = "tight end"
    BACK = "back"
    FRONT = "front"
    BACKER = "backer"
    DEEP = "deep"


class LineKind(Enum):
    """What a route stands for; each has its own line, so that no colour is needed to tell them apart."""

    BLOCK = "block"
    FIT = "fit"
    OWN = "own"
    COVER = "cover"
    BALL = "ball"
    READ = "read"
    ROUTE = "route"
    EYES = "eyes"
    CHECK = "check"
    MOTION = "motion"


class Aligned(Protocol):
    """Anything that stands on defense: a derived defender or a hand-placed one."""

    @property
    def role(self) -> str: ...
    @property
    def technique(self) -> str: ...
    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...


@dataclass(frozen=True, slots=True)
class Spot:
    """One defender put down by hand, for a drawing of a front without a play.

    `group` is line, linebacker or secondary; empty, his depth decides the symbol.
    """

    role: str
    technique: str
    x: float
    y: float
    group: str = ""


class ManKey(NamedTuple):
    """A man's unit and role."""

    defense: bool
    role: str

    @property
    def code(self) -> str:
        """Both as one word: `d:M`, `o:LG`."""
        return f"{'d' if self.defense else 'o'}:{self.role}"


@dataclass(frozen=True, slots=True)
class Focus:
    """Whom a drawing is about; with `everyone`, nobody steps back. `chief` is the man it is made for."""

    everyone: bool
    men: frozenset[ManKey] = frozenset()
    chief: ManKey | None = None

    def has(self, role: str, defense: bool) -> bool:
        """True for a man who is shown at full strength."""
        return self.everyone or ManKey(defense, role) in self.men


@dataclass(frozen=True, slots=True)
class Figure:
    """One man on the picture: `label` stands in his symbol, `tag` (his technique) beside it.

    `ball`: he may carry it. `focus`: at full strength. `chief`: the man the drawing is made for. `left`: why nobody
    blocks him, where that is on purpose. `changed`: he does something else in the drawing beside this one.
    """

    role: str
    label: str
    shape: Shape
    x: float
    y: float
    tag: str = ""
    ball: bool = False
    focus: bool = True
    chief: bool = False
    left: str = ""
    changed: bool = False

    @property
    def key(self) -> ManKey:
        """What names him: the two units may use one role name."""
        return ManKey(self.defense, self.role)

    @property
    def defense(self) -> bool:
        """True for a defender."""
        return self.shape in (Shape.FRONT, Shape.BACKER, Shape.DEEP)


@dataclass(frozen=True, slots=True)
class StepMark:
    """A blocker's first step: a short tick towards (dx, dy); two ticks for a man who sets to pass block."""

    role: str
    dx: float
    dy: float
    double: bool
    focus: bool = True


@dataclass(frozen=True, slots=True)
class Turn:
    """A corner or the end of a route, in yards."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Route:
    """Where a man goes: from his place through the turns. `to` names the man whose symbol stops the line.

    `via` names the man he doubles on his way up to another.
    """

    way: LineKind
    role: str
    turns: tuple[Turn, ...]
    to: str = ""
    focus: bool = True
    via: str = ""

    @property
    def key(self) -> ManKey:
        """The man whose route it is."""
        ours = (LineKind.FIT, LineKind.OWN, LineKind.COVER, LineKind.EYES, LineKind.CHECK)
        return ManKey(self.way in ours, self.role)

    @property
    def target(self) -> ManKey:
        """The man of the other unit at its end."""
        return ManKey(not self.key.defense, self.to)


@dataclass(frozen=True, slots=True)
class LaneMark:
    """One lane: where it is at the fit point and who owns it. `open` lanes stand out by words and a frame."""

    name: str
    x: float
    owners: tuple[str, ...]
    open: bool
    focus: bool = True


@dataclass(frozen=True, slots=True)
class ChoiceMark:
    """A numbered mark to choose: a spot of the field, or (`beside` names him) a man of the offense.

    A `lane` has a line to where it opens.
    """

    number: str
    x: float
    y: float
    beside: str = ""
    lane: bool = False


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything one drawing says."""

    title: str
    caption: tuple[str, ...]
    words: str
    hash: Hash
    book: RuleBook
    men: tuple[Figure, ...]
    steps: tuple[StepMark, ...] = ()
    routes: tuple[Route, ...] = ()
    lanes: tuple[LaneMark, ...] = ()
    notes: tuple[str, ...] = ()
    chief: str = ""
    choices: tuple[ChoiceMark, ...] = ()


def look_scene(look: Look, role: str | None = None, book: RuleBook = COLLEGE) -> Scene:
    """The scene of a whole look, or of one man's view of it. Raises UnknownName for a role that is not in it."""
    _check_role(look, role)
    focus, said = _focus(look, role), words_of(look)
    carriers = [t for t in look.threats if t.lane is not None]
    with_ball = {t.role for t in look.threats}
    left = {m.name: m.why for m in look.left_alone}
    men = [
        *(_in_focus(offense_man(p, p.role in with_ball), focus) for p in look.offense),
        *(
            replace(_in_focus(defense_man(d, d.group, d.position), focus), left=left.get(d.role, ""))
            for d in look.defenders
        ),
    ]
    routes = [
        *_blocks(look, focus),
        *_balls(look, carriers, focus),
        *_thrown(look, focus),
        *_fits(look, focus),
        *_eyes(look, role),
        *_checks(look, focus),
        *_motion(look, focus),
    ]
    his = look.defender(role) if role else None
    lanes = tuple(_lane(lane, his, said) for lane in look.lanes)
    steps = tuple(s for b in look.blocks if (s := _step(b, focus)) is not None)
    words = describe_look(look, role)
    notes = paragraph_lines(look, role)
    return Scene(
        look_title(look),
        _caption(look, role),
        words,
        look.hash,
        book,
        tuple(men),
        steps,
        tuple(routes),
        lanes,
        notes,
        role or "",
    )


def mark_changed(scene: Scene, roles: frozenset[str]) -> Scene:
    """The scene with those defenders ringed twice and their fits drawn heavy."""
    men = tuple([replace(m, changed=True) if m.defense and m.role in roles else m for m in scene.men])
    routes = tuple(
        [replace(r, way=LineKind.OWN) if r.way is LineKind.FIT and r.role in roles else r for r in scene.routes]
    )
    marked = f" Changed: {', '.join(sorted(roles))}." if roles else ""
    return replace(scene, men=men, routes=routes, words=scene.words + marked)


def formation_scene(
    formation: Formation, hash_: Hash = Hash.MIDDLE, book: RuleBook = COLLEGE, lanes: Sequence[LaneMark] = ()
) -> Scene:
    """The scene of an offense alone; `lanes` are marks along its line."""
    placed = formation.placed(hash_, book)
    men = tuple(offense_man(p) for p in placed.players)
    title = f"{formation.called}, {formation.personnel} personnel"
    said = describe_offense(placed.players, hash_)
    said += "".join(f" {lane.name}: {', '.join(lane.owners)}." for lane in lanes)
    return Scene(title, (_where(hash_),), said, hash_, book, men, lanes=tuple(lanes))


def front_scene(
    offense: Sequence[OffensiveMan],
    defenders: Sequence[Aligned],
    title: str,
    hash_: Hash = Hash.MIDDLE,
    book: RuleBook = COLLEGE,
) -> Scene:
    """The scene of an alignment without a play."""
    men = (
        *(offense_man(p) for p in offense),
        *(defense_man(d, getattr(d, "group", ""), getattr(d, "position", "")) for d in defenders),
    )
    words = f"{describe_offense(offense, hash_)} {describe_front(defenders)}"
    return Scene(title, (_where(hash_),), words, hash_, book, men)


def _in_focus(man: Figure, focus: Focus) -> Figure:
    return replace(man, focus=focus.has(man.role, man.defense), chief=man.key == focus.chief)


def offense_man(player: OffensiveMan, ball: bool = False) -> Figure:
    """An offensive player's symbol."""
    shape = {Kind.LINE: Shape.LINEMAN, Kind.TIGHT_END: Shape.TIGHT_END}.get(player.kind, Shape.BACK)
    x, y = finite(player.x, f"{player.role} across"), finite(player.y, f"{player.role} in depth")
    return Figure(player.role, player.role, shape, x, y, "", ball)


def defense_man(man: Aligned, group: str = "", position: str = "") -> Figure:
    """A defender's symbol: by group, or by depth where there is none."""
    x, y = finite(man.x, f"{man.role} across"), finite(man.y, f"{man.role} in depth")
    shapes = {"line": Shape.FRONT, "linebacker": Shape.BACKER, "secondary": Shape.DEEP}
    shape = shapes.get(group) or (Shape.FRONT if y < 2 else Shape.BACKER if y < INNER_DEPTH else Shape.DEEP)
    label = position or man.role.removeprefix("left ").removeprefix("right ")
    return Figure(man.role, label, shape, x, y, man.technique)


def _check_role(look: Look, role: str | None) -> None:
    known = [d.role for d in look.defenders] + [p.role for p in look.offense]
    if role is not None and role not in known:
        raise UnknownName("role", role, known)


def key_roles(key: str, look: Look) -> tuple[str, ...]:
    """The offensive roles a key names, in the order it names them."""
    known = {p.role for p in look.offense}
    words = key.replace(",", " ").replace("-", " ").replace("/", " ").split()
    return tuple(dict.fromkeys(w for w in words if w in known))


def _focus(look: Look, role: str | None) -> Focus:
    """The man and his key, or the blocker and his man. A role both units use means the defender."""
    if role is None:
        return Focus(True)
    man = look.defender(role)
    chief = ManKey(man is not None, role)
    others = key_roles(man.key, look) if man else tuple(b.on for b in look.blocks if b.role == role and b.on)
    return Focus(False, frozenset((chief, *(ManKey(not chief.defense, o) for o in others))), chief)


def _where(hash_: Hash) -> str:
    return "ball in the middle" if hash_ is Hash.MIDDLE else f"ball on the {hash_.value} hash"


def _caption(look: Look, role: str | None) -> tuple[str, ...]:
    extras = [f"motion: {look.labels.motion}"] if look.motion else []
    extras += [f"pressure: {look.labels.pressure}"] if look.pressure else []
    extras += [f"{look.yard_line:g} yards to the goal line"] if look.yard_line is not None else []
    extras += look.labels.options
    first = f"{look.labels.call} against {look.labels.formation}, ball {words_of(look).ball}"
    return (f"{first}; {', '.join(extras)}" if extras else first,)


def _blocks(look: Look, focus: Focus) -> Iterable[Route]:
    """A mover runs behind the line to where he ends; any other blocker goes straight at his man.

    The man of a double who climbs goes on to his backer; in space a blocker runs to his man, a crack in on him. A man
    whom a called movement takes through a gap is met there.
    """
    spots = {d.role: Turn(d.x, d.y) for d in look.defenders}
    met = {d.role: Turn(d.path[-1][0], MEET_Y) for d in look.defenders if d.path}
    thrown = {t.role for t in look.threats if t.lane is None}
    for b in look.blocks:
        if b.role in thrown:
            continue
        x, y = finite(b.x, f"{b.role}'s block"), finite(b.y, f"{b.role}'s block")
        sx, sy = finite(b.start_x, f"{b.role}'s start"), finite(b.start_y, f"{b.role}'s start")
        lit = focus.has(b.role, False)
        if b.step == "crack" and b.on in spots:
            yield Route(LineKind.BLOCK, b.role, (spots[b.on],), b.on, lit)
            continue
        if b.step == "arc" and b.on in spots:
            yield Route(LineKind.BLOCK, b.role, (Turn(x, min(y, sy) - 0.2), spots[b.on]), b.on, lit)
            continue
        if abs(x - sx) + abs(y - sy) < 0.2:
            if b.on in spots and b.climbs_to in spots:
                man = spots[b.on]
                hip = Turn(man.x + (0.55 if sx > man.x else -0.55), man.y - 0.35)
                yield Route(LineKind.BLOCK, b.role, (hip, spots[b.climbs_to]), b.climbs_to, lit, b.on)
            elif b.on in met:
                yield Route(LineKind.BLOCK, b.role, (met[b.on],), "", lit)
            elif b.on in spots:
                yield Route(LineKind.BLOCK, b.role, (spots[b.on],), b.on, lit)
            continue
        turns: tuple[Turn, ...] = (Turn(x, y),)
        if b.mover and abs(x - sx) > 1.0 and sy > -2.5:
            corner = 0.45 if x > sx else -0.45
            behind = min(PULL_Y, sy - 0.9)
            turns = (Turn(sx + corner, behind), Turn(x - corner, behind), Turn(x, y))
        yield Route(LineKind.BLOCK, b.role, turns, "", lit)


def _thrown(look: Look, focus: Focus) -> Iterable[Route]:
    """The routes of men who may be thrown to, as they are run and timed."""
    for role, way in look.routes.items():
        yield Route(LineKind.ROUTE, role, tuple([Turn(x, y) for x, y in way[1:]]), "", focus.has(role, False))


def _balls(look: Look, threats: list[Threat], focus: Focus) -> Iterable[Route]:
    """The way of everyone who may carry the ball; a second man to one lane runs a step outside the first."""
    lanes = {lane.index: lane for lane in look.lanes}
    seen: dict[int, set[str]] = {}
    for t in threats:
        if t.lane is None or t.lane not in lanes or t.role in seen.get(t.lane, ()):
            continue
        way = LineKind.READ if seen else LineKind.BALL
        before = seen.setdefault(t.lane, set())
        x = finite(lanes[t.lane].x, f"lane {lanes[t.lane].name}")
        x += 0.55 * len(before) * (1 if x >= 0 else -1)
        before.add(t.role)
        yield Route(way, t.role, (Turn(x, -1.9), Turn(x, REACH_Y)), "", focus.has(t.role, False))


def _fits(look: Look, focus: Focus) -> Iterable[Route]:
    for d in look.defenders:
        x, y = finite(d.fit_x, f"{d.role}'s fit"), finite(d.fit_y, f"{d.role}'s fit")
        if abs(x - d.x) + abs(y - d.y) < 0.15:
            continue
        fit = LineKind.OWN if focus.chief == ManKey(True, d.role) else LineKind.FIT
        way = LineKind.COVER if d.lane is None else fit
        called = tuple([Turn(px, py) for px, py in d.path[1:]])
        if called and abs(called[-1].x - x) < 1.0:
            called = called[:-1]  # his movement ends where he fits
        yield Route(way, d.role, (*called, Turn(x, y)), "", focus.has(d.role, True))


def _checks(look: Look, focus: Focus) -> Iterable[Route]:
    """Back to where a man stood before the motion."""
    for d in look.defenders:
        if d.start is not None:
            yield Route(LineKind.CHECK, d.role, (Turn(*d.start),), "", focus.has(d.role, True))


def _motion(look: Look, focus: Focus) -> Iterable[Route]:
    """Back along the way of the man in motion to where he lined up."""
    way = look.motion_way
    if way:
        man = next(p for p in look.offense if (p.x, p.y) == way[-1])
        turns = tuple([Turn(x, y) for x, y in way[-2::-1]])
        yield Route(LineKind.MOTION, man.role, turns, "", focus.has(man.role, False))


def _eyes(look: Look, role: str | None) -> Iterable[Route]:
    man = look.defender(role) if role else None
    for key in key_roles(man.key, look) if man else ():
        target = next(p for p in look.offense if p.role == key)
        yield Route(LineKind.EYES, man.role if man else "", (Turn(target.x, target.y),), key)


def _lane(lane: Lane, his: Defender | None, said: Words) -> LaneMark:
    focus = his is None or lane.index == his.lane
    x = finite(lane.x, f"lane {lane.name}")
    return LaneMark(said.lane(lane), x, said.men(lane.owners), not lane.owners, focus)


def _step(b: Block, focus: Focus) -> StepMark | None:
    """The tick of a first step. `in` is toward the centre; a centre's own side is where he blocks."""
    toward = 1.0 if b.x >= b.start_x else -1.0
    out = toward if abs(b.start_x) < 0.25 else (1.0 if b.start_x > 0 else -1.0)
    inward = toward if abs(b.start_x) < 0.25 else -out
    ways = {
        "in": (inward, 0.7), "out": (out, 0.7), "straight": (0.0, 1.0), "pull": (toward, -0.8), "cross": (toward, -0.3),
        "arc": (out, -0.2), "crack": (inward, 0.25), "set": (0.0, -1.0),
    }  # fmt: skip
    idle = b.step == "straight" and b.on is None and not b.mover  # a man who carries or fakes shows no block
    if b.step not in ways or idle:
        return None
    dx, dy = ways[b.step]
    return StepMark(b.role, dx, dy, b.step == "set", focus.has(b.role, False))
