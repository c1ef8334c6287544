"""Pages of a motion or shift: who moves and where to, drawn before and after on a formation."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

import fits
from fits.draw.svg import draw_formation
from fits.offense.motion import SELECTORS, apply_motion, build_motion
from playbook import access, convert, web
from playbook.looks import queries as looks
from playbook.models import Formation, Motion, Opponent, StaleVersion
from playbook.opponent import queries, services
from playbook.opponent.formation_pages import delete_entry, saved_entry
from playbook.opponent.forms import NO_HELP, EntryForm
from playbook.text import whole_number

FORM_METHODS = ["GET", "HEAD", "POST"]
START = {"kind": "motion", "who": "slot, flanker, wing", "x": 1.6, "x_of": "last man", "y_of": "line"}


class MotionForm(EntryForm):
    """A motion: who moves, and where he is at the snap."""

    kind = forms.ChoiceField(choices=Motion.Kind.choices)
    who = forms.CharField(
        label="Who moves", max_length=200, widget=forms.TextInput(attrs=NO_HELP),
        help_text=f"In order, with commas; the first who is there moves: {', '.join(SELECTORS)}, or a man's own label.",
    )  # fmt: skip
    mirror = forms.BooleanField(label="To the same place on the other side", required=False)
    x = forms.FloatField(
        label="Yards across", required=False, min_value=-54, max_value=54,
        widget=forms.NumberInput(attrs={"step": "any"}),
        help_text="Counted outward on the side he goes to; negative is back toward where he came from.",
    )  # fmt: skip
    x_of = forms.ChoiceField(label="Counted from", choices=Motion.XOf.choices)
    y = forms.FloatField(
        label="Yards deep", required=False, min_value=-54, max_value=54,
        widget=forms.NumberInput(attrs={"step": "any"}), help_text="Behind is negative; empty: as deep as he stood.",
    )  # fmt: skip
    y_of = forms.ChoiceField(label="Depth counted from", choices=Motion.YOf.choices)
    balance = forms.BooleanField(label="The others step on or off the line to keep it legal", required=False)
    note = forms.CharField(max_length=300, required=False)
    field_order = ["label", "kind", "who", "mirror", "x", "x_of", "y", "y_of", "balance", "note", "source"]

    there: Sequence[str] = ()  # the men of the formation that is drawn

    def value(self) -> fits.Motion | None:
        """Returns the motion of a valid form, or none; what the engine refuses stands beside its field."""
        c = self.cleaned_data
        place: dict[str, Any] = {"mirror": True} if c["mirror"] else {"x_of": c["x_of"]}
        if not c["mirror"]:
            if c["x"] is None:
                self.add_error("x", "Expected how far across, or the same place on the other side.")
                return None
            place["x"] = c["x"]
            place |= {"y": c["y"], "y_of": c["y_of"]} if c["y"] is not None else {}
        head = {name: c[name] for name in ("label", "kind", "note", "source")}
        data = head | {"name": "motion", "who": queries.split(c["who"])} | place
        try:
            return build_motion(data | ({"balance": True} if c["balance"] else {}))
        except fits.FileError as error:
            key = error.key.rsplit(".", 1)[-1]
            told = _nobody(data["who"], self.there) if key.startswith("who") else error.brief
            self.add_error("who" if key.startswith("who") else key if key in self.fields else None, told)
            return None


def _nobody(asked: Sequence[str], there: Sequence[str]) -> str:
    """Says which word means no man, and which do."""
    wrong = [word for word in asked if word not in SELECTORS and not (word[:1].isupper() and word.isalnum())]
    said = "Expected who moves" if not wrong else f"Nobody is called {', '.join(f'“{word}”' for word in wrong)}"
    men = f", or one of the men on the drawing: {', '.join(there)}" if there else ", or a man's own letters"
    return f"{said}. Say {', '.join(SELECTORS)}{men}."


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def add(request: HttpRequest) -> HttpResponse:
    """Adds a motion, of an opponent or of the library, from another one or from a usual one."""
    opponent = looks.find(Opponent, request.GET.get("opponent", ""))
    start = looks.find(Motion, request.GET.get("copy", ""))
    head = _head(start) | {"label": f"{start}, our own"} if start else START
    return _editor(request, None, opponent, head)


@require_http_methods(FORM_METHODS)
@access.needs(*access.STAFF)
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes a motion."""
    row = get_object_or_404(Motion.objects.select_related("opponent"), pk=pk)
    return _editor(request, row, row.opponent, _head(row))


@require_POST
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Deletes a motion that nothing uses."""
    return delete_entry(request, get_object_or_404(Motion.objects.select_related("opponent"), pk=pk), "opponent:motion")


def _head(row: Motion) -> dict[str, Any]:
    return {name: getattr(row, name) for name in MotionForm.base_fields if name != "who"} | {"who": ", ".join(row.who)}


def _editor(request: HttpRequest, row: Motion | None, opponent: Opponent | None, head: dict[str, Any]) -> HttpResponse:
    given = request.POST if request.method == "POST" else request.GET
    menu = looks.menu(opponent)
    context: dict[str, Any] = {"row": row, "opponent": opponent, "formations": menu.formations}
    context["seen"] = request.POST.get("seen", row.revision if row else 0)
    context["formation"] = looks.find(Formation, given.get("formation", ""))
    page, partial = "opponent/motion.html", "opponent/_motion.html"
    form = MotionForm(request.POST) if request.method == "POST" else MotionForm(initial=head)
    context["form"] = form
    shown = context["formation"] or next(iter(menu.formations), None)
    form.there = list(shown.players.values_list("role", flat=True)) if shown else []
    if request.method != "POST":
        probe = MotionForm({**head, "label": head.get("label") or "motion"})
        value = probe.value() if probe.is_valid() else None
        return web.page(request, page, context | _drawn(context, value))
    value = form.value() if form.is_valid() else None
    context |= _drawn(context, value)
    if value is None:
        return web.invalid(request, page, context, partial=partial if "try" in request.POST else "")
    if "try" in request.POST:
        return web.page(request, page, context, partial=partial)
    try:
        saved = services.save_motion(value.as_dict(), opponent, row, whole_number(context["seen"]))
    except services.Refused as refused:
        form.add_error("label", str(refused))
    except StaleVersion as stale:
        texts = {"mine": _text(value.as_dict()), "back": request.path, "what": f"motion {value.label}"}
        theirs = _text(convert.motion_dict(stale.current)) if isinstance(stale.current, Motion) else ""
        return web.conflict(request, texts | {"theirs": theirs})
    else:
        return saved_entry(request, saved, "", reverse("opponent:motion", args=[saved.pk]))
    return web.invalid(request, page, context)


def _text(data: dict[str, Any]) -> str:
    shown = {**data, "who": ", ".join(data["who"])}
    return "\n".join(f"{name}: {value}" for name, value in shown.items() if name != "name")


def _drawn(context: dict[str, Any], value: fits.Motion | None) -> dict[str, Any]:
    """Returns the drawings before and after, on the chosen formation or the first that has somebody to move."""
    if value is None:
        return {}
    chosen = context["formation"]
    told = ""
    for formation in [chosen] if chosen else context["formations"]:
        try:
            before = convert.formation_value(formation)
            after = apply_motion(before, value)
            return {"formation": formation, "before": draw_formation(before), "after": draw_formation(after)}
        except fits.FitsError as error:
            told = told or str(error)
    return {"not_drawn": told}
