"""What can be found, kind by kind: what it is called, what stands beside it, and its page. Reads only.

The labels of a kind are read by one query and compared here: a staff has some hundreds of things, and the database
would need an extension that not everybody may install to fold accents.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from urllib.parse import urlencode

from django.contrib.postgres.aggregates import StringAgg
from django.urls import reverse_lazy
from django.utils.functional import Promise
from django.utils.text import format_lazy

from playbook import access
from playbook.looks.specs import expected_looks
from playbook.models import (
    Call,
    Concept,
    Coverage,
    Day,
    ExpectedLook,
    Formation,
    Front,
    Motion,
    Opponent,
    Option,
    Player,
    System,
    Technique,
    User,
    Week,
)
from playbook.models.season import label_options
from playbook.notes import queries as notes
from playbook.player import queries as player
from playbook.search.folding import fold, rank
from playbook.system.lists import label_of
from playbook.week import queries as week_queries
from playbook.week import sheets

SHOWN = 12  # of a kind
NOTES = 5_000  # the newest that are read
LOOKS, DAYS = 3_000, 700  # of the latest weeks


@dataclass(frozen=True, slots=True)
class Item:
    """Something with a page: what it is called, what stands beside it, and what else it is found by.

    Addresses are made when they are shown: most things are not found.
    """

    label: str
    detail: str
    address: str | Promise
    also: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """What was found of one kind, the best first, and how many more there are."""

    kind: str
    items: tuple[Item, ...]
    more: int

    @property
    def count(self) -> int:
        """How many were found."""
        return len(self.items) + self.more


def find(user: User, text: str) -> list[Group]:
    """Returns what the person may see whose label has all of these words, by kind; nothing for no word."""
    words = fold(text).split()
    if not words:
        return []
    kinds = STAFF_KINDS if access.is_staff(user) else PLAYER_KINDS
    groups = [_group(kind, read(user), words) for kind, read in kinds.items()]
    return [group for group in groups if group.items]


def _group(kind: str, items: Iterable[Item], words: list[str]) -> Group:
    ranked = []
    for place, item in enumerate(items):
        folded = fold(item.label)
        found = rank(words, folded)
        if found is None and (item.also or item.detail):
            beside = rank(words, f"{folded} {fold(item.also)} {fold(item.detail)}")
            found = None if beside is None else 3
        if found is not None:
            ranked.append((found, place, item))
    ranked.sort(key=lambda one: one[:2])
    return Group(kind, tuple(item for _, _, item in ranked[:SHOWN]), max(0, len(ranked) - SHOWN))


def _weeks(user: User) -> Iterator[Item]:
    for week in Week.objects.select_related("season", "opponent").order_by("-season__year", "-number"):
        yield Item(str(week), str(week.season), reverse_lazy("week:detail", args=[week.pk]), f"{week.season.year}")


def _calls(user: User) -> Iterator[Item]:
    for pk, label, system in Call.objects.order_by("system", "order").values_list("pk", "label", "system__label"):
        yield Item(label, system, reverse_lazy("looks:of-call", args=[pk]))


def _week_looks(user: User) -> Iterator[Item]:
    rows = ExpectedLook.objects.select_related("week__season", "week__opponent", "formation", "concept")
    found = list(rows.order_by("-week__season__year", "-week__number", "order")[:LOOKS])
    label_options(found)
    for row in found:
        label = f"{sheets.concept_title(row)} from {row.formation}"
        yield Item(label, str(row.week), reverse_lazy("looks:of-week", args=[row.pk]))


def _plan_days(user: User) -> Iterator[Item]:
    days = Day.objects.select_related("week__season", "week__opponent").prefetch_related("entries")
    for day in days.order_by("-week__season__year", "-week__number", "order")[:DAYS]:
        said = " ".join(entry.text for entry in day.entries.all())
        yield Item(
            day.label, str(day.week),
            format_lazy("{}#day-{}", reverse_lazy("week:plan", args=[day.week_id]), day.pk), said,
        )  # fmt: skip


def _parts(model: type[Front | Coverage], name: str) -> Callable[[User], Iterator[Item]]:
    def read(user: User) -> Iterator[Item]:
        for pk, label, system in model.objects.order_by("system", "order").values_list("pk", "label", "system__label"):
            yield Item(label, system, reverse_lazy(f"system:{name}", args=[pk]))

    return read


def _offense(model: type[Formation | Concept], name: str) -> Callable[[User], Iterator[Item]]:
    def read(user: User) -> Iterator[Item]:
        for pk, label, whose in model.objects.order_by("label").values_list("pk", "label", "opponent__name"):
            yield Item(label, whose or "library", reverse_lazy(f"opponent:{name}", args=[pk]))

    return read


def _motions(user: User) -> Iterator[Item]:
    for pk, label, whose in Motion.objects.order_by("label").values_list("pk", "label", "opponent__name"):
        yield Item(label, whose or "library", reverse_lazy("opponent:motion", args=[pk]), "motion shift")


def _options(user: User) -> Iterator[Item]:
    for pk, label, whose in Option.objects.order_by("label").values_list("pk", "label", "opponent__name"):
        yield Item(label, whose or "library", reverse_lazy("opponent:option", args=[pk]), "option tag")


def _pressures(user: User) -> Iterator[Item]:
    for system in System.objects.only("label", "pressures"):
        for number, one in enumerate(system.pressures, 1):
            yield Item(
                label_of(one), system.label, reverse_lazy("system:pressure", args=[system.pk, number]), "pressure"
            )


def _opponents(user: User) -> Iterator[Item]:
    for pk, name, short in Opponent.objects.values_list("pk", "name", "short_name"):
        yield Item(name, short, reverse_lazy("opponent:detail", args=[pk]))


def _systems(user: User) -> Iterator[Item]:
    for pk, label in System.objects.values_list("pk", "label"):
        yield Item(label, "", reverse_lazy("system:detail", args=[pk]))


def _techniques(user: User) -> Iterator[Item]:
    rows = Technique.objects.order_by("scheme", "order")
    pages = dict(System.objects.order_by("-pk").values_list("scheme", "pk"))  # the first that has the numbering
    for label, man, shade, pk, scheme in rows.values_list("label", "man", "shade", "scheme", "scheme__label"):
        page = reverse_lazy("system:techniques", args=[pages[pk]]) if pk in pages else reverse_lazy("system:phrasebook")
        yield Item(label, f"{shade} of the {man}, {scheme}", page, "technique")


def _players(user: User) -> Iterator[Item]:
    places = StringAgg("spots__position__name", " ", distinct=True, default="")
    rows = Player.objects.annotate(places=places).order_by("last_name", "first_name")
    for man in rows:
        number = "" if man.number is None else f"{man.number}"
        detail = ", ".join(part for part in (number and f"number {number}", man.places) if part)  # type: ignore[attr-defined]
        yield Item(str(man), detail, reverse_lazy("roster:edit", args=[man.pk]))


def _notes(user: User) -> list[Item]:
    rows = list(notes.visible(user).select_related("answers").order_by("-at", "-pk")[:NOTES])
    return [
        Item(
            " ".join(row.text.split()),
            f"{row.author_name}, {row.at:%d %b %Y}",
            format_lazy("{}#note-{}", reverse_lazy("week:notes", args=[row.week_id]), row.pk)
            if row.week_id
            else notes.plain_address(row),
            row.about,
        )
        for row in rows
    ]


PAGES: tuple[tuple[str, str, str, tuple[access.Rights, ...]], ...] = (
    ("Start", "home:start", "home welcome", access.STAFF),
    ("Add a week", "week:add", "new", access.STAFF),
    ("Add a season", "week:season-add", "new contact limits rule book", access.STAFF),
    ("Library", "opponent:library", "formations runs motions", access.STAFF),
    ("Add an opponent", "opponent:add", "new", access.STAFF),
    ("Draw a formation", "opponent:add-formation", "new add", access.STAFF),
    ("Write a run", "opponent:add-concept", "new add concept", access.STAFF),
    ("Add a motion", "opponent:add-motion", "new shift", access.STAFF),
    ("Add an option", "opponent:add-option", "new tag", access.STAFF),
    ("Take in a system", "system:import", "import file", access.STAFF),
    ("Words of the rules", "system:phrasebook", "phrasebook conditions techniques", access.STAFF),
    ("Our own calls", "tendencies:own", "scouting tells", access.STAFF),
    ("Add a player", "roster:add", "new roster", access.STAFF),
    ("Change password", "people:password", "log-in", access.EVERYONE),
    ("API token", "token:detail", "program", access.EVERYONE),
)


def _pages(user: User) -> Iterator[Item]:
    role = access.role_of(user)
    for item in access.NAV:
        if role in item.roles:
            yield Item(item.label, "", reverse_lazy(item.url_name))
    for label, name, also, roles in PAGES:
        if role in roles:
            yield Item(label, "", reverse_lazy(name), also)


def _my_weeks(user: User) -> Iterator[Item]:
    for week in access.visible(user, week_queries.weeks()).order_by("-season__year", "-number"):
        yield Item(str(week), str(week.season), reverse_lazy("player:week-of", args=[week.pk]))


def _my_calls(user: User) -> Iterator[Item]:
    for week in _mine(user):
        for name, label in dict(week.menu_calls.order_by("order").values_list("call__name", "call__label")).items():
            yield Item(label, str(week), _sheet(week, name))


def _my_looks(user: User) -> Iterator[Item]:
    for week in _mine(user):
        for look in expected_looks(week):
            label = f"{sheets.concept_title(look)} from {look.formation}"
            yield Item(label, str(week), reverse_lazy("player:week-of", args=[week.pk]) + "#cards")


def _mine(user: User) -> list[Week]:
    """The released weeks in which the player has a sheet, the latest first."""
    me = player.mine(user)
    weeks = access.visible(user, week_queries.weeks()).order_by("-season__year", "-number")
    return [week for week in weeks if me.at(week)]


def _sheet(week: Week, call: str) -> str:
    return f"{reverse_lazy('player:week-of', args=[week.pk])}?{urlencode({'call': call})}"


STAFF_KINDS: dict[str, Callable[[User], Iterable[Item]]] = {
    "Pages": _pages,
    "Weeks": _weeks,
    "Looks of a week": _week_looks,
    "Plan days": _plan_days,
    "Opponents": _opponents,
    "Calls": _calls,
    "Fronts": _parts(Front, "front"),
    "Coverages": _parts(Coverage, "coverage"),
    "Formations": _offense(Formation, "formation"),
    "Runs": _offense(Concept, "concept"),
    "Motions": _motions,
    "Options": _options,
    "Pressures": _pressures,
    "Techniques": _techniques,
    "Systems": _systems,
    "Players": _players,
    "Notes": _notes,
}
PLAYER_KINDS: dict[str, Callable[[User], Iterable[Item]]] = {
    "Pages": _pages,
    "My weeks": _my_weeks,
    "My calls": _my_calls,
    "My looks": _my_looks,
}
