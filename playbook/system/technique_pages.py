"""The page of a system's techniques: what each number means, drawn on the right half of a line."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from playbook import access, rows, web
from playbook.models import StaleVersion, System, Technique
from playbook.system import services
from playbook.system import techniques as own
from playbook.text import validate_name

MEN = {man: place for place, man in enumerate(Technique.Man.values)}
SHADES = {"inside": -20, "head up": 0, "outside": 20, "wide": 36}
STEP = 84


class SchemeForm(forms.Form):
    """What the staff calls its techniques, and where they come from."""

    label = forms.CharField(label="Name of the numbering", max_length=120, validators=[validate_name])
    source = forms.CharField(max_length=200, required=False)


class TechniqueForm(forms.Form):
    """One technique."""

    label = forms.CharField(label="Technique", max_length=10, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    man = forms.ChoiceField(label="On the", choices=Technique.Man.choices)
    shade = forms.ChoiceField(label="Where on him", choices=Technique.Shade.choices)
    gap = forms.ChoiceField(label="His gap", choices=[("", "none"), *((g, g) for g in "ABCDEF")], required=False)


KINDS = {"technique": forms.formset_factory(TechniqueForm, extra=0, max_num=40)}
TITLES = {"technique": ("Techniques", "Each is a man of the offense, where on him, and the gap that goes with it.")}


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.STAFF)
def techniques(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes the techniques of a system."""
    system = get_object_or_404(System.objects.select_related("scheme"), pk=pk)
    kept = own.rows_of(system.scheme)
    context: dict[str, Any] = {"system": system, "titles": TITLES, "seen": request.POST.get("seen", own.seen(system))}
    context |= {"shared": own.is_shared(system), "picture": _picture(kept)}
    page, partial = "system/techniques.html", "system/_techniques.html"
    if request.method != "POST":
        head = {"label": system.scheme.label, "source": system.scheme.source}
        context |= {"form": SchemeForm(initial=head), "sets": rows.fresh({"technique": kept}, KINDS)}
        return web.page(request, page, context)
    if "do" in request.POST:
        context["form"] = SchemeForm(initial={key: request.POST.get(key, "") for key in ("label", "source")})
        context["sets"] = rows.fresh(rows.act(rows.as_sent(request.POST, KINDS), request.POST["do"]), KINDS)
        return web.page(request, page, context, partial=partial)
    form, sets = SchemeForm(request.POST), rows.bound(request.POST, KINDS)
    context |= {"form": form, "sets": sets}
    if not all([form.is_valid(), sets["technique"].is_valid()]):
        return web.invalid(request, page, context)
    wanted = [row.cleaned_data for row in sets["technique"]]
    try:
        services.carry_out(system, lambda: own.save(system, request.POST.get("seen", ""), form.cleaned_data, wanted))
    except StaleVersion:
        now = System.objects.select_related("scheme").get(pk=pk)
        texts = {"mine": _text(wanted), "theirs": _text(own.rows_of(now.scheme))}
        return web.conflict(request, texts | {"back": request.path, "what": f"the techniques of {system}"})
    except services.Refused as refused:
        context["refused"] = refused.text
        return web.invalid(request, page, context)
    messages.success(request, "The techniques are saved.")
    return web.go(request, reverse("system:detail", args=[pk]))


def _text(found: list[dict[str, str]]) -> str:
    return "\n".join(f"{t['label']}: {t['shade']} of the {t['man']}, gap {t['gap'] or 'none'}" for t in found)


def _picture(kept: list[dict[str, str]]) -> dict[str, Any]:
    """Returns the men of the right half of a line, and each technique's place over them, in units of the drawing."""
    men = [(30 + STEP * place, man) for place, man in enumerate(("C", "G", "T", "TE", "TE"))]
    used: dict[int, int] = {}
    marks = []
    for one in kept:
        x = 30 + STEP * MEN[one["man"]] + SHADES[one["shade"]]
        used[x] = used.get(x, 0) + 1
        marks.append((x, 62 - 18 * used[x], one["label"]))
    return {"men": men, "marks": marks}
