"""Pages of a front's or coverage's rules: beside a drawing, tried before they are saved."""

from __future__ import annotations

from functools import cache
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.urls import reverse
from django.utils.html import format_html
from django.views.decorators.http import require_POST, require_safe

import fits
from playbook import access, web
from playbook.looks import beside
from playbook.looks.specs import surroundings
from playbook.models import FitRule, Group, StaleVersion
from playbook.system import bench, impact, knowing, queries, services, vocabulary
from playbook.system.forms import RuleForm
from playbook.system.men import Man, first_man
from playbook.system.rules import KINDS, AnyRule, Kind, Owner, as_text, noun
from playbook.text import whole_number

WHOLE, PART, PREVIEW = "system/rules.html", "system/_bench.html", "system/_preview.html"


@require_safe
@access.needs(*access.STAFF)
def front(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows a front's rules beside a drawing of it; `edit` opens one of them."""
    return _bench_page(request, queries.owner("front", pk))


@require_safe
@access.needs(*access.STAFF)
def coverage(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows a coverage's rules beside a drawing of it; `edit` opens one of them."""
    return _bench_page(request, queries.owner("coverage", pk))


@require_safe
@access.needs(*access.STAFF)
def knows(request: HttpRequest, what: str, pk: int) -> HttpResponse:
    """Shows the ladder of the man whose rules are shown, and what he cannot know: it takes longer than the rules."""
    part = queries.owner(what, pk)
    queries.read_rules(part)
    context = _context(request, part, _of_somebody(part, request.GET))
    drawn, context["known"] = context["bench"], None
    try:
        if drawn.call and context["met"].asks:
            context["known"] = knowing.knows(drawn.call, context["met"], drawn.week, drawn.man)
    except fits.FitsError as error:
        context["refused"] = str(error)
    return web.page(request, "system/knows.html", context, partial="system/_knows.html")


def _of_somebody(part: Owner, data: QueryDict) -> QueryDict:
    """Returns the address's parameters with a man: the one it names, the one of the opened rule, or the first."""
    names = [position.name for position in part.system.positions.all()]
    if data.get("man") in names:
        return data
    data = data.copy()
    key, _, which = data.get("edit", "").partition("-")
    row = queries.rule(part, KINDS[key], whole_number(which)) if key in KINDS and whole_number(which) else None
    who = row.who if row else data.get("who", "")
    group = Group.SECONDARY if noun(part) == "coverage" else Group.LINEBACKER
    words = {word for label in who.split(",") for word in label.split()}
    data["man"] = next((name for name in names if name in words), "") or first_man(_men(part), group)
    return data


def _men(part: Owner) -> list[Man]:
    counted = queries.counts(part)
    return [Man(position, counted[position.name]) for position in part.system.positions.all()]


def _bench_page(request: HttpRequest, part: Owner) -> HttpResponse:
    queries.read_rules(part)
    context = _context(request, part, _of_somebody(part, request.GET))
    context |= bench.draw(context["bench"]) | _opened(part, request.GET)
    response = web.page(request, WHOLE, context, partial=PART)
    query = context["bench"].query + (f"&edit={context['editing']}" if "editing" in context else "")
    here = f"{reverse(f'system:{noun(part)}', args=[part.pk])}?{query}"
    response["HX-Push-Url"] = "false" if context["bench"].desk else here
    return response


@require_POST
@access.needs(*access.STAFF)
def attempt(request: HttpRequest, what: str, pk: int, kind: str, rule: int = 0) -> HttpResponse:
    """Shows what a rule would change, without saving it: the drawing, and every look that would be different."""
    part = queries.owner(what, pk)
    of = queries.kind(kind, part)
    form, context = RuleForm(of, request.POST), _context(request, part, request.POST)
    context |= {"form": form, "kind": of, "rule": queries.rule(part, of, rule), "editing": f"{kind}-{rule or 'new'}"}
    after = _tried(part, of, context["rule"], form, bool(rule))
    if after is None:
        context |= bench.draw(context["bench"])
        return web.invalid(request, WHOLE, context, partial=PREVIEW)
    context |= bench.draw_tried(context["bench"], after) | {"tried": True}
    if not web.in_place(request) or request.POST.get("impact"):
        b = context["bench"]
        context["impact"] = impact.compare(b.calls, after, b.menu, surroundings(part.system_id))
    partial = "system/_impact.html" if request.POST.get("impact") else PREVIEW
    return web.page(request, WHOLE, context, partial=partial)


@require_POST
@access.needs(*access.STAFF)
def save(request: HttpRequest, what: str, pk: int, kind: str, rule: int = 0) -> HttpResponse:
    """Saves a new or changed rule."""
    part = queries.owner(what, pk)
    of = queries.kind(kind, part)
    form, context = RuleForm(of, request.POST), _context(request, part, request.POST)
    row = queries.rule(part, of, rule) if rule else None
    context |= {"form": form, "kind": of, "rule": row, "editing": f"{kind}-{rule or 'new'}"}
    if form.is_valid():
        try:
            saved = services.carry_out(part.system, _change(part, of, row, form, bool(rule)))
        except services.Refused as refused:
            services.tell(form, refused)
        except StaleVersion as stale:
            return _conflict(request, part, context["bench"], _mine(of, form), stale)
        else:
            messages.success(request, _saved_words(context["bench"]))
            return _done(request, part, context["bench"], f"{kind}-{saved.pk}")
    context |= bench.draw(context["bench"])
    return web.invalid(request, WHOLE, context, partial=PREVIEW if context["bench"].desk else PART)


def _saved_words(drawn: bench.Bench) -> str:
    """What is said once a rule is saved, with the way to the look before and after it."""
    if drawn.ask is None:
        return "The rule is saved."
    address = drawn.ask.part("compare", [("other", beside.LATEST)])
    return format_html('The rule is saved. <a href="{}">Before and after</a>', address)


@require_POST
@access.needs(*access.STAFF)
def move(request: HttpRequest, what: str, pk: int, kind: str, rule: int) -> HttpResponse:
    """Moves a rule up or down, or by so many places; first match wins, so the order matters."""
    part = queries.owner(what, pk)
    of = queries.kind(kind, part)
    row, by = queries.rule(part, of, rule), _places(request.POST.get("to", ""))
    if row is None or not by:
        raise Http404
    context = _context(request, part, request.POST)
    section = next(section for section in context["sections"]() if section.kind is of)
    shown = next((rows for rows in (section.rows, section.others) if any(row.rule.pk == rule for row in rows)), ())
    seen = {line.rule.pk for line in shown}
    services.carry_out(part.system, lambda: services.move_rule(part, of, row, by, seen))
    return _done(request, part, context["bench"], f"{kind}-{rule}")


def _places(to: str) -> int:
    """Returns by how many places a rule moves, 0 for nonsense."""
    down = to.removeprefix("-")
    return {"up": -1, "down": 1}.get(to) or whole_number(down) * (-1 if to != down else 1)


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, what: str, pk: int, kind: str, rule: int) -> HttpResponse:
    """Deletes a rule, unless somebody changed it since, or the system needs it."""
    part = queries.owner(what, pk)
    of = queries.kind(kind, part)
    row, drawn = queries.rule(part, of, rule), _context(request, part, request.POST)["bench"]
    seen = whole_number(request.POST.get("version", ""), -1)
    if row is None or seen < 0:
        raise Http404
    try:
        services.carry_out(part.system, lambda: services.delete_rule(row, seen))
    except services.Refused as refused:
        messages.error(request, f"Not deleted: {refused.text}")
    except StaleVersion as stale:
        return _conflict(request, part, drawn, "Delete the rule", stale)
    else:
        messages.success(request, "The rule is deleted. The history can bring it back.")
    return _done(request, part, drawn)


def _context(request: HttpRequest, part: Owner, data: QueryDict) -> dict[str, Any]:
    """Returns what every answer needs; lists that only the whole bench shows are read when it is drawn."""
    form = bench.BenchForm(part, data, web.week_now(request))
    drawn = bench.lay_out(part, form)
    opened = data.get("edit", "")
    found = knowing.met(drawn.call, drawn.week, drawn.menu) if drawn.call else None
    return {
        "part": part,
        "noun": noun(part),
        "view": form,
        "bench": drawn,
        "sections": cache(lambda: queries.sections(part, drawn.man, opened)),
        "words": lambda: vocabulary.words_for(queries.value(part.system)),
        "path": reverse(f"system:{noun(part)}", args=[part.pk]),
        "new_first": data.get("place") == "1",
        "men": lambda: _men(part),
        "man": next((position for position in part.system.positions.all() if position.name == drawn.man), None),
        "met": found,
        "uses": cache(lambda: _uses(drawn, found)),
    }


def _uses(drawn: bench.Bench, found: knowing.Met | None) -> dict[str, knowing.Use]:
    """Returns how often each of the man's rules decides; nothing where it cannot be said."""
    try:
        return knowing.uses(knowing.company(drawn.call, found, drawn.week), drawn.man) if drawn.call and found else {}
    except fits.FitsError:
        return {}


def _opened(part: Owner, data: QueryDict) -> dict[str, Any]:
    """Returns the form of the rule that the address asks to edit, filled with the rule or with what it proposes."""
    key, _, which = data.get("edit", "").partition("-")
    if not which:
        return {}
    of = queries.kind(key, part)
    row = queries.rule(part, of, whole_number(which)) if whole_number(which) else None
    if row is None and which != "new":
        raise Http404
    changed = {name: data[f"new_{name}"] for name in of.fields if row and data.get(f"new_{name}")}
    values = {name: getattr(row, name) if row else data.get(name, "") for name in of.fields} | changed
    start = values | {"version": row.version if row else None, "place": data.get("place", "")}
    return {
        "form": RuleForm(of, initial=start),
        "kind": of,
        "rule": row,
        "editing": f"{key}-{which}",
        "proposed": changed,
    }


def _tried(part: Owner, of: Kind, row: AnyRule | None, form: RuleForm, old: bool) -> Any:
    """Returns the system with the rule as the form has it, or none and the form's errors."""
    if not form.is_valid():
        return None
    try:
        if old and (row is None or row.version != form.cleaned_data["version"]):
            raise services.Refused("Somebody else changed this rule since you opened it.")
        return services.proposed(part, of, row, _new(part, of, row, form))
    except services.Refused as refused:
        services.tell(form, refused)
    return None


def _change(part: Owner, of: Kind, row: AnyRule | None, form: RuleForm, old: bool) -> Any:
    if not old:
        return lambda: services.add_rule(part, of, _new(part, of, None, form))
    if row is None:
        raise StaleVersion(None)
    return lambda: services.change_rule(row, form.cleaned_data["version"] or 0, form.values())


def _new(part: Owner, of: Kind, row: AnyRule | None, form: RuleForm) -> services.NewRule:
    """Returns the rule of a valid form; its id is the one it has, the one proposed, or a free one."""
    values = form.values()
    if isinstance(row, FitRule):
        values = {"rule_id": row.rule_id, **values}
    return services.NewRule(services.with_id(part, of, values), form.cleaned_data["place"] or 0)


def _mine(of: Kind, form: RuleForm) -> str:
    return as_text(type("Mine", (), form.values()), of.fields)


def _conflict(request: HttpRequest, part: Owner, drawn: bench.Bench, mine: str, stale: StaleVersion) -> HttpResponse:
    theirs = as_text(stale.current) if stale.current else ""
    back = drawn.desk or f"{reverse(f'system:{noun(part)}', args=[part.pk])}?{drawn.query}"
    what = {"mine": mine, "theirs": theirs, "back": back, "what": f"a rule of {noun(part)} {part}"}
    response = web.conflict(request, what)
    response["HX-Retarget"], response["HX-Reswap"] = "#preview" if drawn.desk else "#bench", "outerHTML"
    return response


def _done(request: HttpRequest, part: Owner, drawn: bench.Bench, near: str = "") -> HttpResponse:
    """Returns the front's page as it is now: as a part to htmx, else by a redirect."""
    if drawn.desk:
        return web.go(request, drawn.desk)
    address = f"{reverse(f'system:{noun(part)}', args=[part.pk])}?{drawn.query}"
    if not web.in_place(request):
        return web.go(request, f"{address}#rule-{near}" if near else address)
    context = _context(request, queries.owner(noun(part), part.pk), QueryDict(drawn.query))
    context |= bench.draw(context["bench"]) | {"near": near}
    response = web.page(request, WHOLE, context, partial=PART)
    response["HX-Push-Url"] = address
    return response
