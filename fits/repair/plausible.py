"""What no coach would call: small rules, each with its football reason. All common practice.

A change of one man is shown to each of them; one that breaks a rule is never offered, however sound it would be.
"""

from __future__ import annotations

from collections.abc import Callable

from fits.defense.align import Alignment
from fits.defense.duties import MIDDLE, is_deep
from fits.defense.roles import Group
from fits.defense.system import FitRule
from fits.derive.look import Defender, Look
from fits.field import LEFT, RIGHT
from fits.repair.sight import knows_where, too_far, unseen
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import compile_fit
from fits.terms import Duty, Leverage
from fits.values import value

WAY = {"line": 2.3, "linebacker": 7.5, "secondary": 10.0}  # yards sideways a man can be sent
LETTERS = "ABCDEF"
OVER_BALL = 0.5  # yards: who stands so near to the ball is of no side
INSIDE_DEPTH = 8.0  # yards: from deeper nobody is in time for a gap inside the tackle
ON_LINE = 2.0  # yards: who stands so near to the line plays like a lineman, whatever his group
WAITING = (Duty.QUARTERBACK, Duty.PITCH)


@value
class Change:
    """One man of a repair: how he lines up (`d`), what he did and does, and the look with the change.

    `reads` are men of the offense whom the new rule has him read besides his keys. `alignment` and `s` are those of
    the look before.
    """

    d: Aligned
    was: Defender
    now: Defender
    rule: FitRule
    reads: tuple[str, ...]
    look: Look
    alignment: Alignment
    s: AfterSnap

    @property
    def moved(self) -> bool:
        """True when he has a lane now, and another one than before."""
        return self.now.lane is not None and self.now.lane != self.was.lane

    @property
    def gaps(self) -> tuple[str, ...]:
        """The static gaps of his lane: `right B`."""
        return () if self.now.lane is None else self.look.lanes[self.now.lane].gaps

    @property
    def inside(self) -> bool:
        """True when his lane is inside a tackle: an A or a B gap and nothing outside it."""
        return bool(self.gaps) and all(gap[-1] in "AB" for gap in self.gaps)


@value
class Plausible:
    """A rule: its permanent name, the reason as a coach would give it, and the test that a change passes."""

    name: str
    why: str
    holds: Callable[[Change], bool]


def _corner_stays_outside(c: Change) -> bool:
    if not c.moved or c.d.side is None or c.d.group is not Group.SECONDARY:
        return True
    others = [m for m in c.alignment.men if m.group is Group.SECONDARY and m.side is c.d.side and m is not c.d]
    if any(abs(m.x) > abs(c.d.x) for m in others):
        return True
    return c.now.lane == c.s.lanes.edge(c.d.side) or c.now.duty in WAITING


def _lineman_one_gap(c: Change) -> bool:
    if not c.moved or not (c.d.group is Group.LINE or c.d.y <= ON_LINE) or c.now.duty in WAITING:
        return True
    at = c.d.to_x
    if abs(at) <= OVER_BALL:
        return any(gap[-1] == "A" for gap in c.gaps) if c.gaps else abs(c.now.fit_x - at) <= WAY["line"]
    side = RIGHT if at > 0 else LEFT
    mine = [gap[-1] for gap in c.gaps if gap.startswith(side.word)]
    if c.gaps and not mine:
        return False
    if c.now.fit_x * at < 0:
        return False
    if not mine or c.d.gap is None:
        return abs(c.now.fit_x - at) <= WAY["line"]
    return min([abs(LETTERS.index(letter) - LETTERS.index(c.d.gap)) for letter in mine]) <= 1


def _deep_middle_stays(c: Change) -> bool:
    return not c.moved or c.d.takes != MIDDLE


def _deep_part_not_inside(c: Change) -> bool:
    return not (c.moved and is_deep(c.d.takes) and c.inside)


def _too_deep_for_inside(c: Change) -> bool:
    return not (c.moved and c.inside and c.d.group is Group.SECONDARY and c.d.y > INSIDE_DEPTH)


def _outside_man_not_in_a(c: Change) -> bool:
    side = c.d.side
    if not c.moved or side is None or c.now.duty in WAITING:
        return True
    view = c.s.offense.view(side)
    return abs(c.d.x) <= abs(view.tackle.x) + OVER_BALL or abs(c.now.fit_x) >= abs(view.surface[0].x)


def _inside_man_runs_with_it(c: Change) -> bool:
    side = c.d.side
    if not c.moved or side is None or c.d.group is not Group.LINEBACKER or c.d.y <= ON_LINE:
        return True
    if abs(c.d.x) > abs(c.s.offense.view(side).tackle.x) + OVER_BALL or c.now.duty in WAITING:
        return True
    return c.now.lane != c.s.lanes.edge(c.s.play.other)


def _one_neighbour(c: Change) -> bool:
    if not c.moved:
        return True
    line = c.d.group is Group.LINE
    crossed = 0
    for o in c.look.defenders:
        if o.role == c.d.name or o.lane is None or (o.group == "line") is not line:
            continue
        before, after = c.d.to_x - (o.path[-1][0] if o.path else o.x), c.now.fit_x - o.fit_x
        crossed += before * after < 0
    return crossed <= 1


