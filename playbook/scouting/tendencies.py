"""What an opponent does: plays counted by situation, each share with its n and interval, and the strongest tells."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations

from .plays import CountedSnap
from .stats import Interval, adjust_p_values, binomial_p_value, round_to_total, two_share_p_value, wilson_interval

SMALL = 10  # fewer plays than this are shown in grey
MERGE_BELOW = 5  # fewer than this are merged with a neighbour or into "other"
TELL_MINIMUM = 8
TELL_LIMIT = 0.05
TELLS_SHOWN = 5  # of each topic: run or pass, direction, concept

DOWN_WORDS = {1: "1st", 2: "2nd", 3: "3rd", 4: "4th"}


@dataclass(frozen=True, slots=True)
class Share:
    """Hits in n, with the interval that belongs to it."""

    hits: int
    n: int

    @property
    def value(self) -> float:
        """The share itself, 0 with nothing counted."""
        return self.hits / self.n if self.n else 0.0

    @property
    def interval(self) -> Interval:
        """Its 95 % Wilson interval."""
        return wilson_interval(self.hits, self.n)

    @property
    def small(self) -> bool:
        """Whether too few were counted to lean on."""
        return self.n < SMALL

    @property
    def percent(self) -> str:
        """Whole percent, or a dash."""
        return f"{round(100 * self.value)} %" if self.n else "–"


@dataclass(frozen=True, slots=True)
class Tally:
    """The plays of one group, counted. `merged` names what was put together because each was too small."""

    label: str
    n: int
    run: Share
    passes: Share
    success: Share
    gain: float | None
    concepts: tuple[tuple[str, Share], ...]
    to_strength: Share
    to_back: Share
    to_field: Share
    sides: tuple[tuple[str, Share], ...]
    merged: tuple[str, ...] = ()

    @property
    def small(self) -> bool:
        """Whether the group is too small to lean on."""
        return self.n < SMALL


@dataclass(frozen=True, slots=True)
class Bucket:
    """A band of an ordered grouping; bands of one `group` may be merged with their neighbours."""

    group: str
    low: int
    high: int
    label: str


@dataclass(frozen=True, slots=True)
class Grouping:
    """One way to group plays. `of` gives a play's group or None; `buckets` are given when groups have an order."""

    name: str
    label: str
    of: Callable[[CountedSnap], str | None]
    say: Callable[[str], str]
    buckets: tuple[Bucket, ...] = field(default=())


# --- groupings ----------------------------------------

_DISTANCES = {
    1: ((1, 9), (10, 10), (11, 99)),
    2: ((1, 3), (4, 6), (7, 99)),
    3: ((1, 3), (4, 6), (7, 99)),
    4: ((1, 3), (4, 99)),
}
_ZONES = (
    (1, 10, "backed up, own 1–10"),
    (11, 39, "own 11–39"),
    (40, 59, "midfield, own 40 to opp 41"),
    (60, 79, "opp 40–21"),
    (80, 94, "red zone, opp 20–6"),
    (95, 99, "goal line, opp 5–1"),
)


def _distance_label(down: str, low: int, high: int) -> str:
    yards = (
        f"{low}+" if high == 99 and low > 1 else "any" if high == 99 else str(low) if low == high else f"{low}–{high}"
    )
    return f"{down} & {yards}"


def _zone_label(low: int, high: int) -> str:
    exact = next((label for a, b, label in _ZONES if (a, b) == (low, high)), "")
    return exact or f"{_spot(low)} to {_spot(high)}"


def _spot(yard: int) -> str:
    return f"own {yard}" if yard < 50 else "the 50" if yard == 50 else f"opp {100 - yard}"


DISTANCE_BUCKETS = tuple(
    Bucket(DOWN_WORDS[down], low, high, _distance_label(DOWN_WORDS[down], low, high))
    for down, bands in _DISTANCES.items()
    for low, high in bands
)
ZONE_BUCKETS = tuple(Bucket("zone", low, high, label) for low, high, label in _ZONES)


def down_distance(play: CountedSnap) -> str | None:
    """The play's band of down and distance."""
    down, distance = play.snap.down, play.snap.distance
    if down is None or distance is None:
        return None
    low, high = next(band for band in _DISTANCES[down] if band[0] <= distance <= band[1])
    return _distance_label(DOWN_WORDS[down], low, high)


