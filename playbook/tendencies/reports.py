"""The reports: each a way to put plays into rows. Their offense and our own calls are told by the same ones."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from playbook.charts.plays import EXPLOSIVE, CountedSnap
from playbook.charts.queries import GameKey, game_key

from .counting import (
    BY_NAME,
    GROUPINGS,
    Group,
    Grouping,
    Share,
    count_calls,
    count_plays,
    cross_count,
    group_plays,
)
from .tables import Column, Kind, Row, Table
from .tells import WATCHED

OPENING = 15  # snaps that are often called before the game
FORMATIONS = 8  # shown apart where a report goes formation by formation


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the games beside their plays: those against us, and the number of each opening snap."""

    against_us: frozenset[GameKey] = frozenset()
    opening: Mapping[tuple[int, int], int] = field(default_factory=dict)

    def number(self, play: CountedSnap) -> int:
        """Which snap of its game it is, as far as the opening goes; 0 after it."""
        return self.opening.get((play.snap.chart, play.snap.line), 0)


Section = tuple[str, list[Group]]
Plays = Sequence[CountedSnap]


@dataclass(frozen=True, slots=True)
class Report:
    """One report: its name in addresses, what it is called, over what its rows stand, how plays come into them."""

    name: str
    label: str
    head: str
    sections: Callable[[Plays, Known], list[Section]]
    note: str = ""
    section_head: str = "Part"
    without: frozenset[str] = frozenset()  # columns that would say the same in every row


# --- how plays come into rows -------------------------


def _by(grouping: Grouping) -> Callable[[Plays, Known], list[Section]]:
    return lambda plays, known: [("", group_plays(plays, grouping))]


def _picked(plays: Plays, *rows: tuple[str, Callable[[CountedSnap], bool]]) -> list[Group]:
    found = [(label, [play for play in plays if of(play)], ()) for label, of in rows]
    return [group for group in found if group[1]]


def _watched(plays: Plays, known: Known) -> list[Section]:
    return [("", [(label, [play for play in plays if of(play)], ()) for label, of in WATCHED])]


def _by_personnel(plays: Plays, known: Known) -> list[Section]:
    sheets = group_plays(plays, BY_NAME["personnel"])
    return [(f"{label} personnel", group_plays(members, BY_NAME["down-distance"])) for label, members, _ in sheets]


def _into_boundary(plays: Plays, known: Known) -> list[Section]:
    """The strength seen from the sidelines: the boundary is the side of the hash."""
    placed = [play for play in plays if play.snap.strength in ("left", "right") and play.snap.hash in ("left", "right")]
    into = [play for play in placed if play.snap.strength == play.snap.hash]
    both = _picked(
        placed,
        ("strength into the boundary", lambda play: play.snap.strength == play.snap.hash),
        ("strength to the field", lambda play: play.snap.strength != play.snap.hash),
    )
    return [("Off a hash", both), ("Into the boundary, by formation", group_plays(into, BY_NAME["formation"]))]


_WAYS: tuple[tuple[str, Callable[[CountedSnap], str], tuple[tuple[str, str], ...]], ...] = (
    ("By the strength", lambda play: play.to_strength, (("strong", "to strength"), ("weak", "away from strength"))),
    ("By the back", lambda play: play.to_back, (("to back", "to the back"), ("away from back", "away from him"))),
    ("By the tight end", lambda play: play.to_end, (("to end", "to him"), ("away from end", "away from him"))),
    ("By the field", lambda play: play.to_field, (("field", "to the field"), ("boundary", "to the boundary"))),
    ("Left and right", lambda play: play.side, (("left", "left"), ("middle", "the middle"), ("right", "right"))),
)  # fmt: skip


def _directions(plays: Plays, known: Known) -> list[Section]:
    runs = [play for play in plays if play.run]
    found = []
    for title, of, ways in _WAYS:
        values = [of(play) for play in runs]
        groups: list[Group] = [
            (label, [play for play, value in zip(runs, values, strict=True) if value == way], ()) for way, label in ways
        ]
        found.append((title, [group for group in groups if group[1]]))
    return found


def _explosives(plays: Plays, known: Known) -> list[Section]:
    large = [play for play in plays if play.explosive]
    kinds = _picked(large, ("runs", lambda play: play.kind == "run"), ("passes", lambda play: play.kind == "pass"))
    runs = [play for play in large if play.run]
    return [
        ("Explosive plays", kinds),
        ("Explosive runs", group_plays(runs, _RUN)),
        ("By formation", group_plays(large, BY_NAME["formation"])),
        ("By down and distance", group_plays(large, BY_NAME["down-distance"])),
    ]


