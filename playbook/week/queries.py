"""What the week's pages read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import Count, OuterRef, Prefetch, Q, QuerySet, Subquery

from playbook.installation import queries as installation
from playbook.looks.asking import Ask
from playbook.looks.specs import asks_of, expected_looks, specs_of, surroundings
from playbook.models import (
    Call,
    ContactLevel,
    Day,
    ExpectedLook,
    FitGrade,
    Group,
    MenuCall,
    PlanEntry,
    Player,
    Position,
    QuizAnswer,
    RosterSpot,
    Season,
    Week,
)
from playbook.proof.results import NONE, ON_TIME, SOUND, UNSOUND, WARNING, StoredVerdict, set_results
from playbook.publishing.queries import opened_at
from playbook.week import sheets
from playbook.week.current import now_first
from playbook.week.words import share_words

HOLDS = (SOUND, WARNING)
WORST_FIRST = (NONE, UNSOUND, ON_TIME, WARNING)
FULL_CONTACT = (ContactLevel.THUD, ContactLevel.LIVE)


def weeks() -> QuerySet[Week]:
    """Returns weeks with what every page of a week shows; `withdrawn_at` of `with_withdrawal` included."""
    return with_withdrawal(Week.objects.select_related("season", "opponent", "system", "system__scheme"))


def with_withdrawal(found: QuerySet[Week]) -> QuerySet[Week]:
    """Returns the weeks with when players lost sight of each, and as what they saw it last.

    `withdrawn_at` is none for a week that players see and for one they never saw. `shown_number` and `shown_opponent`
    are from the last time they saw it: what the staff has made of the week since then is not for them. All three are
    read from the history that the database keeps, so it does not matter who withdrew the week and how.
    """
    events = Week.pgh_event_model.objects.filter(pgh_obj=OuterRef("pk"))  # type: ignore[attr-defined]
    last = events.filter(released=True).order_by("-pgh_id")
    found = found.annotate(
        last_shown=Subquery(last.values("pgh_id")[:1]),
        shown_number=Subquery(last.values("number")[:1]),
        shown_opponent=Subquery(last.values("opponent__name")[:1]),
    )
    after = events.filter(pgh_id__gt=OuterRef("last_shown")).order_by("pgh_id")
    return found.annotate(withdrawn_at=Subquery(after.values("pgh_created_at")[:1]))


def for_players(today: date) -> QuerySet[Week]:
    """Returns the weeks that players see or saw, the one to look at first: the next game's, else the latest one's."""
    return now_first(weeks().filter(Q(released=True) | Q(withdrawn_at__isnull=False)), today)


def seasons() -> QuerySet[Season]:
    """Returns the seasons with their weeks."""
    return Season.objects.prefetch_related(Prefetch("weeks", weeks().order_by("number")))


def menu(week: Week) -> QuerySet[MenuCall]:
    """Returns the week's call menu, by situation."""
    order = ("down", "distance_from", "distance_to", "zone", "personnel", "order")
    return week.menu_calls.select_related("call", "call__front", "call__coverage").order_by(*order)


def menu_for(week: Week, down: int | None, distance: int | None, zone: str, personnel: str) -> list[MenuCall]:
    """Returns the calls whose situation fits; what an entry leaves open fits everything."""
    entries = menu(week)
    if down:
        entries = entries.filter(Q(down=None) | Q(down=down))
    if distance is not None:
        entries = entries.filter(Q(distance_from=None) | Q(distance_from__lte=distance))
        entries = entries.filter(Q(distance_to=None) | Q(distance_to__gte=distance))
    if zone:
        entries = entries.filter(Q(zone="") | Q(zone__iexact=zone))
    if personnel:
        entries = entries.filter(Q(personnel="") | Q(personnel__iexact=personnel))
    return list(entries)


@dataclass(frozen=True, slots=True)
class Situation:
    """A situation of the call menu and its calls."""

    text: str
    entries: tuple[MenuCall, ...]


ORDINALS = {1: "1st", 2: "2nd", 3: "3rd", 4: "4th"}


