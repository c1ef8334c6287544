"""The page of a system's positions: all eleven men at once, because the engine wants eleven."""

from django.contrib import messages
from django.forms import modelformset_factory
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from playbook import access, web
from playbook.models import Position, StaleVersion, System
from playbook.system import services
from playbook.system.forms import PositionForm

Positions = modelformset_factory(Position, form=PositionForm, extra=1)


@require_http_methods(["GET", "HEAD", "POST"])
@access.needs(*access.STAFF)
def positions(request: HttpRequest, pk: int) -> HttpResponse:
    """Changes the positions."""
    system = get_object_or_404(System, pk=pk)
    rows = Positions(request.POST or None, queryset=system.positions.all())
    context = {"system": system, "rows": rows, "seen": request.POST.get("seen", system.revision)}
    if request.method != "POST":
        return web.page(request, "system/positions.html", context)
    if rows.is_valid():
        wanted = [form.row() for form in rows if form.cleaned_data.get("name") and not form.cleaned_data.get("drop")]
        try:
            services.carry_out(system, lambda: _write(system, wanted, request.POST.get("seen", "")))
        except services.Refused as refused:
            context["refused"] = refused.text
        except StaleVersion:
            return web.conflict(request, _both(system, wanted))
        else:
            messages.success(request, "The positions are saved.")
            return web.go(request, reverse("system:detail", args=[pk]))
    return web.invalid(request, "system/positions.html", context)


def _write(system: System, wanted: list[dict[str, object]], seen: str) -> None:
    current = System.objects.get(pk=system.pk)
    if str(current.revision) != seen:
        raise StaleVersion(current)
    services.write_positions(system, _plain(wanted))


def _plain(wanted: list[dict[str, object]]) -> list[dict[str, object]]:
    return [{key: value for key, value in row.items() if key not in ("id", "pk")} for row in wanted]


def _both(system: System, wanted: list[dict[str, object]]) -> dict[str, str]:
    mine = "\n".join(f"{row['name']}: {row['label']}, {row['group']}, {row['side']}" for row in wanted)
    theirs = "\n".join(f"{p.name}: {p.label}, {p.group}, {p.side}" for p in system.positions.all())
    back = reverse("system:positions", args=[system.pk])
    return {"mine": mine, "theirs": theirs, "back": back, "what": f"the positions of {system}"}
