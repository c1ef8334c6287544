"""All that is kept of one person: handed out, or erased, and erased again in a restored backup."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from axes.models import AccessAttempt, AccessLog
from django.db import models, transaction

from playbook.models import (
    AccessEntry,
    ErasedPerson,
    Export,
    FitGrade,
    Note,
    Player,
    QuizAnswer,
    RosterSpot,
    SheetOpening,
    User,
)
from playbook.people import queries

GONE = "somebody who was erased"
SECRET = {"password", "access_stamp", "digest", "session_data", "session_key", "content", "key"}
OF_PLAYER: tuple[type[Any], ...] = (RosterSpot, FitGrade, QuizAnswer, SheetOpening)


class LastAdminStays(Exception):
    """The last admin cannot be erased."""


@dataclass(frozen=True, slots=True)
class Erased:
    """Who was erased, without a name: the numbers of his rows, and when the first was made."""

    user: int | None
    player: int | None
    made_at: datetime


def data_of(user: User | None, player: Player | None) -> dict[str, Any]:
    """Returns all that is kept of a person, by kind, as JSON has it; secrets of his log-in are left out."""
    found: dict[str, Any] = {"person": _rows([user] if user else []), "player": _rows([player] if player else [])}
    if player:
        for model in OF_PLAYER:
            found[str(model._meta.verbose_name_plural)] = _rows(model.objects.filter(player=player))
        for model in (Player, *OF_PLAYER):
            if hasattr(model, "pgh_event_models"):
                found[f"history of {model._meta.verbose_name_plural}"] = _rows(_history(model, player.pk))
    if user:
        found["notes"] = _rows(Note.objects.filter(author=user))
        found["log"] = _rows(AccessEntry.objects.filter(user=user))
        found["tokens"] = _rows(user.tokens.all())
        found["log-ins"] = _rows(user.sessions.all())
        found["documents"] = _rows(Export.objects.filter(made_by=user))
    return found


def _rows(rows: Iterable[models.Model]) -> list[dict[str, Any]]:
    return [
        {
            field.attname: getattr(row, field.attname)
            for field in row._meta.concrete_fields
            if field.attname not in SECRET
        }
        for row in rows
    ]


def _history(model: type[Any], player: int) -> Any:
    events = model.pgh_event_models["insert"].objects
    return events.filter(pgh_obj_id=player) if model is Player else events.filter(player_id=player)


@transaction.atomic
def erase(user: User | None, player: Player | None) -> Erased:
    """Erases a person: his log-in, his place on the roster, grades, answers, their history and his lines in the log.

    What he wrote for the staff stays without his name. Raises LastAdminStays.
    """
    if user and queries.is_last_admin(user):
        raise LastAdminStays("This is the last admin: make somebody else an admin first.")
    made_at = user.date_joined if user else _made_at(player)
    gone = Erased(user.pk if user else None, player.pk if player else None, made_at)
    if user:
        _take_name_off(user)
        user.delete()
    if player:
        number = player.pk
        player.delete()
        for model in (Player, RosterSpot, FitGrade):
            _history(model, number).delete()
    ErasedPerson.objects.get_or_create(user_number=gone.user, player_number=gone.player, made_at=gone.made_at)
    return gone


def _made_at(player: Player | None) -> datetime:
    assert player is not None
    first = _history(Player, player.pk).order_by("pgh_id").values_list("pgh_created_at", flat=True).first()
    return first  # type: ignore[no-any-return]


def _take_name_off(user: User) -> None:
    notes = Note.pgh_event_models["insert"].objects  # type: ignore[attr-defined]
    for rows in (Note.objects, notes):
        rows.filter(author_id=user.pk).update(author_name=GONE)
        rows.filter(resolved_by=str(user)).update(resolved_by=GONE)
    notes.filter(author_id=user.pk).update(author_name=GONE)
    Export.objects.filter(made_by=user).update(made_by_name=GONE)
    AccessEntry.objects.filter(models.Q(user=user) | models.Q(name__iexact=user.username)).delete()
    AccessEntry.objects.filter(about__istartswith=f"{user.username}:").update(about=GONE)
    AccessEntry.objects.filter(about=user.username).update(about=GONE)
    for tries in (AccessAttempt, AccessLog):
        tries.objects.filter(username__iexact=user.username).delete()


def erased() -> list[Erased]:
    """Returns who was erased so far."""
    return [Erased(row.user_number, row.player_number, row.made_at) for row in ErasedPerson.objects.all()]


def erase_again(people: Iterable[Erased]) -> int:
    """Returns how many of the people were there once more, in a restored backup, and are erased again."""
    count = 0
    for gone in people:
        user = User.objects.filter(pk=gone.user, date_joined=gone.made_at).first()
        player = Player.objects.filter(pk=gone.player).first()
        if player and not user and _made_at(player) != gone.made_at and gone.user is None:
            player = None  # another man who got the same number
        if user or (player and (gone.user is None or player.user_id is None)):
            erase(user, player)
            count += 1
        ErasedPerson.objects.get_or_create(user_number=gone.user, player_number=gone.player, made_at=gone.made_at)
    return count