def situation_words(entry: MenuCall) -> str:
    """Returns down and distance, zone and personnel, in words."""
    parts = [ORDINALS[entry.down] if entry.down else "Any down"]
    low, high = entry.distance_from, entry.distance_to
    if low is not None and high is not None:
        parts.append(f"& {low}" if low == high else f"& {low} to {high}")
    elif low is not None:
        parts.append(f"& {low} or more")
    elif high is not None:
        parts.append(f"& {high} or less")
    rest = [entry.zone, f"{entry.personnel} personnel" if entry.personnel else ""]
    return ", ".join([" ".join(parts), *(part for part in rest if part)])


def by_situation(entries: Iterable[MenuCall]) -> list[Situation]:
    """Returns the menu grouped by situation, in the order given."""
    groups: dict[str, list[MenuCall]] = {}
    for entry in entries:
        groups.setdefault(situation_words(entry), []).append(entry)
    return [Situation(text, tuple(found)) for text, found in groups.items()]


def menu_call_names(week: Week) -> list[str]:
    """Returns each call of the menu once, in menu order; the system's first call when the menu is empty."""
    names = list(dict.fromkeys(week.menu_calls.order_by("order").values_list("call__name", flat=True)))
    return names or list(week.system.calls.values_list("name", flat=True)[:1])


@dataclass(frozen=True, slots=True)
class Standing:
    """How one call stands against a look of the week: what is stored of it, and the look's page."""

    call: Call
    result: StoredVerdict
    ask: Ask

    @property
    def holds(self) -> bool:
        """Whether the call is sound against the look, with a warning or without."""
        return self.result.state in HOLDS

    @property
    def address(self) -> str:
        """The address of the look's page; made when it is asked for, as a week has thousands."""
        return self.ask.address()


@dataclass(frozen=True, slots=True)
class LookRow:
    """An expected look, and how it stands against each call that was asked about."""

    expected: ExpectedLook
    title: str
    setting: str
    states: tuple[Standing, ...]

    @property
    def share(self) -> str:
        """The share of their runs in words, a dash when nobody counted."""
        return share_words(self.expected.share) or "–"

    @property
    def held(self) -> int:
        """How many of the calls hold it."""
        return sum(standing.holds for standing in self.states)

    @property
    def worst(self) -> Standing | None:
        """The standing that says what is wrong: no look, then not sound, then only on time; none where all hold."""
        wrong = [standing for standing in self.states if standing.result.state in WORST_FIRST]
        return min(wrong, key=lambda standing: WORST_FIRST.index(standing.result.state), default=None)

    @property
    def part(self) -> int:
        """The share in per cent, at least one: how wide the look is on a ribbon."""
        return max(1, round(100 * (self.expected.share or 0)))


def look_rows(week: Week, names: Sequence[str], *, derive: bool = True) -> list[LookRow]:
    """Returns the week's looks, in their order, against the calls of these names.

    However many there are, their results are looked up by one query; what nobody has asked yet is derived and stored.
    Raises NotStored instead where nothing is to be derived.
    """
    looks, values = expected_looks(week), sheets.calls_of(week)
    rows = {call.name: call for call in week.system.calls.filter(name__in=names)}
    calls = [rows[name] for name in names if name in rows and name in values]
    around, asks = surroundings(week.system_id, week), asks_of(week, looks)
    asked = [one for call in calls for one in specs_of(asks, around, values[call.name])]
    results = set_results(asked, derive=derive).results
    return [
        LookRow(
            expected,
            sheets.concept_title(expected),
            sheets.setting_words(expected),
            tuple(
                Standing(call, results[column * len(looks) + number], replace(asks[number], call=call))
                for column, call in enumerate(calls)
            ),
        )
        for number, expected in enumerate(looks)
    ]


