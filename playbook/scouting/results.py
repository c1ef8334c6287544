"""What the engine says of many looks, stored by content: a look is derived only when nothing with its content is there.

The content of a look is the call as it lines up against the formation (places, keys, pass duties, and of each man's
fit rules only those that can apply there), the offense as it stands, the concept, its options, direction and speeds.
"""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.db import connection

import fits
from fits.blocking.cast import plan_concept
from fits.blocking.concepts import with_options
from fits.defense.align import Alignment, align_call
from fits.derive.pipeline import Snap, derive_play, snap_offense
from playbook.models import LookResult

KEPT = 20_000  # digests of line-ups, 16 bytes each
_kept: OrderedDict[tuple[Any, ...], bytes] = OrderedDict()
SEVERITIES = {fits.UNSOUND: 1.0, fits.WARNING: 0.25, fits.HINT: 0.0}
SOUND, WARNING, ON_TIME, UNSOUND, NONE = "sound", "warning", "on-time", "unsound", "none"
STATE_WORDS = {
    SOUND: "Sound", WARNING: "Sound, with a warning", ON_TIME: "Sound if on time", UNSOUND: "Not sound",
    NONE: "Cannot be run",
}  # fmt: skip


@lru_cache(maxsize=1)
def engine_digest() -> str:
    """Returns the digest of the engine's own code: another engine may answer otherwise, so its results are others."""
    root = Path(fits.__file__).parent
    whole = hashlib.blake2b(digest_size=16)
    for path in sorted(root.rglob("*.py")):
        whole.update(f"{path.relative_to(root)}\n".encode() + path.read_bytes())
    return whole.hexdigest()


@dataclass(frozen=True, slots=True)
class Question:
    """One look to know about, in engine values. An empty `to` leaves the direction to the concept."""

    call: fits.Call
    formation: fits.Formation
    concept: fits.Concept
    to: fits.Side | None = None
    flip: bool = False
    hash: fits.Hash = fits.Hash.MIDDLE
    motion: fits.Motion | None = None
    options: tuple[fits.Option, ...] = ()


@dataclass(frozen=True, slots=True)
class Found:
    """One finding of a stored result."""

    code: str
    severity: str
    text: str
    lane: int | None = None

    @property
    def weight(self) -> float:
        """How much it weighs: an unsound look one, a warning a quarter, a hint nothing."""
        return SEVERITIES.get(self.severity, 1.0)


def state_of(band: str, findings: Iterable[Found | fits.Finding]) -> str:
    """Returns one of STATE_WORDS: the band, and whether a sound look has a warning (a hint is none)."""
    if band == fits.Band.SOUND:
        return WARNING if any(finding.severity == fits.WARNING for finding in findings) else SOUND
    return {fits.Band.IF_ON_TIME.value: ON_TIME, fits.Band.NOT_SOUND.value: UNSOUND}.get(band, NONE)


@dataclass(frozen=True, slots=True)
class Result:
    """What is stored of a look. `band` is empty where there is no look; `reason` then says why."""

    band: str
    findings: tuple[Found, ...] = ()
    reason: str = ""

    @property
    def state(self) -> str:
        """One of STATE_WORDS."""
        return state_of(self.band, self.findings)

    @property
    def words(self) -> str:
        """The state in words."""
        return STATE_WORDS[self.state]

    @property
    def severity(self) -> float:
        """The weight of its worst finding, 0 without any."""
        return max((finding.weight for finding in self.findings), default=0.0)


@dataclass(frozen=True, slots=True)
class Around:
    """What goes for every look: the rule book, and measured speeds by position."""

    book: fits.RuleBook = fits.COLLEGE
    roster: Mapping[str, fits.Speed] = field(default_factory=dict)


@dataclass(slots=True)
class Answers:
    """Results in the order of the questions, and how many of them had to be derived."""

    results: list[Result]
    derived: int


def look_results(questions: Sequence[Question], around: Around = Around(), desk: Desk | None = None) -> Answers:
    """Returns a result for every question: looked up where its content is known, else derived and stored.

    A `desk` that is handed in stands for `around` and keeps what many batches of questions share.
    """
    desk = desk or Desk(around)
    keys = [desk.key(question) for question in questions]
    known = _fetch(keys)
    fresh: dict[str, Result] = {}
    if len(known) < len(keys):
        for question, key in zip(questions, keys, strict=True):
            if key not in known and key not in fresh:
                fresh[key] = desk.derive(question)
        store(fresh)
        known |= fresh
    return Answers([known[key] for key in keys], len(fresh))


