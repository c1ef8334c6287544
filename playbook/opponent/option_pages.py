"""Pages of an option: a tag on a run, or a choice of our own, with what it changes; drawn on a run against a call."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from fits.blocking.build import build_option
from fits.blocking.concepts import EYES
from fits.draw.svg import Form
from fits.values import replace
from playbook import access, convert, rows, web
from playbook.looks import queries as looks
from playbook.looks.asking import Ask
from playbook.looks.specs import spec_of, surroundings
from playbook.models import Call, Concept, Formation, Opponent, Option, StaleVersion
from playbook.opponent import queries, services
from playbook.opponent.concept_rows import MEN, place_error
from playbook.opponent.formation_pages import delete_entry, saved_entry
from playbook.opponent.forms import CARRIES, NO_HELP, ROWS, TITLES, EntryForm
from playbook.system.vocabulary import phrasebook
from playbook.text import whole_number

FORM_METHODS = ["GET", "HEAD", "POST"]


class OptionForm(EntryForm):
    """An option's head; what it adds to a run stands in rows of its own."""

    side = forms.ChoiceField(
        label="Whose choice",
        choices=[("offense", "Theirs: a tag on a run"), ("defense", "Ours: a staff's choice")],
    )
    eyes = forms.ChoiceField(
        label="The quarterback's eyes are on",
        choices=[("", "as the run says"), *((word, word) for word in EYES)],
        required=False,
    )
    flags = forms.CharField(
        label="What the play carries with it", max_length=120, required=False, widget=forms.TextInput(attrs=NO_HELP),
        help_text=CARRIES,
    )  # fmt: skip
    field_order = ["label", "side", "eyes", "flags", "source"]


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds an option, of an opponent or of the library, from another one or from nothing."""
    opponent = looks.find(Opponent, request.GET.get("opponent", ""))
    start = looks.find(Option, request.GET.get("copy", ""))
    return _editor(request, None, opponent, start, {"label": f"{start}, our own"} if start else {})


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes an option."""
    row = get_object_or_404(Option.objects.select_related("opponent"), pk=pk)
    return _editor(request, row, row.opponent, row, {})


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes an option that nothing uses."""
    return delete_entry(request, get_object_or_404(Option.objects.select_related("opponent"), pk=pk), "opponent:option")


def _editor(
    request: HttpRequest, row: Option | None, opponent: Opponent | None, start: Option | None, more: dict[str, str]
) -> HttpResponse:
    words: dict[str, list[str]] = {one.anchor: [p for p, _ in one.entries] for one in phrasebook()[4:]}
    context: dict[str, Any] = {"row": row, "opponent": opponent, "titles": TITLES, "words": words | {"men": MEN}}
    context["seen"] = request.POST.get("seen", row.revision if row else 0)
    page, partial = "opponent/option.html", "opponent/_option.html"
    if request.method != "POST":
        data = convert.option_dict(start) if start else {"side": "offense"}
        head = {"label": data.get("label", ""), "source": data.get("source", ""), "side": data["side"]} | more
        head |= {"eyes": data.get("eyes", ""), "flags": ", ".join(data.get("flags", ()))}
        context |= {"form": OptionForm(initial=head), "sets": rows.fresh(_rows(data), ROWS)}
        return web.page(
            request, page, context | _drawn(request, opponent, convert.option_value(start) if start else None)
        )
    if "do" in request.POST:
        context["form"] = OptionForm(initial={name: request.POST.get(name, "") for name in OptionForm.base_fields})
        context["sets"] = rows.fresh(rows.act(rows.as_sent(request.POST, ROWS), request.POST["do"]), ROWS)
        return web.page(request, page, context, partial=partial)
    form, sets = OptionForm(request.POST), rows.bound(request.POST, ROWS)
    context |= {"form": form, "sets": sets}
    value = _value(form, sets)
    context |= _drawn(request, opponent, value)
    if value is None:
        return web.invalid(request, page, context, partial=partial if "try" in request.POST else "")
    if "try" in request.POST:
        return web.page(request, page, context, partial=partial)
    try:
        saved = services.save_option(_data(form, sets), opponent, row, whole_number(context["seen"]))
    except services.Refused as refused:
        form.add_error("label", str(refused))
    except StaleVersion as stale:
        theirs = _text(convert.option_dict(stale.current)) if isinstance(stale.current, Option) else ""
        texts = {"mine": _text(_data(form, sets)), "theirs": theirs}
        return web.conflict(request, texts | {"back": request.path, "what": f"option {form.cleaned_data['label']}"})
    else:
        return saved_entry(request, saved, "", reverse("opponent:option", args=[saved.pk]))
    return web.invalid(request, page, context)


def _rows(data: dict[str, Any]) -> rows.Rows:
    cast = [{**part, "candidates": ", ".join(part["from"])} for part in data.get("cast", ())]
    return {"cast": cast} | {key: list(data.get(key, ())) for key in ("rules", "threats", "leaves")}


def _data(form: OptionForm, sets: dict[str, Any]) -> dict[str, Any]:
    """Returns the shape of a file entry that a valid form describes."""
    found = {key: [row.cleaned_data for row in kind] for key, kind in sets.items()}
    head = {"time_s": None, "family": "", "to": "", **form.cleaned_data}
    data = queries.concept_data(head, found)
    kept = {name: value for name, value in data.items() if name not in ("family", "to", "time_s")}
    return kept | {"name": "option", "side": form.cleaned_data["side"]}


def _value(form: OptionForm, sets: dict[str, Any]) -> fits.Option | None:
    """Returns the option of the forms, or none; what the engine refuses stands beside its field."""
    if not all([form.is_valid(), *(kind.is_valid() for kind in sets.values())]):
        return None
    try:
        return build_option(_data(form, sets), "option")
    except fits.FileError as error:
        about, field = place_error(error, form, sets)
        about.add_error(field, error.brief)
        return None


def _text(data: dict[str, Any]) -> str:
    head = [f"{name}: {data[name]}" for name in ("label", "side", "eyes", "flags") if data.get(name)]
    return "\n".join([*head, *(f"{rule['who']}: {rule['does']}" for rule in data.get("rules", ()))])


def _drawn(request: HttpRequest, opponent: Opponent | None, value: fits.Option | None) -> dict[str, Any]:
    """Returns a run with the option against a call, or why it cannot be drawn."""
    data = request.POST if request.method == "POST" else request.GET
    menu = looks.menu(opponent)
    call = looks.find(Call, data.get("call", "")) or looks.next_call()
    concept = looks.find(Concept, data.get("concept", ""))
    formation = looks.find(Formation, data.get("formation", ""))
    shown: dict[str, Any] = {"menu": menu, "call": call, "concept": concept, "formation": formation}
    if value is None or call is None:
        return shown
    around, told = surroundings(call.system_id), ""
    pairs = (
        (c, f)
        for c in ([concept] if concept else menu.concepts)
        for f in ([formation] if formation else menu.formations)
    )
    for run, place in list(pairs)[:40]:
        try:
            spec = replace(spec_of(Ask(call, place, run), around), options=(value,))
            look = fits.Deriver().look(spec)
        except fits.FitsError as error:
            told = told or str(error)
            continue
        drawing = looks.drawing_in_page(look, Form.DESK, book=around.book)
        return shown | {"svg": drawing, "verdict": looks.sum_up(look), "concept": run, "formation": place}
    return shown | {"not_drawn": told}
