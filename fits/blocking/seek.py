"""How movers, men in space and the concept itself find a defender. Common practice; nothing here knows a concept.

Distances are measured on the side asked for, from the ball outwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import inf
from typing import NamedTuple

from fits.blocking.levels import Levels, Man
from fits.blocking.plan import BlockingPlan, PlannedLeft
from fits.errors import NotRunnable
from fits.field import LEFT, RIGHT, Side
from fits.notation.phrase import Vocabulary
from fits.offense.formation import OffensiveMan
from fits.values import field, record

ON = 0.25  # yards: still head up
OUTSIDE = 0.2  # yards outside a blocker's middle: he is outside him
ALLEY_Y = 8.5  # the deepest man who counts as one of the alley
ALLEY_X = 7.5
APEX_X, APEX_Y = 5.0, 5.5  # outside the tackle: the farthest and deepest overhang that can be read
LAST_X = 1.35  # how far outside the ball the last man at the line stands when he is read
INSIDE_BACKER_X = 4.4
TRAP_X = 2.6  # the widest man a guard traps; wider the play is checked off
CRACK_Y = 6.5
FREED_X, FREED_Y = 4.0, 9.5  # how far from the cracker, and how deep, a man stands who comes free by the crack
KEEPS = 0.9  # yards outside him: a man the back side tackle keeps in zone
DEEP_Y = 1.4  # yards behind the first backer
OVER_X = 3.0  # yards to either side: a man inside the tackle whom a receiver may have
ACROSS = 5.0  # what it costs a receiver to go in on a safety inside the tackle
NEAREST = 4  # men a blocker in space may take
INSIDE_HIM = 4.0  # yards: what it costs a man who kicks out to turn up inside instead
OUTSIDE_HIM = 6.0  # and a man who leads through a gap to go out
NOBODY = 20.0  # yards: what it costs that he takes nobody
DROPPED = frozenset({"reach", "base", "out", "double"})  # ways in which the end man keeps the man just outside him


class SeekKey(NamedTuple):
    """What decides in which order a man looks for his defender: the way, who he is, the side, its last blocker.

    `cracks` are those who crack, whose own men come free.
    """

    way: str
    role: str
    side: Side
    last: tuple[float, str]
    cracks: tuple[str, ...] = ()


@record
class Claims:
    """Who is spoken for while the blocks are found: `taken` by a blocker, `left` alone on purpose (and why).

    `last` is the last blocker who stays in his place on each side: where he stands and how he finds his man.
    `theirs` are men over receivers who would have nobody else: nobody kicks them or leads on them.
    """

    plan: BlockingPlan
    front: Levels
    last: Mapping[Side, tuple[float, str]]
    taken: set[str] = field(default_factory=set)
    left: dict[str, str] = field(default_factory=dict)
    theirs: frozenset[str] = frozenset()

    def free(self, men: Iterable[Man]) -> list[Man]:
        """Those of them who are neither taken nor left."""
        taken, left = self.taken, self.left
        return [m for m in men if m.name not in taken and m.name not in left]

    def first(self, men: Iterable[Man]) -> Man | None:
        """The first of them who is neither taken nor left."""
        for m in men:
            if m.name not in self.taken and m.name not in self.left:
                return m
        return None

    def seek(self, key: SeekKey) -> Man | None:
        """Whom a man finds who looks for a defender that way. Raises NotRunnable when nobody can be trapped."""
        order = self.front.orders.get(key)
        if order is None:
            man = self.plan.offense.by_role[key.role]
            cracks = [self.plan.offense.by_role[role] for role in key.cracks]
            order = self.front.orders[key] = tuple(SEEK[key.way](self, man, key.side, cracks))
        if self.theirs and key.way in ("kick", "edge"):
            order = self._in_their_place(order, key)
        found = self.first(order if key.way != "edge" or not self.left else self._outside_keys(order, key.side))
        if key.way == "trap" and (found is None or found.to_x * key.side > TRAP_X):
            raise NotRunnable(
                f"{self.plan.concept.called} to the {key.side.word} is checked off against this front: "
                f"no lineman on or just outside the {key.side.word} guard to trap"
            )
        return found

    def _in_their_place(self, men: Sequence[Man], key: SeekKey) -> Sequence[Man]:
        """Without the receivers' men; he who would have had one of them may go up on the play side backer."""
        rest = [m for m in men if m.name not in self.theirs]
        if len(rest) < len(men):
            behind = play_backer(self, self.plan.offense.by_role[key.role], key.side)
            rest += [m for m in behind if m.to_x * key.side >= -ON and m not in rest]
        return rest

    def _outside_keys(self, men: Iterable[Man], side: Side) -> list[Man]:
        """Those of them who are not at the edge inside a man left alone: nobody leads in there."""
        known = {m.name: m for m in (*self.front.first, *self.front.second, *self.front.deep)}
        key = max([known[name].to_x * side for name in self.left])
        return [m for m in men if not _tackle(self, side) < m.to_x * side <= key]

    def leave(self, left: PlannedLeft) -> None:
        """Finds the man whom the concept leaves alone, if he is there."""
        key = left.order, self.plan.play, self.plan.eyes, *self.left
        order = self.front.orders.get(key)
        if order is None:
            order = self.front.orders[key] = tuple(left.order(self))
        if (found := self.first(order)) is not None:
            self.left[found.name] = left.why