_RUN = Grouping("run", "Run", lambda play: play.concept or None, str)


def _openers(plays: Plays, known: Known) -> list[Section]:
    numbers = [(play, known.number(play)) for play in plays]
    parts = [(f"snaps {low} to {low + 4}", range(low, low + 5)) for low in range(1, OPENING, 5)]
    groups: list[Group] = [(label, [play for play, n in numbers if n in span], ()) for label, span in parts]
    first = [play for play, number in numbers if number]
    rest: Group = ("after them", [play for play, number in numbers if not number], ())
    return [
        (f"The first {OPENING} of a game", [("all of them", first, ()), *groups, rest]),
        ("Of those, by formation", group_plays(first, BY_NAME["formation"])),
    ]


def _top_runs(plays: Plays, known: Known) -> list[Section]:
    runs = [play for play in plays if play.run]
    formations = [group for group in group_plays(runs, BY_NAME["formation"]) if not group[2]][:FORMATIONS]
    return [(label, group_plays(members, _RUN)) for label, members, _ in formations]


def _against(plays: Plays, known: Known) -> list[Section]:
    return [
        (
            "",
            _picked(
                plays,
                ("against us", lambda play: game_key(play.snap) in known.against_us),
                ("against others", lambda play: game_key(play.snap) not in known.against_us),
            ),
        )
    ]


def _score(plays: Plays, known: Known) -> list[Section]:
    return [
        (
            "",
            [
                (label, members, ())
                for label, of in SCORES.values()
                if (members := [p for p in plays if p.snap.margin is not None and of(p.snap.margin)])
            ],
        )
    ]


# One score is eight points.
SCORES: Mapping[str, tuple[str, Callable[[int], bool]]] = {
    "behind": ("behind by two scores or more", lambda margin: margin < -8),
    "close": ("within one score", lambda margin: abs(margin) <= 8),
    "ahead": ("ahead by two scores or more", lambda margin: margin > 8),
}

_GROUPED = tuple(Report(g.name, g.label, g.label, _by(g)) for g in GROUPINGS)
REPORTS: tuple[Report, ...] = (
    Report("situations", "Always asked", "Situation", _watched),
    _GROUPED[0],
    Report("by-personnel", "Down and distance by personnel", "Down and distance", _by_personnel, "", "Personnel"),
    *_GROUPED[1:],
    Report(
        "boundary", "Formation into the boundary", "Formation", _into_boundary,
        "Snaps off a hash whose strength is charted; the boundary is the side of the hash.",
    ),
    Report("direction", "Direction of the runs", "Way", _directions,
           "Runs whose way is known. The tight end is where our drawing of the formation has the only one.",
           without=frozenset({"Run", "Runs go", "Runs against us"})),
    Report("top-runs", "Top runs by formation", "Run", _top_runs, "", "Formation",
           frozenset({"Run", "Most used runs", "Runs against us"})),
    Report("explosives", "Explosive plays", "Plays", _explosives,
           f"A run of {EXPLOSIVE['run']} yards, a pass of {EXPLOSIVE['pass']}, or more (common practice)."),
    Report("openers", "Openers", "Snaps", _openers),
    Report("score", "Score", "Score", _score, "Before the snap, as charted; one score is eight points."),
    Report("against", "Against us and others", "Games", _against,
           "A game is against us where our call is charted, or where the chart marks their offense as our defense."),
)  # fmt: skip
BY_REPORT = {report.name: report for report in REPORTS}


# --- what stands in the columns -----------------------

Values = Callable[[str, Plays, int], tuple[Sequence[object], bool]]


def _their_values(label: str, plays: Plays, all_: int) -> tuple[Sequence[object], bool]:
    tally = count_plays(label, plays)
    row = (
        Share(tally.n, all_),
        tally.run,
        tally.concepts[:3],
        tally.directions,
        tally.success,
        tally.explosive,
        tally.gain,
    )
    return row, tally.small


def _our_values(label: str, plays: Plays, all_: int) -> tuple[Sequence[object], bool]:
    tally = count_plays(label, plays)
    row = (Share(tally.n, all_), count_calls(plays)[:4], tally.run, tally.success, tally.explosive, tally.gain)
    return row, tally.small


