"""What publishes a week to its players, withdraws it, and draws its cards."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

import fits
from fits.draw.svg import draw_view, view_shifts
from fits.timeline.make import derive_timeline
from playbook.looks.specs import asks_of, specs_of, surroundings
from playbook.models import (
    Publication,
    PublishedPicture,
    PublishedSheet,
    SheetOpening,
    StaleVersion,
    User,
    Week,
)
from playbook.publishing import making
from playbook.week import sheets

UP = "defense"


class NothingToPublish(Exception):
    """The week has nothing on its sheets; the text says what is missing."""


@transaction.atomic
def start(week: Week, seen: int | None = None, group: str = "", by: User | None = None) -> Publication:
    """Returns a publication that is still to be made. Raises StaleVersion, NothingToPublish.

    `seen` is the week's version that the coach looked at.
    """
    now = Week.objects.select_for_update().get(pk=week.pk)
    if seen is not None and now.version != seen:
        raise StaleVersion(now)
    if not sheets.calls_of(now) or not now.system.positions.exists():
        raise NothingToPublish(sheets.system_trouble(now) or f"{now.system} has no positions or no calls yet.")
    if not now.expected_looks.exists():
        raise NothingToPublish(
            f"{week} has no look yet, so every sheet would be empty. Add the looks you expect first."
        )
    return Publication.objects.create(week=week, group=group, title=str(week), by=by)


@transaction.atomic
def make(pk: int) -> Publication | None:
    """Returns the publication, made of the week as it is now, so that its players see it; None when it is made already.

    The drawings follow by `draw`.
    """
    made = Publication.objects.select_for_update(of=("self",)).select_related("week").filter(pk=pk).first()
    if made is None or made.ready_at or made.withdrawn_at:
        return None
    week = (
        Week.objects.select_for_update(of=("self",)).select_related("season", "opponent", "system").get(pk=made.week_id)
    )
    trouble = "this week's system has no calls or nobody of this group."
    try:
        found = [one for one in making.make_sheets(week) if made.group in ("", one.group)]
    except fits.FitsError as error:
        found, trouble = [], str(error)
    if not found:
        made.trouble = f"No sheet could be made of it: {trouble}"[:300]
        made.withdrawn_at = timezone.now()
        made.save(update_fields=["trouble", "withdrawn_at"])
        return None
    PublishedSheet.objects.bulk_create(
        PublishedSheet(publication=made, role=one.role, position=one.position, order=order, content=one.content)
        for order, one in enumerate(found)
    )
    drawings = {drawn.state: drawn for one in found for drawn in one.drawings}
    PublishedPicture.objects.bulk_create(
        PublishedPicture(
            publication=made, state=drawn.state, role=drawn.role, position=drawn.position, call=drawn.call,
            look=drawn.look, words=drawn.words,
        )
        for drawn in drawings.values()
    )  # fmt: skip
    made.ready_at = timezone.now()
    made.save(update_fields=["ready_at"])
    if not week.released:
        week.save_version(week.version, released=True)
    return made


def publish(week: Week, seen: int | None = None, group: str = "", by: User | None = None) -> Publication:
    """Returns a publication made at once. Raises StaleVersion, NothingToPublish."""
    made = start(week, seen, group, by)
    make(made.pk)
    week.refresh_from_db()
    made.refresh_from_db()
    return made


@transaction.atomic
def withdraw(week: Week, seen: int) -> None:
    """Takes the week back from all players. Raises StaleVersion."""
    week.save_version(seen, released=False)
    Publication.objects.filter(week=week, withdrawn_at=None).update(withdrawn_at=timezone.now())


@transaction.atomic
def ensure(week: Week) -> None:
    """Publishes a week that players may see and that was never made for them: one older than publications."""
    Week.objects.select_for_update().get(pk=week.pk)
    if not Publication.objects.filter(week=week, withdrawn_at=None).exists():
        with contextlib.suppress(NothingToPublish):
            publish(week)


def draw(publication: Publication, pictures: Iterable[PublishedPicture]) -> None:
    """Draws what is not drawn yet and keeps it; what was changed since it was published is left alone."""
    week = Week.objects.select_related("season", "opponent", "system", "system__scheme").get(pk=publication.week_id)
    values = sheets.calls_of(week)
    waiting: dict[str, list[PublishedPicture]] = {}
    for picture in pictures:
        if not picture.svg:
            waiting.setdefault(picture.call, []).append(picture)
    if not waiting:
        return
    looks = making.expected_looks(week)
    asks, around = asks_of(week, looks), surroundings(week.system_id, week)
    for name, theirs in waiting.items():
        if name not in values:
            continue
        plays = {play.expected.pk: play for play in sheets.derive_plays(week, looks, values[name])}
        specs = dict(zip([look.pk for look in looks], specs_of(asks, around, values[name]), strict=True))
        for picture in theirs:
            play = plays.get(picture.look)
            card = sheets.card_of(play, picture.role) if play else None
            if play is None or play.look is None or card is None or card.digest != picture.state:
                continue
            svg = draw_view(play.look, picture.role, picture.words, UP, play.book)
            told = derive_timeline(specs[picture.look])
            picture.svg, picture.steps = svg, {
                "step": told.step_s,
                "start": told.start_s,
                "snap": told.snap,
                "stills": told.stills,
                "marks": [{"frame": frame, "text": text} for frame, text in _marks(told)],
                "arrivals": {f"d:{picture.role}": told.arrivals_s[picture.role]}
                if picture.role in told.arrivals_s else {},
                "forms": {"view": view_shifts(play.look, picture.role, told.men, told.ball, told.snap, UP, play.book)},
            }  # fmt: skip
            PublishedPicture.objects.filter(pk=picture.pk, svg="").update(svg=svg, steps=picture.steps)


def _marks(told: object) -> list[tuple[int, str]]:
    """Returns the moments a player steps through: motion, first step, his read, his fit."""
    found: list[tuple[int, str]] = [(0, "motion")] if told.snap else []  # type: ignore[attr-defined]
    stills = told.stills  # type: ignore[attr-defined]
    return [*found, (told.snap, "first step"), (stills["read"], "read"), (stills["fit"], "fit")]  # type: ignore[attr-defined]


def draw_all(publication_pk: int) -> None:
    """Draws every card of a publication; a picture another worker draws is left to it."""
    publication = Publication.objects.filter(pk=publication_pk).first()
    if publication is not None:
        draw(publication, publication.pictures.filter(svg=""))


def note_opening(player_id: int, publication: Publication, role: str) -> None:
    """Keeps when the player first opened this publication in that position."""
    now = timezone.now()
    SheetOpening.objects.bulk_create(
        [SheetOpening(player_id=player_id, week_id=publication.week_id, role=role, at=now)], ignore_conflicts=True
    )
    mine = SheetOpening.objects.filter(player=player_id, week=publication.week_id, role=role)
    mine.filter(at__lt=publication.ready_at).update(at=now)