# How a man looks for his defender: everybody he may take, his first choice first, whether or not they are spoken for.
# Last are the men who crack.
Seek = Callable[[Claims, OffensiveMan, Side, Sequence[OffensiveMan]], Sequence[Man]]


def overhangs(man: Man, behind: Sequence[Man], edge: float) -> bool:
    """True for a man off the line on or outside the last blocker of his side when another stands between him and the
    ball: a third backer, who is nobody's in the count of those inside."""
    side = RIGHT if man.to_x > 0 else LEFT
    inner = [m for m in behind if ON < m.to_x * side < man.to_x * side - ON]
    return man.y <= APEX_Y and man.to_x * side >= edge - ON and bool(inner)


def is_deep(man: Man, behind: Sequence[Man]) -> bool:
    """True for a man so far behind the first backer that he is a safety who lines up close: backers come before him."""
    return man.y - min([m.y for m in behind]) >= DEEP_Y


def _tackle(c: Claims, side: Side) -> float:
    return c.plan.offense.view(side).surface[1].x * side


def _line(c: Claims, side: Side) -> list[Man]:
    """The men at the line, from the ball outwards on that side."""
    return sorted(c.front.first, key=lambda m: m.to_x * side)


def _off_line(c: Claims) -> tuple[Man, ...]:
    return (*c.front.second, *c.front.deep)


def _overhang(c: Claims, side: Side, edge: float, far: float = ALLEY_X, deep: float = ALLEY_Y) -> list[Man]:
    """The men off the line outside that edge, the nearest first."""
    men = [m for m in (*c.front.second, *c.front.deep) if OUTSIDE < m.x * side - edge <= far and m.y <= deep]
    return sorted(men, key=lambda m: (m.x * side - edge + 0.5 * m.y, m.y))


def first_outside(c: Claims, man: OffensiveMan, side: Side) -> list[Man]:
    """The first man outside the last down block at the line, else the overhang."""
    last, way = c.last[side]
    edge = max(last, _tackle(c, side))
    inside = any(_tackle(c, side) + KEEPS < m.to_x * side <= last + ON for m in _line(c, side))  # the end man's own
    near = edge + (1.0 if way in DROPPED and not inside else OUTSIDE)
    end = c.plan.offense.view(side).surface[-1].x * side
    over = [m for m in c.front.second if 0.0 < m.x * side <= edge + OUTSIDE and overhangs(m, c.front.second, end)]
    return [m for m in _line(c, side) if m.to_x * side > near] + over + _overhang(c, side, edge)


def play_backer(c: Claims, man: OffensiveMan, side: Side, cracks: Sequence[OffensiveMan] = ()) -> list[Man]:
    """The play side inside backer."""
    edge = c.plan.offense.view(side).surface[-1].x * side
    behind = [m for m in c.front.second if m.to_x * side >= -2.6 and abs(m.to_x) <= INSIDE_BACKER_X]
    men = [m for m in behind if m.to_x * side < 0 or not overhangs(m, behind, edge)]
    return sorted(men, key=lambda m: (not is_deep(m, behind), m.to_x * side, -m.y), reverse=True)


