"""Where a threat goes: the phrases of a concept's `where`, from the offense's side."""

from __future__ import annotations

from collections.abc import Callable

from fits.blocking.lanes import LaneMap
from fits.blocking.plan import BlockingPlan
from fits.field import Side
from fits.notation.phrase import Vocabulary

LanePhrase = Callable[[BlockingPlan, LaneMap], tuple[int | None, Side | None]]
LANE_PHRASES: Vocabulary[LanePhrase] = Vocabulary("a place for a threat")
_say = LANE_PHRASES.phrase


def _side(plan: BlockingPlan, word: str) -> Side | None:
    return plan.play if word == "play" else plan.play.other if word == "back" else plan.eyes


@_say(
    "(?P<inner>inner )?(?P<word>play|back|eyes) (?P<gap>[A-E])",
    "play B",
    "a static gap on the play, back or eyes side (when split its outer part, or its inner part with `inner`)",
)
def _gap(inner: str | None, word: str, gap: str) -> LanePhrase:
    def find(plan: BlockingPlan, lanes: LaneMap) -> tuple[int | None, Side | None]:
        side = _side(plan, word) or plan.play
        found = lanes.gap(side, gap, outer=not inner)
        return (lanes.edge(side) if found is None else found), side

    return find


@_say("(?P<word>play|back|eyes) edge", "back edge", "the outermost lane of that side")
def _edge(word: str) -> LanePhrase:
    def find(plan: BlockingPlan, lanes: LaneMap) -> tuple[int | None, Side | None]:
        side = _side(plan, word) or plan.play
        return lanes.edge(side), side

    return find


@_say(
    "(?P<word>inside|outside) (?:the )?(?P<part>[a-z ]+)", "inside the kicker", "beside the man with that part or label"
)
def _beside(word: str, part: str) -> LanePhrase:
    def find(plan: BlockingPlan, lanes: LaneMap) -> tuple[int | None, Side | None]:
        for role, names in plan.labels.items():
            if part in names:
                found = lanes.beside(role, word == "outside", plan.play)
                if found is not None:
                    return found, plan.play
        found = lanes.gap(plan.play, "B", outer=True)
        return (lanes.edge(plan.play) if found is None else found), plan.play

    return find


@_say("route", "route", "outside the run: a receiver who may get the ball, on the eyes side")
def _route() -> LanePhrase:
    return lambda plan, lanes: (None, plan.eyes)
