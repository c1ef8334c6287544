"""Where a defender fits: the phrases of `fit`, resolved against the lanes and who owns them already.

Alternatives are joined by ` else `: the first that can be had wins. Each kind of target has a phase, because some
fits depend on what others do: keyed fits by group first, then two-gap men, scrapers, free players, crack replacement.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from fits.field import LEFT, RIGHT, Side
from fits.notation.phrase import Vocabulary
from fits.rules.conditions import MOVER_SIGHTS, moving
from fits.rules.snap import AfterSnap, Aligned
from fits.terms import Duty, Leverage, Sight
from fits.values import value

NO_LANE = -1
KEYED, TWO_GAP, SCRAPE, FREE, REPLACE = 0, 3, 4, 5, 6
SQUEEZE = 2.0  # yards: how far from his man a two-gap defender still closes on the next one
HEAD_UP = 0.25  # yards: a blocker so near his middle is over him
Find = Callable[[AfterSnap, Aligned], int | None]
GapOf = Callable[[AfterSnap, Aligned], tuple[Side, str] | None]


@value
class Alternative:
    """One target: `find` gives a lane index, NO_LANE (a duty without a lane) or None (cannot be had).

    `sight` is how a man can know where it is; None when nothing he sees tells him. `beside` is true for a lane next to
    a man whom he follows with his eyes to where he ends. `gap` names the static gap that the fit is, where it is one:
    he fits there, however far his lane reaches beyond it.
    """

    find: Find
    duty: Duty
    leverage: Leverage
    phase: int
    words: str
    sight: Sight | None
    receiver: int | None = None
    beside: bool = False
    gap: GapOf | None = None


TARGETS: Vocabulary[Alternative] = Vocabulary("a fit")
_say = TARGETS.phrase


def _side_of(s: AfterSnap, d: Aligned) -> Side:
    """His side; a man of the middle has the side he stands on, or straight over the ball the play side."""
    if d.side is not None:
        return d.side
    if abs(d.x) < 0.25:
        return s.play
    return RIGHT if d.x > 0 else LEFT


def compile_fit(text: str) -> tuple[Alternative, ...]:
    """The alternatives of a `fit`. Raises PhraseError."""
    return tuple(TARGETS.compile(part.strip()) for part in text.split(" else "))


@_say("my gap", "my gap", "the lane that holds the gap of my technique")
def _my_gap() -> Alternative:
    def gap(s: AfterSnap, d: Aligned) -> tuple[Side, str] | None:
        return None if d.gap is None else (d.gap_side or s.play, d.gap)

    def find(s: AfterSnap, d: Aligned) -> int | None:
        if d.gap is None:
            return s.lanes.at(d.to_x)
        return s.lanes.gap(d.gap_side or s.play, d.gap)

    return Alternative(find, Duty.GAP, Leverage.GAP, KEYED, "", Sight.BEFORE, gap=gap)


@_say(
    "(?P<part>inner |outer )?(?P<letter>[A-E]) gap(?P<away> away)?",
    "C gap",
    "that gap on my side (or the other side); a mover splits it into an inner and an outer part",
)
def _gap(part: str | None, letter: str, away: str | None) -> Alternative:
    outer = part == "outer "

    def gap(s: AfterSnap, d: Aligned) -> tuple[Side, str]:
        side = _side_of(s, d)
        return side.other if away else side, letter

    def find(s: AfterSnap, d: Aligned) -> int | None:
        return s.lanes.gap(*gap(s, d), outer)

    return Alternative(find, Duty.GAP, Leverage.GAP, KEYED, "", Sight.BEFORE, gap=gap)


@_say(
    "open (?P<letter>[A-E]) gap",
    "open A gap",
    "that gap on the side where nobody has it, mine first, else the play side first",
)
def _open_gap(letter: str) -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        first = d.side or s.play
        lanes = [s.lanes.gap(side, letter) for side in (first, first.other)]
        return next((lane for lane in lanes if lane is not None and not s.owners[lane]), None)

    return Alternative(find, Duty.GAP, Leverage.GAP, KEYED, "", None)


@_say(
    "(?P<where>frontside|backside) (?P<letter>[A-E])",
    "frontside A",
    "that gap on the side the run goes to, or behind it",
)
def _front(where: str, letter: str) -> Alternative:
    def gap(s: AfterSnap, d: Aligned) -> tuple[Side, str]:
        return s.play if where == "frontside" else s.play.other, letter

    def find(s: AfterSnap, d: Aligned) -> int | None:
        return s.lanes.gap(*gap(s, d))

    leverage = Leverage.CUTBACK if where == "backside" else Leverage.GAP
    return Alternative(find, Duty.GAP, leverage, KEYED, "", Sight.FLOW, gap=gap)


@_say("(?P<way>inside|outside) (?:the )?key", "outside key", "the lane just inside or outside the man I read")
def _key(way: str) -> Alternative:
    outside = way == "outside"

    def find(s: AfterSnap, d: Aligned) -> int | None:
        return s.lanes.beside(d.keys[0], outside, s.play) if d.keys else None

    return Alternative(find, Duty.GAP, Leverage(way), KEYED, "", Sight.KEY, beside=True)


@_say(
    "(?P<way>inside|outside) (?:the )?(?P<kind>puller|lead|crosser|crack|mover|kick|wrap)(?P<where> to my side)?",
    "inside the puller",
    "beside that mover, where he ends up; inside means the innermost, outside the outermost of them",
)
def _mover(way: str, kind: str, where: str | None) -> Alternative:
    outside = way == "outside"

    def find(s: AfterSnap, d: Aligned) -> int | None:
        found = moving(s, kind, d, where)
        if not found:
            return None
        pick = max if outside else min
        job = pick(found, key=lambda j: abs(j.end_x))
        return s.lanes.beside(job.man.role, outside, s.play)

    return Alternative(
        find, Duty.GAP, Leverage.OUTSIDE if outside else Leverage.SPILL, KEYED, "", MOVER_SIGHTS[kind], beside=True
    )


@_say(
    "off (?:the )?(?P<kind>lead|crosser|kick|mover|wrap)",
    "off the crosser",
    "opposite the man who takes him on: outside a spill, inside a box",
)
def _off(kind: str) -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        found = moving(s, kind, d, None)
        if not found:
            return None
        job = found[0]
        role = job.man.role
        inside, outside = s.lanes.beside(role, False, s.play), s.lanes.beside(role, True, s.play)
        lane = s.lane_of.get(job.on.name) if job.on else None
        if lane == outside:
            return inside
        if outside is None or lane == inside or not s.owners[outside]:
            return outside
        return inside

    return Alternative(find, Duty.GAP, Leverage.OVERLAP, KEYED, "", None)


def _blocker_side(outside: bool) -> Find:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        on = [r for r in s.blocks.on.get(d.name, ()) if r in s.lanes.place]
        on.sort(key=lambda r: not s.blocks.jobs[r].verb.moves)
        return s.lanes.beside(on[0], outside, s.play) if on else None

    return find


@_say(
    "(?P<where>frontside|backside) of (?:the )?key",
    "frontside of the key",
    "the lane beside the man I read, on the side the run goes to or behind him",
)
def _front_of_key(where: str) -> Alternative:
    front = where == "frontside"

    def find(s: AfterSnap, d: Aligned) -> int | None:
        i = s.lanes.place.get(d.keys[0]) if d.keys else None
        return None if i is None else i + ((s.play is RIGHT) == front)

    leverage = Leverage.GAP if front else Leverage.CUTBACK
    return Alternative(find, Duty.GAP, leverage, KEYED, "", Sight.FLOW, beside=True)


@_say("spill", "spill", "inside the man who blocks me, so that the ball bounces")
def _spill() -> Alternative:
    return Alternative(_blocker_side(False), Duty.GAP, Leverage.SPILL, KEYED, "", Sight.FELT, beside=True)


@_say("box", "box", "outside the man who blocks me, so that the ball stays in")
def _box() -> Alternative:
    return Alternative(_blocker_side(True), Duty.GAP, Leverage.BOX, KEYED, "", Sight.FELT, beside=True)


@_say("two-gap", "two-gap", "hold the blocker in front; end in the lane beside him that is not taken, play side first")
def _two_gap() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        lanes = two_gap_lanes(s, d)
        return next((lane for lane in lanes if not s.owners[lane]), lanes[0])

    return Alternative(find, Duty.TWO_GAP, Leverage.HEAD_UP, TWO_GAP, "", Sight.LATE)


def two_gap_lanes(s: AfterSnap, d: Aligned) -> tuple[int, ...]:
    """The lanes a two-gap man may end in, play side first: beside the man over him, or when that man pulled, beside
    the next blocker he can squeeze. A man who blocks him from one side keeps him there: nobody gets around a double."""
    jobs, place = s.blocks.jobs, s.lanes.place
    role, near = "", (SQUEEZE, inf)
    for r in place:
        if not jobs[r].verb.moves:
            x = jobs[r].man.x
            away = abs(x - d.x), -x * s.play
            if away < near:
                role, near = r, away
    if not role:
        return (s.lanes.at(d.x),)
    i, x = place[role], jobs[role].man.x
    if role in s.blocks.met.get(d.name, ()) and abs(d.x - x) > HEAD_UP:
        return (i + 1,) if d.x > x else (i,)
    return (i + 1, i) if s.play is RIGHT else (i, i + 1)


@_say("scrape", "scrape", "over the top to the first unowned lane to the play side; none open, free")
def _scrape() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        play = int(s.play)
        n = len(s.lanes.spaces)
        for lane in range(n) if play > 0 else range(n - 1, -1, -1):
            if s.lanes.spaces[lane].x * play > -0.3 and not s.owners[lane]:
                return lane
        return NO_LANE

    return Alternative(find, Duty.SCRAPE, Leverage.INSIDE, SCRAPE, "free", None)


@_say(
    "scrape or cutback",
    "scrape or cutback",
    "over the top to the first unowned lane to the play side; none open, the first one behind the ball",
)
def _scrape_or_cutback() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        lanes = sorted((i for i, who in enumerate(s.owners) if not who), key=lambda i: s.lanes.spaces[i].x * s.play)
        ahead = [i for i in lanes if s.lanes.spaces[i].x * s.play > -0.3]
        return ahead[0] if ahead else lanes[-1] if lanes else NO_LANE

    return Alternative(find, Duty.SCRAPE, Leverage.INSIDE, SCRAPE, "free", None)


@_say(
    "open lane on my side",
    "open lane on my side",
    "when the others have theirs, the unowned lane on my side nearest to the ball; none open, the alley",
)
def _open_lane_side() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        side = d.side
        if side is None:
            return NO_LANE
        lanes = [i for i, who in enumerate(s.owners) if not who and s.lanes.spaces[i].x * side > 0]
        return min(lanes, key=lambda i: (abs(s.lanes.spaces[i].x - s.aim_x), i * side), default=NO_LANE)

    return Alternative(find, Duty.FREE, Leverage.ALLEY, FREE, "alley", None)


@_say(
    "open lane to the play side",
    "open lane to the play side",
    "when the others have theirs, the unowned lane nearest to the ball in front of it, else behind it; none open, free",
)
def _open_lane_play() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        lanes = [i for i, who in enumerate(s.owners) if not who]
        ahead = [i for i in lanes if s.lanes.spaces[i].x * s.play > -0.3]
        return min(ahead or lanes, key=lambda i: abs(s.lanes.spaces[i].x - s.aim_x), default=NO_LANE)

    return Alternative(find, Duty.FREE, Leverage.INSIDE, FREE, "free", None)


@_say(
    "open lane", "open lane", "the unowned lane nearest to the ball; none open, the near hip of the ball carrier, free"
)
def _open_lane() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        lanes = [i for i, who in enumerate(s.owners) if not who]
        if not lanes:
            return NO_LANE
        return min(lanes, key=lambda i: (abs(s.lanes.spaces[i].x - s.aim_x), -s.lanes.spaces[i].x * s.play))

    return Alternative(find, Duty.FREE, Leverage.HIP, FREE, "free", None)


@_say("open edge", "open edge", "the outermost lane on my side if nobody has it")
def _open_edge() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        if d.side is None:
            return None
        lane = s.lanes.edge(d.side)
        return None if s.owners[lane] else lane

    return Alternative(find, Duty.FORCE, Leverage.FORCE, KEYED, "", None)


@_say("open gap on my side", "open gap on my side", "the unowned lane on my side, outside in")
def _open_side() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        side = d.side
        if side is None:
            return None
        lanes = [i for i, who in enumerate(s.owners) if not who and s.lanes.spaces[i].x * side > 0]
        return max(lanes, key=lambda i: s.lanes.spaces[i].x * side, default=None)

    return Alternative(find, Duty.GAP, Leverage.INSIDE, KEYED, "", None)


@_say("force", "force", "the outermost lane on my side: nothing crosses my face outside")
def _force() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        return None if d.side is None else s.lanes.edge(d.side)

    return Alternative(find, Duty.FORCE, Leverage.FORCE, KEYED, "", Sight.BEFORE)


@_say("cutback", "cutback", "the outermost lane behind the ball")
def _cutback() -> Alternative:
    return Alternative(lambda s, d: s.lanes.edge(s.play.other), Duty.CUTBACK, Leverage.CUTBACK, KEYED, "", Sight.FLOW)


@_say("quarterback", "quarterback", "the quarterback if he keeps it, in the lane he would take")
def _quarterback() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        lane = s.threat_lanes.get("keep")
        if lane is not None:
            return lane
        return None if s.plan.eyes is None else s.lanes.edge(s.plan.eyes)

    return Alternative(find, Duty.QUARTERBACK, Leverage.OUTSIDE, KEYED, "quarterback, ", Sight.LATE)


@_say("pitch", "pitch", "the pitch man, in his lane")
def _pitch() -> Alternative:
    return Alternative(
        lambda s, d: s.threat_lanes.get("pitch"), Duty.PITCH, Leverage.OUTSIDE, KEYED, "pitch, ", Sight.LATE
    )


@_say("stay in conflict", "stay in conflict", "slow-play: pass first, feet still, no lane")
def _conflict() -> Alternative:
    return Alternative(lambda s, d: NO_LANE, Duty.CONFLICT, Leverage.PASS, KEYED, "in conflict", Sight.LATE)


@_say("man on (?P<who>key|#[1-4])", "man on key", "with that receiver, out of the fit")
def _man(who: str) -> Alternative:
    if who == "key":
        return Alternative(
            lambda s, d: NO_LANE if d.keys else None,
            Duty.MAN,
            Leverage.PASS,
            KEYED,
            "man on key",
            Sight.KEY,
            receiver=0,
        )
    i = int(who[1:])

    def find(s: AfterSnap, d: Aligned) -> int | None:
        return NO_LANE if d.side is not None and len(s.offense.view(d.side).receivers) >= i else None

    return Alternative(find, Duty.MAN, Leverage.PASS, KEYED, "man on " + who, Sight.BEFORE, receiver=i)


@_say("replace the crack", "replace the crack", "after contact, at the hip of the crack: outside him, as force")
def _replace() -> Alternative:
    def find(s: AfterSnap, d: Aligned) -> int | None:
        if d.side is None or not moving(s, "crack", d, " to my side"):
            return None
        return s.lanes.edge(d.side)

    return Alternative(find, Duty.REPLACE, Leverage.FORCE, REPLACE, "replaces the crack, ", Sight.TOLD)


@_say("alley", "alley", "inside out off the force on my side, no lane of his own")
def _alley() -> Alternative:
    return Alternative(lambda s, d: NO_LANE, Duty.ALLEY, Leverage.ALLEY, KEYED, "alley", Sight.BEFORE)


@_say("overlap", "overlap", "outside everything on my side, ready for a bounce, no lane of his own")
def _overlap() -> Alternative:
    return Alternative(lambda s, d: NO_LANE, Duty.OVERLAP, Leverage.OVERLAP, KEYED, "overlap", Sight.BEFORE)


@_say("pass first", "pass first", "in coverage, no lane")
def _pass() -> Alternative:
    return Alternative(lambda s, d: NO_LANE, Duty.PASS, Leverage.PASS, KEYED, "pass first", Sight.BEFORE)


@_say("free", "free", "no lane: to the ball, inside out")
def _free() -> Alternative:
    return Alternative(lambda s, d: NO_LANE, Duty.FREE, Leverage.HIP, KEYED, "free", Sight.BEFORE)
