"""The order of the passes, nothing else: offense, alignment, blocks, lanes, threats, fits, numbers, margins, audit."""

from __future__ import annotations

from collections.abc import Mapping

from fits.audit.band import judge
from fits.audit.evidence import Evidence
from fits.audit.registry import audit
from fits.blocking.concepts import STEPS
from fits.blocking.lanes import LaneMap
from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import Blocks, resolve_blocks
from fits.defense.align import Alignment
from fits.derive.account import PlayAccount
from fits.derive.assign import Assigned, assign_fits
from fits.derive.ground import Ground, lay_ground
from fits.derive.look import Look
from fits.derive.margins import FIT_DEPTH, GROUP_WORDS, arrival_s, margin_s, travels
from fits.derive.numbers import count_pass
from fits.derive.owners import own_threats
from fits.derive.parts import Account, Defender, Lane, PassSide, Threat
from fits.derive.threats import Course
from fits.errors import BadRequest
from fits.field import COLLEGE, Hash, RuleBook
from fits.offense.formation import Formation, Offense, read_offense
from fits.offense.legality import refuse_illegal
from fits.offense.motion import Motion, MotionKind, apply_motion, find_mover
from fits.rules.snap import AfterSnap, Aligned
from fits.terms import Duty, Step
from fits.timing import Pace, Speed
from fits.values import value

new_tuple = tuple.__new__  # makes a NamedTuple at a third of its own price


@value
class Lineup:
    """A formation at the snap, as called for: flipped, on its hash, after motion."""

    formation: str
    offense: Offense
    flip: bool
    motion: str | None


def snap_offense(
    formation: Formation,
    flip: bool = False,
    hash_: Hash = Hash.MIDDLE,
    motion: Motion | None = None,
    book: RuleBook = COLLEGE,
) -> Lineup:
    """The offense the defense sees at the snap. Raises IllegalFormation, NotRunnable."""
    placed = formation.mirrored() if flip else formation
    refuse_illegal(placed, book, hash_)
    mover, lined_up, how = None, placed, ""
    if motion is not None:
        man = find_mover(placed, motion)
        placed = apply_motion(placed, motion)
        if man and motion.kind is MotionKind.MOTION:  # a shift is over at the snap
            mover, how = man.role, motion.speed
        refuse_illegal(placed, book, hash_)
    offense = read_offense(placed, hash_, book, mover, lined_up, how)
    return Lineup(formation.name, offense, flip, motion.name if motion else None)


def derive_play(
    alignment: Alignment,
    plan: BlockingPlan,
    snap: Lineup,
    options: tuple[str, ...],
    first_steps: Mapping[str, str] | None,
    pace: Pace,
    roster: Mapping[str, Speed] | None,
) -> Look:
    """The look of a plan against an alignment of the same offense. Raises NotRunnable, NoRule, BadRequest."""
    s, blocks, lanes, courses, steps = prepare_play(alignment, plan, first_steps, pace)
    done = assign_fits(alignment, s)
    passes = count_pass(alignment, plan.offense, blocks, done)
    account = PlayAccount(alignment, s, done)
    defenders = tuple([_defender(d, done[d.name], s, account, lanes, pace, roster) for d in alignment.men])
    threats = own_threats(courses, s.owners, defenders, alignment, passes)
    made = _lanes(lanes, s, threats)
    evidence = _evidence(alignment, plan, blocks, steps, made, threats, defenders, passes)
    findings = audit(evidence)
    return Look(
        alignment.call.name,
        snap.formation,
        plan.concept.name,
        plan.play,
        snap.flip,
        plan.offense.hash,
        snap.motion,
        options,
        tuple(sorted((first_steps or {}).items())),
        alignment.strength,
        plan.eyes,
        plan.offense.formation.players,
        account,
        made,
        threats,
        defenders,
        passes,
        findings,
        judge(evidence, findings),
        blocks.left_alone,
        alignment.call.frame,
        alignment.yard_line,
        alignment.call.pressure.name if alignment.call.pressure else None,
        alignment.replaced,
    )


def _lanes(lanes: LaneMap, s: AfterSnap, threats: tuple[Threat, ...]) -> tuple[Lane, ...]:
    owners = s.owners
    in_lane: list[tuple[str, ...]] = [()] * len(owners)
    for t in threats:
        if t.lane is not None:
            in_lane[t.lane] = (*in_lane[t.lane], t.kind)
    return tuple(
        [
            new_tuple(
                Lane, (i, p.name, p.gaps, p.left, p.right, p.x, tuple(sorted(owners[i])), in_lane[i], round(ball_s, 3))
            )
            for i, (p, ball_s) in enumerate(zip(lanes.spaces, s.ball_s, strict=True))
        ]
    )


