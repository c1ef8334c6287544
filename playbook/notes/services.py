"""What writes notes, settles them, takes them away and brings them back."""

from __future__ import annotations

from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils import timezone

from playbook.models import Note, NoteSeen, User
from playbook.notes import queries
from playbook.notes.places import Place


def write_note(
    author: User, place: Place, text: str, key: UUID, to: User | None = None, answers: Note | None = None
) -> Note:
    """Returns the new note, or the one that the same form has made before: it can be sent twice."""
    fields = {
        **place.rows,
        "about": place.words[:300],
        "author": author,
        "author_name": str(author)[:310],
        "for_all": answers.for_all if answers else to is None,
        "to": answers.to if answers else to,
        "answers": answers,
        "text": text,
    }
    try:
        with transaction.atomic():
            return Note.objects.create(key=key, **fields)
    except IntegrityError:
        return Note.objects.get(key=key, author=author)


def change_note(note: Note, seen: int, text: str) -> None:
    """Writes another text. Raises StaleVersion."""
    note.save_version(seen, text=text)


def settle_note(note: Note, by: User, settled: bool) -> None:
    """Marks a note as settled, or opens it again; done twice it is done once."""
    if settled == (note.resolved_at is not None):
        return
    note.save_version(
        note.version, resolved_at=timezone.now() if settled else None, resolved_by=str(by)[:310] if settled else ""
    )


def delete_note(note: Note) -> None:
    """Takes a note away, its answers with it, until it is brought back."""
    Note.objects.filter(pk=note.pk, deleted_at=None).update(deleted_at=timezone.now())


def restore_note(note: Note) -> None:
    """Brings a note back as it was."""
    Note.objects.filter(pk=note.pk).update(deleted_at=None)


def open_board(user: User, place: Place) -> queries.Board:
    """Returns the notes of a place, which the coach has seen from now on."""
    found = queries.board(user, place)
    mark_seen(user, [said.note for thread in found.threads for said in (thread.first, *thread.answers) if said.new])
    return found


def mark_seen(user: User, notes: list[Note]) -> None:
    """Keeps that the coach has seen the notes."""
    if notes:
        NoteSeen.objects.bulk_create([NoteSeen(user=user, note=note) for note in notes], ignore_conflicts=True)
