"""Asks for documents, and deletes them."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from playbook.exports.tasks import make_export
from playbook.models import Export, User, Week


@transaction.atomic
def ask_for(document: str, week: Week, choice: dict[str, Any], title: str, person: User) -> Export:
    """Returns a waiting export; a worker makes it."""
    export = Export.objects.create(
        document=document,
        week=week,
        choice=choice,
        title=title[:200],
        made_by=person,
        made_by_name=str(person)[:150],
    )
    make_export.defer(export_id=export.pk)
    return export


def delete(export: Export) -> None:
    """Deletes a document."""
    export.delete()
