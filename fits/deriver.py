"""The one place that derives looks and keeps what looks share: offense, alignment, plan and ground."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, TypeVar

from fits.blocking.cast import plan_concept
from fits.blocking.concepts import Concept, Option, with_options
from fits.blocking.plan import BlockingPlan
from fits.defense.align import Alignment, align_call
from fits.defense.system import Call, Pressure
from fits.derive.look import Look, Verdict
from fits.derive.pipeline import Lineup, derive_play, prepare_play, snap_offense, weigh_play
from fits.errors import FitsError
from fits.field import COLLEGE, Hash, RuleBook, Side
from fits.offense.formation import Formation
from fits.offense.motion import Motion
from fits.rules.snap import AfterSnap
from fits.spec import DEFAULT_PACE, LookSpec
from fits.timing import Pace, Speed

KEPT = 64  # offenses, each with all that was made of it
T = TypeVar("T")


class Standing:
    """A formation as it stands at the snap, and all that was made of it: alignments by call, plans by run.

    Values are told apart by identity and held, so that an identity is never used again.
    """

    def __init__(self, make: Callable[[], Lineup], *held: object) -> None:
        self._snap = _attempt(make)
        self._held = held
        self._alignments: dict[tuple[int, float | None], tuple[object, Alignment | FitsError]] = {}
        self._shared: dict[Any, Any] = {}
        self._plans: dict[tuple[int | Side | None, ...], tuple[object, BlockingPlan | FitsError]] = {}

    @property
    def snap(self) -> Lineup:
        """The formation at the snap. Raises IllegalFormation, NotRunnable."""
        return _good(self._snap)

    def alignment(self, call: Call, yard_line: float | None = None) -> Alignment:
        """The call lined up against it. Raises what `snap` raises, NoRule."""
        key = (id(call), yard_line)
        found = self._alignments.get(key)
        if found is None:
            made = _attempt(lambda: align_call(call, self.snap.offense, yard_line))
            found = self._alignments[key] = call, made
        return _good(found[1])

    def plan(self, concept: Concept, options: tuple[Option, ...] = (), to: Side | None = None) -> BlockingPlan:
        """The run laid on it. Raises what `snap` raises, NotRunnable."""
        key = (to, id(concept), *map(id, options)) if options else (to, id(concept))
        found = self._plans.get(key)
        if found is None:
            made = _attempt(lambda: plan_concept(with_options(concept, options), self.snap.offense, to, self._shared))
            found = self._plans[key] = (concept, options), made
        return _good(found[1])


class Deriver:
    """Derives looks; what they share is made once.

    It keeps the last offenses it was asked about with all that was made of them, so memory stays flat over any number
    of formations. An offense is one formation, flip, hash, motion and rule book; calls against it, runs from it and
    the ground each run leaves are kept with it.
    """

    def __init__(self, kept: int = KEPT) -> None:
        self._kept = kept
        self._standings: OrderedDict[tuple[Any, ...], Standing] = OrderedDict()

    def standing(self, spec: LookSpec) -> Standing:
        """The spec's offense and what was made of it; never raises, its parts do."""
        return self.stand(spec.formation, spec.flip, spec.hash, spec.motion, spec.book)

    def stand(
        self,
        formation: Formation,
        flip: bool = False,
        hash_: Hash = Hash.MIDDLE,
        motion: Motion | None = None,
        book: RuleBook = COLLEGE,
    ) -> Standing:
        """The same for its parts."""
        key = (id(formation), flip, id(hash_), id(motion), id(book))
        found = self._standings.get(key)
        if found is None:
            found = Standing(lambda: snap_offense(formation, flip, hash_, motion, book), formation, motion, book)
            self._standings[key] = found
            while len(self._standings) > self._kept:
                self._standings.popitem(last=False)
        return found

    def snap(self, spec: LookSpec) -> Lineup:
        """The offense at the snap. Raises IllegalFormation, NotRunnable."""
        return self.standing(spec).snap

    def alignment(self, spec: LookSpec) -> Alignment:
        """The call lined up against it. Raises IllegalFormation, NotRunnable, NoRule."""
        return self.standing(spec).alignment(spec.pressed, spec.yard_line)

    def plan(self, spec: LookSpec) -> BlockingPlan:
        """The run as it is laid on it. Raises IllegalFormation, NotRunnable."""
        return self.standing(spec).plan(spec.concept, spec.options, spec.to)

    def look(self, spec: LookSpec, alignment: Alignment | None = None) -> Look:
        """The look, whole; `alignment` stands in for the call's own when a change of it is tried.

        Raises IllegalFormation, NotRunnable, NoRule, BadRequest.
        """
        standing = self.standing(spec)
        return derive_play(
            alignment or standing.alignment(spec.pressed, spec.yard_line),
            standing.plan(spec.concept, spec.options, spec.to),
            standing.snap,
            spec.options,
            spec.first_steps,
            spec.pace,
            spec.roster,
        )

    def looks(self, specs: Iterable[LookSpec]) -> Iterator[Look | FitsError]:
        """A look for every spec, or the error that says why there is none."""
        for spec in specs:
            yield _attempt(self.look, spec)

    def verdict(self, spec: LookSpec) -> Verdict:
        """The look's band and finding codes, without its texts. Raises what `look` raises."""
        standing = self.standing(spec)
        found = weigh_play(
            standing.alignment(spec.pressed, spec.yard_line),
            standing.plan(spec.concept, spec.options, spec.to),
            spec.first_steps,
            spec.pace,
            spec.roster,
        )
        return Verdict(found.band, tuple([f.code for f in found.findings]))

    def after_snap(self, spec: LookSpec) -> AfterSnap:
        """The play as it stands before any defender moves. Raises what `look` raises."""
        return prepare_play(self.alignment(spec), self.plan(spec), spec.first_steps, spec.pace)[0]

    def forget(self) -> None:
        """Drops all that is kept."""
        self._standings.clear()


def derive_look(
    call: Call,
    formation: Formation,
    concept: Concept,
    *,
    to: Side | None = None,
    flip: bool = False,
    hash: Hash = Hash.MIDDLE,
    yard_line: float | None = None,
    motion: Motion | None = None,
    pressure: Pressure | None = None,
    options: tuple[Option, ...] = (),
    first_steps: Mapping[str, str] | None = None,
    pace: Pace = DEFAULT_PACE,
    roster: Mapping[str, Speed] | None = None,
    book: RuleBook = COLLEGE,
) -> Look:
    """One look, whole. `to` is absolute, after the flip; None lets the concept's own rule decide.

    Raises IllegalFormation, NotRunnable, NoRule, BadRequest.
    """
    spec = LookSpec(
        call=call, formation=formation, concept=concept, to=to, flip=flip, hash=hash, yard_line=yard_line,
        motion=motion, pressure=pressure, options=options, first_steps=first_steps, pace=pace, roster=roster, book=book,
    )  # fmt: skip
    return Deriver().look(spec)


def _attempt(make: Callable[..., T], *args: object) -> T | FitsError:
    """What it makes, or the error it raises: an error is shared by all looks that need what was not made."""
    try:
        return make(*args)
    except FitsError as error:
        return error.with_traceback(None)


def _good(made: T | FitsError) -> T:
    """What was made, or its error raised."""
    if isinstance(made, FitsError):
        raise _copied(made)
    return made


def _copied(error: FitsError) -> FitsError:
    """The same error to raise, as one that is raised holds on to whoever raised it, and the kept one must not."""
    copied = type(error).__new__(type(error), *error.args)
    copied.__dict__.update(error.__dict__)
    return copied