def kicked(c: Claims, man: OffensiveMan, side: Side, cracks: Sequence[OffensiveMan] = ()) -> list[Man]:
    """The first man outside the last down block; where a wing stands outside everybody, the man inside the wing.

    Where an attached man leaves the line, the first man whom the tackle does not keep, else the one on the tackle.
    """
    attached = sorted([p.x * side for p in c.plan.offense.view(side).attached])
    first, line = first_outside(c, man, side), _line(c, side)
    if attached and attached[-1] > c.last[side][0] + ON:
        return [*[m for m in line if m.to_x * side > _tackle(c, side) + KEEPS], *first]
    if len(attached) > 1:  # the wing goes down on the man inside him, when somebody over the wing is there to be kicked
        first += [m for m in _off_line(c) if abs(m.x * side - attached[-1]) <= OUTSIDE and m.y <= ALLEY_Y]
        first += [m for m in reversed(line) if m.to_x * side > attached[-2] + OUTSIDE]
    return first


def edge_man(c: Claims, man: OffensiveMan, side: Side, cracks: Sequence[OffensiveMan] = ()) -> list[Man]:
    """The first man outside, then who comes free by a crack, else the play side backer.

    The first of two who lead takes the outside man.
    """
    over = []
    for p in cracks:
        near = [found for found in _nearest(c, p, side) if found[2] not in cracked(c, p, side)[:1]]
        if p.side is side and near and (m := min(near)[2]).y <= FREED_Y and abs(m.x - p.x) <= FREED_X:
            over.append(m)
    return [*first_outside(c, man, side), *over, *[m for m in play_backer(c, man, side) if m.to_x * side >= -ON]]


def trapped(c: Claims, man: OffensiveMan, side: Side, cracks: Sequence[OffensiveMan] = ()) -> list[Man]:
    """The first lineman on or outside the play side guard."""
    guard = c.plan.offense.view(side).surface[0].x * side
    return [m for m in _line(c, side) if m.to_x * side >= guard - ON]


def interior(c: Claims, man: OffensiveMan, side: Side, cracks: Sequence[OffensiveMan] = ()) -> list[Man]:
    """The lineman nearest to the centre; of two as near the one behind the play."""
    men = [m for m in c.front.first if abs(m.to_x) < 2.7]
    return sorted(men, key=lambda m: (abs(m.to_x), m.to_x * side))


def cracked(c: Claims, man: OffensiveMan, side: Side, cracks: Sequence[OffensiveMan] = ()) -> list[Man]:
    """The first man inside a wide blocker who stands outside the tackle and outside an attached man's block."""
    men = inside_him(c.plan, c.front, man, side)
    return sorted(men, key=lambda m: (m.y > CRACK_Y, m.x * side, m.y)) + _overhang(c, side, _edge(c.plan, side))


def inside_him(plan: BlockingPlan, front: Levels, man: OffensiveMan, side: Side) -> list[Man]:
    """Whom a wide blocker can crack: the men inside him who stand outside the tackle and an attached man's block."""
    edge = _edge(plan, side)
    return [m for m in (*front.first, *front.second) if edge < m.x * side < man.x * side - 0.5]


def _edge(plan: BlockingPlan, side: Side) -> float:
    view = plan.offense.view(side)
    return max([view.surface[1].x * side + OUTSIDE, *[p.x * side + ON for p in view.attached]])


def arc_man(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, Man]]:
    """The man at the line on or outside him, the force player or the first man in the alley, each with his distance."""
    edge = man.x * side
    line = [m for m in c.front.first if m.x * side >= edge - ON and m.x * side > _tackle(c, side)]
    men = [
        m
        for m in (*line, *c.front.second, *c.front.deep)
        if -2.0 < m.x * side - edge < 11 and m.x * side > 0 and m.y <= 12.5
    ]
    return [(abs(m.x * side - edge) + 0.75 * m.y, m) for m in men]


