"""What the engine says of many looks, stored by content: a look is derived only when nothing with its content is there.

The content of a look is the call as it lines up against the formation (places, keys, pass duties, and of each man's
fit rules only those that can apply there), the offense as it stands, the concept, its options, direction and speeds.
"""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.db import connection

import fits
from fits.defense.align import Alignment
from fits.know import known_together
from fits.know.study import hears_crack
from fits.timing import Pace
from fits.words import words_of
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
    for path in sorted((*root.rglob("*.py"), *root.rglob("courses.toml"))):
        whole.update(f"{path.relative_to(root)}\n".encode() + path.read_bytes())
    return whole.hexdigest()


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
class StoredVerdict:
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


@dataclass(slots=True)
class Answers:
    """Results in the order of the questions, and how many of them had to be derived."""

    results: list[StoredVerdict]
    derived: int


def look_results(specs: Sequence[fits.LookSpec], desk: Desk | None = None) -> Answers:
    """Returns a result for every look: looked up where its content is known, else derived and stored.

    A `desk` that is handed in keeps what many batches of looks share.
    """
    desk = desk or Desk()
    keys = [desk.key(spec) for spec in specs]
    known = _fetch(keys)
    fresh: dict[str, StoredVerdict] = {}
    if len(known) < len(keys):
        for spec, key in zip(specs, keys, strict=True):
            if key not in known and key not in fresh:
                fresh[key] = desk.derive(spec)
        store(fresh)
        known |= fresh
    return Answers([known[key] for key in keys], len(fresh))


def derive_unstored(specs: Sequence[fits.LookSpec]) -> list[StoredVerdict]:
    """Returns the results derived now, without looking anything up."""
    desk = Desk()
    return [desk.derive(spec) for spec in specs]


class NotStored(LookupError):
    """Some result is not stored, and was not to be derived.

    `missing` is how many would have to be, `asked` a short name for all that was asked for.
    """

    def __init__(self, missing: int, asked: str) -> None:
        super().__init__(f"{missing} results are not stored")
        self.missing, self.asked = missing, asked


def set_results(asked: Sequence[fits.LookSpec | fits.FitsError], *, derive: bool = True) -> Answers:
    """The same for looks that may all come: what a man cannot tell apart among those of his call is a finding too.

    A result goes for its look in its set, so it is stored by the content of both. An error stands for a look that
    cannot be asked for; its reason is the result. Raises NotStored where nothing is to be derived and some is missing.
    """
    specs = [one for one in asked if isinstance(one, fits.LookSpec)]
    answers = _together(specs, derive)
    found = iter(answers.results)
    return Answers([next(found) if isinstance(o, fits.LookSpec) else _in_short(o) for o in asked], answers.derived)


def results_alone(asked: Sequence[fits.LookSpec | fits.FitsError]) -> list[StoredVerdict]:
    """Returns results of looks each by itself; an error stands for a look that cannot be asked for."""
    specs = [one for one in asked if isinstance(one, fits.LookSpec)]
    found = iter(look_results(specs).results)
    return [next(found) if isinstance(one, fits.LookSpec) else _in_short(one) for one in asked]


def _together(specs: Sequence[fits.LookSpec], derive: bool) -> Answers:
    desk = Desk()
    plain = [desk.key(spec) for spec in specs]
    sets: dict[int, list[int]] = {}
    for place, spec in enumerate(specs):
        sets.setdefault(id(spec.call), []).append(place)
    keys = [""] * len(specs)
    for places in sets.values():
        call = specs[places[0]].call
        told = [role.name for role in call.roles if hears_crack(call, role.name, role.position)]
        whole = _digest(told, sorted({plain[place] for place in places}))
        for place in places:
            keys[place] = hashlib.blake2b(whole + plain[place].encode(), digest_size=16).hexdigest()
    known = _fetch(keys)
    short = [places for places in sets.values() if any(keys[place] not in known for place in places)]
    if not derive and short:
        raise NotStored(
            sum(map(len, short)), hashlib.blake2b("".join(sorted(keys)).encode(), digest_size=16).hexdigest()
        )
    fresh: dict[str, StoredVerdict] = {}
    for places in short:
        answers = desk.derive_set([specs[place] for place in places])
        fresh |= dict(zip([keys[place] for place in places], answers, strict=True))
    store(fresh)
    known |= fresh
    return Answers([known[key] for key in keys], len(fresh))