def field_zone(play: CountedSnap) -> str | None:
    """The play's field zone."""
    yard = play.snap.yard_line
    return None if yard is None else next(label for low, high, label in _ZONES if low <= yard <= high)


def _backfield(play: CountedSnap) -> str | None:
    if play.back_to_strength:
        return "back to strength" if play.back_to_strength == "strong" else "back away from strength"
    by_place = {"left": "back left", "right": "back right", "behind": "back behind the quarterback", "empty": "empty",
                "both": "two backs split"}  # fmt: skip
    return by_place.get(play.snap.back) or play.snap.backfield or None


def _motion(play: CountedSnap) -> str | None:
    return None if play.snap.motion is None else play.snap.motion or "no motion"


def _back_side(play: CountedSnap) -> str | None:
    return f"back {play.back_side}" if play.back_side else None


def _as_is(value: str) -> str:
    return value


GROUPINGS: tuple[Grouping, ...] = (
    Grouping("down-distance", "Down and distance", down_distance, lambda v: f"on {v}", DISTANCE_BUCKETS),
    Grouping("field-zone", "Field zone", field_zone, lambda v: f"at {v}", ZONE_BUCKETS),
    Grouping("hash", "Hash", lambda p: p.snap.hash or None, lambda v: f"ball {v}" if v == "middle" else f"{v} hash"),
    Grouping("personnel", "Personnel", lambda p: p.personnel or None, lambda v: f"{v} personnel"),
    Grouping("formation", "Formation", lambda p: p.formation or None, lambda v: f"from {v}"),
    Grouping(
        "backfield",
        "Backfield",
        _backfield,
        lambda v: v.replace("back ", "back offset ", 1) if v.startswith(("back to", "back away")) else v,
    ),
    Grouping("motion", "Motion", _motion, lambda v: v if v == "no motion" else f"motion {v}"),
)
BY_NAME = {grouping.name: grouping for grouping in GROUPINGS}
_BACK_SIDE = Grouping("back-side", "Side of the back", _back_side, lambda v: v.replace("back ", "back offset ", 1))


# --- counting -----------------------------------------


def count_plays(label: str, plays: Sequence[CountedSnap], merged: tuple[str, ...] = ()) -> Tally:
    """Returns the tally of some plays. Concepts, sides and directions are those of the runs."""
    told = [play for play in plays if play.kind]
    runs = [play for play in told if play.run]
    judged = [play.success for play in plays if play.success is not None]
    gains = [play.snap.gain for play in plays if play.snap.gain is not None]
    concepts = Counter(play.concept for play in runs if play.concept)
    sides = Counter(play.side for play in runs if play.side)
    return Tally(
        label=label,
        n=len(plays),
        run=Share(len(runs), len(told)),
        passes=Share(len(told) - len(runs), len(told)),
        success=Share(sum(judged), len(judged)),
        gain=round(sum(gains) / len(gains), 1) if gains else None,
        concepts=tuple((name, Share(count, concepts.total())) for name, count in _ordered(concepts)),
        to_strength=_share(runs, lambda play: play.to_strength, "strong"),
        to_back=_share(runs, lambda play: play.to_back, "to back"),
        to_field=_share(runs, lambda play: play.to_field, "field"),
        sides=tuple((side, Share(sides[side], sides.total())) for side in ("left", "middle", "right")),
        merged=merged,
    )


