"""Pages of a pressure: whom it sends, picked on a drawing, and who takes what they leave."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from fits.defense.pressure import DUTIES
from playbook import access, rows, web
from playbook.models import StaleVersion, System
from playbook.system import job_desk, jobs, list_rows, lists, queries, services
from playbook.system.row_forms import ROWS, PressureForm
from playbook.text import whole_number

FORM_METHODS = ["GET", "HEAD", "POST"]
KEYS = ("move", "replaces", "align", "fits")
PRESSURE = {key: ROWS[key] for key in KEYS}
HEAD = ("label", "note", "source")
NEW = "tried"  # the identifier of a pressure that has none yet
PAGE, PART = "system/pressure.html", "system/_pressure.html"


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Adds a pressure, from nothing or from another one."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    copy = whole_number(request.GET.get("copy", ""))
    start = system.pressures[copy - 1] if 1 <= copy <= len(system.pressures) else {}
    start = {**start, "label": f"{lists.label_of(start)}, our own"} if "name" in start else start
    return _editor(request, system, None, {**start, "fits": [{**rule, "id": ""} for rule in start.get("fits", ())]})


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def change(request: HttpRequest, pk: int, number: int) -> HttpResponse:
    """Changes a pressure."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    if not 1 <= number <= len(system.pressures):
        raise Http404
    start = system.pressures[number - 1]
    return _editor(request, system, number, {**start, "label": lists.label_of(start)})


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int, number: int) -> HttpResponse:
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
    context = _context(request, system, number)
    if request.method != "POST":
        context |= {"form": PressureForm(initial={key: start.get(key, "") for key in HEAD})}
        return web.page(
            request, PAGE, context | _shown(request, context, {key: list(start.get(key, [])) for key in KEYS})
        )
    if "do" in request.POST or "impact" in request.POST:
        return _not_saved(request, context)
    context["form"], context["sets"] = form, sets = PressureForm(request.POST), rows.bound(request.POST, PRESSURE)
    found = list_rows.items(sets)
    typed = rows.as_sent(request.POST, PRESSURE)
    if not form.is_valid() or found is None:
        return web.invalid(request, PAGE, _drawn(request, context, typed) | context | {"table_used": True})
    new = {**{key: form.cleaned_data[key] for key in HEAD}, **found}
    seen = whole_number(request.POST.get("seen", ""))
    try:
        saved = services.carry_out(system, lambda: lists.save_pressure(system, seen, number, new))
    except StaleVersion as stale:
        now = stale.current.pressures if isinstance(stale.current, System) else []
        theirs = now[number - 1] if number and number <= len(now) else {}
        return web.conflict(request, list_rows.both(new, theirs, HEAD, request.path, f"pressure {new['label']}"))
    except services.Refused as refused:
        if refused.field == "label":
            form.add_error("label", refused.brief)
        else:
            context["refused"] = list_rows.placed(refused, sets) or "A row is not right: see the table below."
        return web.invalid(request, PAGE, _drawn(request, context, typed) | context | {"table_used": True})
    _tell(request, system, saved)
    return web.go(request, f"{reverse('system:pressure', args=[system.pk, saved])}{_kept(request)}")


def _context(request: HttpRequest, system: System, number: int | None) -> dict[str, Any]:
    data = request.POST if request.method == "POST" else request.GET
    now = system.pressures[number - 1] if number and number <= len(system.pressures) else {}
    return {
        **list_rows.words_of(system),
        "number": number,
        "seen": request.POST.get("seen", system.version),
        "called": lists.label_of(now) if now else "",
        "name": now.get("name", NEW),
        "over": job_desk.over(system, data, system.calls, web.week_now(request)),
    }


def _not_saved(request: HttpRequest, context: dict[str, Any]) -> HttpResponse:
    """Shows the pressure as it would be with another row, or a man given another job; nothing is saved."""
    typed = rows.as_sent(request.POST, PRESSURE)
    verb, _, rest = request.POST.get("do", "").partition(" ")
    if verb == "job":
        typed = _with_job(request, typed)
    typed = rows.act(typed, request.POST.get("do", ""))
    context["form"] = PressureForm(initial={key: request.POST.get(key, "") for key in HEAD})
    context["table_used"] = verb in ("add", "drop", "up", "down")
    if "impact" in request.POST:
        found = _impact(context, typed)
        return web.page(request, "system/changed.html", context | found, partial="system/_changed.html")
    found = _shown(request, context, typed, rest if verb == "man" else "")
    if verb == "see" and "refusal" in found:
        found |= list_rows.beside(found["refusal"], request.POST, {key: ROWS[key] for key in typed})
    return web.page(request, PAGE, context | found, partial=PART)


