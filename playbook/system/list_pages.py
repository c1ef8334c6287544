"""Pages of a front's called movement and motion checks, and a coverage's checks: picked on a drawing with a motion."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

import fits
from playbook import access, rows, web
from playbook.models import Call, StaleVersion
from playbook.system import job_desk, jobs, list_rows, lists, queries, services
from playbook.system.row_forms import ROWS
from playbook.system.rules import Owner
from playbook.text import whole_number

FORM_METHODS = ["GET", "HEAD", "POST"]
PAGE, PART = "system/movement.html", "system/_movement.html"


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def movement(request: HttpRequest, what: str, pk: int) -> HttpResponse:
    """Changes a front's called movement and motion checks, or a coverage's checks."""
    part = queries.owner(what, pk)
    kinds = {key: ROWS[key] for key in lists.keys_of(part)}
    context = _context(request, what, part)
    if request.method != "POST":
        return web.page(
            request, PAGE, context | _shown(request, context, {key: list(getattr(part, key)) for key in kinds})
        )
    typed = rows.as_sent(request.POST, kinds)
    if "do" in request.POST or "impact" in request.POST:
        return _not_saved(request, context, typed)
    context["sets"] = sets = rows.bound(request.POST, kinds)
    found = list_rows.items(sets)
    if found is None:
        return web.invalid(request, PAGE, _drawn(request, context, typed) | context | {"table_used": True})
    seen = whole_number(request.POST.get("seen", ""))
    try:
        services.carry_out(part.system, lambda: lists.change_lists(part, seen, found))
    except StaleVersion as stale:
        current = {key: getattr(stale.current, key) for key in kinds} if stale.current else {}
        what_it_is = f"movement and checks of {part}"
        return web.conflict(request, list_rows.both(found, current, (), request.path, what_it_is))
    except services.Refused as refused:
        context["refused"] = list_rows.placed(refused, sets) or "A row is not right: see the table below."
        return web.invalid(request, PAGE, _drawn(request, context, typed) | context | {"table_used": True})
    messages.success(request, f"Movement and checks of {part} are saved.")
    return web.go(request, f"{request.path}{list_rows.query_of(request.POST)}")


def _context(request: HttpRequest, what: str, part: Owner) -> dict[str, Any]:
    data = request.POST if request.method == "POST" else request.GET
    calls = Call.objects.filter(**{what: part})
    return {
        **list_rows.words_of(part.system),
        "part": part,
        "noun": what,
        "back": reverse(f"system:{what}", args=[part.pk]),
        "seen": request.POST.get("seen", part.version),
        "over": job_desk.over(part.system, data, calls, web.week_now(request), moved=True),
    }


def _not_saved(request: HttpRequest, context: dict[str, Any], typed: rows.Rows) -> HttpResponse:
    """Shows the rows with another one, or a man given another job; nothing is saved."""
    verb, _, rest = request.POST.get("do", "").partition(" ")
    if verb == "job":
        typed = _with_job(request, typed)
    typed = rows.act(typed, request.POST.get("do", ""))
    context["table_used"] = verb in ("add", "drop", "up", "down")
    if "impact" in request.POST:
        found = _impact(context, typed)
        return web.page(request, "system/changed.html", context | found, partial="system/_changed.html")
    found = _shown(request, context, typed, rest if verb == "man" else "")
    if verb == "see" and "refusal" in found:
        found |= list_rows.beside(found["refusal"], request.POST, {key: ROWS[key] for key in typed})
    return web.page(request, PAGE, context | found, partial=PART)


def _with_job(request: HttpRequest, typed: rows.Rows) -> rows.Rows:
    data, found = request.POST, dict(typed)
    if "move" in typed and data.get("job-who"):
        who, when = data["job-who"], data.get("job-when", "").strip()
        to = jobs.movement_text(data.get("job-word", ""), data.get("job-to", ""), data.get("job-behind", ""))
        new = {"who": who, "when": when, "to": to, "say": data.get("job-say", "")} if to else None
        found["move"] = jobs.give(typed["move"], who, new, when)
    if data.get("check-who"):
        who, when = data["check-who"], data.get("check-when", "").strip()
        does = jobs.check_text(
            data.get("check-word", ""), data.get("check-at", "").strip(), data.get("check-plays", "")
        )
        say, takes = data.get("check-say", ""), data.get("check-takes", "").strip()
        row = {"who": who, "when": when, "does": does, "takes": takes, "say": say} if does else None
        found["checks"] = jobs.give(typed["checks"], who, row, when)
    return found


def _shown(request: HttpRequest, context: Mapping[str, Any], typed: rows.Rows, picked: str = "") -> dict[str, Any]:
    kinds = {key: ROWS[key] for key in typed}
    return _drawn(request, context, typed, picked) | {
        "sets": rows.fresh(typed, kinds),
        "on_paper": list_rows.on_paper(typed),
    }


def _drawn(request: HttpRequest, context: Mapping[str, Any], typed: rows.Rows, picked: str = "") -> dict[str, Any]:
    """Returns a call with these rows against a look after a motion, with the man who is picked."""
    data = request.POST if request.method == "POST" else request.GET
    part, on = context["part"], context["over"]
    value: fits.System | None = None
    refusal: services.Refused | None = None
    try:
        value = _with(part, context["noun"], typed)
    except services.Refused as refused:
        refusal = refused
    found = job_desk.draw(on, part.system, value)
    found |= {"not_drawn": refusal.text, "refusal": refusal} if refusal else {}
    if "look" not in found:
        return found
    every = [row for kept in typed.values() for row in kept]
    found |= job_desk.men(found["look"], every, picked or data.get("man", ""))
    man, verb = found["man"], data.get("do", "")
    for key, name in (("move", "job"), ("checks", "check")):
        if key not in typed:
            continue
        same = verb in ("job", f"when {name}")
        row = (
            job_desk.job_of(typed[key], man, data.get(f"{name}-who", ""), data.get(f"{name}-when", "").strip())
            if same
            else job_desk.job_of(typed[key], man)
        )
        parts = jobs.movement_words(row.get("to", "")) if key == "move" else jobs.check_words(row.get("does", ""))
        found |= {name: {**row, **parts}}
        known = jobs.WHENS if key == "move" else jobs.MOTIONS
        found[f"{name}_whens"] = job_desk.choices(known, row.get("when", ""))
        his = jobs.his(typed[key], man)
        found[f"{name}_whos"] = job_desk.whos(man, typed[key])
        found[f"{name}_rows"] = [(one.get("when", ""), one.get("say") or one.get("to") or one["does"]) for one in his]
    return found | {
        "pictures": jobs.movements(),
        "check_pictures": jobs.checks(),
        "whos": found.get("job_whos", ()),
        "whens": found.get("job_whens", ()),
        "his_rows": found.get("job_rows", ()),
        "sides": jobs.SIDES.items(),
        "labels": list(dict.fromkeys(name for one in found["men"] for name in one.names)),
    }


def _with(part: Owner, what: str, typed: rows.Rows) -> fits.System:
    """Returns the engine's system with these lists in the front or coverage. Raises services.Refused."""
    data = services.proven(part.system).as_dict()
    mine = next(one for one in data[what] if one["name"] == part.name)
    for key, kept in job_desk.raw(typed, {}).items():
        mine.pop(key, None)
        mine |= {key: kept} if kept else {}
    return job_desk.built(data, part.system)


def _impact(context: Mapping[str, Any], typed: rows.Rows) -> dict[str, Any]:
    """Returns which looks of the drawn call change with these rows, with the motion that is drawn."""
    part, on = context["part"], context["over"]
    setting = {"motion": on.motion} if on.motion else {}
    try:
        found = job_desk.compare(on, part.system, _with(part, context["noun"], typed), setting, setting)
    except services.Refused as refused:
        return {"refused": refused.text}
    except fits.FitsError as error:
        return {"refused": str(error)}
    return {"impact": found, "against_what": ""}
