"""Which looks change because of a change of rules: every look of a menu, before and after."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import fits
from fits.know import known_together
from fits.words import words_of
from playbook import convert
from playbook.looks import queries as looks
from playbook.looks.asking import Ask
from playbook.looks.specs import Surroundings, spec_of
from playbook.models import Call

KEPT = 20_000
RANKS = {looks.BROKEN: 4, looks.UNSOUND: 3, looks.ON_TIME: 2, looks.WARNING: 1}

_sketches: OrderedDict[tuple[object, ...], Sketch] = OrderedDict()


@dataclass(frozen=True, slots=True)
class Job:
    """What one man does in one look, as far as a change of rules can alter it."""

    role: str
    spot: tuple[str, float, float]
    key: str
    fit: str
    leverage: str
    duty: str


@dataclass(frozen=True, slots=True)
class Sketch:
    """One look in short."""

    verdict: looks.VerdictWords
    jobs: tuple[Job, ...] = ()


@dataclass(frozen=True, slots=True)
class Move:
    """What is different for one man."""

    role: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Changed:
    """A look that is not what it was."""

    ask: Ask
    before: looks.VerdictWords
    after: looks.VerdictWords
    moves: tuple[Move, ...]

    @property
    def rank(self) -> int:
        """Returns how much it matters: looks that fall first, then looks that are mended, then the rest."""
        was, now = RANKS.get(self.before.state, 0), RANKS.get(self.after.state, 0)
        return 0 if now > was else 1 if now < was else 2

    @property
    def worse(self) -> bool:
        """Whether it holds less well than it did."""
        return self.rank == 0

    @property
    def why(self) -> str:
        """Returns what is against the look now, or what was and is not any more; nothing where that is the same."""
        if self.before.texts[:1] == self.after.texts[:1]:
            return ""
        if self.rank == 1 and self.before.texts:
            return f"Mended: {self.before.texts[0]}"
        return self.after.texts[0] if self.after.texts else ""


@dataclass(frozen=True, slots=True)
class Impact:
    """All looks that change, out of how many."""

    changed: tuple[Changed, ...]
    total: int
    sound_before: int
    sound_after: int
    against: str

    @property
    def worse(self) -> int:
        """Returns how many looks hold less well."""
        return sum(change.rank == 0 for change in self.changed)

    @property
    def better(self) -> int:
        """Returns how many looks hold better."""
        return sum(change.rank == 1 for change in self.changed)


def compare(calls: Iterable[Call], after: fits.System, menu: looks.Menu, around: Surroundings) -> Impact:
    """Returns which looks of the menu are different with the system as it would be."""
    rows = list(calls)
    now = _sketch_all(rows, after.calls(), menu, around)
    return _impact([(ask, was, now[ask]) for ask, was in _saved(rows, menu, around)], menu.words)


def between(
    before: tuple[Sequence[Ask], fits.Call], after: tuple[Sequence[Ask], fits.Call], around: Surroundings, against: str
) -> Impact:
    """Returns which looks are different in two settings or with two calls: the same runs in the same order."""
    was, now = (_sketches_of(asks, call, around) for asks, call in (before, after))
    triples = zip(after[0], was, now, strict=True)
    return _impact([one for one in triples if looks.NONE not in (one[1].verdict.state, one[2].verdict.state)], against)


def _impact(triples: Iterable[tuple[Ask, Sketch, Sketch]], against: str) -> Impact:
    changed, total, sound_before, sound_after = [], 0, 0, 0
    for ask, was, then in triples:
        total += 1
        sound_before += was.verdict.state in (looks.SOUND, looks.WARNING)
        sound_after += then.verdict.state in (looks.SOUND, looks.WARNING)
        moves = _moves(was, then)
        if moves or was.verdict.state != then.verdict.state:
            changed.append(Changed(ask, was.verdict, then.verdict, moves))
    changed.sort(key=lambda c: c.rank)
    return Impact(tuple(changed), total, sound_before, sound_after, against)


def _moves(before: Sketch, after: Sketch) -> tuple[Move, ...]:
    was = {job.role: job for job in before.jobs}
    found = []
    for job in after.jobs:
        old = was.get(job.role)
        if old is not None and old != job:
            found.append(Move(job.role, *_words(old, job)))
    return tuple(found)


def _words(old: Job, new: Job) -> tuple[str, str]:
    """Returns what the man did and does now, naming only what differs."""
    pairs = [
        ("", old.fit, new.fit),
        ("", old.spot[0], new.spot[0]),
        ("key ", old.key, new.key),
        ("", _leverage(old), _leverage(new)),
    ]
    told = [(a and f"{noun}{a}", b and f"{noun}{b}") for noun, a, b in pairs if a != b]
    if not told and old.duty != new.duty:
        told = [(old.duty, new.duty)]
    if not told:
        (_, x, y), (_, to_x, to_y) = old.spot, new.spot
        told = [(f"{x:g} across, {y:g} deep", f"{to_x:g} across, {to_y:g} deep")]
    before, after = (", ".join(filter(None, words)) for words in zip(*told, strict=True))
    return before or "–", after or "–"


def _leverage(job: Job) -> str:
    return "" if job.leverage in ("gap", job.fit) else job.leverage


def _saved(rows: list[Call], menu: looks.Menu, around: Surroundings) -> Iterator[tuple[Ask, Sketch]]:
    """Yields every question of the menu that somebody can run, with its look as saved, kept by revisions."""
    asks = looks.questions(rows, menu)
    # a look in its set: what a man cannot tell apart depends on what else may come
    company = frozenset((row._meta.model_name, row.pk, row.revision) for row in (*menu.formations, *menu.concepts))
    keys = {ask: (*_key(ask, around), company) for ask in asks}
    short = {ask.call.pk for ask in asks if keys[ask] not in _sketches}
    if short:
        saved = convert.calls_of(rows[0].system)
        for ask, sketch in _sketch_all([row for row in rows if row.pk in short], saved, menu, around).items():
            _sketches[keys[ask]] = sketch
    for ask in asks:
        sketch = _sketches[keys[ask]]
        if sketch.verdict.state != looks.NONE:
            yield ask, sketch
    while len(_sketches) > KEPT:
        _sketches.popitem(last=False)


def _key(ask: Ask, around: Surroundings) -> tuple[object, ...]:
    system, formation, concept = ask.call.system, ask.formation, ask.concept
    return (
        ask.call.name,
        (system.pk, system.revision),
        (formation.pk, formation.revision),
        (concept.pk, concept.revision),
        around.stamp,
    )


def _sketch_all(
    rows: list[Call], calls: Mapping[str, fits.Call], menu: looks.Menu, around: Surroundings
) -> dict[Ask, Sketch]:
    """Returns every look in short. What calls and runs share against a formation is worked out once."""
    found: dict[Ask, Sketch] = {}
    for row in rows:
        asks = looks.questions([row], menu)
        found |= dict(zip(asks, _sketches_of(asks, calls[row.name], around), strict=True))
    return found


def _sketches_of(asks: Sequence[Ask], call: fits.Call, around: Surroundings) -> list[Sketch]:
    """Returns looks of one call that may all come, in short. What runs share against a formation is made once."""
    deriver = fits.Deriver()
    made = known_together(call, [_derive(deriver, ask, around, call) for ask in asks])
    return [_sketch(look) if isinstance(look, fits.Look) else look for look in made]


def _derive(deriver: fits.Deriver, ask: Ask, around: Surroundings, call: fits.Call) -> fits.Look | Sketch:
    try:
        spec = spec_of(ask, around, call)
        deriver.plan(spec)
    except fits.FitsError as error:
        return Sketch(looks.VerdictWords(looks.NONE, "cannot be run", (str(error),)))
    try:
        return deriver.look(spec)
    except fits.FitsError as error:
        return Sketch(looks.VerdictWords(looks.BROKEN, "no answer", (str(error),)))


def _sketch(look: fits.Look) -> Sketch:
    said = words_of(look)
    jobs = tuple(
        Job(said.man(d.role), (d.technique, round(d.x, 2), round(d.y, 2)), d.key, said.fit(d), d.leverage, d.duty)
        for d in look.defenders
    )
    return Sketch(looks.sum_up(look), jobs)
