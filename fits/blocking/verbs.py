"""What blockers can do: each verb's first step, how it finds its man, and where he ends. Common practice.

A concept names verbs; nothing here knows a concept. `way` names how the man is found: by `fits.blocking.solve` for
those who stay in their places, by `fits.blocking.seek` for movers and for those who block in space.
"""

from __future__ import annotations

from fits.blocking.levels import Man
from fits.blocking.plan import Verb
from fits.field import Side
from fits.notation.phrase import Vocabulary
from fits.offense.formation import OffensiveMan
from fits.terms import Step

VERBS: Vocabulary[Verb] = Vocabulary("a block")

_PLAIN = (
    # text, step, order, counts, moves, place, rank, way, meaning
    ("zone", "zone", 0, True, False, "stay", 0, "zone",
     "steps to the play side; covered takes his man, uncovered doubles with the man beside him and climbs"),
    ("zone off", "zone", 1, True, False, "stay", 0, "climb",
     "the same step, leaving the man on him or outside him to somebody else; climbs"),
    ("climb", "in", 1, True, False, "stay", 0, "climb", "leaves the line alone and goes up to the backer inside"),
    ("reach", "zone", 0, True, False, "stay", 0, "reach", "the same, flat and wide, for the outside shoulder"),
    ("base", "straight", 0, True, False, "stay", 0, "base", "the man on him; with a neighbour the man between them"),
    ("lock", "zone", 0, True, False, "stay", 0, "lock",
     "the man on him or just outside, alone, with the step of zone: nobody reads that man"),
    ("block out", "out", 0, True, False, "stay", 0, "out", "the man on him or outside him, turned out"),
    ("down", "in", 0, True, False, "stay", 0, "down",
     "the first man inside, then the man on him, then the backer; a man outside goes to the kick"),
    ("pin", "in", 0, True, False, "stay", 0, "pin", "holds the man inside while others pull around"),
    ("back", "in", 0, True, False, "stay", 0, "back",
     "the man whom the puller leaves, to the back side; a nose with the play side guard"),
    ("double", "toward", 1, True, False, "stay", 0, "double",
     "two on the man between them or head up on one of them, then the backer"),
    ("double inside", "in", 1, True, False, "stay", 0, "down", "two on the man inside, then the backer"),
    ("hinge", "in", 1, True, False, "stay", 0, "hinge", "fills inside, then swings out on the back side"),
    ("cut off", "in", 1, True, False, "stay", 0, "cut off", "keeps the back side man from following"),
    ("set", "set", 1, True, False, "stay", 0, "set", "pass set on the man on him, else goes up late to the backer"),
    ("pull and kick", "pull", 3, True, True, "edge", 4, "kick",
     "pulls and kicks out the first man outside the last down block"),
    ("pull and wrap", "pull", 4, True, True, "edge", 1, "backer",
     "pulls and turns up inside the kick on the play side inside backer"),
    ("pull around", "pull", 4, True, True, "edge", 2, "backer",
     "pulls around everything blocked down, on the play side inside backer"),
    ("pull and lead", "pull", 4, True, True, "edge", 3, "edge",
     "pulls wide: the first man outside, the next man takes the backer"),
    ("pull and trap", "pull", 3, True, True, "target", 0, "trap", "traps the first lineman on or outside the guard"),
    ("kick", "straight", 2, True, True, "edge", 5, "kick", "kicks out the first man outside the last down block"),
    ("cross and kick", "cross", 2, True, True, "edge", 5, "kick",
     "crosses the formation and kicks out the first man outside"),
    ("cross and wrap", "cross", 4, True, True, "edge", 1, "backer",
     "crosses and turns up inside the kick on the play side inside backer"),
    ("cross and trap", "cross", 2, True, True, "target", 0, "interior",
     "crosses and traps the inside man who is left for him"),
    ("lead through the bubble", "straight", 4, True, True, "bubble", 0, "backer",
     "leads through the first gap without a lineman, on the play side inside backer"),
    ("lead outside", "straight", 5, True, True, "edge", 3, "edge", "leads around the end on the first man outside"),
    ("crack", "crack", 1, True, True, "edge", 0, "crack",
     "a wide man blocks in on the first man inside him who stands outside the tackle"),
    ("arc", "arc", 6, False, True, "away", 0, "arc",
     "releases around the end to the force player or the alley: no longer a run blocker"),
    ("release", "arc", 7, False, True, "away", 0, "", "leaves on a route"),
    ("stalk", "straight", 7, False, False, "stay", 0, "stalk",
     "blocks the man over him in space, or the near force player where nobody is"),
    ("route", "straight", 7, False, True, "away", 0, "", "runs the route that goes with the run"),
    ("fake", "straight", 7, False, False, "stay", 0, "", "fakes and is gone"),
    ("carry", "straight", 7, False, False, "stay", 0, "", "has or may get the ball"),
    ("read", "straight", 7, False, False, "stay", 0, "", "reads the man left unblocked"),
    ("check off", "straight", 7, False, False, "stay", 0, "check off",
     "the play is not run to this side: he has a man whom nobody else can have, or it has nobody to be run at"),
)  # fmt: skip


def _register() -> None:
    for text, step, order, counts, moves, place, rank, way, meaning in _PLAIN:
        _one(text, step, order, counts, moves, place, rank, way, meaning)


def _one(
    text: str, step: str, order: int, counts: bool, moves: bool, place: str, rank: int, way: str, meaning: str
) -> None:
    @VERBS.phrase(f"{text}(?P<back> on the back side)?", text, meaning)
    def build(back: str | None) -> Verb:
        return Verb(text, step, order, counts, moves, place, rank, bool(back), way)


_register()


@VERBS.phrase("lead through (?P<gap>[A-D])", "lead through B", "leads through that gap on the play side backer")
def _lead_gap(gap: str) -> Verb:
    return Verb(f"lead through {gap}", "straight", 4, True, True, gap, 0, False, "backer")


_STEPS = {step.value: step for step in Step}


def first_step(verb: Verb, man: OffensiveMan, on: Man | None, play: Side) -> Step:
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
