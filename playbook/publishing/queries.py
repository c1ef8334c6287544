"""What was published, and who has opened it. Reads only."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db.models import Q

from playbook.models import Publication, PublishedPicture, PublishedSheet, SheetOpening, Week

Data = dict[str, Any]


def newest(week: Week, group: str | None = None) -> Publication | None:
    """Returns what players of the group see of the week now; without a group, the latest of all."""
    found = Publication.objects.filter(week=week, withdrawn_at=None, ready_at__isnull=False)
    if group is not None:
        found = found.filter(Q(group="") | Q(group=group))
    return found.first()


def sheets_of(week: Week, positions: Sequence[str]) -> list[PublishedSheet]:
    """Returns the sheets that men of these positions see of the week now, in the order of the positions."""
    rows = PublishedSheet.objects.filter(
        publication__week=week, publication__withdrawn_at=None, publication__ready_at__isnull=False,
        position__in=positions,
    )  # fmt: skip
    found = rows.order_by("role", "-publication_id").distinct("role").select_related("publication")
    return sorted(found, key=lambda row: (positions.index(row.position), row.order))


def sheet_before(found: PublishedSheet) -> PublishedSheet | None:
    """Returns what the man was given before, of the same week."""
    earlier = PublishedSheet.objects.filter(
        publication__week=found.publication.week_id, publication__lt=found.publication_id, role=found.role,
        publication__ready_at__isnull=False,
    )  # fmt: skip
    return earlier.select_related("publication").order_by("-publication_id").first()


def pictures(publication: Publication, cards: Sequence[Data]) -> list[PublishedPicture]:
    """Returns the drawings of some cards."""
    return list(publication.pictures.filter(state__in=[card["state"] for card in cards]))


def picture(publication_pk: int, state: str) -> PublishedPicture | None:
    """Returns one drawing with its publication, or none."""
    found = PublishedPicture.objects.select_related("publication__week__system")
    return found.filter(publication=publication_pk, state=state).first()


JOB = ("place", "does", "where", "leverage")


def mark_changes(content: Data, before: Data | None) -> int:
    """Marks the cards that say something else than before, with what they said; returns how many there are."""
    if before is None:
        return 0
    jobs: dict[tuple[str, str, str], tuple[Data, Data]] = {}
    for plan in before["plans"]:
        for picture in plan["pictures"]:
            for look in picture["looks"]:
                for call in look["calls"]:
                    jobs[call, look["title"], look["setting"]] = picture, look
    count = 0
    for plan in content["plans"]:
        for picture in plan["pictures"]:
            was = _was(picture, jobs)
            if was is not None:
                picture["changed"], picture["was"] = True, was
                count += 1
    return count


def _was(picture: Data, jobs: dict[tuple[str, str, str], tuple[Data, Data]]) -> list[Data] | None:
    """Returns what a card's looks said before where that was something else; empty for a new one, None unchanged."""
    found: list[Data] = []
    fresh = False
    for look in picture["looks"]:
        for call in look["calls"]:
            known = jobs.get((call, look["title"], look["setting"]))
            if known is None:
                fresh = True
                continue
            old, row = known
            differs = any(old[name] != picture[name] for name in JOB) or row["note"] != look["note"]
            if differs and old not in found:
                found.append(old)
    return found if found or fresh else None


def opened_at(week: Week) -> dict[tuple[int, str], datetime]:
    """Returns when each man first opened what he sees of the week now, by his key and his position. Two queries."""
    positions: dict[str, str] = {}
    latest: dict[str, datetime] = {}
    rows = PublishedSheet.objects.filter(
        publication__week=week, publication__withdrawn_at=None, publication__ready_at__isnull=False
    )
    for role, position, at in rows.order_by("publication_id").values_list("role", "position", "publication__ready_at"):
        positions[role], latest[role] = position, at
    found: dict[tuple[int, str], datetime] = {}
    for player, role, at in SheetOpening.objects.filter(week=week).order_by("-at").values_list("player", "role", "at"):
        if role in latest and at >= latest[role]:
            found[player, positions[role]] = at
    return found


def history(week: Week, most: int = 5) -> list[Publication]:
    """Returns the last publications of the week, the newest first, those that are still being made included."""
    return list(week.publications.select_related("by")[:most])


def plan_of(content: Data, call: str = "") -> Data | None:
    """Returns the part of a sheet with that call, the first without one; None when he has no such call."""
    plans: list[Data] = content["plans"]
    return next((plan for plan in plans if not call or any(one["name"] == call for one in plan["calls"])), None)
