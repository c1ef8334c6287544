"""The board."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.board import queries
from playbook.board.forms import LIBRARY, BoardForm
from playbook.notes.places import Place
from playbook.notes.services import open_board
from playbook.proof import studies


@require_safe
@access.needs(*access.STAFF)
def show(request: HttpRequest) -> HttpResponse:
    """Shows calls against looks, and one of them in the panel when the address names it."""
    form = BoardForm(request.GET, web.week_now(request))
    if not form.is_valid():
        return web.invalid(request, "board/show.html", {"form": form}, partial="board/_board.html")
    question = form.question()
    context: dict[str, Any] = {"form": form, "week": form.week, "system": form.system}
    if question and question.week:
        context["proving"] = studies.waiting(question.week, [call.name for call in question.calls])
    if question and context.get("proving"):
        context["here"] = "?" + urlencode(form.pairs())
    elif question:
        board = queries.board(question)
        opened = queries.open_cell(question, board, request.GET.get("open", ""))
        context |= {"board": board, "opened": opened, **_addresses(form, board), **_away(form, opened)}
        context |= _notes(request, opened, context["here"]) if opened else {}
    in_panel = request.htmx and request.htmx.target == "panel"  # type: ignore[attr-defined]
    partial = "board/_panel.html" if in_panel else "board/_board.html"
    if in_panel and not request.htmx.history_restore_request:  # type: ignore[attr-defined]
        return web.part(request, partial, context)
    return web.page(request, "board/show.html", context, partial=partial)


def _notes(request: HttpRequest, opened: queries.Opened, here: str) -> dict[str, Any]:
    """Returns what the staff wrote about the opened look and its call."""
    ask = opened.cell.ask
    place = Place(ask.setting.week, ask.formation, ask.concept, ask.call)
    back = f"{reverse('board:show')}{here}&open={opened.cell.name}"
    return {"notes": open_board(access.user_of(request), place), "back": back}


def _addresses(form: BoardForm, board: queries.Board) -> dict[str, Any]:
    """Returns the queries of the board's links: this board, its other pages, their whole menu, all of it shown."""
    here = "?" + urlencode(form.pairs())
    whole = form.week.opponent_id if form.week else None
    return {
        "here": here,
        "before": "?" + urlencode(form.pairs(page=str(board.page - 1))) if board.page > 1 else "",
        "after": "?" + urlencode(form.pairs(page=str(board.page + 1))) if board.page < board.pages else "",
        "whole": "?" + urlencode({"of": f"o{whole}" if whole else LIBRARY}),
        "every": "?" + urlencode([pair for pair in form.pairs(show="") if pair[0] != "away"]),
    }


def _away(form: BoardForm, opened: queries.Opened | None) -> dict[str, str]:
    """Returns the queries that put the opened look, or its call, away."""
    if opened is None:
        return {}
    keys = {"look_away": opened.row.line.key, "call_away": f"c{opened.cell.ask.call.pk}"}
    return {name: "?" + urlencode([*form.pairs(), ("away", key)]) for name, key in keys.items()}