@dataclass(frozen=True, slots=True)
class Lens:
    """What is told of a row's plays: their offense, or our own calls."""

    columns: tuple[Column, ...]
    values: Values


THEIRS = Lens(
    (
        Column("Plays", Kind.SHARE), Column("Run", Kind.SHARE), Column("Most used runs", Kind.SHARES),
        Column("Runs go", Kind.SHARES), Column("Success", Kind.SHARE), Column("Explosive", Kind.SHARE),
        Column("Yards a play", Kind.NUMBER),
    ),
    _their_values,
)  # fmt: skip
OURS = Lens(
    (
        Column("Snaps", Kind.SHARE), Column("Our calls", Kind.SHARES), Column("Runs against us", Kind.SHARE),
        Column("Their success", Kind.SHARE), Column("Explosive", Kind.SHARE), Column("Yards a play", Kind.NUMBER),
    ),
    _our_values,
)  # fmt: skip


def make_table(report: Report, plays: Plays, known: Known, lens: Lens = THEIRS) -> Table:
    """Returns a report's table of some plays."""
    kept = [place for place, column in enumerate(lens.columns) if column.label not in report.without]
    rows = []
    for section, groups in report.sections(plays, known):
        for label, members, merged in groups:
            values, small = lens.values(label, members, len(plays))
            rows.append(Row(label, [values[place] for place in kept], section, ", ".join(merged), small))
    columns = [lens.columns[place] for place in kept]
    return Table(report.name, report.label, report.head, columns, rows, report.note, report.section_head)


def calls_table(plays: Plays) -> Table:
    """Returns our calls: how often each was made, and how they did against it."""
    made = count_calls(plays)
    rows = []
    for call, share in made:
        tally = count_plays(call, [play for play in plays if play.snap.our_call == call])
        rows.append(Row(call, (share, tally.run, tally.success, tally.explosive, tally.gain), small=tally.small))
    columns = (
        Column("Made", Kind.SHARE), Column("Runs against it", Kind.SHARE), Column("Their success", Kind.SHARE),
        Column("Explosive", Kind.SHARE), Column("Yards a play", Kind.NUMBER),
    )  # fmt: skip
    return Table("calls", "Calls", "Call", columns, rows)


def cross_table(plays: Plays) -> Table:
    """Returns how often each run came from each formation."""
    formations, concepts, counts = cross_count(plays)
    rows = [
        Row(formation, [counts.get((formation, concept), 0) or None for concept in concepts])
        for formation in formations
    ]
    columns = [Column(concept, Kind.HEAT) for concept in concepts]
    return Table(
        "cross", "Formations and runs", "Formation", columns, rows, "How often each run came from each formation."
    )


def opening_table(plays: Plays, known: Known) -> Table:
    """Returns the opening snaps one by one, game by game."""
    first = [(play, number) for play in plays if (number := known.number(play))]
    rows = [Row(str(number), _said(play), play.snap.game or "one game") for play, number in first]
    heads = ("Down", "Ball", "Personnel", "Formation", "Play", "Yards")
    columns = [Column(head, Kind.NUMBER if head == "Yards" else Kind.TEXT) for head in heads]
    return Table("opening-plays", f"The first {OPENING}, snap by snap", "Snap", columns, rows, "", "Game")


def _said(play: CountedSnap) -> Sequence[object]:
    snap = play.snap
    down = f"{snap.down} & {snap.distance}" if snap.down and snap.distance else None
    ball = None
    if snap.yard_line:
        ball = f"opp {100 - snap.yard_line}" if snap.yard_line > 50 else f"own {snap.yard_line}"
    play_words = " ".join(filter(None, (play.concept or play.kind, play.side)))
    return down, ball, play.personnel or None, play.formation or None, play_words or None, snap.gain


def tables_of(name: str, plays: Plays, known: Known, lens: Lens = THEIRS) -> list[Table]:
    """Returns the tables of a report that say something. Raises KeyError for one that there is not."""
    found = [make_table(BY_REPORT[name], plays, known, lens)]
    if name == "openers":
        found.append(opening_table(plays, known))
    if name == "top-runs" and lens is THEIRS:
        found.append(cross_table(plays))
    return [table for table in found if table.rows]


def every_table(plays: Plays, known: Known, lens: Lens = THEIRS) -> Iterator[Table]:
    """Yields all tables that say something."""
    if lens is OURS:
        yield calls_table(plays)
    for report in REPORTS:
        yield from tables_of(report.name, plays, known, lens)
