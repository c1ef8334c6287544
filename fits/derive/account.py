"""What a look tells when it is asked: the sights of each man, the blocks as records. Bulk work never asks."""

from __future__ import annotations

from collections.abc import Mapping

from fits.blocking.resolve import ResolvedBlock
from fits.defense.align import Alignment
from fits.derive.assign import Assigned
from fits.derive.parts import Block
from fits.derive.saw import see_sights
from fits.rules.snap import AfterSnap
from fits.terms import Step

MOVER_Y = 0.6  # where a man who leaves his place to block is drawn, past the line


class PlayAccount:
    """The account of one play. It holds the play until everything is told, and is whole when it is copied."""

    __slots__ = ("_blocks", "_play", "_sights")

    def __init__(self, alignment: Alignment, situation: AfterSnap, done: Mapping[str, Assigned]) -> None:
        self._play: tuple[Alignment, AfterSnap, Mapping[str, Assigned]] | None = (alignment, situation, done)
        self._sights: dict[str, tuple[str, ...]] | None = None
        self._blocks: tuple[Block, ...] | None = None

    def sights(self, role: str) -> tuple[str, ...]:
        """What that defender saw that his fit used, in the order he sees it."""
        found = self._sights
        if found is None:
            assert self._play is not None
            alignment, s, done = self._play
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

    def __getstate__(self) -> tuple[dict[str, tuple[str, ...]] | None, tuple[Block, ...]]:
        if self._play is not None:
            for d in self._play[0].men:
                self.sights(d.name)
        return self._sights, self.blocks()

    def __setstate__(self, state: tuple[dict[str, tuple[str, ...]] | None, tuple[Block, ...]]) -> None:
        self._play = None
        self._sights, self._blocks = state


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
