"""A player's own page of the week as PDF. Reads only."""

from __future__ import annotations

from playbook import convert
from playbook.exports import documents, typesetting
from playbook.exports.documents import NothingToPrint
from playbook.models import Document, Player, User
from playbook.player import queries

__all__ = ["NothingToPrint", "page_of"]


def page_of(user: User, week_pk: int, role: str, paper: str) -> bytes:
    """Returns the player's week on one page, in one of his roles.

    Raises NothingToPrint for a week without looks or one that was withdrawn, Week.DoesNotExist for one not his.
    """
    try:
        mine = queries.my_week(queries.mine(user), week_pk, role=role)
    except queries.NoSheet as nothing:
        raise NothingToPrint(str(nothing)) from nothing
    values = convert.calls_of(mine.week.system)
    person = str(Player.objects.get(pk=mine.player_id))
    calls = [values[name] for name in mine.calls]
    page = documents.one_week(mine.week, calls, mine.role, lambda: None, person)
    if not page["calls"]:
        raise NothingToPrint("No looks for this week yet.")
    page["corrections"] = [documents.corrected(fix) for fix in mine.week.corrections]  # type: ignore[attr-defined]
    data = documents.base(mine.week, {"paper": paper}, f"My week: {mine.week}", [documents.game_words(mine.week)])
    return typesetting.make_pdf(Document.MY_WEEK, data | {"pages": [page]})