class Desk:
    """Works through looks; what they share is made once. Within a desk values are told apart by identity."""

    def __init__(self) -> None:
        self._deriver = fits.Deriver()
        self._digests: dict[tuple[Any, ...], bytes] = {}
        self._held: dict[int, Any] = {}  # what is told apart by identity must not go away

    def clear(self) -> None:
        """Drops what belongs to single formations; what goes for all of them stays."""
        self._deriver.forget()

    def key(self, spec: fits.LookSpec) -> str:
        """The name of the look's content, as 32 hexadecimal digits."""
        where = (spec.flip, id(spec.hash), spec.yard_line, id(spec.motion), id(spec.book))
        place = (id(spec.call), id(spec.formation), *where)
        lined_up = self._digests.get(place)
        if lined_up is None:
            lined_up = self._digests[place] = self._lined_up(spec)
        around = (id(spec.book), id(spec.roster), id(spec.pace))
        common = self._digests.get(around)
        if common is None:
            self._hold(spec.book, spec.roster, spec.pace)
            speeds = sorted((k, str(v)) for k, v in (spec.roster or {}).items())
            common = self._digests[around] = _digest(engine_digest(), spec.book.name, speeds, _pace_content(spec.pace))
        run = (id(spec.concept), *map(id, spec.options), spec.to and spec.to.word)
        play = self._digests.get(run)
        if play is None:
            self._hold(spec.concept, *spec.options)
            to = "" if spec.to is None else spec.to.word
            play = self._digests[run] = _digest(to, *(_content(part) for part in (spec.concept, *spec.options)))
        tried = _digest(sorted(spec.first_steps.items())) if spec.first_steps else b""
        return hashlib.blake2b(common + lined_up + play + tried, digest_size=16).hexdigest()

    def derive(self, spec: fits.LookSpec) -> StoredVerdict:
        """The engine's answer."""
        return _in_short(self._look(spec))

    def derive_set(self, specs: Sequence[fits.LookSpec]) -> list[StoredVerdict]:
        """The engine's answers to looks of one call that may all come, with what his men cannot tell apart in them."""
        made = [self._look(spec) for spec in specs]
        return [_in_short(look) for look in known_together(specs[0].call, made)]

    def _look(self, spec: fits.LookSpec) -> fits.Look | fits.FitsError:
        try:
            return self._deriver.look(spec)
        except fits.FitsError as error:
            return error

    def _lined_up(self, spec: fits.LookSpec) -> bytes:
        """The content of the call as it lines up, kept from one desk to the next by the content it is made of."""
        made_of = (
            self._value_digest(spec.call, _call_content),
            self._value_digest(spec.formation, _formation_content),
            self._value_digest(spec.motion, _content) if spec.motion else b"",
            spec.flip,
            spec.hash.value,
            spec.yard_line,
            spec.book.name,
        )
        found = _kept.get(made_of)
        if found is None:
            found = _alignment_digest(self._alignment(spec), spec)
            _kept[made_of] = found
            while len(_kept) > KEPT:
                _kept.popitem(last=False)
        return found

    def _alignment(self, spec: fits.LookSpec) -> Alignment | fits.FitsError:
        try:
            return self._deriver.alignment(spec)
        except fits.FitsError as error:
            return error

    def _value_digest(self, value: Any, content: Callable[[Any], Any]) -> bytes:
        place = ("value", id(value))
        if place not in self._digests:
            self._hold(value)
            self._digests[place] = _digest(content(value))
        return self._digests[place]

    def _hold(self, *values: Any) -> None:
        self._held |= {id(value): value for value in values}


def _in_short(made: fits.Look | fits.FitsError) -> StoredVerdict:
    if isinstance(made, fits.FitsError):
        return StoredVerdict("", (), str(made)[:400] or "no look")
    said = words_of(made)
    found = tuple(Found(f.code, f.severity, said.retell(f.text), f.lane) for f in made.findings)
    return StoredVerdict(made.band.value, found)


def _digest(*parts: object) -> bytes:
    text = json.dumps(parts, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.blake2b(text.encode(), digest_size=16).digest()


def _content(entry: fits.Concept | fits.Option | fits.Motion) -> dict[str, Any]:
    """Returns a concept, option or motion without what says nothing to the engine. Its label is in what is said."""
    return {key: value for key, value in entry.as_dict().items() if key not in ("source", "note")}


def _formation_content(formation: fits.Formation) -> list[Any]:
    return [formation.name, formation.label, formation.as_dict()["players"]]


def _call_content(call: fits.Call) -> list[Any]:
    """Returns everything of a call that may bear on how it lines up. Its label is in what is said when it cannot."""
    parts = (call.front, call.coverage, call.scheme, *call.roles, *call.positions.values())
    return [call.name, call.label, call.frame.value, [repr(part) for part in parts]]


def _alignment_digest(made: Alignment | fits.FitsError, spec: fits.LookSpec) -> bytes:
    """The content of a call lined up against an offense, or of what refused it."""
    hash_ = spec.hash.value
    if isinstance(made, fits.FitsError):
        return _digest("refused", spec.call.name, spec.formation.name, hash_, str(made))
    men = [
        (
            *(d.name, d.position, d.group.value, _side(d.side), d.technique, d.gap, round(d.x, 4), round(d.y, 4)),
            *(d.keys, d.takes, d.force, d.turn, d.path),
            [(r.id, r.when, r.fit, r.leverage) for r in (live.fired.rule for live in made.rules[d.name])],
            _pace(spec.call, d.position),
        )
        for d in made.men
    ]
    players = [(p.role, p.kind.value, round(p.x, 4), round(p.y, 4)) for p in made.offense.formation.players]
    motion = spec.motion and spec.motion.as_dict()
    return _digest(made.strength.word, spec.call.frame.value, men, players, hash_, spec.yard_line, motion)


def _side(side: fits.Side | None) -> str:
    return "" if side is None else side.word


def _pace_content(pace: Pace) -> list[Any]:
    return [sorted((k, str(v)) for k, v in table.items()) for table in (pace.speeds, {"": pace.factor})]


def _pace(call: fits.Call, position: str) -> tuple[object, ...]:
    found = call.positions.get(position)
    return (found.v_yd_s, found.tau_s) if found else ()


# --- the store ----------------------------------------


def _fetch(keys: Iterable[str]) -> dict[str, StoredVerdict]:
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
def _read(band: str, findings: str, reason: str) -> StoredVerdict:
    return StoredVerdict(band, _read_findings(findings), reason)


_NO_FINDINGS = "[]"


def _read_findings(text: str) -> tuple[Found, ...]:
    return () if text == _NO_FINDINGS else tuple(Found(*row) for row in json.loads(text))


def store(results: Mapping[str, StoredVerdict]) -> None:
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