@dataclass(frozen=True, slots=True)
class Desk:
    """One call through a week: its looks in order, and where one is among them."""

    rows: tuple[LookRow, ...]
    at: int | None

    @property
    def row(self) -> LookRow | None:
        """The look itself, none when the week does not have it."""
        return None if self.at is None else self.rows[self.at]

    @property
    def previous(self) -> LookRow | None:
        """The look before it; of a look that is not in the week, and of the first one, none."""
        return self.rows[self.at - 1] if self.at else None

    @property
    def next(self) -> LookRow | None:
        """The look after it; of the last one none, of one that is not in the week the first."""
        following = 0 if self.at is None else self.at + 1
        return self.rows[following] if following < len(self.rows) else None


def desk(week: Week, call: str, look_pk: int | None = None) -> Desk:
    """Returns a week's looks against one call, with the look before and after one of them."""
    rows = tuple(look_rows(week, [call]))
    return Desk(rows, next((n for n, row in enumerate(rows) if row.expected.pk == look_pk), None))


@dataclass(frozen=True, slots=True)
class DayPlan:
    """A day of the plan: entries by group, and full-contact minutes against the staff's limit."""

    day: Day
    cells: tuple[tuple[str, tuple[PlanEntry, ...]], ...]
    contact: tuple[tuple[str, int], ...]
    most: int
    limit: int

    @property
    def over(self) -> bool:
        """Whether some group has more full contact than the limit."""
        return self.most > self.limit


@dataclass(frozen=True, slots=True)
class InstallPlan:
    """The week's install plan with its contact count."""

    days: tuple[DayPlan, ...]
    contact: tuple[tuple[str, int], ...]
    most: int
    limit: int
    source: str

    @property
    def over(self) -> bool:
        """Whether some group has more full contact in the week than the limit."""
        return self.most > self.limit


def plan(week: Week, group: str = "") -> InstallPlan:
    """Returns the week's plan, for all groups or for one; entries for everybody count for every group."""
    groups = [name for name in Group.values if group in ("", name)]
    entries = PlanEntry.objects.select_related("call", "look__formation", "look__concept")
    days = [_day_plan(day, groups, week.season) for day in week.days.prefetch_related(Prefetch("entries", entries))]
    totals = tuple((name, sum(dict(day.contact)[name] for day in days)) for name in groups)
    most = max((minutes for _, minutes in totals), default=0)
    return InstallPlan(tuple(days), totals, most, week.season.contact_week_min, week.season.contact_source)


def _day_plan(day: Day, groups: Sequence[str], season: Season) -> DayPlan:
    entries = list(day.entries.all())
    cells = [("", tuple(entry for entry in entries if not entry.group))]
    cells += [(name, tuple(entry for entry in entries if entry.group == name)) for name in groups]
    contact = tuple((name, contact_minutes(entries, name)) for name in groups)
    most = max((minutes for _, minutes in contact), default=0)
    return DayPlan(day, tuple(cells), contact, most, season.contact_day_min)


def contact_minutes(entries: Iterable[PlanEntry], group: str) -> int:
    """Returns the full-contact (thud and live) minutes of a group."""
    return sum(e.minutes or 0 for e in entries if e.contact in FULL_CONTACT and e.group in ("", group))


@dataclass(frozen=True, slots=True)
class Holder:
    """A man at a position: whether he has opened his sheet, and how much he knows of it."""

    player: Player
    opened: datetime | None
    score: QuizScore | None


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A position's sheet, and the men who have it, in the order in which they play."""

    position: Position
    holders: tuple[Holder, ...]

    @property
    def opened(self) -> list[Holder]:
        """Those who have opened it."""
        return [man for man in self.holders if man.opened]

    @property
    def waiting(self) -> list[Holder]:
        """Those who have not."""
        return [man for man in self.holders if not man.opened]