def _near_enough(c: Change) -> bool:
    return not c.moved or abs(c.now.fit_x - c.d.to_x) <= WAY[c.d.group.value] + 1e-9 or c.now.duty in WAITING


def _not_against_flow(c: Change) -> bool:
    if not c.moved or c.d.group is Group.LINE or c.now.duty in WAITING:
        return True
    return not (c.d.x * c.s.play > OVER_BALL and c.now.fit_x * c.s.play < -OVER_BALL)


def _safety_on_his_side(c: Change) -> bool:
    if not c.moved or c.d.group is not Group.SECONDARY or c.d.side is None or c.now.duty in WAITING:
        return True
    return c.now.fit_x * c.d.side > -OVER_BALL


def _receiver_first(c: Change) -> bool:
    if not c.moved or c.d.side is None or c.d.takes != "#1":
        return True
    receivers = c.s.offense.view(c.d.side).receivers
    job = c.s.blocks.jobs[receivers[0].role] if receivers else None
    return job is None or job.counts or job.helps or c.now.duty in WAITING


def _pass_set_pass_first(c: Change) -> bool:
    pass_set = "draw" in c.s.flags
    return not (c.moved and pass_set and c.d.takes and c.d.group is Group.SECONDARY)


def _sees_when(c: Change) -> bool:
    return not unseen(c.rule, c.d) and not too_far(c.d, c.s, c.reads)


def _knows_where(c: Change) -> bool:
    return all(knows_where(t, c.d) for t in compile_fit(c.rule.fit))


def _no_free_rider(c: Change) -> bool:
    return not c.moved or c.now.lane is None or len(c.look.lanes[c.now.lane].owners) <= 2


def _force_outside(c: Change) -> bool:
    edge = c.d.side is not None and c.now.lane == c.s.lanes.edge(c.d.side)
    return c.now.leverage != Leverage.FORCE or edge


RULES: tuple[Plausible, ...] = (
    Plausible(
        "corner-outside", "A corner is the widest man and the lightest: from out there he turns the ball in at the "
        "edge, he is no use in a gap between linemen.", _corner_stays_outside,
    ),
    Plausible(
        "lineman-one-gap", "A man on the line has a blocker on him: he slants one gap, he does not go around another "
        "blocker or over to the other side of the ball.", _lineman_one_gap,
    ),
    Plausible(
        "deep-middle-stays", "Behind the man in the deep middle there is nobody: if he is into the line, the first "
        "play action is a touchdown.", _deep_middle_stays,
    ),
    Plausible(
        "deep-part-not-inside", "A man with a deep half or third is back there for the pass; at most he comes up "
        "outside.", _deep_part_not_inside,
    ),
    Plausible(
        "too-deep-for-inside", "Inside the tackle the ball is through before a man gets there from eight yards.",
        _too_deep_for_inside,
    ),
    Plausible(
        "outside-man-not-in-a", "Who lines up outside the tackle may fold to the next gap or two; the A gap is too far "
        "in for him and full of linemen.", _outside_man_not_in_a,
    ),
    Plausible(
        "inside-man-runs-with-it", "A backer inside the tackles runs with the ball: the edge behind it belongs to "
        "a man who stands there.", _inside_man_runs_with_it,
    ),
    Plausible(
        "one-neighbour", "Two men can exchange; whoever crosses more of them runs into his own team mates.",
        _one_neighbour,
    ),
    Plausible("near-enough", "A gap for a lineman, three for a backer: farther is no fit but pursuit.", _near_enough),
    Plausible(
        "not-against-flow", "A man to whom the run comes plays it: he is not sent behind the ball, against "
        "his own eyes.", _not_against_flow,
    ),
    Plausible(
        "safety-on-his-side", "A safety of one side who fits on the other leaves his own receivers and comes late.",
        _safety_on_his_side,
    ),
    Plausible(
        "number-one-first", "Who has #1 stays with him while he may still go out: nobody else is out there.",
        _receiver_first,
    ),
    Plausible(
        "pass-set-pass-first", "The line sets to pass: a man of the secondary who has something to cover covers it, "
        "whatever the ball does later.", _pass_set_pass_first,
    ),
    Plausible(
        "sees-when", "He plays what he sees before he must go: formation, his keys, flow, a block he feels. What is "
        "open or owned, or shows at the mesh, he cannot know.", _sees_when,
    ),
    Plausible("knows-where", "Where he shall go he must be able to see as well.", _knows_where),
    Plausible("no-third-man", "A third man in one lane is wasted: two are there already.", _no_free_rider),
    Plausible(
        "force-outside", "Force is played from the outermost lane: from any other one the ball is outside him.",
        _force_outside,
    ),
)  # fmt: skip


def broken(change: Change) -> tuple[str, ...]:
    """The names of the rules that the change breaks."""
    return tuple([rule.name for rule in RULES if not rule.holds(change)])


def keeps_numbers(before: Look, after: Look) -> bool:
    """True when no side is left with fewer pass defenders than it needs, or than it had where it was short already.

    Common practice: a fit is not repaired by leaving a receiver uncovered.
    """
    return all(
        len(b.defenders) >= min(len(a.defenders), len(a.receivers))
        for a, b in zip(before.passes, after.passes, strict=True)
    )
