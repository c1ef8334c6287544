"""Pages of a concept: a rule for each position, run against a chosen call while it is written."""

from __future__ import annotations

import re
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from playbook import access, convert, web
from playbook.looks import queries as looks
from playbook.looks.asking import Ask
from playbook.looks.specs import spec_of, surroundings
from playbook.models import Concept, Opponent, StaleVersion
from playbook.opponent import forms, queries, services
from playbook.opponent.concept_rows import FILE_FIELDS, MEN, act
from playbook.opponent.formation_pages import delete_entry
from playbook.system.vocabulary import phrasebook

FORM_METHODS = ["GET", "HEAD", "POST"]
PAGE, PREVIEW, PART = "opponent/concept.html", "opponent/_concept_preview.html", "opponent/_concept_form.html"


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a run, of an opponent or of the library, from another one or from the least that a run needs."""
    opponent = looks.find(Opponent, request.GET.get("opponent", ""))
    copy = looks.find(Concept, request.GET.get("copy", ""))
    return _editor(request, None, opponent, copy)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a run."""
    row = get_object_or_404(Concept.objects.select_related("opponent"), pk=pk)
    return _editor(request, row, row.opponent, row)


def _editor(
    request: HttpRequest, row: Concept | None, opponent: Opponent | None, start: Concept | None
) -> HttpResponse:
    context = _context(request, row, opponent)
    if request.method != "POST":
        head = queries.concept_head(start) | ({} if row or not start else {"label": f"{start}, our own"})
        context |= _fresh(head, queries.concept_rows(start))
        return web.page(request, PAGE, context | _run(context["against"], start and convert.concept_value(start)))
    if "do" in request.POST:
        context |= _fresh(request.POST, act(request.POST, request.POST["do"]))
        return web.page(request, PAGE, context, partial=PART)
    value = _read(context, request.POST)
    if value is not None and "try" not in request.POST:
        try:
            saved = services.save_concept(value.as_dict(), opponent, row, looks.number(context["seen"]))
        except services.Refused as refused:
            context["form"].add_error("label", str(refused))
        except StaleVersion as stale:
            return web.conflict(request, _both(value, stale.current, request.path))
        else:
            messages.success(request, f"{saved} is saved.")
            return web.go(request, reverse("opponent:concept", args=[saved.pk]))
    answer = web.page if value is not None and "try" in request.POST else web.invalid
    return answer(request, PAGE, context | _run(context["against"], value))


@require_POST
@access.needs(*access.STAFF)
def attempt(request: HttpRequest) -> HttpResponse:
    """Runs the concept as it stands in the form against the chosen call."""
    context = _context(request, None, looks.find(Opponent, request.POST.get("opponent", "")))
    value = _read(context, request.POST)
    answer = web.invalid if value is None else web.page
    return answer(request, "opponent/check.html", context | _run(context["against"], value), partial=PREVIEW)


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a run that nothing uses."""
    return delete_entry(
        request, get_object_or_404(Concept.objects.select_related("opponent"), pk=pk), "opponent:concept"
    )


def _context(request: HttpRequest, row: Concept | None, opponent: Opponent | None) -> dict[str, Any]:
    menu = looks.menu(opponent)
    given = request.POST if request.method == "POST" else request.GET
    return {
        "row": row,
        "opponent": opponent,
        "seen": given.get("seen", "") or (row.revision if row else 0),
        "against": forms.AgainstForm(given, menu.formations),
        "titles": forms.TITLES,
        "words": {words.anchor: [p for p, _ in words.entries] for words in phrasebook()[4:]} | {"men": MEN},
    }


def _fresh(head: Any, rows: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """Returns unbound forms filled with a head and rows."""
    sets = {key: kind(initial=rows[key], prefix=key) for key, kind in forms.ROWS.items()}
    return {"form": forms.ConceptForm(initial=head), "sets": sets}


def _read(context: dict[str, Any], data: Any) -> fits.Concept | None:
    """Returns the concept of the form, or none; puts the forms with their errors into the context."""
    form = forms.ConceptForm(data)
    sets = {key: kind(data, prefix=key) for key, kind in forms.ROWS.items()}
    context |= {"form": form, "sets": sets}
    fine = [form.is_valid(), *(rows.is_valid() for rows in sets.values())]
    if not all(fine):
        return None
    rows = {key: [row.cleaned_data for row in found] for key, found in sets.items()}
    try:
        return fits.build_concept(queries.concept_data(form.cleaned_data, rows), "run")
    except fits.FileError as error:
        _place(error, form, sets)
        return None


def _place(error: fits.FileError, form: Any, sets: dict[str, Any]) -> None:
    """Puts the engine's error beside the field it is about."""
    text = f"Expected {error.expected}." + (f" Got {error.came}." if error.came else "")
    found = re.search(r"\b(cast|rules|threats|leaves)\[(\d+)\]\.(\w+)$", error.key)
    if found:
        key, number, name = found[1], int(found[2]), found[3]
        sets[key].forms[number].add_error(FILE_FIELDS.get(name, name), text)
        return
    name = re.sub(r"\W.*", "", error.key.rsplit(".", 1)[-1])
    form.add_error(name if name in form.fields else None, f"{error.key}: {text}")


def _run(against: forms.AgainstForm, value: fits.Concept | None) -> dict[str, Any]:
    """Returns the look of the concept against the chosen call and formation.

    What is not chosen is the first call, and the first formation that can run it.
    """
    chosen = against.cleaned_data if against.is_valid() else {}
    call = chosen.get("call") or against.fields["call"].queryset.first()  # type: ignore[attr-defined]
    picked = chosen.get("formation")
    formations = [picked] if picked else list(against.fields["formation"].queryset)  # type: ignore[attr-defined]
    if value is None or call is None or not formations:
        return {"nothing": call is None or not formations}
    refused = ""
    for formation in formations:
        ask = Ask(call, formation, None)  # type: ignore[arg-type]
        around = surroundings(call.system_id)
        try:
            look = fits.Deriver().look(spec_of(ask, around, concept=value))
        except fits.FitsError as error:
            refused = refused or str(error)
            continue
        against.initial = {"call": call.pk, "formation": formation.pk}
        svg = looks.drawing(look, "", "offense", around.book)
        return {"look": look, "verdict": looks.sum_up(look), "svg": svg}
    return {"not_run": refused}


def _both(mine: fits.Concept, current: Any, back: str) -> dict[str, Any]:
    def text(data: dict[str, Any]) -> str:
        rows = [f"{r['who']}: {r['does']}" + (f" when {r['when']}" if r["when"] else "") for r in data["rules"]]
        seconds = data.get("time_s", "as the ball runs")
        return "\n".join([f"direction: {', '.join(data['to'])}", f"seconds: {seconds}", *rows])

    theirs = text(convert.concept_dict(current)) if current else ""
    return {"mine": text(mine.as_dict()), "theirs": theirs, "back": back, "what": f"run {mine.label}"}