def derive_unstored(questions: Sequence[Question], around: Around = Around()) -> list[Result]:
    """Returns the results derived now, without looking anything up."""
    desk = Desk(around)
    return [desk.derive(question) for question in questions]


class Desk:
    """Works through questions; what they share is made once. Within a desk values are told apart by identity."""

    def __init__(self, around: Around) -> None:
        self.around = around
        self._common = _digest(engine_digest(), around.book.name, sorted((k, str(v)) for k, v in around.roster.items()))
        self._snaps: dict[tuple[Any, ...], Snap | fits.FitsError] = {}
        self._alignments: dict[tuple[Any, ...], Alignment | fits.FitsError] = {}
        self._plans: dict[tuple[Any, ...], Any] = {}
        self._digests: dict[tuple[Any, ...], bytes] = {}
        self._held: dict[int, Any] = {}  # what is told apart by identity must not go away

    def clear(self) -> None:
        """Drops what belongs to single formations; what goes for all of them stays."""
        self._snaps.clear()
        self._alignments.clear()
        self._plans.clear()

    def key(self, question: Question) -> str:
        """The name of the question's content, as 32 hexadecimal digits."""
        q = question
        place = (id(q.call), id(q.formation), q.flip, id(q.hash), id(q.motion))
        lined_up = self._digests.get(place)
        if lined_up is None:
            lined_up = self._digests[place] = self._common + self._lined_up(q)
        run = (id(q.concept), *map(id, q.options), q.to and q.to.word)
        play = self._digests.get(run)
        if play is None:
            self._hold(q.concept, *q.options)
            to = "" if q.to is None else q.to.word
            play = self._digests[run] = _digest(to, *(_content(part) for part in (q.concept, *q.options)))
        return hashlib.blake2b(lined_up + play, digest_size=16).hexdigest()

    def derive(self, question: Question) -> Result:
        """The engine's answer."""
        try:
            snap, alignment = _good(self._snap(question)), _good(self._alignment(question))
            look = derive_play(
                alignment, _good(self._plan(question)), snap, _names(question), roster=self.around.roster
            )
        except fits.FitsError as error:
            return Result("", (), str(error)[:400] or "no look")
        return Result(look.band.value, tuple(Found(f.code, f.severity, f.text, f.lane) for f in look.findings))

    def _lined_up(self, q: Question) -> bytes:
        """The content of the call as it lines up, kept from one desk to the next by the content it is made of."""
        made_of = (
            self._value_digest(q.call, _call_content),
            self._value_digest(q.formation, _formation_content),
            self._value_digest(q.motion, _content) if q.motion else b"",
            q.flip,
            q.hash.value,
            self.around.book.name,
        )
        found = _kept.get(made_of)
        if found is None:
            found = _alignment_digest(self._alignment(q), q)
            _kept[made_of] = found
            while len(_kept) > KEPT:
                _kept.popitem(last=False)
        return found

    def _value_digest(self, value: Any, content: Callable[[Any], Any]) -> bytes:
        place = ("value", id(value))
        if place not in self._digests:
            self._hold(value)
            self._digests[place] = _digest(content(value))
        return self._digests[place]

    def _hold(self, *values: Any) -> None:
        self._held |= {id(value): value for value in values}

    def _snap(self, q: Question) -> Snap | fits.FitsError:
        place = (id(q.formation), q.flip, id(q.hash), id(q.motion))
        if place not in self._snaps:
            self._snaps[place] = _attempt(lambda: snap_offense(q.formation, q.flip, q.hash, q.motion, self.around.book))
        return self._snaps[place]

    def _alignment(self, q: Question) -> Alignment | fits.FitsError:
        place = (id(q.call), id(q.formation), q.flip, id(q.hash), id(q.motion))
        if place not in self._alignments:
            snap = self._snap(q)
            refused = isinstance(snap, fits.FitsError)
            self._alignments[place] = snap if refused else _attempt(lambda: align_call(q.call, snap.offense))
        return self._alignments[place]

    def _plan(self, q: Question) -> Any:
        place = (id(q.concept), tuple(map(id, q.options)), q.to, id(q.formation), q.flip, id(q.hash), id(q.motion))
        if place not in self._plans:
            snap = self._snap(q)
            concept = with_options(q.concept, q.options)
            self._plans[place] = (
                snap
                if isinstance(snap, fits.FitsError)
                else _attempt(lambda: plan_concept(concept, snap.offense, q.to))
            )
        return self._plans[place]


