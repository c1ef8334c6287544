"""The fit board."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from playbook import access, web
from playbook.board import queries
from playbook.board.forms import BoardForm


@require_safe
@access.needs(*access.STAFF)
def show(request: HttpRequest) -> HttpResponse:
    """Shows every call against every look of an opponent: sound, with a warning, or not sound."""
    form = BoardForm(request.GET)
    if not form.is_valid():
        return web.invalid(request, "board/show.html", {"form": form}, partial="board/_board.html")
    chosen = form.cleaned_data
    board = queries.board(chosen["system"], form.menu, chosen["week"], chosen)
    context = {"form": form, "board": board, "menu": form.menu, "system": chosen["system"], "week": chosen["week"]}
    return web.page(request, "board/show.html", context, partial="board/_board.html")
