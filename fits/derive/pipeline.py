"""The order of the passes, nothing else: offense, alignment, blocks, lanes, threats, fits, numbers, margins, audit."""

from __future__ import annotations

from collections.abc import Mapping

from fits.audit.band import judge
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding
from fits.audit.registry import audit
from fits.blocking.concepts import STEPS, Option
from fits.blocking.plan import BlockingPlan
from fits.blocking.resolve import resolve_blocks
from fits.defense.align import Alignment
from fits.derive.account import PlayAccount
from fits.derive.assign import Assigned, assign_fits
from fits.derive.ground import Ground, lay_ground
from fits.derive.look import Look
from fits.derive.margins import Clock
from fits.derive.numbers import count_pass
from fits.derive.owners import own_threats
from fits.derive.parts import Lane, PassSide, Threat
from fits.errors import BadRequest
from fits.field import COLLEGE, Hash, RuleBook
from fits.offense.formation import Formation, Offense, read_offense
from fits.offense.legality import refuse_illegal
from fits.offense.motion import Motion, MotionKind, apply_motion, find_mover
from fits.rules.snap import AfterSnap
from fits.terms import Band, Labels, Step
from fits.timing import Pace, Speed
from fits.values import record, value

CRACK = Step.CRACK
new_tuple = tuple.__new__  # makes a NamedTuple at a third of its own price


@value
class Lineup:
    """A formation at the snap, as called for: flipped, on its hash, after motion."""

    formation: str
    offense: Offense
    flip: bool
    motion: str | None
    label: str = ""
    motion_label: str | None = None


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
    if motion is None:
        return Lineup(formation.name, offense, flip, None, formation.called)
    return Lineup(formation.name, offense, flip, motion.name, formation.called, motion.called)


@record
class Weighed:
    """A play and what it is worth: the play after the snap, each man's fit, what the audit looked at and found."""

    alignment: Alignment
    plan: BlockingPlan
    situation: AfterSnap
    done: Mapping[str, Assigned]
    lanes: tuple[Lane, ...]
    threats: tuple[Threat, ...]
    passes: tuple[PassSide, ...]
    findings: tuple[Finding, ...]
    band: Band


def weigh_play(
    alignment: Alignment,
    plan: BlockingPlan,
    first_steps: Mapping[str, str] | None,
    pace: Pace,
    roster: Mapping[str, Speed] | None,
) -> Weighed:
    """The verdict of a plan against an alignment of the same offense. Raises NotRunnable, NoRule, BadRequest."""
    s, ground = prepare_play(alignment, plan, first_steps, pace)
    done = assign_fits(alignment, s)
    passes = count_pass(alignment, ground.receivers, done)
    jobs = {d.name: done[d.name].job for d in alignment.men}
    men = tuple(jobs.values())
    threats = own_threats(ground.courses, ground.ranges, s.owners, men, alignment, passes)
    lanes = _lanes(ground, s)
    blocks = s.blocks
    cracked = [job.on.name for role, job in blocks.jobs.items() if job.on is not None and s.steps[role] is CRACK]
    evidence = Evidence(
        plan.play,
        plan.eyes,
        plan.concept.flags,
        lanes,
        threats,
        men,
        jobs,
        Clock(s, done, pace, roster).margin_s,
        passes,
        alignment.force,
        alignment.takes,
        cracked,
        blocks.mover_on,
        [i for i, owners in enumerate(s.owners) if not owners],
        plan.offense,
        blocks.jobs,
        blocks.met,
        alignment.stands,
        alignment.duty_gaps,
    )
    findings = audit(evidence)
    return Weighed(alignment, plan, s, done, lanes, threats, passes, findings, judge(evidence, findings))


def derive_play(
    alignment: Alignment,
    plan: BlockingPlan,
    snap: Lineup,
    options: tuple[Option, ...],
    first_steps: Mapping[str, str] | None,
    pace: Pace,
    roster: Mapping[str, Speed] | None,
) -> Look:
    """The look of a plan against an alignment of the same offense. Raises NotRunnable, NoRule, BadRequest."""
    found = weigh_play(alignment, plan, first_steps, pace, roster)
    call = alignment.call
    return Look(
        call.name,
        snap.formation,
        plan.concept.name,
        plan.play,
        snap.flip,
        plan.offense.hash,
        snap.motion,
        tuple([option.name for option in options]),
        tuple(sorted(first_steps.items())) if first_steps else (),
        alignment.strength,
        plan.eyes,
        plan.offense.formation.players,
        PlayAccount(alignment, found.situation, found.done, pace, roster),
        found.lanes,
        found.threats,
        found.passes,
        found.findings,
        found.band,
        frame=call.frame,
        yard_line=alignment.yard_line,
        pressure=call.pressure.name if call.pressure else None,
        replaced=alignment.replaced,
        labels=Labels(
            call.called,
            snap.label or snap.formation,
            plan.concept.called,
            snap.motion_label,
            call.pressure.label if call.pressure else None,
            tuple([option.label for option in options]),
        ),
    )


def _lanes(ground: Ground, s: AfterSnap) -> tuple[Lane, ...]:
    return tuple([_lane(ground, i, owners) if owners else ground.empty[i] for i, owners in enumerate(s.owners)])


def _lane(ground: Ground, i: int, owners: list[str]) -> Lane:
    """The lane with its owners; calls of one system have the same men there, so the ground keeps it."""
    key: tuple[int | str, ...] = (i, *owners)
    lane = ground.owned.get(key)
    if lane is None:
        empty = ground.empty[i]
        lane = ground.owned[key] = new_tuple(Lane, (*empty[:6], tuple(sorted(owners)), *empty[7:]))
    return lane


def prepare_play(
    alignment: Alignment, plan: BlockingPlan, first_steps: Mapping[str, str] | None, pace: Pace
) -> tuple[AfterSnap, Ground]:
    """The play before any defender moves, with the steps the defense sees, and the ground it is run on."""
    blocks = resolve_blocks(plan, alignment.front)
    steps = {role: job.step for role, job in blocks.jobs.items()}
    if first_steps:
        _what_if(steps, first_steps)
    ground = lay_ground(plan, blocks, pace)
    movers = blocks.movers
    if len(movers) > 1:
        movers = sorted(movers, key=lambda j: (abs(j.end_x), j.end_x * plan.play))
    situation = AfterSnap(
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
        [[] for _ in ground.ball_s],
        {},
        ground.threat_lanes,
        ground.threatened,
        ground.aim_x,
        ground.ball_s,
    )
    return situation, ground


def _what_if(steps: dict[str, Step], first_steps: Mapping[str, str]) -> None:
    for role, step in first_steps.items():
        if role not in steps:
            raise BadRequest(f"first step: expected a role of the offense ({', '.join(sorted(steps))}), got {role!r}")
        if step not in STEPS:
            raise BadRequest(f"first step of {role}: expected one of {', '.join(STEPS)}, got {step!r}")
        steps[role] = Step(step)
