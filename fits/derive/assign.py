"""Pass: every defender's fit. Linemen first, then keyed linebackers, keyed secondary, two-gap men, scrapers,
free players, crack replacement; inside a phase from the ball outwards, play side first."""

from __future__ import annotations

from fits.defense.align import Alignment, LiveRule
from fits.errors import NoRule
from fits.rules.conditions import AfterTest
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import NO_LANE, REPLACE, TWO_GAP, Alternative, two_gap_lanes
from fits.terms import Duty
from fits.values import record

Turn = tuple[int, Aligned, int, int]  # place in the order, man, rule and alternative he has come to


@record
class Assigned:
    """A rule that fired for a man: lane index or None, and the alternative of it that was had."""

    live: LiveRule
    target: Alternative
    lane: int | None


def assign_fits(alignment: Alignment, s: AfterSnap) -> dict[str, Assigned]:
    """Each defender's assignment. Fills `s.owners`. Raises NoRule when a man is left without a rule.

    A man whose fit belongs to a later phase waits for it, and is asked again then.
    """
    men = alignment.turns[s.play]
    done: dict[str, Assigned] = {}
    waiting: list[list[Turn]] = [[] for _ in range(REPLACE + 1)]
    for i, d in enumerate(men):
        waiting[d.turn].append((i, d, 0, 0))
    for phase, turns in enumerate(waiting):
        if len(turns) > 1:
            turns.sort()
        for turn in turns:
            _advance(alignment, s, turn, phase, waiting, done)
        if phase == TWO_GAP:
            _settle_two_gap(s, men, done)
    return done


def _look(s: AfterSnap) -> str:
    return f"{s.plan.concept.name} to the {s.plan.play.word} from {s.offense.formation.name}"


def _advance(
    alignment: Alignment, s: AfterSnap, turn: Turn, phase: int, waiting: list[list[Turn]], done: dict[str, Assigned]
) -> None:
    """Gives the man the first fit of his rules that can be had, or has him wait for the phase of one that may be."""
    place, d, start, alternative = turn
    rules = alignment.rules[d.name]
    for i in range(start, len(rules)):
        live = rules[i]
        if live.tests and not alternative and not _hold(live.tests, s, d):
            continue
        targets = live.alternatives
        for k in range(alternative, len(targets)):
            target = targets[k]
            if target.phase > phase:
                waiting[target.phase].append((place, d, i, k))
                return
            lane = target.find(s, d)
            if lane is not None:
                if lane == NO_LANE:
                    done[d.name] = Assigned(live, target, None)
                else:
                    done[d.name] = Assigned(live, target, lane)
                    s.owners[lane].append(d.name)
                    s.lane_of[d.name] = lane
                return
        alternative = 0
    raise NoRule(f"{alignment.call.name}: no fit rule holds for {d.name} against {_look(s)}")


def _hold(tests: tuple[AfterTest, ...], s: AfterSnap, d: Aligned) -> bool:
    for test in tests:  # noqa: SIM110 - a generator costs more than the tests
        if not test(s, d):
            return False
    return True


def _settle_two_gap(s: AfterSnap, men: tuple[Aligned, ...], done: dict[str, Assigned]) -> None:
    """Two-gap men share out the lanes beside them so that as many as possible are owned (augmenting paths)."""
    two = [d for d in men if (a := done.get(d.name)) and a.target.duty is Duty.TWO_GAP]
    if not two:
        return
    for d in two:
        s.owners[s.lane_of.pop(d.name)].remove(d.name)
    holder: dict[int, Aligned] = {}

    def place(d: Aligned, seen: set[int]) -> bool:
        for lane in two_gap_lanes(s, d):
            if lane not in seen and not s.owners[lane]:
                seen.add(lane)
                if lane not in holder or place(holder[lane], seen):
                    holder[lane] = d
                    return True
        return False

    for d in two:
        place(d, set())
    lanes = {d.name: lane for lane, d in holder.items()}
    for d in two:
        lane = lanes.get(d.name, two_gap_lanes(s, d)[0])
        s.lane_of[d.name] = lane
        done[d.name] = Assigned(done[d.name].live, done[d.name].target, lane)
    for d in two:
        s.owners[s.lane_of[d.name]].append(d.name)