def sheet_lines(week: Week) -> list[SheetLine]:
    """Returns the positions of the week's system with their men; a variant has the men of the system it varies."""
    scores = {score.player.pk: score for score in quiz_results(week)}
    opened = opened_at(week)
    spots = RosterSpot.objects.filter(position__system__in=own_systems(week), player__active=True)
    men: dict[str, dict[int, Holder]] = {}
    for spot in spots.select_related("player", "position").order_by("order", "pk"):
        held = Holder(spot.player, opened.get((spot.player_id, spot.position.name)), scores.get(spot.player_id))
        men.setdefault(spot.position.name, {}).setdefault(spot.player_id, held)
    return [SheetLine(position, tuple(men.get(position.name, {}).values())) for position in week.system.positions.all()]


def players_of(week: Week) -> QuerySet[Player]:
    """Returns the men who have a position in the week's system or in the one it varies."""
    return Player.objects.filter(active=True, spots__position__system__in=own_systems(week)).distinct()


def own_systems(week: Week) -> list[int]:
    """Returns the keys of the week's system and of the one it is a variant of."""
    return [pk for pk in (week.system_id, week.system.base_id) if pk]


@dataclass(frozen=True, slots=True)
class QuizScore:
    """What one player answered in the quiz."""

    player: Player
    right: int
    asked: int
    missed: tuple[str, ...]

    @property
    def per_cent(self) -> int:
        """Share of right answers."""
        return round(100 * self.right / self.asked) if self.asked else 0


def quiz_results(week: Week) -> list[QuizScore]:
    """Returns the quiz results of every player of the week, those who missed most first; looks missed by name."""
    counted = {
        row["player"]: row
        for row in week.answers.order_by()
        .values("player")
        .annotate(asked=Count("pk"), good=Count("pk", filter=Q(right=True)))
    }
    wrong: dict[int, dict[str, int]] = {}
    answers = QuizAnswer.objects.filter(week=week, right=False)
    for answer in answers.select_related("look__formation", "look__concept"):
        name = f"{sheets.concept_title(answer.look)} from {answer.look.formation}"
        tally = wrong.setdefault(answer.player_id, {})
        tally[name] = tally.get(name, 0) + 1
    found = []
    for player in players_of(week):
        row = counted.get(player.pk, {"asked": 0, "good": 0})
        tally = wrong.get(player.pk, {})
        missed = tuple(sorted(tally, key=lambda name: (-tally[name], name))[:3])
        found.append(QuizScore(player, row["good"], row["asked"], missed))
    return sorted(found, key=lambda r: (not r.asked, r.right - r.asked, str(r.player)))


def grades(week: Week) -> QuerySet[FitGrade]:
    """Returns the grades of the week's game."""
    return week.grades.select_related("player", "call", "look__formation", "look__concept")


@dataclass(frozen=True, slots=True)
class GradeSum:
    """The grades of one player, summed up."""

    player: Player
    snaps: int
    fits: int
    leverage: int
    effort: float


def grade_sums(found: Iterable[FitGrade]) -> list[GradeSum]:
    """Returns the grades summed up by player."""
    by_player: dict[int, list[FitGrade]] = {}
    for grade in found:
        by_player.setdefault(grade.player_id, []).append(grade)
    return [
        GradeSum(
            given[0].player,
            len(given),
            sum(g.fit_right for g in given),
            sum(g.leverage_right for g in given),
            sum(g.effort for g in given) / len(given),
        )
        for given in by_player.values()
    ]


def corrections_before(week: Week) -> list[FitGrade]:
    """Returns what was wrong in the last graded game before this week, or has a correction written beside it."""
    before = Week.objects.filter(season=week.season_id, number__lt=week.number, grades__isnull=False)
    last = before.order_by("-number").first()
    return list(grades(last).filter(to_correct())) if last else []


def to_correct() -> Q:
    """Returns the condition of a grade that is listed on the man's next sheet."""
    return Q(fit_right=False) | Q(leverage_right=False) | ~Q(correction="")


def next_week() -> dict[str, object]:
    """Returns what a new week starts with: the newest season, the next number, the last week's system."""
    last = Week.objects.select_related("season", "system").order_by("-season__year", "-number").first()
    if last is None:
        return {"season": Season.objects.first(), "number": 1, "system": installation.own_system()}
    return {"season": last.season, "number": last.number + 1, "system": last.system}
