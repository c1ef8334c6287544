"""Every look of a choice of calls, formations and concepts, streamed; work that looks share is done once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from fits.blocking.concepts import Concept, Option
from fits.defense.pressure import find_pressure, press
from fits.defense.system import Call
from fits.derive.look import Look
from fits.derive.pipeline import derive_play
from fits.deriver import Deriver
from fits.errors import FitsError, IllegalFormation, NoRule, NotRunnable
from fits.field import COLLEGE, LEFT, RIGHT, Hash, RuleBook, Side
from fits.offense.formation import Formation
from fits.offense.motion import Motion
from fits.spec import DEFAULT_PACE
from fits.timing import Pace, Speed
from fits.values import replace, value

CAUSES = {IllegalFormation: "illegal formation", NotRunnable: "not runnable", NoRule: "no rule"}


@value
class NotRun:
    """A combination that gives no look: `reason` says why, `cause` what kind of refusal it is (one of CAUSES)."""

    call: str
    formation: str
    concept: str
    to: Side | None
    flip: bool
    hash: Hash
    motion: str | None
    options: tuple[str, ...]
    cause: str
    reason: str
    pressure: str | None = None


@value
class Setting:
    """One formation as it is put on the field; everything derived from it shares its work."""

    formation: Formation
    flip: bool
    hash: Hash


@value
class Span:
    """What a matrix goes over. A None in `to` lets the concept's own rule decide the direction.

    `pressure` is a name: each call has the one of its own system laid over it.
    """

    calls: tuple[Call, ...]
    formations: tuple[Formation, ...]
    concepts: tuple[Concept, ...]
    to: tuple[Side | None, ...] = (LEFT, RIGHT)
    flips: tuple[bool, ...] = (False, True)
    hashes: tuple[Hash, ...] = (Hash.MIDDLE,)
    motion: Motion | None = None
    options: tuple[Option, ...] = ()
    pace: Pace | None = None
    roster: Mapping[str, Speed] | None = None
    book: RuleBook = COLLEGE
    yard_line: float | None = None
    pressure: str | None = None

    @property
    def settings(self) -> list[Setting]:
        """The formations as they are put on the field, in order."""
        return [Setting(f, flip, h) for f in self.formations for flip in self.flips for h in self.hashes]

    @property
    def batch_size(self) -> int:
        """Rows of one setting."""
        return len(self.calls) * len(self.concepts) * len(self.to)

    @property
    def size(self) -> int:
        """Rows of the whole matrix."""
        return self.batch_size * len(self.formations) * len(self.flips) * len(self.hashes)


def derive_matrix(
    calls: Iterable[Call], formations: Iterable[Formation], concepts: Iterable[Concept], *,
    to: Iterable[Side | None] = (LEFT, RIGHT), flips: Iterable[bool] = (False, True),
    hashes: Iterable[Hash] = (Hash.MIDDLE,), motion: Motion | None = None, options: Iterable[Option] = (),
    pace: Pace | None = None, roster: Mapping[str, Speed] | None = None, book: RuleBook = COLLEGE,
    yard_line: float | None = None, pressure: str | None = None,
) -> Iterator[Look | NotRun]:  # fmt: skip
    """Looks in order of formation, flip, hash, concept, direction, call; a NotRun where there is no look.

    Formations are taken as they come: there may be no end of them.
    """
    study = Span(
        tuple(calls), (), tuple(concepts), tuple(to), tuple(flips), tuple(hashes), motion, tuple(options), pace, roster,
        book, yard_line, pressure,
    )  # fmt: skip
    for formation in formations:
        for setting in replace(study, formations=(formation,)).settings:
            yield from derive_setting(study, setting)


def derive_setting(study: Span, setting: Setting) -> Iterator[Look | NotRun]:
    """The looks of one setting."""
    standing = Deriver().stand(setting.formation, setting.flip, setting.hash, study.motion, study.book)
    options = tuple(o.name for o in study.options)
    motion = study.motion.name if study.motion else None
    pace = study.pace or DEFAULT_PACE
    for concept in study.concepts:
        for to in study.to:
            for call in study.calls:
                side = to
                try:
                    plan = standing.plan(concept, study.options, to)
                    side = plan.play
                    pressed = press(call, find_pressure(call, study.pressure))
                    alignment = standing.alignment(pressed, study.yard_line)
                    yield derive_play(alignment, plan, standing.snap, study.options, None, pace, study.roster)
                except FitsError as error:
                    yield NotRun(
                        call.name, setting.formation.name, concept.name, side, setting.flip, setting.hash, motion,
                        options, CAUSES.get(type(error), "refused"), str(error), study.pressure,
                    )  # fmt: skip