def over_receiver(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, Man]]:
    """The man over a receiver, or the near force player where nobody is, each with his distance.

    No backer inside the tackle is either of them, unless he is right there, and a safety inside it only when he has
    nobody else.
    """
    edge = _tackle(c, side)
    wide = [m for m in c.front.first if abs(m.x) > edge + 1.0]
    close = [m for m in c.front.second if is_deep(m, c.front.second)]
    near = [m for m in (*c.front.second, *wide) if m not in close and (m.x * side > edge or abs(m.x - man.x) <= OVER_X)]
    men = [(abs(m.x - man.x), m) for m in (*near, *close, *c.front.deep)]
    return [(x + 0.6 * m.y + (ACROSS if m.x * side <= edge else 0.0), m) for x, m in men if x < ALLEY_X]


def _nearest(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, float, Man]]:
    return [(cost, m.y, m) for cost, m in over_receiver(c, man, side)]


def alley_man(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, Man]]:
    """Whom a man of the edge finds beyond it when nobody is left there: the near man outside the tackle."""
    edge = max(man.x * side, _tackle(c, side))
    men = [m for m in (*c.front.second, *c.front.deep) if 0.0 < m.x * side - _tackle(c, side) < 11 and m.y <= 12.5]
    return [(abs(m.x * side - edge) + 0.75 * m.y, m) for m in men]


def lead_man(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, Man]]:
    """Whom a man who left his place meets when nobody is left for him at the edge or behind it: the first to come."""
    edge = _tackle(c, side)
    men = [m for m in c.front.second if m.x * side >= -INSIDE_BACKER_X]
    men += [m for m in c.front.first if m.to_x * side > 0.0]
    men += [m for m in c.front.deep if m.x * side >= -ON and m.y <= 12.5]
    return [(abs(m.x * side - edge) + 0.75 * m.y, m) for m in men if m.x * side - edge < 11]


def force_man(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, Man]]:
    """The same for a man who kicks out or leads around the end: who stands outside the tackle comes first."""
    edge = _tackle(c, side)
    return [(cost + (INSIDE_HIM if m.x * side <= edge else 0.0), m) for cost, m in lead_man(c, man, side)]


def through_man(c: Claims, man: OffensiveMan, side: Side) -> list[tuple[float, Man]]:
    """The same for a man who leads through a gap: who stands outside the tackle comes last."""
    edge = _tackle(c, side) + OUTSIDE
    men = [(cost, m) for cost, m in lead_man(c, man, side) if m.x * side - edge <= APEX_X]
    return [(cost + (OUTSIDE_HIM if m.x * side > edge else 0.0), m) for cost, m in men]


def match_in_space(c: Claims, tasks: Sequence[tuple[str, OffensiveMan, Side]]) -> list[Man | None]:
    """Whom each man takes who blocks in space: as many as can be, each as near as can be for all together."""
    taken, left = c.taken, c.left
    ways = []
    for way, man, side in tasks:
        near = [(cost, m) for cost, m in _in_space(c, way, man, side) if m.name not in taken and m.name not in left]
        ways.append(near[:NEAREST])
    firsts = [near[0][1] for near in ways if near and near[0][0] <= NOBODY]
    if len(firsts) == len(ways) == len(set(firsts)):
        return [*firsts]  # nobody is in another's way
    return _share_out(ways)


def _in_space(c: Claims, way: str, man: OffensiveMan, side: Side) -> Sequence[tuple[float, Man]]:
    """Everybody whom a man may take in space, the nearest first, whether or not they are spoken for."""
    orders, key = c.front.orders, (way, man.role, side)
    found: Sequence[tuple[float, Man]] | None = orders.get(key)
    if found is None:
        near = {m: cost for cost, m in SPACE[way](c, man, side)}
        found = orders[key] = [(cost, m) for m, cost in sorted(near.items(), key=lambda n: (n[1], n[0].y, n[0].name))]
    return found


def _share_out(ways: Sequence[Sequence[tuple[float, Man]]]) -> list[Man | None]:
    """The best of all ways to give each a man of his, by search; who gets nobody has the price of it."""
    least = [0.0]  # what those from there on cost at least
    for near in reversed(ways):
        least.append(least[-1] + min([cost for cost, _ in near[:1]] + [NOBODY]))
    least.reverse()
    return _cheapest(ways, least, [], 0.0, (inf, [None] * len(ways)))[1]


Shares = tuple[float, list["Man | None"]]  # what an answer costs, and whom each man has


