"""What is read of an opponent's tendencies, and of our own calls: the plays that are looked at, and the overview."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Count, QuerySet

from playbook.charts import queries as charts
from playbook.charts.plays import Aliases, CountedSnap, read_plays
from playbook.charts.values import plain_word
from playbook.charts.words import aliases_of, counted_snaps, library, library_words, vocabulary_of
from playbook.models import Call, ChartedSnap, Opponent

from . import plots
from .counting import BY_NAME, Share, Tally, break_down, count_holes, count_plays, group_plays
from .reports import BY_REPORT, OPENING, THEIRS, Known, make_table
from .tables import Table
from .tells import WATCHED, Tell, find_own_tells, find_tells


@dataclass(frozen=True, slots=True)
class Looked:
    """The plays that are looked at, in people's words, and what is known of their games."""

    plays: list[CountedSnap]
    known: Known


@dataclass(frozen=True, slots=True)
class Filters:
    """Which snaps are looked at: rows, one personnel, games against `us` or `others`; "" is all.

    With a `half_life` a snap counts half as much after so many newer games.
    """

    choice: charts.Choice = field(default_factory=charts.Choice)
    personnel: str = ""
    whose: str = ""
    half_life: int = 0


def words_said(opponent: Opponent) -> Aliases:
    """Returns how this opponent's words are read: into ours, as people say them."""
    vocabulary = vocabulary_of(opponent)
    return vocabulary.saying(aliases_of(opponent, vocabulary))


def our_words_said() -> Aliases:
    """Returns how words of all charts are read, as people say them."""
    return library().saying(library_words())


def their_personnels(opponent: Opponent, aliases: Aliases) -> list[str]:
    """Returns the personnels that were charted of an opponent, the most used first."""
    return _personnels(counted_snaps(opponent), aliases)


def our_personnels() -> list[str]:
    """Returns the personnels that were charted against our calls, the most used first."""
    return _personnels(our_snaps(), library_words())


def _personnels(rows: QuerySet[ChartedSnap], aliases: Aliases) -> list[str]:
    """Returns the personnels that were charted, the most used first."""
    counted: dict[str, int] = {}
    found = rows.exclude(personnel="").order_by().values_list("personnel").annotate(n=Count("pk"))
    for word, count in found:
        group = aliases.group(word)
        counted[group] = counted.get(group, 0) + count
    return sorted(counted, key=lambda group: (-counted[group], group))


def look_at(opponent: Opponent, filters: Filters, aliases: Aliases) -> Looked:
    """Returns the opponent's plays that pass the filters."""
    rows = counted_snaps(opponent)
    if filters.choice.chart:
        rows = ChartedSnap.objects.filter(chart__opponent=opponent, chart=filters.choice.chart)
    known = _known(rows)
    snaps = charts.read_rows(rows, filters.choice)
    if filters.whose:
        ours = filters.whose == "us"
        snaps = [snap for snap in snaps if (charts.game_key(snap) in known.against_us) == ours]
    plays = _weighed(read_plays(snaps, aliases), filters, rows)
    return Looked(_of_personnel(plays, filters), known)


def our_snaps() -> QuerySet[ChartedSnap]:
    """Returns the counted snaps whose call of ours is charted."""
    return ChartedSnap.objects.filter(chart__counts=True, repeated=False).exclude(our_call="")


def look_at_ours(filters: Filters) -> Looked:
    """Returns the plays against our own calls that pass the filters, the calls by their labels."""
    rows = our_snaps()
    labels = {plain_word(name): label for name, label in Call.objects.values_list("name", "label")}
    snaps = [
        snap._replace(our_call=labels.get(plain_word(snap.our_call), snap.our_call))
        for snap in charts.read_rows(rows, filters.choice)
    ]
    plays = _weighed(read_plays(snaps, our_words_said()), filters, rows)
    return Looked(_of_personnel(plays, filters), _known(rows))


def _known(rows: QuerySet[ChartedSnap]) -> Known:
    return Known(charts.games_against_us(rows), charts.opening_numbers(rows, OPENING))


def _of_personnel(plays: list[CountedSnap], filters: Filters) -> list[CountedSnap]:
    return [play for play in plays if play.personnel == filters.personnel] if filters.personnel else plays


def _weighed(plays: list[CountedSnap], filters: Filters, rows: QuerySet[ChartedSnap]) -> list[CountedSnap]:
    """Gives each play what it weighs: half as much for every so many games that were charted after its own."""
    if not filters.half_life:
        return plays
    games = charts.games_in_order(rows)
    weights = {game: 0.5 ** (since / filters.half_life) for since, game in enumerate(reversed(games))}
    return [play._replace(weight=weights[charts.game_key(play.snap)]) for play in plays]


# --- the overview -------------------------------------


@dataclass(frozen=True, slots=True)
class Tendencies:
    """What is said of an opponent's plays first."""

    overall: Tally
    tells: list[Tell]
    watched: Table
    plots: dict[str, str]


def tendencies(looked: Looked) -> Tendencies:
    """Returns the overview of some plays."""
    plays = looked.plays
    return Tendencies(
        count_plays("all plays", plays),
        find_tells(plays),
        make_table(BY_REPORT["situations"], plays, looked.known, THEIRS),
        draw_plots(plays),
    )


def draw_plots(plays: Sequence[CountedSnap]) -> dict[str, str]:
    """Returns the plots of some plays as SVG, those that have something to show."""
    drawn = {}
    for name, title in (("down-distance", "down and distance"), ("field-zone", "field zone")):
        if tallies := break_down(plays, BY_NAME[name]):
            drawn[name] = plots.draw_bars(tallies, f"Run and pass by {title}")
    holes = count_holes(plays)
    if holes:
        drawn["holes"] = plots.draw_holes(holes)
    return drawn


def own_tells(plays: Sequence[CountedSnap]) -> list[Tell]:
    """Returns what gives our calls away."""
    return find_own_tells(plays)


# --- the players' sheet -------------------------------

SHEET_TELLS, SHEET_FORMATIONS, SHEET_RUNS = 5, 6, 2


@dataclass(frozen=True, slots=True)
class SheetFormation:
    """A formation as players hear of it: how much of their snaps, how often they run, the runs that come most."""

    label: str
    snaps: Share
    tally: Tally


@dataclass(frozen=True, slots=True)
class ScoutingSheet:
    """One page of an opponent for players."""

    snaps: int
    tells: list[Tell]
    situations: list[Tally]
    formations: list[SheetFormation]
    holes: str


def scouting_sheet(opponent: Opponent) -> ScoutingSheet | None:
    """Returns an opponent on one page, for players; None where nothing is charted."""
    plays = look_at(opponent, Filters(), words_said(opponent)).plays
    if not plays:
        return None
    situations = [count_plays(label, [play for play in plays if of(play)]) for label, of in WATCHED]
    formations = [
        SheetFormation(label, Share(len(members), len(plays)), count_plays(label, members))
        for label, members, merged in group_plays(plays, BY_NAME["formation"])
        if not merged
    ]
    tells = sorted(find_tells(plays), key=lambda tell: tell.share.interval.low, reverse=True)[:SHEET_TELLS]
    told = [tally for tally in situations if tally.n]
    return ScoutingSheet(len(plays), tells, told, formations[:SHEET_FORMATIONS], draw_plots(plays).get("holes", ""))
