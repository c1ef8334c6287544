"""What a look tells when it is asked: defenders and blocks as records, the sights of each man. Bulk work never asks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from fits.blocking.resolve import Left, ResolvedBlock
from fits.defense.align import Alignment
from fits.derive.assign import Assigned
from fits.derive.ball import Catch
from fits.derive.ground import lay_ground
from fits.derive.margins import FIT_DEPTH, GROUP_WORDS, arrival_s, fit_x, has_margin, margin_s
from fits.derive.parts import Block, Defender
from fits.derive.saw import see_sights
from fits.offense.motion import motion_path
from fits.rules.snap import AfterSnap, Aligned
from fits.terms import Duty, Step
from fits.timing import Pace, Speed

new_tuple = tuple.__new__

Way = tuple[tuple[float, float], ...]
State = tuple[dict[str, tuple[str, ...]] | None, tuple[Block, ...], Way, dict[str, Way]]
MOVER_Y = 0.6  # where a man who leaves his place to block is drawn, past the line


class Play(NamedTuple):
    """A play after everybody has his fit."""

    alignment: Alignment
    situation: AfterSnap
    done: Mapping[str, Assigned]
    pace: Pace
    roster: Mapping[str, Speed] | None


class PlayAccount:
    """The account of one play. It holds the play until everything is told, and is whole when it is copied."""

    __slots__ = ("_blocks", "_motion_way", "_play", "_routes", "_sights")

    def __init__(
        self,
        alignment: Alignment,
        situation: AfterSnap,
        done: Mapping[str, Assigned],
        pace: Pace,
        roster: Mapping[str, Speed] | None,
    ) -> None:
        self._play: Play | None = new_tuple(Play, (alignment, situation, done, pace, roster))
        self._sights: dict[str, tuple[str, ...]] | None = None
        self._blocks: tuple[Block, ...] | None = None
        self._motion_way: Way | None = None
        self._routes: dict[str, Way] | None = None

    def sights(self, role: str) -> tuple[str, ...]:
        """What that defender saw that his fit used, in the order he sees it."""
        found = self._sights
        if found is None:
            assert self._play is not None
            alignment, s, done, _, _ = self._play
            found = self._sights = {
                d.name: see_sights(d, s, alignment.rules[d.name], a.live, a.target, a.lane)
                for d in alignment.men
                for a in (done[d.name],)
            }
        return found[role]

    def blocks(self) -> tuple[Block, ...]:
        """What each offensive player does, in the order of the plan."""
        found = self._blocks
        if found is None:
            assert self._play is not None
            s = self._play[1]
            jobs = s.blocks.jobs
            found = self._blocks = tuple([_block(job, s.steps[role]) for role, job in jobs.items()])
        return found

    def defenders(self) -> tuple[Defender, ...]:
        """Every defender's whole assignment. A look keeps them, so a copied account has none."""
        assert self._play is not None
        return tuple([_defender(self._play, d, self) for d in self._play.alignment.men])

    def left_alone(self) -> tuple[Left, ...]:
        """Whom nobody blocks on purpose; the same holds."""
        assert self._play is not None
        return self._play.situation.blocks.left_alone

    def motion_way(self) -> Way:
        """The way of the man in motion to where he is at the snap, in yards; nothing without motion."""
        if self._motion_way is None:
            assert self._play is not None
            offense = self._play.alignment.offense
            role, before = offense.motion, offense.before
            if role is not None and before is not None:
                self._motion_way = motion_path(before.by_role[role], offense.by_role[role])
            else:
                self._motion_way = ()
        return self._motion_way

    def routes(self) -> dict[str, Way]:
        """The way of each man who may be thrown to, from his place, in yards."""
        found = self._routes
        if found is None:
            assert self._play is not None
            _, s, _, pace, _ = self._play
            thrown = {c.role: c.way for c in lay_ground(s.plan, s.blocks, pace).courses if isinstance(c.way, Catch)}
            found = self._routes = {role: tuple([(p.x, p.y) for p in way.points]) for role, way in thrown.items()}
        return found

    def __getstate__(self) -> State:
        if self._play is not None:
            for d in self._play[0].men:
                self.sights(d.name)
        return self._sights, self.blocks(), self.motion_way(), self.routes()

    def __setstate__(self, state: State) -> None:
        self._play = None
        self._sights, self._blocks, self._motion_way, self._routes = state


def _block(job: ResolvedBlock, step: Step) -> Block:
    man, verb, on = job.man, job.verb, job.on
    mover = verb.moves and job.counts
    return Block(
        role=man.role,
        step=step,
        does=verb.text,
        on=None if on is None else on.name,
        x=job.end_x,
        y=MOVER_Y if mover else man.y,
        start_x=man.x,
        start_y=man.y,
        mover=mover,
        counts=job.counts,
        climbs_to=None if job.climbs_to is None else job.climbs_to.name,
    )


def _defender(play: Play, d: Aligned, account: PlayAccount) -> Defender:
    _, s, assigned, pace, roster = play
    done = assigned[d.name]
    live, target, lane = done.live, done.target, done.lane
    rule = live.fired.rule
    duty, fit = target.duty, target.words
    margin: float | None = None
    arrives: float | None = None
    x, y = d.x, d.y
    if lane is None:
        if duty is Duty.SCRAPE or duty is Duty.FREE:
            duty = Duty.FREE
            x, y = s.aim_x * 0.6 + d.x * 0.4, 3.0
        elif duty is Duty.MAN and d.keys and target.receiver == 0:
            fit = f"man on {d.keys[0]}"
    else:
        space = s.lanes.spaces[lane]
        fit = fit + space.name if fit.endswith(", ") else space.name
        x, y = fit_x(done, lane, s), FIT_DEPTH[d.turn]
        arrives = round(arrival_s(d, x, s, pace, roster), 3)
        if has_margin(d, x, lane, s):
            margin = round(margin_s(d, arrives, s.ball_s[lane]), 3)
    return Defender(
        d.name, d.position, GROUP_WORDS[d.turn], d.side, d.technique, d.x, d.y, d.key, fit, lane,
        rule.leverage or target.leverage, duty, live.fired, margin, arrives, x, y,
        d.path, d.in_pressure, d.check, d.start, account,
    )  # fmt: skip