def _cheapest(
    ways: Sequence[Sequence[tuple[float, Man]]],
    least: Sequence[float],
    chosen: list[Man | None],
    cost: float,
    best: Shares,
) -> Shares:
    """The best that can be made of what is chosen already, where it is cheaper than the best so far."""
    i = len(chosen)
    if i == len(ways):
        return cost, chosen.copy()
    for more, m in (*ways[i], (NOBODY, None)):
        if cost + more + least[i + 1] < best[0] - 1e-9 and (m is None or m not in chosen):
            chosen.append(m)
            best = _cheapest(ways, least, chosen, cost + more, best)
            chosen.pop()
    return best


SPACE: dict[str, Callable[[Claims, OffensiveMan, Side], list[tuple[float, Man]]]] = {
    "arc": arc_man,
    "stalk": over_receiver,
    "alley": alley_man,
    "lead": lead_man,
    "force": force_man,
    "through": through_man,
}
SEEK: dict[str, Seek] = {
    "kick": kicked,
    "backer": play_backer,
    "edge": edge_man,
    "trap": trapped,
    "interior": interior,
    "crack": cracked,
}

# --- men the concept leaves alone -----------------------------------------------------------------------------------

LeftOrder = Callable[[Claims], Sequence[Man]]
LEFT_MEN: Vocabulary[LeftOrder] = Vocabulary("a man left alone")
_say = LEFT_MEN.phrase


def _side(c: Claims, word: str) -> Side:
    plan = c.plan
    return plan.play if word == "play" else plan.play.other if word == "back" else plan.eyes or plan.play


@_say(
    "first man outside the (?P<word>play|back|eyes) tackle",
    "first man outside the back tackle",
    "at the line, else the overhang, else the last man at the line",
)
def _first_outside_tackle(word: str) -> LeftOrder:
    def order(c: Claims) -> list[Man]:
        side = _side(c, word)
        edge, line = _tackle(c, side), _line(c, side)
        outside = [m for m in line if m.to_x * side > edge + OUTSIDE]
        last = [m for m in reversed(line) if m.to_x * side > LAST_X]
        return outside + _overhang(c, side, edge, APEX_X, APEX_Y) + last

    return order


@_say(
    "last man on the (?P<word>play|back|eyes) side(?P<near> near the line)?",
    "last man on the play side near the line",
    "the end man at the line, when he is outside the tackle; else the overhang, near the line only a near one, "
    "else the last man at the line",
)
def _last(word: str, near: str | None) -> LeftOrder:
    def order(c: Claims) -> list[Man]:
        side = _side(c, word)
        edge, line = _tackle(c, side), [*reversed(_line(c, side))]
        outside = [m for m in line if m.to_x * side > edge + OUTSIDE]
        if near is None:
            return outside + _overhang(c, side, edge)
        return outside + _overhang(c, side, edge, APEX_X, APEX_Y) + [m for m in line if m.to_x * side > LAST_X]

    return order


@_say(
    "first man on or outside the (?P<word>play|back) (?P<who>guard|tackle)",
    "first man on or outside the play tackle",
    "at the line, head up or wider",
)
def _on_or_outside(word: str, who: str) -> LeftOrder:
    def order(c: Claims) -> list[Man]:
        side = _side(c, word)
        edge = c.plan.offense.view(side).surface[0 if who == "guard" else 1].x * side
        return [m for m in _line(c, side) if m.to_x * side >= edge - ON] + _overhang(c, side, edge)

    return order


@_say("next man outside him", "next man outside him", "the next man outside the one left before, at the line or not")
def _next() -> LeftOrder:
    def order(c: Claims) -> list[Man]:
        if not c.left:
            return []
        name = list(c.left)[-1]
        before = next(m for m in (*c.front.first, *c.front.second, *c.front.deep) if m.name == name)
        side = RIGHT if before.x > 0 else LEFT
        edge = before.to_x * side
        return [m for m in _line(c, side) if m.to_x * side > edge + 0.3] + _overhang(c, side, edge)

    return order


@_say("overhang on the (?P<word>play|back|eyes) side", "overhang on the eyes side", "the first man off the line there")
def _overhanging(word: str) -> LeftOrder:
    def order(c: Claims) -> list[Man]:
        side = _side(c, word)
        return _overhang(c, side, c.plan.offense.view(side).surface[-1].x * side)

    return order
