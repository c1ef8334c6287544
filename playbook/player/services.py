"""What a player's pages write: that he opened his sheet."""

from __future__ import annotations

from django.utils import timezone

from playbook.models import SheetOpening


def note_opening(player_id: int, week_id: int) -> None:
    """Keeps that the player opened his sheet of the week now."""
    SheetOpening.objects.bulk_create(
        [SheetOpening(player_id=player_id, week_id=week_id, at=timezone.now())],
        update_conflicts=True,
        unique_fields=["player", "week"],
        update_fields=["at"],
    )
