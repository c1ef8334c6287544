"""Pages of a concept: a rule for each position, run against a chosen call while it is written."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from fits.draw.svg import Form
from playbook import access, convert, web
from playbook.looks import queries as looks
from playbook.looks.asking import Ask
from playbook.looks.specs import spec_of, surroundings
from playbook.models import Concept, Opponent, StaleVersion
from playbook.opponent import forms, pictures, queries, run_men, services
from playbook.opponent.concept_rows import MEN, act, place_error
from playbook.opponent.formation_pages import delete_entry, saved_entry
from playbook.rows import bound, fresh
from playbook.system.vocabulary import phrasebook

BALL_PLACES = (
    "play A", "play B", "play C", "play D", "play edge", "back A", "back B", "back edge", "inside the kicker",
    "outside the kicker", "inside the puller",
)  # fmt: skip
FORM_METHODS = ["GET", "HEAD", "POST"]
PAGE, PREVIEW, PART = "opponent/concept.html", "opponent/_concept_preview.html", "opponent/_run.html"


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a run, of an opponent or of the library, from one that is near it or from the least that a run needs."""
    opponent = looks.find(Opponent, request.GET.get("opponent", ""))
    word = " ".join(request.GET.get("word", "").split())[:60] if opponent else ""
    if request.method != "POST" and "copy" not in request.GET:
        context = {"opponent": opponent, "families": queries.families(opponent), "word": word}
        return web.page(request, "opponent/run_start.html", context)
    return _editor(request, None, opponent, looks.find(Concept, request.GET.get("copy", "")), word)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a run."""
    row = get_object_or_404(Concept.objects.select_related("opponent"), pk=pk)
    return _editor(request, row, row.opponent, row)


def _editor(
    request: HttpRequest, row: Concept | None, opponent: Opponent | None, start: Concept | None, word: str = ""
) -> HttpResponse:
    context = _context(request, row, opponent) | {"start": None if row else start, "word": word}
    if request.method != "POST":
        head = queries.concept_head(start) | ({} if row or not start else {"label": f"{start}, our own"})
        head |= {"label": word} if word else {}
        context |= _fresh(head, queries.concept_rows(start))
        value = convert.concept_value(start) if start else _built(request.POST, queries.concept_rows(None), context)
        return web.page(request, PAGE, context | _run(context, value, request.GET.get("man", "")))
    if "do" in request.POST:
        rows = act(request.POST, request.POST["do"])
        context |= _fresh(request.POST, rows)
        verb, _, man = request.POST["do"].partition(" ")
        context["table_used"] = verb not in ("man", "job", "ball")
        value, man = _built(request.POST, rows, context), man if verb == "man" else request.POST.get("man", "")
        return web.page(request, PAGE, context | _run(context, value, man), partial=PART)
    value = _read(context, request.POST)
    found = _run(context, value, request.POST.get("man", ""))
    if value is not None and "try" not in request.POST:
        try:
            saved = services.save_concept(value.as_dict(), opponent, row, looks.number(context["seen"]))
        except services.Refused as refused:
            context["form"].add_error("label", str(refused))
        except StaleVersion as stale:
            return web.conflict(request, _both(value, stale.current, request.path))
        else:
            page = f"{reverse('opponent:concept', args=[saved.pk])}{_kept(request.POST)}"
            return saved_entry(request, saved, word, page, _idle_words(found))
    answer = web.page if value is not None and "try" in request.POST else web.invalid
    return answer(request, PAGE, context | found)


def _idle_words(found: dict[str, Any]) -> str:
    """Returns who has no job yet, in a sentence; nothing when everybody has one."""
    idle = [man.role for man in found.get("men", ()) if man.idle]
    return f"From {found['formation']} these have no job yet: {', '.join(idle)}." if idle else ""


def _kept(data: Any) -> str:
    """Returns the query that brings the same drawing and man back."""
    pairs = [(name, data[name]) for name in ("call", "formation", "man") if data.get(name)]
    return f"?{urlencode(pairs)}" if pairs else ""


@require_POST
@access.needs(*access.STAFF)
def attempt(request: HttpRequest) -> HttpResponse:
    """Runs the concept as it stands in the form against the chosen call."""
    context = _context(request, None, looks.find(Opponent, request.POST.get("opponent", "")))
    value = _read(context, request.POST)
    answer = web.invalid if value is None else web.page
    found = _run(context, value, request.POST.get("man", ""))
    return answer(request, "opponent/check.html", context | found, partial=PREVIEW)


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
    return {"form": forms.ConceptForm(initial=head), "sets": fresh(rows, forms.ROWS)}


def _read(context: dict[str, Any], data: Any) -> fits.Concept | None:
    """Returns the concept of the form, or none; puts the forms with their errors into the context."""
    form = forms.ConceptForm(data)
    sets = bound(data, forms.ROWS)
    context |= {"form": form, "sets": sets}
    fine = [form.is_valid(), *(rows.is_valid() for rows in sets.values())]
    if not all(fine):
        return None
    rows = {key: [row.cleaned_data for row in found] for key, found in sets.items()}
    try:
        return fits.build_concept(queries.concept_data(form.cleaned_data, rows), "run")
    except fits.FileError as error:
        about, field = place_error(error, form, sets)
        about.add_error(field, f"{error.key}: {error.brief}" if about is form else error.brief)
        return None


def _built(data: Any, rows: dict[str, list[dict[str, Any]]], told: dict[str, Any]) -> fits.Concept | None:
    """Returns the run of rows as they stand, whatever it is called; none while they do not read, `told` gets why."""
    flat = {f"{key}-{n}-{name}": v for key, found in rows.items() for n, r in enumerate(found) for name, v in r.items()}
    flat |= {f"{key}-TOTAL_FORMS": len(found) for key, found in rows.items()}
    flat |= {f"{key}-INITIAL_FORMS": 0 for key in rows}
    head = {name: data.get(name, "") for name in forms.ConceptForm.base_fields}
    probe: dict[str, Any] = {}
    value = None
    if all(any(row.values()) for found in rows.values() for row in found):  # else one is empty still
        value = _read(probe, flat | head | {"label": head["label"] or "run", "to": head["to"] or "run strength"})
    if value is None:
        told["unread"] = [
            f"{forms.TITLES[key][0]}, row {number}, {name}: {error}"
            for key, found in probe.get("sets", {}).items()
            for number, row in enumerate(found, 1)
            for name, errors in row.errors.items()
            for error in errors
        ]
    return value


def _run(context: dict[str, Any], value: fits.Concept | None, chosen: str) -> dict[str, Any]:
    """Returns the run against the chosen call from the chosen formation, with its men and the one who was picked.

    What is not chosen is the first call of the week, and the first formation that can run it. A man without a job
    does nothing in the drawing.
    """
    against: forms.AgainstForm = context["against"]
    picked = against.cleaned_data if against.is_valid() else {}
    call = picked.get("call") or looks.next_call()
    formation = picked.get("formation")
    formations = [formation] if formation else list(against.fields["formation"].queryset)  # type: ignore[attr-defined]
    if value is None or call is None or not formations:
        return {"nothing": call is None or not formations}
    around, refused = surroundings(call.system_id), ""
    for formation in formations:
        ask = Ask(call, formation, None)  # type: ignore[arg-type]
        try:
            standing = fits.Deriver().stand(convert.formation_value(formation), book=around.book)
            men = run_men.run_men(value, standing.snap.offense)
            whole = fits.build_concept(run_men.finished(value.as_dict(), men), "run")
            look = fits.Deriver().look(spec_of(ask, around, concept=whole))
        except fits.FitsError as error:
            refused = refused or str(error)
            continue
        against.initial = {"call": call.pk, "formation": formation.pk}
        men = run_men.as_drawn(men, look)
        man = next((m for m in men if m.role == chosen), None) or run_men.first_man(men)
        first, others = pictures.usual(man.kind)
        return {
            "look": look,
            "verdict": looks.sum_up(look),
            "svg": looks.drawing_in_page(look, Form.DESK, book=around.book),
            "narrow": looks.drawing_in_page(look, Form.PHONE, book=around.book),
            "formation": formation,
            "men": men,
            "man": man,
            "idle": [m for m in men if m.idle],
            "before": men[men.index(man) - 1],
            "after": men[(men.index(man) + 1) % len(men)],
            "meaning": pictures.meaning(man.does),
            "other_word": man.does and man.does not in {picture.word for picture in first},
            **_ball(value),
            "usual": first,
            "other_words": others,
        }
    return {"not_run": refused}


def _ball(value: fits.Concept) -> dict[str, Any]:
    """Returns where the ball goes first, and the places there are to choose."""
    now = value.threats[0].where if value.threats else ""
    places = [*dict.fromkeys([now, *BALL_PLACES])]
    said = [(place, re.sub(r"^(play|back) ", r"\1 side ", place)) for place in places if place]
    return {"ball": now, "ball_places": said}


def _both(mine: fits.Concept, current: Any, back: str) -> dict[str, Any]:
    def text(data: dict[str, Any]) -> str:
        rows = [f"{r['who']}: {r['does']}" + (f" when {r['when']}" if r["when"] else "") for r in data["rules"]]
        seconds = data.get("time_s", "as the ball runs")
        return "\n".join([f"direction: {', '.join(data['to'])}", f"seconds: {seconds}", *rows])

    theirs = text(convert.concept_dict(current)) if current else ""
    return {"mine": text(mine.as_dict()), "theirs": theirs, "back": back, "what": f"run {mine.label}"}