def _with_job(request: HttpRequest, typed: rows.Rows) -> rows.Rows:
    data = request.POST
    who, when = data.get("job-who", ""), data.get("job-when", "").strip()
    to = jobs.movement_text(data.get("job-word", ""), data.get("job-to", ""), data.get("job-behind", ""))
    new = {"who": who, "when": when, "to": to, "say": data.get("job-say", "")} if to else None
    if not who:
        return typed
    left = {duty: data.get(f"job-{duty}", "") for duty in DUTIES if f"job-{duty}" in data}
    return typed | {
        "move": jobs.give(typed["move"], who, new, when),
        "replaces": jobs.leave(typed["replaces"], who, left),
    }


def _shown(request: HttpRequest, context: dict[str, Any], typed: rows.Rows, picked: str = "") -> dict[str, Any]:
    """Returns what the page shows of rows as they stand."""
    found = _drawn(request, context, typed, picked)
    return found | {"sets": rows.fresh(typed, PRESSURE), "on_paper": list_rows.on_paper(typed)}


def _drawn(request: HttpRequest, context: Mapping[str, Any], typed: rows.Rows, picked: str = "") -> dict[str, Any]:
    """Returns the pressure over a call against a look, or the call alone and why; with the man who is picked."""
    data = request.POST if request.method == "POST" else request.GET
    system, on = context["system"], context["over"]
    value: fits.System | None = None
    refusal: services.Refused | None = None
    if any(any(row.values()) for row in typed["move"]):
        try:
            value = _with(context, typed)
        except services.Refused as refused:
            refusal = refused
    found = job_desk.draw(on, system, value, context["name"] if value else "")
    found |= {"not_drawn": refusal.text, "refusal": refusal} if refusal else {}
    if not typed["move"]:
        found |= {"nobody": True}
    if "look" not in found:
        return found
    found |= job_desk.men(found["look"], [*typed["move"], *typed["align"]], picked or data.get("man", ""))
    man, when = found["man"], data.get("job-when") if data.get("do", "").startswith("when") else None
    row = job_desk.job_of(typed["move"], man, data.get("job-who", "") if when is not None else "", when)
    if data.get("do") == "job":
        row = job_desk.job_of(typed["move"], man, data.get("job-who", ""), data.get("job-when", "").strip())
    left = jobs.successors(typed["replaces"], man)
    return found | {
        "job": {**row, **jobs.movement_words(row.get("to", ""))},
        "pictures": jobs.movements(),
        "whos": job_desk.whos(man, typed["move"]),
        "whens": job_desk.choices(jobs.WHENS, row.get("when", "")),
        "sides": jobs.SIDES.items(),
        "his_rows": [_sentence(one) for one in jobs.his(typed["move"], man)],
        "left": [(duty, jobs.LEFT_WORDS[duty], left.get(duty, "")) for duty in DUTIES],
        "labels": list(dict.fromkeys(name for one in found["men"] for name in one.names)),
    }


def _sentence(row: Mapping[str, Any]) -> tuple[str, str]:
    return row.get("when", ""), row.get("say") or row.get("to", "")


def _with(context: Mapping[str, Any], typed: rows.Rows) -> fits.System:
    """Returns the engine's system with the pressure of these rows. Raises services.Refused."""
    label = context["form"]["label"].value() if "form" in context else ""
    new = job_desk.raw(typed, {"label": label or "this pressure", "note": "", "source": ""})
    return job_desk.built(lists.with_pressure(context["system"], context["name"], new), context["system"])


def _impact(context: Mapping[str, Any], typed: rows.Rows) -> dict[str, Any]:
    """Returns which looks change: from the pressure as it is saved, or from the call alone where it is new."""
    saved, on = context["name"] != NEW, context["over"]
    try:
        value = _with(context, typed)
        found = job_desk.compare(
            on, context["system"], value, {"pressure": context["name"] if saved else ""}, {"pressure": context["name"]}
        )
        held, of, why = job_desk.lines_up(on, context["system"], value, context["name"])
    except services.Refused as refused:
        return {"refused": refused.text}
    except fits.FitsError as error:
        return {"refused": str(error)}
    return {"impact": found, "against_what": "" if saved else "the call without it", "unmet": (held, of, why)}


def _tell(request: HttpRequest, system: System, number: int) -> None:
    """Says that a pressure is saved, and where it does not line up."""
    one = system.pressures[number - 1]
    label, on = lists.label_of(one), job_desk.over(system, request.POST, system.calls, web.week_now(request))
    value = queries.value(System.objects.get(pk=system.pk))
    held, of, why = job_desk.lines_up(on, system, value, one["name"]) if value else (0, 0, "")
    if of and not held:
        messages.error(request, f"{label} is kept, but nobody can line up in it. {why}.")
    elif held < of:
        messages.warning(request, f"{label} is saved. In {of - held} of {of} it does not line up; first {why}.")
    else:
        messages.success(request, f"{label} is saved.")


def _kept(request: HttpRequest) -> str:
    return list_rows.query_of(request.POST)
