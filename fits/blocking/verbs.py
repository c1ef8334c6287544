"""What blockers can do: each verb's first step, whom it takes and where it ends. Common practice.

A concept names verbs; nothing here knows a concept.
"""

from __future__ import annotations

from collections.abc import Iterable

from fits.blocking.front import Front, Man
from fits.blocking.plan import Pick, Plan, Ranking, Verb
from fits.field import Side
from fits.notation.phrase import Vocabulary
from fits.offense.formation import Player
from fits.terms import Step

VERBS: Vocabulary[Verb] = Vocabulary("a block")


def _nobody(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    return []


def _near(men: Iterable[Man], x: float, play: Side, most: int = 1) -> list[Pick]:
    """Those men, the nearest to a spot first; of two equally near the lower, then the one to the play side."""
    return [Pick(m, most) for m in sorted(men, key=lambda m: (abs(m.x - x), m.y, -m.x * play))]


def _over(front: Front, man: Player) -> list[Pick]:
    over = front.cover.get(man.role)
    return [Pick(over[0], 1)] if over else []


def _backer(plan: Plan, front: Front, man: Player, toward: int) -> list[Pick]:
    """Linebackers by how near they are to a spot a yard and a half that way."""
    return _near([m for m in front.second if abs(m.x - man.x) < 6.5], man.x + 1.5 * toward, plan.play)


def _zone(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    play = plan.play
    gap = [m for m in front.first if 0.3 < (m.x - man.x) * play < 1.4]
    return _over(front, man) + _near(gap, man.x, play) + _backer(plan, front, man, play)


def _zone_off(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    return _backer(plan, front, man, plan.play)


def _climb(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    return _backer(plan, front, man, _inward(man, plan))


def _base(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    beside = [m for m in front.first if abs(m.x - man.x) < 1.5]
    return _over(front, man) + _near(beside, man.x, plan.play) + _backer(plan, front, man, 0)


def _inward(man: Player, plan: Plan) -> int:
    if abs(man.x) < 0.25:
        return -plan.play
    return -1 if man.x > 0 else 1


def _down(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    way = _inward(man, plan)
    inside = _near([m for m in front.first if 0.1 < (m.x - man.x) * way < 2.4], man.x, plan.play)
    double = []  # a double-team on the way
    if abs(man.x) > 0.25 and inside and abs(inside[0].man.x - man.x) < 1.5:
        double = [Pick(inside[0].man, 2)]
    return inside + double + _backer(plan, front, man, way)


def _back(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    play = plan.play
    behind = [m for m in front.first if -2.8 < (m.x - man.x) * play <= 0.3]
    return _near(behind, man.x - play, play) + _base(plan, front, man, side)


def _double(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    over = front.cover.get(man.role)
    near = [over[0]] if over else [m for m in front.first if abs(m.x - man.x) < 1.7]
    near.sort(key=lambda m: (abs(m.x - man.x), -m.x * plan.play))
    return [Pick(m, 2) for m in near] + _backer(plan, front, man, 0)


def _double_inside(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    way = _inward(man, plan)
    inside = _near([m for m in front.first if 0.1 < (m.x - man.x) * way < 2.4], man.x, plan.play, 2)
    return inside + _backer(plan, front, man, way)


def _outside(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    outside = [m for m in front.first if -0.5 < (m.x - man.x) * side < 2.6]
    return _near(outside, man.x + side, plan.play) + _backer(plan, front, man, side)


def _end_man(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    tackle = plan.offense.view(side).surface[1].x
    ends = [m for m in front.first if (m.x - tackle) * side > -0.7]
    ends.sort(key=lambda m: -m.x * side)
    return [Pick(m, 1) for m in ends] + _overhang(plan, front, man, side)


def _overhang(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    edge = plan.offense.view(side).surface[-1].x
    return _near([m for m in (*front.first, *front.second) if -0.2 < (m.x - edge) * side < 7], edge, plan.play)


def _play_backer(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    tackle = plan.offense.view(side).surface[1].x
    return _near([m for m in front.second if m.x * side > -2.5 and abs(m.x) < 7], tackle, plan.play)


def _first_past_centre(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    return _near([m for m in front.first if m.x * side > 0.3], 0.0, plan.play)


def _interior(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    inner = [m for m in front.first if abs(m.x) < 2.7]
    inner.sort(key=lambda m: (abs(m.x), -m.x * plan.play))
    return [Pick(m, 1) for m in inner]


def _bubble_backer(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    return _near(front.second, 1.6 * side, plan.play)


def _over_receiver(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    return _near([m for m in (*front.deep, *front.second) if abs(m.x - man.x) < 7], man.x, plan.play)


def _crack_man(plan: Plan, front: Front, man: Player, side: Side) -> list[Pick]:
    edge = plan.offense.view(side).surface[-1].x
    inside = [m for m in (*front.first, *front.second) if (man.x - m.x) * side > 0.5 and (m.x - edge) * side > -0.6]
    inside.sort(key=lambda m: (m.y > 6.5, abs(m.x - edge), m.y, -m.x * plan.play))
    return [Pick(m, 1) for m in inside]


_PLAIN = (
    # text, step, order, counts, moves, place, rank, chooser, meaning
    (
        "zone",
        "zone",
        0,
        True,
        False,
        "stay",
        0,
        _zone,
        "steps to the play side; covered takes his man, uncovered doubles and climbs",
    ),
    (
        "zone off",
        "zone",
        1,
        True,
        False,
        "stay",
        0,
        _zone_off,
        "the same step, leaving the man over him to somebody else; climbs",
    ),
    ("climb", "in", 1, True, False, "stay", 0, _climb, "leaves the line alone and goes up to the backer inside"),
    ("reach", "zone", 0, True, False, "stay", 0, _zone, "the same, flat and wide, for the outside shoulder"),
    ("base", "straight", 0, True, False, "stay", 0, _base, "the man over him"),
    ("block out", "out", 0, True, False, "stay", 0, _outside, "the man outside him"),
    ("down", "in", 0, True, False, "stay", 0, _down, "the first man inside, else the backer inside"),
    ("pin", "in", 0, True, False, "stay", 0, _down, "holds the man inside while others pull around"),
    ("back", "in", 0, True, False, "stay", 0, _back, "the first man to the back side"),
    ("double", "toward", 1, True, False, "stay", 0, _double, "two on one lineman, then the backer"),
    ("double inside", "in", 1, True, False, "stay", 0, _double_inside, "two on the man inside, then the backer"),
    ("hinge", "in", 1, True, False, "stay", 0, _base, "fills inside, then swings out on the back side"),
    ("cut off", "in", 1, True, False, "stay", 0, _down, "keeps the back side man from following"),
    ("set", "set", 1, True, False, "stay", 0, _base, "pass set, then lets his man go by"),
    ("pull and kick", "pull", 3, True, True, "edge", 4, _end_man, "pulls and kicks out the end man"),
    (
        "pull and wrap",
        "pull",
        4,
        True,
        True,
        "edge",
        1,
        _play_backer,
        "pulls and turns up inside the kick on the backer",
    ),
    ("pull around", "pull", 4, True, True, "edge", 2, _overhang, "pulls around everything blocked down"),
    ("pull and lead", "pull", 4, True, True, "edge", 3, _overhang, "pulls wide and leads"),
    (
        "pull and trap",
        "pull",
        3,
        True,
        True,
        "target",
        0,
        _first_past_centre,
        "traps the first free lineman past the centre",
    ),
    ("kick", "straight", 2, True, True, "edge", 5, _end_man, "kicks out the end man"),
    ("cross and kick", "cross", 2, True, True, "edge", 5, _end_man, "crosses the formation and kicks out the end man"),
    ("cross and wrap", "cross", 4, True, True, "edge", 1, _play_backer, "crosses and turns up inside the kick"),
    ("cross and trap", "cross", 2, True, True, "target", 0, _interior, "crosses and traps the free man inside"),
    (
        "lead through the bubble",
        "straight",
        4,
        True,
        True,
        "bubble",
        0,
        _bubble_backer,
        "leads through the first gap without a lineman",
    ),
    ("lead outside", "straight", 4, True, True, "edge", 3, _overhang, "leads around the end"),
    ("crack", "crack", 1, True, True, "edge", 0, _crack_man, "a wide man blocks in on the force player"),
    (
        "arc",
        "arc",
        5,
        False,
        True,
        "away",
        0,
        _overhang,
        "releases around the end to the perimeter: no longer a run blocker",
    ),
    ("release", "arc", 5, False, True, "away", 0, _nobody, "leaves on a route"),
    ("stalk", "straight", 5, False, False, "stay", 0, _over_receiver, "blocks the man over him in space"),
    ("route", "straight", 5, False, True, "away", 0, _nobody, "runs the route that goes with the run"),
    ("fake", "straight", 5, False, False, "stay", 0, _nobody, "fakes and is gone"),
    ("carry", "straight", 5, False, False, "stay", 0, _nobody, "has or may get the ball"),
    ("read", "straight", 5, False, False, "stay", 0, _nobody, "reads the man left unblocked"),
)


def _register() -> None:
    for text, step, order, counts, moves, place, rank, rank_men, meaning in _PLAIN:
        _one(text, step, order, counts, moves, place, rank, rank_men, meaning)


def _one(
    text: str, step: str, order: int, counts: bool, moves: bool, place: str, rank: int, rank_men: Ranking, meaning: str
) -> None:
    @VERBS.phrase(f"{text}(?P<back> on the back side)?", text, meaning)
    def build(back: str | None) -> Verb:
        return Verb(text, step, order, counts, moves, place, rank, bool(back), rank_men)


_register()


@VERBS.phrase("lead through (?P<gap>[A-D])", "lead through B", "leads through that gap on the play side")
def _lead_gap(gap: str) -> Verb:
    return Verb(f"lead through {gap}", "straight", 4, True, True, gap, 0, False, _bubble_backer)


_STEPS = {step.value: step for step in Step}


def first_step(verb: Verb, man: Player, on: Man | None, play: Side) -> Step:
    """The step a defender sees. For the centre `out` is to the play side and `in` to the back side."""
    if verb.step == "zone":
        return Step.OUT if man.x * play > -0.25 else Step.IN
    if verb.step == "toward":
        if on is None or abs(on.x - man.x) < 0.25 or on.y > 2.2:
            return Step.STRAIGHT
        if abs(man.x) < 0.25:
            return Step.OUT if (on.x - man.x) * play > 0 else Step.IN
        return Step.IN if abs(on.x) < abs(man.x) else Step.OUT
    return _STEPS[verb.step]