def _ordered(counts: Counter[str]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


def _share(plays: Iterable[CountedSnap], of: Callable[[CountedSnap], str], hit: str) -> Share:
    values = [value for play in plays if (value := of(play))]
    return Share(values.count(hit), len(values))


Group = tuple[str, list[CountedSnap], tuple[str, ...]]  # label, plays, the labels merged into it


def break_down(plays: Sequence[CountedSnap], grouping: Grouping) -> list[Tally]:
    """Returns one tally per group: ordered groups in their order, the others by size. Small groups are merged."""
    return [count_plays(label, members, merged) for label, members, merged in group_plays(plays, grouping)]


def group_plays(plays: Sequence[CountedSnap], grouping: Grouping) -> list[Group]:
    """Returns the groups of `break_down` with their plays."""
    groups: dict[str, list[CountedSnap]] = {}
    for play in plays:
        value = grouping.of(play)
        if value is not None:
            groups.setdefault(value, []).append(play)
    return _merge_bands(groups, grouping) if grouping.buckets else _merge_rest(groups)


def _merge_rest(groups: dict[str, list[CountedSnap]]) -> list[Group]:
    large = {label: members for label, members in groups.items() if len(members) >= MERGE_BELOW}
    small = {label: members for label, members in groups.items() if len(members) < MERGE_BELOW}
    if len(small) == 1:
        large, small = groups, {}
    listed: list[Group] = [(label, members, ()) for label, members in large.items()]
    listed.sort(key=lambda group: (-len(group[1]), group[0]))
    if small:
        names = tuple(sorted(small))
        listed.append((f"other ({len(names)} kinds)", [play for m in small.values() for play in m], names))
    return listed


def _merge_bands(groups: dict[str, list[CountedSnap]], grouping: Grouping) -> list[Group]:
    """Puts a band that is too small together with its smaller neighbour of the same group, until none is."""
    bands = [([bucket], groups.get(bucket.label, [])) for bucket in grouping.buckets if groups.get(bucket.label)]
    while True:
        place = next(
            (i for i, (buckets, members) in enumerate(bands) if len(members) < MERGE_BELOW and _neighbours(bands, i)),
            None,
        )
        if place is None:
            break
        other = min(_neighbours(bands, place), key=lambda i: len(bands[i][1]))
        first, second = sorted((place, other))
        bands[first] = (bands[first][0] + bands[second][0], bands[first][1] + bands[second][1])
        del bands[second]
    merged = []
    for buckets, members in bands:
        low, high = buckets[0].low, buckets[-1].high
        label = buckets[0].label
        if len(buckets) > 1:
            by_down = grouping.name == "down-distance"
            label = _distance_label(buckets[0].group, low, high) if by_down else _zone_label(low, high)
        merged.append((label, members, tuple(b.label for b in buckets) if len(buckets) > 1 else ()))
    return merged


def _neighbours(bands: list[tuple[list[Bucket], list[CountedSnap]]], place: int) -> list[int]:
    group = bands[place][0][0].group
    return [i for i in (place - 1, place + 1) if 0 <= i < len(bands) and bands[i][0][0].group == group]


def count_holes(plays: Iterable[CountedSnap]) -> dict[str, Share]:
    """Returns the share of runs at each hole; its n is all runs whose hole is known."""
    counts = Counter(play.hole for play in plays if play.run and play.hole)
    return {hole: Share(count, counts.total()) for hole, count in counts.items()}


def cross_count(
    plays: Iterable[CountedSnap], rows: int = 12, columns: int = 10
) -> tuple[list[str], list[str], dict[tuple[str, str], int]]:
    """Returns the most used formations and concepts of the runs, and how often each pair came."""
    pairs = Counter((play.formation, play.concept) for play in plays if play.run and play.formation and play.concept)
    formations: Counter[str] = Counter()
    concepts: Counter[str] = Counter()
    for (formation, concept), count in pairs.items():
        formations[formation] += count
        concepts[concept] += count
    return [n for n, _ in _ordered(formations)[:rows]], [n for n, _ in _ordered(concepts)[:columns]], dict(pairs)


def whole_percents(tallies: Sequence[Tally]) -> list[int]:
    """Returns each group's share of the plays in whole percent; they add up to 100."""
    return round_to_total([tally.n for tally in tallies])


# --- tells --------------------------------------------


@dataclass(frozen=True, slots=True)
class Tell:
    """A lean that stands out. `adjusted` is its p-value corrected for all `tried`."""

    condition: str
    outcome: str
    share: Share
    otherwise: Share
    p_value: float
    adjusted: float
    tried: int

    @property
    def text(self) -> str:
        """One sentence for coaches."""
        low_high = self.share.interval.text
        usual = f" (otherwise {self.otherwise.percent} of {self.otherwise.n})" if self.otherwise.n else ""
        return f"{self.condition}: {self.share.hits} of {self.share.n} {self.outcome}, {low_high}{usual}"


@dataclass(frozen=True, slots=True)
class Question:
    """Something with two answers that plays may lean to; `yes` and `no` are said in a sentence, "" never.

    `even`: half and half is what one would expect of anybody. `apart`: groupings where another question says the same.
    """

    yes: str
    no: str
    answer: Callable[[CountedSnap], bool | None]
    even: bool = False
    apart: frozenset[str] = frozenset()
    topic: str = "direction"


def _two(of: Callable[[CountedSnap], str], hit: str) -> Callable[[CountedSnap], bool | None]:
    def answer(play: CountedSnap) -> bool | None:
        value = of(play) if play.run else ""
        return None if value in ("", "middle") else value == hit

    return answer


_STRENGTH = Question(
    "runs to strength",
    "runs away from strength",
    _two(lambda p: p.to_strength, "strong"),
    True,
    frozenset({"backfield"}),
)
_BACK = Question("runs to the back's side", "runs away from the back", _two(lambda p: p.to_back, "to back"), True)
_FIELD = Question(
    "runs to the field", "runs to the boundary", _two(lambda p: p.to_field, "field"), True, frozenset({"back-side"})
)
_RIGHT = Question(
    "runs right", "runs left", _two(lambda p: p.side, "right"), True, frozenset({"backfield", "back-side", "hash"})
)
_RUN = Question("plays are runs", "plays are passes", lambda play: play.run if play.kind else None, topic="run or pass")


def _questions(plays: Sequence[CountedSnap]) -> list[Question]:
    concepts = Counter(play.concept for play in plays if play.run and play.concept)
    asked = [_RUN, _STRENGTH, _BACK, _FIELD, _RIGHT]
    for name, count in _ordered(concepts)[:12]:
        if count >= TELL_MINIMUM:
            asked.append(Question(f"runs are {name}", "", _is_concept(name), topic="concept"))
    return asked


def _is_concept(name: str) -> Callable[[CountedSnap], bool | None]:
    return lambda play: play.concept == name if play.run and play.concept else None


@dataclass(frozen=True, slots=True)
class _Group:
    """Plays that share one or two group values; `members` has the bit of each play set."""

    keys: tuple[tuple[str, str], ...]
    condition: str
    members: int


@dataclass(frozen=True, slots=True)
class _Finding:
    keys: tuple[tuple[str, str], ...]
    condition: str
    outcome: str
    share: Share
    otherwise: Share
    p_value: float
    topic: str

    @property
    def strength(self) -> float:
        """How far the share surely lies above what is usual."""
        return self.share.interval.low - (self.otherwise.value if self.otherwise.n else 0.5)


def find_tells(
    plays: Sequence[CountedSnap], limit: float = TELL_LIMIT, questions: Sequence[Question] | None = None
) -> list[Tell]:
    """Returns the strongest tells, corrected for how many were tried (Benjamini-Hochberg at `limit`).

    Every group of one grouping and of two is asked every question with at least TELL_MINIMUM answers; its share is
    compared with all other plays (Fisher's exact test), all plays together with half and half (binomial).
    A group of two is kept only where it surely says more than each of its parts.
    """
    findings = _all_findings(plays, questions or _questions(plays))
    adjusted = adjust_p_values([finding.p_value for finding in findings])
    kept = [
        (found, q)
        for found, q in zip(findings, adjusted, strict=True)
        if q <= limit and found.outcome and found.strength > 0
    ]
    kept.sort(key=lambda item: (len(item[0].keys), -item[0].strength, item[0].condition))
    chosen: dict[str, list[_Finding]] = {}
    tells: list[tuple[float, str, Tell]] = []
    for found, q in kept:
        parts = [part for part in chosen.get(found.outcome, ()) if set(part.keys) < set(found.keys)]
        if any(found.share.interval.low <= part.share.value for part in parts):
            continue
        chosen.setdefault(found.outcome, []).append(found)
        tell = Tell(found.condition, found.outcome, found.share, found.otherwise, found.p_value, q, len(findings))
        tells.append((-found.strength, found.topic, tell))
    tells.sort(key=lambda item: (item[0], item[2].condition))
    shown: Counter[str] = Counter()
    picked = []
    for _, topic, tell in tells:
        shown[topic] += 1
        if shown[topic] <= TELLS_SHOWN:
            picked.append(tell)
    return picked


def _all_findings(plays: Sequence[CountedSnap], questions: Sequence[Question]) -> list[_Finding]:
    groups = list(_groups(plays))
    findings = []
    for question in questions:
        known, yes = _bits(plays, question.answer)
        total = Share(yes.bit_count(), known.bit_count())
        if question.even and total.n >= TELL_MINIMUM:
            p = binomial_p_value(total.hits, total.n, 0.5)
            findings.append(_finding((), "overall", question, total, Share(0, 0), p))
        for group in groups:
            if any(name in question.apart for name, _ in group.keys):
                continue
            share = Share((group.members & yes).bit_count(), (group.members & known).bit_count())
            rest = Share(total.hits - share.hits, total.n - share.n)
            if share.n >= TELL_MINIMUM and rest.n:
                p = two_share_p_value(share.hits, share.n, rest.hits, rest.n)
                findings.append(_finding(group.keys, group.condition, question, share, rest, p))
    return findings


def _bits(plays: Sequence[CountedSnap], answer: Callable[[CountedSnap], bool | None]) -> tuple[int, int]:
    answers = [answer(play) for play in plays]
    known = "".join("0" if value is None else "1" for value in reversed(answers))
    yes = "".join("1" if value else "0" for value in reversed(answers))
    return int(known or "0", 2), int(yes or "0", 2)


def _finding(
    keys: tuple[tuple[str, str], ...], condition: str, question: Question, share: Share, rest: Share, p: float
) -> _Finding:
    if share.value >= (rest.value if rest.n else 0.5):
        return _Finding(keys, condition, question.yes, share, rest, p, question.topic)
    flipped, others = Share(share.n - share.hits, share.n), Share(rest.n - rest.hits, rest.n)
    told = "back offset" in condition  # then "away" says from whom
    outcome = "runs away" if told and question is _BACK else question.no
    return _Finding(keys, condition, outcome, flipped, others, p, question.topic)


def _groups(plays: Sequence[CountedSnap]) -> Iterator[_Group]:
    """Yields every group worth asking; of groups with the very same plays only the first."""
    singles: dict[tuple[str, str], _Group] = {}
    seen = {(1 << len(plays)) - 1}
    for grouping in (*GROUPINGS, _BACK_SIDE):
        values = [grouping.of(play) for play in plays]
        for value in sorted({value for value in values if value is not None}):
            members = int("".join("1" if v == value else "0" for v in reversed(values)), 2)
            if members.bit_count() >= TELL_MINIMUM and members not in seen:
                seen.add(members)
                key = (grouping.name, value)
                singles[key] = _Group((key,), grouping.say(value), members)
    yield from singles.values()
    for first, second in combinations(singles.values(), 2):
        if {first.keys[0][0], second.keys[0][0]} in ({"backfield", "back-side"}, {first.keys[0][0]}):
            continue
        members = first.members & second.members
        if members.bit_count() >= TELL_MINIMUM and members not in seen:
            seen.add(members)
            yield _Group(first.keys + second.keys, f"{first.condition}, {second.condition}", members)


# --- our own calls ------------------------------------


@dataclass(frozen=True, slots=True)
class CallLine:
    """How often we made a call in a group of plays, and how the offense did against it."""

    call: str
    share: Share
    faced: Tally


def count_calls(plays: Sequence[CountedSnap]) -> list[CallLine]:
    """Returns our calls in these plays, the most used first. Plays without a charted call are left out."""
    by_call: dict[str, list[CountedSnap]] = {}
    for play in plays:
        if play.snap.our_call:
            by_call.setdefault(play.snap.our_call, []).append(play)
    total = sum(len(members) for members in by_call.values())
    lines = [CallLine(c, Share(len(members), total), count_plays(c, members)) for c, members in by_call.items()]
    return sorted(lines, key=lambda line: (-line.share.hits, line.call))


def find_own_tells(plays: Sequence[CountedSnap]) -> list[Tell]:
    """Returns the situations that give our call away, corrected like `find_tells`."""
    called = [play for play in plays if play.snap.our_call]
    questions = [
        Question(f"snaps in {line.call}", "", _is_call(line.call), topic=line.call)
        for line in count_calls(called)
        if line.share.hits >= TELL_MINIMUM
    ]
    return find_tells(called, questions=questions) if questions else []


def _is_call(name: str) -> Callable[[CountedSnap], bool | None]:
    return lambda play: play.snap.our_call == name
