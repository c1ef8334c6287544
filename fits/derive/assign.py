"""Pass: every defender's fit. Linemen first, then keyed linebackers, keyed secondary, two-gap men, scrapers,
free players, crack replacement; inside a phase from the ball outwards, play side first."""

from __future__ import annotations

from typing import NamedTuple

from fits.defense.align import Alignment, LiveRule
from fits.derive.parts import Job
from fits.errors import NoRule
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import NO_LANE, REPLACE, TWO_GAP, Alternative, two_gap_lanes
from fits.terms import Duty

Turn = tuple[int, Aligned, int, int]  # place in the order, man, rule and alternative he has come to


class Assigned(NamedTuple):
    """A rule that fired for a man: lane index or None, the alternative of it that was had, and what he is to do."""

    man: Aligned
    live: LiveRule
    target: Alternative
    lane: int | None
    job: Job


def assign_fits(alignment: Alignment, s: AfterSnap) -> dict[str, Assigned]:
    """Each defender's assignment. Fills `s.owners`. Raises NoRule when a man is left without a rule.

    A man whose fit belongs to a later phase waits for it, and is asked again then.
    """
    men = alignment.turns[s.play]  # by group, and the groups are the first phases
    rules = alignment.rules
    done: dict[str, Assigned] = {}
    waiting: list[list[Turn]] = [[], [], [], [], [], [], []]  # by phase, up to REPLACE
    for i, d in enumerate(men):
        _advance(alignment, rules[d.name], s, i, d, 0, 0, d.turn, waiting, done)
    for phase in range(TWO_GAP, REPLACE + 1):
        turns = waiting[phase]
        if turns:
            if len(turns) > 1:
                turns.sort()
            for i, d, rule, alternative in turns:
                _advance(alignment, rules[d.name], s, i, d, rule, alternative, phase, waiting, done)
            if phase == TWO_GAP:
                _settle_two_gap(alignment, s, men, done)
    return done


def _look(s: AfterSnap) -> str:
    return f"{s.plan.concept.called} to the {s.plan.play.word} from {s.offense.formation.called}"


def _advance(
    alignment: Alignment,
    rules: tuple[LiveRule, ...],
    s: AfterSnap,
    place: int,
    d: Aligned,
    start: int,
    alternative: int,
    phase: int,
    waiting: list[list[Turn]],
    done: dict[str, Assigned],
) -> None:
    """Gives the man the first fit of his rules that can be had, or has him wait for the phase of one that may be."""
    for i in range(start, len(rules)):
        live = rules[i]
        for test in () if alternative else live.tests:
            if not test(s, d):
                break
        else:
            for target in live.alternatives[alternative:] if alternative else live.alternatives:
                if target.phase > phase:
                    waiting[target.phase].append((place, d, i, live.alternatives.index(target)))
                    return
                lane = target.find(s, d)
                if lane is not None:
                    done[d.name] = _assigned(alignment.had, d, live, target, lane)
                    if lane != NO_LANE:
                        s.owners[lane].append(d.name)
                        s.lane_of[d.name] = lane
                    return
        alternative = 0
    raise NoRule(f"{alignment.call.name}: no fit rule holds for {d.name} against {_look(s)}")


def _assigned(
    had: dict[tuple[str, int, int, int], Assigned], d: Aligned, live: LiveRule, target: Alternative, found: int
) -> Assigned:
    """What becomes of him: the same in every play where he has that fit in that lane, so it is kept.

    What is kept holds the rule and the target, so that their identities are never used again.
    """
    key = d.name, id(live), id(target), found
    made = had.get(key)
    if made is None:
        lane = None if found == NO_LANE else found
        duty = Duty.FREE if lane is None and target.duty is Duty.SCRAPE else target.duty
        leverage = live.fired.rule.leverage or target.leverage
        job = Job(d.name, d.group.value, d.side, d.x, d.y, lane, leverage, duty)
        made = had[key] = Assigned(d, live, target, lane, job)
    return made


def _settle_two_gap(alignment: Alignment, s: AfterSnap, men: tuple[Aligned, ...], done: dict[str, Assigned]) -> None:
    """Two-gap men share out the lanes beside them so that as many as possible are owned (augmenting paths)."""
    two = [d for d in men if (a := done.get(d.name)) and a.target.duty is Duty.TWO_GAP]
    if not two:
        return
    for d in two:
        s.owners[s.lane_of.pop(d.name)].remove(d.name)
    holder: dict[int, Aligned] = {}
    for d in two:
        _place(s, d, holder, set())
    lanes = {d.name: lane for lane, d in holder.items()}
    for d in two:
        lane = lanes.get(d.name, two_gap_lanes(s, d)[0])
        s.lane_of[d.name] = lane
        _, live, target, *_ = done[d.name]
        done[d.name] = _assigned(alignment.had, d, live, target, lane)
    for d in two:
        s.owners[s.lane_of[d.name]].append(d.name)


def _place(s: AfterSnap, d: Aligned, holder: dict[int, Aligned], seen: set[int]) -> bool:
    """Finds him a lane, from which others make way as long as they find another."""
    for lane in two_gap_lanes(s, d):
        if lane not in seen and not s.owners[lane]:
            seen.add(lane)
            if lane not in holder or _place(s, holder[lane], holder, seen):
                holder[lane] = d
                return True
    return False