def _evidence(
    alignment: Alignment,
    plan: BlockingPlan,
    blocks: Blocks,
    steps: Mapping[str, Step],
    lanes: tuple[Lane, ...],
    threats: tuple[Threat, ...],
    defenders: tuple[Defender, ...],
    passes: tuple[PassSide, ...],
) -> Evidence:
    cracked, mover_on = [], {}
    on: dict[str, list[str]] = {}
    for role, job in blocks.jobs.items():
        if job.on is not None:
            on.setdefault(job.on.name, []).append(role)
            if steps[role] is Step.CRACK:
                cracked.append(job.on.name)
            if job.verb.moves:
                mover_on[job.on.name] = role
    return Evidence(
        plan.play,
        plan.eyes,
        plan.concept.flags,
        lanes,
        threats,
        defenders,
        {d.role: d for d in defenders},
        passes,
        alignment.force,
        alignment.takes,
        cracked,
        mover_on,
        [lane.index for lane in lanes if not lane.owners],
        plan.offense,
        blocks.jobs,
        on,
        alignment.stands,
        alignment.duty_gaps,
    )


def prepare_play(
    alignment: Alignment, plan: BlockingPlan, first_steps: Mapping[str, str] | None, pace: Pace
) -> tuple[AfterSnap, Blocks, LaneMap, tuple[Course, ...], dict[str, Step]]:
    """The play before any defender moves: blocks, lanes, threats and the steps the defense sees."""
    blocks = resolve_blocks(plan, alignment.front)
    steps = {role: job.step for role, job in blocks.jobs.items()}
    if first_steps:
        _what_if(steps, first_steps)
    ground = lay_ground(plan, blocks, pace)
    return _after_snap(alignment, plan, blocks, ground, steps), blocks, ground.lanes, ground.courses, steps


def _what_if(steps: dict[str, Step], first_steps: Mapping[str, str]) -> None:
    for role, step in first_steps.items():
        if role not in steps:
            raise BadRequest(f"first step: expected a role of the offense ({', '.join(sorted(steps))}), got {role!r}")
        if step not in STEPS:
            raise BadRequest(f"first step of {role}: expected one of {', '.join(STEPS)}, got {step!r}")
        steps[role] = Step(step)


def _after_snap(
    alignment: Alignment, plan: BlockingPlan, blocks: Blocks, ground: Ground, steps: Mapping[str, Step]
) -> AfterSnap:
    movers = [j for j in blocks.jobs.values() if j.verb.moves and j.counts]
    if len(movers) > 1:
        movers.sort(key=lambda j: (abs(j.end_x), j.end_x * plan.play))
    threat_lanes: dict[str, int | None] = {}
    aim: int | None = None
    for c in ground.courses:
        threat_lanes.setdefault(c.kind, c.lane)
        aim = c.lane if aim is None else aim
    spaces = ground.lanes.spaces
    return AfterSnap(
        plan.offense,
        alignment.strength,
        plan,
        alignment.front,
        blocks,
        ground.lanes,
        steps,
        tuple(movers),
        plan.play,
        plan.concept.flags,
        [[] for _ in spaces],
        {},
        threat_lanes,
        0.0 if aim is None else spaces[aim].x,
        ground.ball_s,
    )


def _defender(
    d: Aligned,
    done: Assigned,
    s: AfterSnap,
    account: Account,
    lanes: LaneMap,
    pace: Pace,
    roster: Mapping[str, Speed] | None,
) -> Defender:
    live, target, lane = done.live, done.target, done.lane
    rule = live.fired.rule
    duty, fit = target.duty, target.words
    margin: float | None = None
    arrives: float | None = None
    fit_x, fit_y = d.x, d.y
    if lane is None:
        if duty is Duty.SCRAPE or duty is Duty.FREE:
            duty = Duty.FREE
            fit_x, fit_y = s.aim_x * 0.6 + d.x * 0.4, 3.0
        elif duty is Duty.MAN and d.keys and target.receiver == 0:
            fit = f"man on {d.keys[0]}"
    else:
        space = lanes.spaces[lane]
        fit = fit + space.name if fit.endswith(", ") else space.name
        gap = None if target.gap is None else target.gap(s, d)
        fit_x, fit_y = space.x if gap is None else lanes.spot(lane, *gap), FIT_DEPTH[d.turn]
        arrives = round(arrival_s(d, fit_x, s, pace, roster), 3)
        if lane in s.threat_lanes.values() or travels(d, fit_x):
            margin = round(margin_s(d, arrives, s.ball_s[lane]), 3)
    made = (
        d.name, d.position, GROUP_WORDS[d.turn], d.side, d.technique, d.x, d.y, d.key, fit, lane,
        rule.leverage or target.leverage, duty, live.fired, margin, arrives, fit_x, fit_y,
        d.path, d.in_pressure, d.check, d.start, account,
    )  # fmt: skip
    return new_tuple(Defender, made)
