"""Pages of tendencies: an opponent's and our own calls, report by report, to read, print and take away; for staff."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, QueryDict, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.models import Opponent
from playbook.tendencies import queries, reports, runs, tables
from playbook.tendencies.forms import FilterForm, OurFilters, TheirFilters

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True)
class Room:
    """Where a report is read: an opponent's snaps or our own calls, with what is chosen there."""

    form: FilterForm
    look: Callable[[], queries.Looked]
    lens: reports.Lens
    query: str
    title: str
    opponent: Opponent | None = None

    def address(self, name: str = "", kind: str = "") -> str:
        """The address of a report, or of its file, with what is chosen."""
        where = f"tendencies:{'' if self.opponent else 'own-'}"
        keys: list[object] = [self.opponent.pk] if self.opponent else []
        if kind:
            path = reverse(f"{where}export", args=[*keys, name, kind])
        elif name:
            path = reverse(f"{where}report", args=[*keys, name])
        else:
            path = reverse("tendencies:opponent", args=keys) if keys else reverse("tendencies:own")
        return f"{path}?{self.query}" if self.query else path

    def context(self, name: str) -> dict[str, Any]:
        """What every page of the room shows: filters, the list of reports, what is chosen."""
        listed = [(report.label, self.address(report.name), report.name == name) for report in reports.REPORTS]
        files = {"csv": self.address(name, "csv"), "xlsx": self.address(name, "xlsx")} if name else {}
        return {
            "opponent": self.opponent,
            "form": self.form,
            "room": self,
            "here": self.address(name).split("?")[0],
            "reports": [("Overview", self.address(), not name), *listed],
            "files": files,
            "all_files": self.address("all", "xlsx"),
            "said": self.form.said,
            "half_life": self.form.half_life,
            "trouble": self.form.errors,
            "query": self.query,
        }

    @property
    def counted(self) -> str:
        """What was counted, in words, for a file."""
        recent = f"a snap counts half as much after {self.form.half_life} newer games" if self.form.half_life else ""
        return "; ".join(filter(None, [self.title, *self.form.said, recent])) or self.title


def _theirs(request: HttpRequest, pk: int) -> Room:
    found = get_object_or_404(Opponent, pk=pk)
    words = queries.words_said(found)
    form = TheirFilters(request.GET, opponent=found, personnel=queries.their_personnels(found, words))
    look = partial(queries.look_at, found, form.filters, words)
    return Room(form, look, reports.THEIRS, _query(request.GET), str(found), found)


def _ours(request: HttpRequest) -> Room:
    form = OurFilters(request.GET, personnel=queries.our_personnels())
    look = partial(queries.look_at_ours, form.filters)
    return Room(form, look, reports.OURS, _query(request.GET), "Our own calls")


def _query(sent: QueryDict) -> str:
    """The chosen filters as they stand in an address, without those that choose nothing."""
    kept = QueryDict(mutable=True)
    for name, values in sent.lists():
        if any(values):
            kept.setlist(name, [value for value in values if value])
    return kept.urlencode()


@require_safe
@access.needs(*access.STAFF)
def opponent(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the overview of what the opponent does."""
    room = _theirs(request, pk)
    context = room.context("") | {"t": queries.tendencies(room.look())}
    return web.page(request, "tendencies/opponent.html", context, partial="tendencies/_overview.html")


@require_safe
@access.needs(*access.STAFF)
def report(request: HttpRequest, pk: int, name: str) -> HttpResponse:
    """Shows one report of what the opponent does."""
    return _report(request, _theirs(request, pk), name, "tendencies/opponent.html")


@require_safe
@access.needs(*access.STAFF)
def opponent_print(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows all reports for paper."""
    room = _theirs(request, pk)
    looked = room.look()
    context = room.context("") | {"t": queries.tendencies(looked)}
    context["tables"] = list(reports.every_table(looked.plays, looked.known))
    return web.page(request, "tendencies/print.html", context)


@require_safe
@access.needs(*access.STAFF)
def export(request: HttpRequest, pk: int, name: str, kind: str) -> HttpResponseBase:
    """Downloads a report, or all of them in one workbook."""
    return _export(_theirs(request, pk), name, kind)


@require_safe
@access.needs(*access.STAFF)
def own(request: HttpRequest) -> HttpResponse:
    """Shows what our own calls give away."""
    room = _ours(request)
    plays = room.look().plays
    context = room.context("") | {"plays": len(plays), "tells": queries.own_tells(plays)}
    context["tables"] = [reports.calls_table(plays)]
    return web.page(request, "tendencies/own.html", context, partial="tendencies/_own.html")


@require_safe
@access.needs(*access.STAFF)
def own_report(request: HttpRequest, name: str) -> HttpResponse:
    """Shows one report of our own calls."""
    return _report(request, _ours(request), name, "tendencies/own.html")


@require_safe
@access.needs(*access.STAFF)
def own_export(request: HttpRequest, name: str, kind: str) -> HttpResponseBase:
    """Downloads a report of our own calls, or all of them in one workbook."""
    return _export(_ours(request), name, kind)


@require_safe
@access.needs(*access.STAFF)
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the players' sheet of an opponent, as they see it once a week against it is released."""
    found = get_object_or_404(Opponent, pk=pk)
    return web.page(request, "tendencies/sheet.html", {"opponent": found, "sheet": queries.scouting_sheet(found)})


def _report(request: HttpRequest, room: Room, name: str, template: str) -> HttpResponse:
    _known(name)
    looked = room.look()
    context = room.context(name) | {"report": reports.BY_REPORT[name]}
    context["tables"] = reports.tables_of(name, looked.plays, looked.known, room.lens)
    if name == "top-runs" and room.opponent:
        context["drawn"] = runs.draw_top_runs(room.opponent, looked.plays)
    return web.page(request, template, context, partial="tendencies/_report.html")


def _known(name: str) -> None:
    if name not in reports.BY_REPORT:
        raise Http404(f"there is no report called {name}")


def _export(room: Room, name: str, kind: str) -> HttpResponseBase:
    if name != "all":
        _known(name)
    if kind not in ("csv", "xlsx") or (name, kind) == ("all", "csv"):
        raise Http404("expected csv or xlsx; all reports together come as xlsx")
    looked = room.look()
    if name == "all":
        found = list(reports.every_table(looked.plays, looked.known, room.lens))
    else:
        found = reports.tables_of(name, looked.plays, looked.known, room.lens)
        found = found or [reports.make_table(reports.BY_REPORT[name], looked.plays, looked.known, room.lens)]
    whose = room.opponent.pk if room.opponent else "own"
    headers = {"Content-Disposition": f'attachment; filename="{name}-{whose}.{kind}"'}
    if kind == "csv":
        lines = tables.as_csv(found, room.counted)
        return StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8", headers=headers)
    book = tables.as_workbook(found, room.counted)
    return HttpResponse(book, content_type=XLSX, headers=headers)
