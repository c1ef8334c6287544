"""What an opponent does: plays counted by situation, each share with its n and interval."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from operator import attrgetter

from playbook.charts.plays import CountedSnap

from .stats import Interval, wilson_interval

SMALL = 10  # fewer plays than this are shown in grey
MERGE_BELOW = 5  # fewer than this are merged with a neighbour or into "other"

DOWN_WORDS = {1: "1st", 2: "2nd", 3: "3rd", 4: "4th"}


@dataclass(frozen=True, slots=True)
class Heft:
    """What the hits and all of them weigh together, and the sum of squared weights, where recent games weigh more."""

    hits: float
    all: float
    squares: float


@dataclass(frozen=True, slots=True)
class Share:
    """Hits in n, with the interval that belongs to it. With a `heft` the share goes by weight; hits and n never do."""

    hits: int
    n: int
    heft: Heft | None = None

    @property
    def value(self) -> float:
        """The share itself, 0 with nothing counted."""
        if self.heft:
            return self.heft.hits / self.heft.all if self.heft.all else 0.0
        return self.hits / self.n if self.n else 0.0

    @property
    def interval(self) -> Interval:
        """Its 95 % Wilson interval; weighted plays stand for fewer (Kish: the sum squared by the sum of squares)."""
        if self.heft and self.heft.squares:
            n = self.heft.all**2 / self.heft.squares
            return wilson_interval(min(n, self.value * n), n)
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
    """The plays of one group, counted. `merged` names what was put together because each was too small.

    Concepts, sides and directions are those of the runs.
    """

    label: str
    n: int
    run: Share
    passes: Share
    success: Share
    explosive: Share
    gain: float | None
    concepts: tuple[tuple[str, Share], ...]
    to_strength: Share
    to_back: Share
    to_end: Share
    to_field: Share
    sides: tuple[tuple[str, Share], ...]
    merged: tuple[str, ...] = ()

    @property
    def small(self) -> bool:
        """Whether the group is too small to lean on."""
        return self.n < SMALL

    @property
    def directions(self) -> tuple[tuple[str, Share], ...]:
        """Where the runs go, by what is charted."""
        found = (
            ("to strength", self.to_strength),
            ("to the back", self.to_back),
            ("to the tight end", self.to_end),
            ("to the field", self.to_field),
        )
        return tuple((label, share) for label, share in found if share.n)


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


_BANDS = {
    (down, distance): _distance_label(DOWN_WORDS[down], low, high)
    for down, bands in _DISTANCES.items()
    for low, high in bands
    for distance in range(low, high + 1)
}
_ZONE_AT = {yard: label for low, high, label in _ZONES for yard in range(low, high + 1)}


def down_distance(play: CountedSnap) -> str | None:
    """The play's band of down and distance."""
    return _BANDS.get((play.snap.down, play.snap.distance))  # type: ignore[arg-type]


def field_zone(play: CountedSnap) -> str | None:
    """The play's field zone."""
    return _ZONE_AT.get(play.snap.yard_line)  # type: ignore[arg-type]


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


_COUNTED = attrgetter(
    "kind", "concept", "side", "to_strength", "to_back", "to_end", "to_field", "success", "explosive", "weight"
)


class _Sum:
    """Plays that are added up: how many, and what they weigh."""

    __slots__ = ("all", "n", "squares")

    def __init__(self) -> None:
        self.n, self.all, self.squares = 0, 0.0, 0.0

    def add(self, count: int, weight: float) -> None:
        self.n += count
        self.all += count * weight
        self.squares += count * weight * weight


def count_plays(label: str, plays: Sequence[CountedSnap], merged: tuple[str, ...] = ()) -> Tally:
    """Returns the tally of some plays: the one place where plays are counted.

    Plays that say the same are counted together first, so that thousands take milliseconds.
    """
    sums: dict[tuple[int, object], _Sum] = {}
    weighed = False
    for values, count in Counter(map(_COUNTED, plays)).items():
        kind, concept, side, strength, back, end, field_side, success, explosive, weight = values
        weighed = weighed or weight != 1.0
        run = kind == "run"
        told = (kind, *((concept, side, strength, back, end, field_side) if run else ("",) * 6), success, explosive)
        for place, value in enumerate(told):
            if value not in ("", None):
                sums.setdefault((place, value), _Sum()).add(count, weight)
    by_place: dict[int, dict[object, _Sum]] = {}
    for (place, value), one in sums.items():
        by_place.setdefault(place, {})[value] = one

    def shares(place: int) -> dict[object, Share]:
        found = by_place.get(place, {})
        n = sum(one.n for one in found.values())
        every = [(one.all, one.squares) for one in found.values()]
        whole, squares = sum(all_ for all_, _ in every), sum(square for _, square in every)
        return {
            value: Share(one.n, n, Heft(one.all, whole, squares) if weighed else None) for value, one in found.items()
        } | {None: Share(0, n, Heft(0.0, whole, squares) if weighed else None)}

    def share(place: int, hit: object) -> Share:
        found = shares(place)
        return found.get(hit, found[None])

    concepts, sides = shares(1), shares(2)
    gains = [(play.snap.gain, play.weight) for play in plays if play.snap.gain is not None]
    heft = sum(weight for _, weight in gains)
    return Tally(
        label=label,
        n=len(plays),
        run=share(0, "run"),
        passes=share(0, "pass"),
        success=share(7, True),
        explosive=share(8, True),
        gain=round(sum(gain * weight for gain, weight in gains) / heft, 1) if gains else None,
        concepts=tuple((str(name), one) for name, one in _ordered_shares(concepts) if name is not None),
        to_strength=share(3, "strong"),
        to_back=share(4, "to back"),
        to_end=share(5, "to end"),
        to_field=share(6, "field"),
        sides=tuple((side, sides.get(side, sides[None])) for side in ("left", "middle", "right")),
        merged=merged,
    )


def _ordered_shares(shares: Mapping[object, Share]) -> list[tuple[object, Share]]:
    return sorted(shares.items(), key=lambda item: (-item[1].value, -item[1].hits, str(item[0])))


def _ordered(counts: Counter[str]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


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


# --- our own calls ------------------------------------


def count_calls(plays: Sequence[CountedSnap]) -> list[tuple[str, Share]]:
    """Returns our calls in these plays, the most used first. Plays without a charted call are left out."""
    sums: dict[str, _Sum] = {}
    for play in plays:
        if play.snap.our_call:
            sums.setdefault(play.snap.our_call, _Sum()).add(1, play.weight)
    n = sum(one.n for one in sums.values())
    whole, squares = sum(one.all for one in sums.values()), sum(one.squares for one in sums.values())
    weighed = any(one.all != one.n for one in sums.values())
    found = {call: Share(one.n, n, Heft(one.all, whole, squares) if weighed else None) for call, one in sums.items()}
    return [(str(call), share) for call, share in _ordered_shares(found)]
