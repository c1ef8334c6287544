"""Pages of what stands in lists: a system's pressures, a front's movement, and motion checks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from fits.defense.checks import CHECKS
from fits.defense.movement import MOVES
from fits.draw.svg import Form
from playbook import access, rows, web
from playbook.looks import queries as looks
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import surroundings
from playbook.models import Call, Concept, Formation, StaleVersion, System
from playbook.system import lists, queries, services, vocabulary
from playbook.system.row_forms import ROWS, TITLES, PressureForm
from playbook.text import whole_number

FORM_METHODS = ["GET", "HEAD", "POST"]
PRESSURE = {key: ROWS[key] for key in ("move", "replaces", "align", "fits")}
HEAD = ("label", "note", "source")


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def movement(request: HttpRequest, what: str, pk: int) -> HttpResponse:
    """Changes a front's called movement and motion checks, or a coverage's checks."""
    part = queries.owner(what, pk)
    kinds = {key: ROWS[key] for key in lists.keys_of(part)}
    back = reverse(f"system:{what}", args=[pk])
    context = _context(part.system) | {"part": part, "back": back, "seen": request.POST.get("seen", part.version)}
    page, partial = "system/movement.html", "system/_movement.html"
    if request.method != "POST":
        context["sets"] = rows.fresh({key: getattr(part, key) for key in kinds}, kinds)
        return web.page(request, page, context)
    if "do" in request.POST:
        context["sets"] = rows.fresh(rows.act(rows.as_sent(request.POST, kinds), request.POST["do"]), kinds)
        return web.page(request, page, context, partial=partial)
    context["sets"] = sets = rows.bound(request.POST, kinds)
    found = _items(sets)
    if found is None:
        return web.invalid(request, page, context)
    seen = whole_number(request.POST.get("seen", ""))
    try:
        services.carry_out(part.system, lambda: lists.change_lists(part, seen, found))
    except StaleVersion as stale:
        current = {key: getattr(stale.current, key) for key in kinds} if stale.current else {}
        return web.conflict(request, _both(found, current, request.path, f"movement and checks of {part}"))
    except services.Refused as refused:
        context["refused"] = _placed(refused, sets)
        return web.invalid(request, page, context)
    messages.success(request, f"Movement and checks of {part} are saved.")
    return web.go(request, back)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add_pressure(request: HttpRequest, pk: int) -> HttpResponse:
    """Adds a pressure, from nothing or from another one."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    copy = whole_number(request.GET.get("copy", ""))
    start = system.pressures[copy - 1] if 1 <= copy <= len(system.pressures) else {"move": [{}]}
    start = {**start, "label": f"{lists.label_of(start)}, our own"} if copy and "name" in start else start
    return _editor(request, system, None, {**start, "fits": [{**rule, "id": ""} for rule in start.get("fits", ())]})


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def pressure(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Changes a pressure."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    if not 1 <= number <= len(system.pressures):
        raise Http404
    start = system.pressures[number - 1]
    return _editor(request, system, number, {**start, "label": lists.label_of(start)})


@require_POST
@access.needs(*access.STAFF)
def delete_pressure(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Deletes a pressure."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    seen = whole_number(request.POST.get("seen", ""))
    try:
        gone = services.carry_out(system, lambda: lists.delete_pressure(system, seen, number))
    except (services.Refused, StaleVersion) as refused:
        messages.error(request, f"Nothing was deleted. {refused}")
    else:
        messages.success(request, f"{gone} is deleted.")
    return web.go(request, reverse("system:detail", args=[pk]))


def _editor(request: HttpRequest, system: System, number: int | None, start: Mapping[str, Any]) -> HttpResponse:
    context = _context(system) | {"number": number, "seen": request.POST.get("seen", system.version)}
    context["called"] = lists.label_of(system.pressures[number - 1]) if number else ""
    page, partial = "system/pressure.html", "system/_pressure.html"
    if request.method != "POST":
        context |= {"form": PressureForm(initial={key: start.get(key, "") for key in HEAD})}
        context["sets"] = rows.fresh({key: list(start.get(key, [])) for key in PRESSURE}, PRESSURE)
        shown = {**{key: start.get(key, "") for key in HEAD}, **{key: start.get(key, []) for key in PRESSURE}}
        return web.page(request, page, context | (_drawn(request, system, shown, number) if "name" in start else {}))
    if "do" in request.POST:
        context["form"] = PressureForm(initial={key: request.POST.get(key, "") for key in HEAD})
        context["sets"] = rows.fresh(rows.act(rows.as_sent(request.POST, PRESSURE), request.POST["do"]), PRESSURE)
        return web.page(request, page, context, partial=partial)
    context["form"], context["sets"] = form, sets = PressureForm(request.POST), rows.bound(request.POST, PRESSURE)
    found = _items(sets)
    if not form.is_valid() or found is None:
        return web.invalid(request, page, context)
    new = {**{key: form.cleaned_data[key] for key in HEAD}, **found}
    if "try" in request.POST:
        context |= _drawn(request, system, new, number)
        if "refusal" in context:
            context["not_drawn"] = _placed(context["refusal"], sets) or "A row is not right: see below."
        return web.page(request, page, context, partial=partial)
    seen = whole_number(request.POST.get("seen", ""))
    try:
        saved = services.carry_out(system, lambda: lists.save_pressure(system, seen, number, new))
    except StaleVersion as stale:
        now = stale.current.pressures if isinstance(stale.current, System) else []
        theirs = now[number - 1] if number and number <= len(now) else {}
        return web.conflict(request, _both(new, theirs, request.path, f"pressure {new['label']}"))
    except services.Refused as refused:
        if refused.field == "label":
            form.add_error("label", refused.brief)
        else:
            context["refused"] = _placed(refused, sets)
        return web.invalid(request, page, context)
    messages.success(request, f"{new['label']} is saved.")
    return web.go(request, reverse("system:pressure", args=[system.pk, saved]))


def _context(system: System) -> dict[str, Any]:
    words = vocabulary.words_for(queries.value(system))
    words |= {"moves": _examples(MOVES), "checks": _examples(CHECKS)}
    return {"system": system, "titles": TITLES, "words": words}


def _examples(known: Any) -> list[str]:
    return [entry["example"] for entry in known.listing()]


def _items(sets: Mapping[str, Any]) -> dict[str, list[lists.Item]] | None:
    """Returns the rows as the file has them, or none when a field is wrong."""
    checked = [found.is_valid() for found in sets.values()]  # each tells its errors
    if not all(checked):
        return None
    return {key: [lists.item(key, row.cleaned_data) for row in found] for key, found in sets.items()}


def _placed(refused: services.Refused, sets: Mapping[str, Any]) -> str:
    """Puts the engine's refusal beside the field it is about; returns it for above the form where there is none."""
    key = getattr(refused.__cause__, "key", "")
    found = re.search(r"\b(\w+)\[(\d+)\]\.(\w+)$", key)
    if found and found[1] in sets and int(found[2]) < len(sets[found[1]].forms):
        form = sets[found[1]].forms[int(found[2])]
        if found[3] in form.fields and not form[found[3]].is_hidden:
            form.add_error(found[3], refused.brief)
            return ""
    return refused.brief if found else refused.text


def _both(mine: Mapping[str, Any], theirs: Mapping[str, Any], back: str, what: str) -> dict[str, str]:
    def text(found: Mapping[str, Any]) -> str:
        head = [f"{key}: {found[key]}" for key in HEAD if found.get(key)]
        listed = [f"{TITLES[key][0]}:\n{lists.as_text(key, found[key])}" for key in ROWS if found.get(key)]
        return "\n".join([*head, *listed])

    return {"mine": text(mine), "theirs": text(theirs), "back": back, "what": what}


def _drawn(request: HttpRequest, system: System, new: lists.Item, number: int | None) -> dict[str, Any]:
    """Returns the pressure over a call of the system against a look, as the page shows it; or why there is none."""
    data = request.POST if request.method == "POST" else request.GET
    calls, menu = system.calls.select_related("system", "front", "coverage"), looks.menu(looks.next_opponent())
    call = calls.filter(pk=whole_number(data.get("call", ""))).first() or calls.first()
    picked = looks.find(Formation, data.get("formation", ""))
    concept = looks.find(Concept, data.get("concept", "")) or next(iter(menu.concepts), None)
    runs = (f for f in menu.formations if concept and looks.runs(f, concept))
    formation = picked or next(runs, None)
    shown = {"calls": calls, "menu": menu, "call": call, "formation": formation, "concept": concept}
    if not (isinstance(call, Call) and formation and concept):
        return shown
    name = system.pressures[number - 1]["name"] if number and number <= len(system.pressures) else "tried"
    try:
        value = fits.build_system(
            lists.with_pressure(system, name, new), system.name, fits.load_library().schemes
        ).calls()[call.name]
        around = surroundings(system.pk)
        look = looks.derive(Ask(call, formation, concept, Setting(pressure=name)), around, value)
    except services.Refused as refused:
        return shown | {"not_drawn": refused.text}
    except fits.FileError as error:
        refusal = services.refusal(error, system)
        refusal.__cause__ = error
        return shown | {"not_drawn": refusal.text, "refusal": refusal}
    except fits.FitsError as error:
        return shown | {"not_drawn": str(error)}
    drawing = looks.drawing_in_page(look, Form.DESK, book=around.book)
    return shown | {"svg": drawing, "look": look, "verdict": looks.sum_up(look)}
