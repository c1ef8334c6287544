"""What coaches have written, as far as the one who reads may see it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID, uuid4

from django.db.models import Count, Prefetch, Q, QuerySet
from django.urls import reverse
from django.utils import timezone

from playbook.looks.specs import asks_of
from playbook.models import Call, ExpectedLook, Note, NoteSeen, Rights, User, Week
from playbook.notes.places import Place

ON_START = 20  # unread notes
BROUGHT_BACK = timedelta(days=1)  # how long a deleted note is offered back


def visible(user: User) -> QuerySet[Note]:
    """Returns the notes that the coach may see: his own, those to him and those to all; answers as their note."""
    mine = Q(for_all=True) | Q(author=user) | Q(to=user)
    his = Q(answers__for_all=True) | Q(answers__author=user) | Q(answers__to=user)
    found = Note.objects.filter((Q(answers=None) & mine) | (Q(answers__isnull=False, answers__deleted_at=None) & his))
    return found.filter(deleted_at=None).select_related("author", "to", "week", "formation", "concept", "call", "day")


@dataclass(frozen=True, slots=True)
class Said:
    """A note or an answer as somebody reads it."""

    note: Note
    own: bool
    new: bool


@dataclass(frozen=True, slots=True)
class Thread:
    """A note with its answers, oldest first; `address` is the page of what it is about."""

    first: Said
    answers: tuple[Said, ...]
    about: str
    address: str

    @property
    def new(self) -> bool:
        """Whether something of it is new."""
        return self.first.new or any(answer.new for answer in self.answers)


@dataclass(frozen=True, slots=True)
class Board:
    """The notes of one place: what is open, newest first, and what is settled."""

    place: Place
    open: tuple[Thread, ...]
    settled: tuple[Thread, ...]
    coaches: tuple[User, ...]
    deleted: tuple[Note, ...]

    @property
    def key(self) -> UUID:
        """A new key for a form, another one each time."""
        return uuid4()

    @property
    def new(self) -> int:
        """How many threads have something new."""
        return sum(thread.new for thread in (*self.open, *self.settled))

    @property
    def threads(self) -> tuple[Thread, ...]:
        """All of them."""
        return (*self.open, *self.settled)


def at_place(user: User, place: Place) -> QuerySet[Note]:
    """Returns the notes, without answers, that belong to a place.

    A week has everything that was written in it, a call everything about it in any week, a look what is about it in
    its week and about the call it stands against.
    """
    return _of_place(visible(user).filter(answers=None), place)


def _of_place(found: QuerySet[Note], place: Place) -> QuerySet[Note]:
    if place.day:
        return found.filter(day=place.day)
    if place.formation:
        look = Q(formation=place.formation, concept=place.concept, week=place.week)
        call = Q(call=place.call, formation=None, concept=None) if place.call else Q(pk__in=[])
        return found.filter(look | call)
    return found.filter(call=place.call) if place.call else found.filter(week=place.week)


def board(user: User, place: Place) -> Board:
    """Returns the notes of a place as the coach sees them, in a fixed number of queries."""
    rows = list(at_place(user, place).prefetch_related(_replies()).order_by("-at", "-pk"))
    threads = _threads(user, rows)
    return Board(
        place,
        tuple(thread for thread in threads if thread.first.note.resolved_at is None),
        tuple(thread for thread in threads if thread.first.note.resolved_at is not None),
        tuple(other_coaches(user)),
        tuple(_of_place(deleted(user), place)),
    )


def deleted(user: User) -> QuerySet[Note]:
    """Returns what the coach wrote and deleted not long ago."""
    return Note.objects.filter(author=user, deleted_at__gte=timezone.now() - BROUGHT_BACK).order_by("-deleted_at")


def _replies() -> Prefetch:
    return Prefetch("replies", Note.objects.filter(deleted_at=None).order_by("at", "pk"))


def _threads(user: User, rows: Sequence[Note]) -> list[Thread]:
    everything = [*rows, *(reply for row in rows for reply in row.replies.all())]
    seen = set(NoteSeen.objects.filter(user=user, note__in=[n.pk for n in everything]).values_list("note", flat=True))

    def said(note: Note) -> Said:
        own = note.author_id == user.pk
        return Said(note, own, not own and note.pk not in seen)

    addresses = addresses_of(rows)
    return [
        Thread(said(row), tuple(said(reply) for reply in row.replies.all()), about_words(row), addresses[row.pk])
        for row in rows
    ]


def about_words(note: Note) -> str:
    """Returns what the note is about as it is called now, else as it was called when it was written."""
    return Place(note.week, note.formation, note.concept, note.call, note.day).words or note.about


def addresses_of(notes: Iterable[Note]) -> dict[int, str]:
    """Returns for each note the page of what it is about, in a fixed number of queries."""
    notes = list(notes)
    weeks = {note.week_id: note.week for note in notes if note.week and note.formation_id}
    looks: dict[int, list[ExpectedLook]] = {}
    rows = ExpectedLook.objects.filter(week__in=weeks).select_related("formation", "concept", "motion")
    for look in rows.order_by("order"):
        looks.setdefault(look.week_id, []).append(look)
    calls = _calls_of(weeks.values())
    return {note.pk: _address(note, looks.get(note.week_id or 0, []), calls.get(note.week_id or 0)) for note in notes}


def _calls_of(weeks: Iterable[Week | None]) -> dict[int, Call]:
    found: dict[int, Call] = {}
    for week in weeks:
        entry = week.menu_calls.select_related("call").order_by("order").first() if week else None
        call = entry.call if entry else (week.system.calls.first() if week else None)
        if week and call:
            found[week.pk] = call
    return found


def _address(note: Note, looks: Sequence[ExpectedLook], call: Call | None) -> str:
    if note.day_id and note.week_id:
        return f"{reverse('week:notes', args=[note.week_id])}?day={note.day_id}"
    call = note.call or call
    if note.formation_id and note.concept_id:
        same = next((row for row in looks if (row.formation_id, row.concept_id) == _look(note)), None)
        if same and call and note.week:
            return asks_of(note.week, [same], call)[0].address()
        if note.call_id:
            return reverse("looks:detail", args=[note.call_id, note.formation_id, note.concept_id])
    elif note.call_id:
        return reverse("system:edit-call", args=[note.call_id])
    return reverse("week:notes", args=[note.week_id]) if note.week_id else ""


def plain_address(note: Note) -> str:
    """Returns the page of a note that was written outside of any week."""
    return _address(note, (), None) or reverse("home:start")


def _look(note: Note) -> tuple[int | None, int | None]:
    return note.formation_id, note.concept_id


def other_coaches(user: User) -> QuerySet[User]:
    """Returns the other people of the staff."""
    staff = User.objects.filter(is_active=True).exclude(role=Rights.PLAYER).exclude(pk=user.pk)
    return staff.order_by("last_name", "first_name", "username")


def unread(user: User) -> QuerySet[Note]:
    """Returns what others wrote that the coach may see and has not seen, newest first; what is settled is not."""
    fresh = visible(user).exclude(author=user).exclude(seen__user=user)
    return fresh.filter(resolved_at=None, answers__resolved_at=None).order_by("-at", "-pk")


@dataclass(frozen=True, slots=True)
class Fresh:
    """An unread note on the start page."""

    note: Note
    about: str
    address: str


def fresh(user: User) -> tuple[list[Fresh], int]:
    """Returns the newest unread notes with where they stand, and how many there are in all."""
    rows = list(unread(user).select_related("answers")[:ON_START])
    roots = Note.objects.filter(pk__in=[row.answers_id or row.pk for row in rows])
    roots = roots.select_related("week__system", "formation", "concept", "call", "day")
    by_pk = {root.pk: root for root in roots}
    addresses = addresses_of(by_pk.values())
    found = [
        Fresh(row, about_words(by_pk[row.answers_id or row.pk]), addresses[row.answers_id or row.pk]) for row in rows
    ]
    return found, unread(user).count() if len(rows) == ON_START else len(rows)


def by_day(user: User, week: Week) -> dict[int, int]:
    """Returns how many open notes each day of the week has, by its key."""
    found = visible(user).filter(week=week, day__isnull=False, answers=None, resolved_at=None)
    return dict(found.order_by().values_list("day").annotate(notes=Count("pk")))


def find(user: User, pk: int) -> Note | None:
    """Returns a note that the coach may see, or none."""
    return visible(user).filter(pk=pk).first()


def find_deleted(user: User, pk: int) -> Note | None:
    """Returns a note that the coach wrote and deleted, or none."""
    return Note.objects.filter(pk=pk, author=user, deleted_at__isnull=False).first()