def _attempt(make: Any) -> Any:
    try:
        return make()
    except fits.FitsError as error:
        return error


def _good(made: Any) -> Any:
    if isinstance(made, fits.FitsError):
        raise made
    return made


def _names(question: Question) -> tuple[str, ...]:
    return tuple(option.name for option in question.options)


def _digest(*parts: object) -> bytes:
    text = json.dumps(parts, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.blake2b(text.encode(), digest_size=16).digest()


def _content(entry: fits.Concept | fits.Option | fits.Motion) -> dict[str, Any]:
    """Returns a concept, option or motion without what says nothing to the engine."""
    return {key: value for key, value in entry.as_dict().items() if key not in ("label", "source", "note")}


def _formation_content(formation: fits.Formation) -> list[Any]:
    return [formation.name, formation.as_dict()["players"]]


def _call_content(call: fits.Call) -> list[Any]:
    """Returns everything of a call that may bear on how it lines up. Its name is in what is said when it cannot."""
    parts = (call.front, call.coverage, call.scheme, *call.roles, *call.positions.values())
    return [call.name, [repr(part) for part in parts]]


def _alignment_digest(made: Alignment | fits.FitsError, question: Question) -> bytes:
    """The content of a call lined up against an offense, or of what refused it."""
    hash_ = question.hash.value
    if isinstance(made, fits.FitsError):
        return _digest("refused", question.call.name, question.formation.name, hash_, str(made))
    men = [
        (
            *(d.name, d.position, d.group.value, _side(d.side), d.technique, d.gap, round(d.x, 4), round(d.y, 4)),
            *(d.keys, d.takes, d.force, d.turn),
            [(r.id, r.when, r.fit, r.leverage) for r in (live.fired.rule for live in made.rules[d.name])],
            _pace(question.call, d.position),
        )
        for d in made.men
    ]
    players = [(p.role, p.kind.value, round(p.x, 4), round(p.y, 4)) for p in made.offense.formation.players]
    return _digest(made.strength.word, men, players, hash_, question.motion and question.motion.as_dict())


def _side(side: fits.Side | None) -> str:
    return "" if side is None else side.word


def _pace(call: fits.Call, position: str) -> tuple[object, ...]:
    found = call.positions.get(position)
    return (found.v_yd_s, found.tau_s) if found else ()


# --- the store ----------------------------------------


def _fetch(keys: Iterable[str]) -> dict[str, Result]:
    wanted = list(set(keys))
    if not wanted:
        return {}
    table = connection.ops.quote_name(LookResult._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT replace(key::text, '-', ''), band, findings::text, reason FROM {table} "
            "WHERE key = ANY(%s::text[]::uuid[])",
            [wanted],
        )
        return {key: _read(band, findings, reason) for key, band, findings, reason in cursor}


@lru_cache(maxsize=10_000)
def _read(band: str, findings: str, reason: str) -> Result:
    return Result(band, _read_findings(findings), reason)


_NO_FINDINGS = "[]"


def _read_findings(text: str) -> tuple[Found, ...]:
    return () if text == _NO_FINDINGS else tuple(Found(*row) for row in json.loads(text))


def store(results: Mapping[str, Result]) -> None:
    """Writes results; those that somebody else wrote meanwhile stay as they are."""
    if not results:
        return
    found = [json.dumps([[f.code, f.severity, f.text, f.lane] for f in r.findings]) for r in results.values()]
    columns = [list(results), [r.band for r in results.values()], found, [r.reason for r in results.values()]]
    table = connection.ops.quote_name(LookResult._meta.db_table)
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {table} (key, band, findings, reason) "
            "SELECT * FROM unnest(%s::text[]::uuid[], %s::text[], %s::text[]::jsonb[], %s::text[]) "
            "ON CONFLICT DO NOTHING",
            columns,
        )
