"""Pages of charts and words, for staff."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from playbook import access, web
from playbook.charts import queries, words
from playbook.charts import services as charts
from playbook.charts.cells import csv_lines
from playbook.charts.columns import COLUMNS
from playbook.charts.errors import ChartError
from playbook.charts.forms import MappingForm, RowForm, UploadForm
from playbook.charts.same import decide_same_game
from playbook.models import Chart, ChartState, Opponent, SameGame, StaleVersion
from playbook.text import whole_number

EDIT = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
@access.needs(*access.STAFF)
def start(request: HttpRequest) -> HttpResponse:
    """Lists the opponents and what is charted of each."""
    return web.page(request, "charts/start.html", {"opponents": queries.opponents()})


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def opponent(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows an opponent's charts, and takes another one."""
    found = get_object_or_404(Opponent, pk=pk)
    form = UploadForm(request.POST or None, request.FILES or None, opponent=found)
    context = {"opponent": found, "form": form, "charts": queries.charts_of(found), "same": queries.same_games(found)}
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            sent = form.cleaned_data
            chart = charts.add_chart(
                found, file.name, file.size, file.chunks(), request.user, sent["again"], sent.get("replaces")
            )
            return web.go(request, reverse("charts:mapping", args=[chart.pk]))
        except charts.SameFile as same:
            form.add_error("again", str(same))
        except ChartError as error:
            form.add_error("file", f"“{file.name}”: {error} Nothing was taken.")
    context["words_left"] = words.unmapped_count(found)
    answer = web.invalid if request.method == "POST" else web.page
    return answer(request, "charts/opponent.html", context)


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def mapping(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows a chart's headers with samples, and takes which column each is."""
    chart = _chart(pk)
    form = MappingForm(request.POST or None, chart=chart)
    context = {"chart": chart, "form": form, "columns": COLUMNS}
    if request.method != "POST":
        return web.page(request, "charts/mapping.html", context)
    if form.is_valid():
        style = form.cleaned_data["yard_style"] or chart.yard_style
        try:
            charts.map_chart(chart, form.cleaned_data["version"], form.mapping, style, form.theirs)
            return web.go(request, reverse("charts:chart", args=[chart.pk]))
        except ChartError as error:
            form.add_error(None, str(error).capitalize())
        except StaleVersion as stale:
            return _stale_mapping(request, form, stale, chart)
    return web.invalid(request, "charts/mapping.html", context)


def _stale_mapping(request: HttpRequest, form: MappingForm, stale: StaleVersion, chart: Chart) -> HttpResponse:
    def say(mapping: dict[str, str]) -> str:
        return "\n".join(f"{column}: {header}" for column, header in mapping.items())

    theirs = say(stale.current.mapping) if stale.current else "deleted"
    back = reverse("charts:mapping", args=[chart.pk])
    return web.conflict(request, {"mine": say(form.mapping), "theirs": theirs, "back": back, "what": str(chart)})


@require_safe
@access.needs(*access.STAFF)
def chart(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows how far a chart is, then what was taken and what was not."""
    found = _chart(pk)
    pages = Paginator(queries.refused_rows(found), 50)
    context = {"chart": found, "busy": found.state in (ChartState.WAITING, ChartState.READING)}
    context["same"] = queries.same_games(found.opponent).filter(chart=found)
    context["rows"] = pages.get_page(request.GET.get("page"))
    context["words_left"] = 0 if context["busy"] else words.unmapped_count(found.opponent)
    return web.page(request, "charts/chart.html", context, partial="charts/_chart.html")


@require_safe
@access.needs(*access.STAFF)
def rows(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows every snap of a chart as it was read; each can be mended."""
    found = _chart(pk)
    listed = Paginator(queries.snaps_page(found), 50).get_page(request.GET.get("page"))
    return web.page(request, "charts/rows.html", {"chart": found, "rows": listed})


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def row(request: HttpRequest, pk: int, line: int) -> HttpResponse:
    """Shows one row cell by cell, and reads it anew as the staff mend it."""
    found = _chart(pk)
    try:
        form = RowForm(request.POST or None, chart=found, cells=charts.row_cells(found, line))
    except charts.NoSuchRow as error:
        raise Http404(str(error)) from error
    context = {"chart": found, "line": line, "form": form, "now": queries.row_now(found, line)}
    if request.method != "POST":
        return web.page(request, "charts/row.html", context)
    if form.is_valid():
        try:
            charts.mend_row(found, line, form.cells, request.user)
            messages.success(request, f"Line {line} is read anew: {queries.row_now(found, line).said}.")
            place = "#changes" if request.GET.get("back") == "changes" else ""
            return web.go(request, reverse("charts:chart", args=[pk]) + place)
        except (ChartError, StaleVersion) as error:
            form.add_error(None, str(error).capitalize())
    return web.invalid(request, "charts/row.html", context)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def decide(request: HttpRequest, pk: int) -> HttpResponse:
    """Takes whether a game that two charts have is one game or two."""
    same = get_object_or_404(SameGame.objects.select_related("chart__opponent"), pk=pk)
    try:
        decide_same_game(same, whole_number(request.POST.get("version", ""), -1), request.POST.get("decided", ""))
    except ValueError:
        messages.error(request, "Expected “once” or “both”. Nothing was changed.")
    except StaleVersion:
        messages.error(request, "Somebody else has just decided this. Look at what they chose.")
    return web.go(request, reverse("charts:opponent", args=[same.chart.opponent_id]))


@require_safe
@access.needs(*access.STAFF)
def refused(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """Downloads the rows that were not taken, with line and reason; no cell of it is a live formula."""
    found = _chart(pk)
    lines = csv_lines(["line", "reason", *found.headers], queries.refused_cells(found))
    headers = {"Content-Disposition": f'attachment; filename="not-taken-{found.pk}.csv"'}
    return StreamingHttpResponse(lines, content_type="text/csv; charset=utf-8", headers=headers)


@require_POST
@access.needs(*access.STAFF, writes=access.STAFF)
def count(request: HttpRequest, pk: int) -> HttpResponse:
    """Puts a chart into the tendencies, or takes it out."""
    found = _chart(pk)
    charts.count_chart(found, request.POST.get("counts") == "yes")
    return web.go(request, reverse("charts:opponent", args=[found.opponent_id]))


@EDIT
@access.needs(*access.STAFF)
def delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Asks, then deletes a chart with its snaps."""
    found = _chart(pk)
    if request.method != "POST":
        return web.page(request, "charts/delete.html", {"chart": found})
    charts.delete_chart(found)
    messages.success(request, f"“{found.name}” is deleted.")
    return web.go(request, reverse("charts:opponent", args=[found.opponent_id]))


@EDIT
@access.needs(*access.STAFF, writes=access.STAFF)
def word_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows the opponent's words, and takes what they are in ours."""
    found = get_object_or_404(Opponent, pk=pk)
    listed = words.words_of(found)
    context: dict[str, Any] = {"opponent": found, "words": listed, "ours": words.vocabulary_of(found)}
    if request.method != "POST":
        return web.page(request, "charts/words.html", context)
    try:
        changed = words.save_words(found, words.form_meanings(listed, request.POST.dict()))
    except ValueError as error:
        return web.invalid(request, "charts/words.html", context | {"trouble": str(error)})
    messages.success(request, f"{changed} word{'' if changed == 1 else 's'} changed.")
    return web.go(request, reverse("charts:words", args=[pk]))


def _chart(pk: int) -> Chart:
    return get_object_or_404(Chart.objects.select_related("opponent"), pk=pk)
