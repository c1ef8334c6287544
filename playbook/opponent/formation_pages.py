"""Pages of a formation: men placed on a drawn field, and what the rule book says while they are."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from playbook import access, web
from playbook.charts import words
from playbook.looks import queries as looks
from playbook.models import Concept, Formation, Motion, Opponent, Option, StaleVersion, WordKind
from playbook.opponent import forms, queries, services

FORM_METHODS = ["GET", "HEAD", "POST"]


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a formation, of an opponent or of the library, from another one or from a usual one.

    `word` is what it is called in an opponent's chart: saved, it is what that word means.
    """
    opponent = looks.find(Opponent, request.GET.get("opponent", ""))
    copy = looks.find(Formation, request.GET.get("copy", ""))
    head = {"label": f"{copy}, our own", "note": copy.note} if copy else {}
    word = " ".join(request.GET.get("word", "").split())[:60] if opponent else ""
    head |= {"label": word} if word else {}
    return _editor(request, None, opponent, copy, head, word)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a formation."""
    row = get_object_or_404(Formation.objects.select_related("opponent"), pk=pk)
    head = {"label": row.label, "note": row.note, "source": row.source}
    return _editor(request, row, row.opponent, row, head)


def _editor(
    request: HttpRequest,
    row: Formation | None,
    opponent: Opponent | None,
    start: Formation | None,
    head: dict[str, Any],
    word: str = "",
) -> HttpResponse:
    context: dict[str, Any] = {"row": row, "opponent": opponent, "seen": row.revision if row else 0, "word": word}
    if request.method != "POST":
        form, men = forms.FormationForm(initial=head), forms.Men(initial=queries.men_of(start), prefix="man")
        told = queries.legality(queries.read_formation(head, queries.men_of(start)))
        return web.page(request, "opponent/formation.html", context | {"form": form, "men": men} | told)
    form, men = forms.FormationForm(request.POST), forms.Men(request.POST, prefix="man")
    context |= {"form": form, "men": men, "seen": request.POST.get("seen", "0")}
    value, told = _read(form, men)
    if value is not None and form.is_valid() and not told["refused"]:
        try:
            saved = services.save_formation(value.as_dict(), opponent, row, looks.number(context["seen"]))
        except services.Refused as refused:
            form.add_error("label", str(refused))
        except StaleVersion as stale:
            return web.conflict(request, _both(value, stale.current, request.path))
        else:
            return saved_entry(request, saved, word, reverse("opponent:formation", args=[saved.pk]))
    return web.invalid(request, "opponent/formation.html", context | told)


def saved_entry(
    request: HttpRequest, saved: Formation | Concept | Motion | Option, word: str, page: str, note: str = ""
) -> HttpResponse:
    """Says that an entry is saved and goes to its page; to the words, where one of them is what it means."""
    if word and saved.opponent and isinstance(saved, Formation | Concept):
        kind = WordKind.FORMATION if isinstance(saved, Formation) else WordKind.CONCEPT
        words.save_words(saved.opponent, {(kind, word): saved.name})
        page, note = reverse("charts:words", args=[saved.opponent.pk]), note or f"“{word}” means it from now on."
    messages.success(request, f"{saved} is saved. {note}".strip())
    return web.go(request, page)


@require_POST
@access.needs(*access.STAFF)
def check(request: HttpRequest) -> HttpResponse:
    """Says what the rule book has against the men as they stand in the form."""
    form, men = forms.FormationForm(request.POST), forms.Men(request.POST, prefix="man")
    _, told = _read(form, men)
    answer = web.invalid if told["refused"] else web.page
    context = {"form": form, "men": men} | told
    return answer(request, "opponent/check.html", context, partial="opponent/_legality.html")


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a formation that nothing uses."""
    row = get_object_or_404(Formation.objects.select_related("opponent"), pk=pk)
    return delete_entry(request, row, "opponent:formation")


def delete_entry(request: HttpRequest, row: Any, page: str) -> HttpResponse:
    """Deletes a formation or concept and goes to the list it stood in."""
    opponent, pk = row.opponent, row.pk
    try:
        services.delete(row)
    except services.Refused as refused:
        messages.error(request, str(refused))
        return web.go(request, reverse(page, args=[pk]))
    messages.success(request, f"{row} is deleted.")
    return web.go(request, reverse("opponent:detail", args=[opponent.pk]) if opponent else reverse("opponent:library"))


def _read(form: forms.FormationForm, men: Any) -> tuple[fits.Formation | None, dict[str, Any]]:
    """Returns the formation of the form, if it reads, and what the rule book says."""
    form.is_valid()
    if not men.is_valid():
        return None, {"violations": [], "refused": True, "unread": _errors(men)}
    try:
        value = queries.read_formation(form.cleaned_data, [man.cleaned_data for man in men])
    except fits.FileError as error:
        return None, {"violations": [], "refused": True, "unread": [f"Expected {error.expected}, got {error.came}."]}
    return value, queries.legality(value)


def _errors(men: Any) -> list[str]:
    found = [str(error) for error in men.non_form_errors()]
    for number, man in enumerate(men, 1):
        who = man.data.get(man.add_prefix("role")) or f"Man {number}"
        found += [f"{who}, {name}: {error}" for name, errors in man.errors.items() for error in errors]
    return found


def _both(mine: fits.Formation, current: Any, back: str) -> dict[str, Any]:
    def text(men: Any) -> str:
        return "\n".join(f"{man.role}: {man.x:g}, {man.y:g}" for man in men)

    theirs = text(sorted(current.players.all(), key=lambda man: man.x)) if current else ""
    return {"mine": text(mine.players), "theirs": theirs, "back": back, "what": f"formation {mine.label}"}
