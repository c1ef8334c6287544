"""What the forms of notes send to, for staff. Each answers with the notes of the place that the form stands in."""

from __future__ import annotations

from typing import Any, cast

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from playbook import access, web
from playbook.models import Note, StaleVersion, User
from playbook.notes import forms, places, queries, services


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Writes a note about the place that the form names."""
    place, user = _place(request), _user(request)
    form = forms.NoteForm(request.POST, user=user)
    if not form.is_valid():
        return _again(request, place, form, "new")
    given = form.cleaned_data
    services.write_note(user, place, given["text"], given["key"], to=given["to"])
    return _done(request, place)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Writes an answer under a note; all answers stand in one list."""
    place, note, form = _place(request), _note(request, pk), forms.AnswerForm(request.POST)
    if note.answers_id:
        raise Http404
    if not form.is_valid():
        return _again(request, place, form, f"answer-{pk}")
    about = places.Place(note.week, note.formation, note.concept, note.call, note.day)
    services.write_note(_user(request), about, form.cleaned_data["text"], form.cleaned_data["key"], answers=note)
    return _done(request, place)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes what one has written."""
    place, note, form = _place(request), _own(request, pk), forms.ChangeForm(request.POST)
    if not form.is_valid():
        return _again(request, place, form, f"change-{pk}")
    try:
        services.change_note(note, form.cleaned_data["version"], form.cleaned_data["text"])
    except StaleVersion as stale:
        theirs = stale.current.text if isinstance(stale.current, Note) else ""
        mine = {"mine": form.cleaned_data["text"], "theirs": theirs, "back": _back(request, place), "what": "your note"}
        response = web.conflict(request, mine)
        response["HX-Retarget"], response["HX-Reswap"] = "#messages", "innerHTML show:window:top"
        return response
    return _done(request, place)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def settle(request: HttpRequest, pk: int) -> HttpResponse:
    """Marks a note as settled, or opens it again."""
    place, note = _place(request), _note(request, pk)
    try:
        services.settle_note(note, _user(request), request.POST.get("settled") == "yes")
    except StaleVersion:
        messages.error(request, "Somebody changed this note just now. Look at it again.")
    return _done(request, place)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes away what one has written, and offers to bring it back."""
    place, note = _place(request), _own(request, pk)
    services.delete_note(note)
    return _done(request, place)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def restore(request: HttpRequest, pk: int) -> HttpResponse:
    """Brings back what one has deleted."""
    place, note = _place(request), queries.find_deleted(_user(request), pk)
    if note is None and queries.find(_user(request), pk) is None:
        raise Http404
    if note:
        services.restore_note(note)
    return _done(request, place)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def read(request: HttpRequest) -> HttpResponse:
    """Marks every note as read."""
    user = _user(request)
    services.mark_seen(user, list(queries.unread(user)))
    return web.go(request, reverse("home:start"))


def _user(request: HttpRequest) -> User:
    return cast(User, request.user)


def _place(request: HttpRequest) -> places.Place:
    """Returns the place whose notes the form stands among."""
    place = places.read_place(request.POST.get("place", ""))
    if place is None:
        raise Http404
    return place


def _note(request: HttpRequest, pk: int) -> Note:
    note = queries.find(_user(request), pk)
    if note is None:
        raise Http404
    return note


def _own(request: HttpRequest, pk: int) -> Note:
    note = _note(request, pk)
    if note.author_id != _user(request).pk:
        raise Http404
    return note


def _back(request: HttpRequest, place: places.Place) -> str:
    """Returns the page that the form stood on, if it is one of ours."""
    back = request.POST.get("back", "")
    ours = back.startswith("/") and url_has_allowed_host_and_scheme(back, allowed_hosts=None)
    return back if ours else reverse("home:start")


def _done(request: HttpRequest, place: places.Place) -> HttpResponse:
    """Returns the notes of the place as they are now; without htmx its page."""
    back = _back(request, place)
    if not web.in_place(request):
        return web.go(request, f"{back}#notes")
    context = {"board": services.open_board(_user(request), place), "back": back}
    return web.part(request, "notes/_notes.html", context)


def _again(request: HttpRequest, place: places.Place, form: Any, where: str) -> HttpResponse:
    """Returns the notes with a form that was refused, what was typed in it."""
    context = {"board": services.open_board(_user(request), place), "back": _back(request, place)}
    context |= {"refused": form, "where": where}
    return web.invalid(request, "notes/refused.html", context, partial="notes/_notes.html")
