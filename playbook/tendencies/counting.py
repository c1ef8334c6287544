"""What an opponent does: plays counted by situation, each share with its n and interval."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from playbook.charts.plays import CountedSnap

from .stats import Interval, round_to_total, wilson_interval

SMALL = 10  # fewer plays than this are shown in grey
MERGE_BELOW = 5  # fewer than this are merged with a neighbour or into "other"

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
    return None if play.motion is None else play.motion or "no motion"


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
BACK_SIDE = Grouping("back-side", "Side of the back", _back_side, lambda v: v.replace("back ", "back offset ", 1))


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
