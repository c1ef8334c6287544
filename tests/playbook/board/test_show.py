"""The fit board."""

import pytest
from django.urls import reverse

from playbook.looks import queries as looks
from playbook.looks import specs
from playbook.models import ExpectedLook, Season, System, Week
from tests.playbook.looks.made import CALL, look_kwargs, make_opponent, the_system

pytestmark = pytest.mark.django_db
BOARD = reverse("board:show")


@pytest.fixture
def opponent():
    return make_opponent()


def cells(page):
    return [cell for group in page.context["board"].groups for row in group.rows for cell in row.cells]


def test_every_call_meets_every_look_with_symbol_text_and_a_way_in(as_staff, opponent):
    page = as_staff.get(BOARD, {"opponent": opponent.pk, "system": the_system().pk})
    found = cells(page)
    assert len(found) == 4 * the_system().calls.count()
    around = specs.surroundings(the_system().pk)
    for cell in found:
        look = looks.known_look(cell.ask, around)
        assert looks.sum_up(look) == cell.verdict
        assert cell.ask.address() in page.content.decode()
        assert f'class="state {cell.verdict.state}"' in page.content.decode()


def test_the_filter_leaves_over_what_was_asked_for(as_staff, opponent):
    kwargs = look_kwargs()
    query = {
        "opponent": opponent.pk,
        "system": the_system().pk,
        "formation": kwargs["formation"],
        "concept": kwargs["concept"],
    }
    assert len(cells(as_staff.get(BOARD, query | {"call": kwargs["call"]}))) == 1
    everything = cells(as_staff.get(BOARD, {"opponent": opponent.pk, "system": the_system().pk}))
    unsound = as_staff.get(BOARD, {"opponent": opponent.pk, "system": the_system().pk, "state": "unsound"})
    states = [cell.verdict.state for cell in everything]
    (one,) = cells(as_staff.get(BOARD, query | {"call": kwargs["call"]}))
    assert one in everything, "a verdict is on the look among all that may come, whatever is shown"
    assert all(
        any(c.verdict.state == "unsound" for c in row.cells) for g in unsound.context["board"].groups for row in g.rows
    )
    assert ("unsound" in states) == bool(cells(unsound))


def test_a_changed_rule_changes_the_board_at_once(as_staff, opponent):
    query = {"opponent": opponent.pk, "system": the_system().pk}
    before = [cell.verdict.codes for cell in cells(as_staff.get(BOARD, query))]
    front = the_system().calls.get(name=CALL).front
    front.fitrules.filter(who="N").update(fit="free", leverage="")
    after = [cell.verdict.codes for cell in cells(as_staff.get(BOARD, query))]
    assert after != before


def test_the_looks_expected_in_a_week_come_with_hash_and_share(as_staff, opponent):
    week = Week.objects.create(
        season=Season.objects.create(year=2031), number=3, opponent=opponent, system=the_system()
    )
    kwargs = look_kwargs()
    ExpectedLook.objects.create(
        week=week,
        formation_id=kwargs["formation"],
        concept_id=kwargs["concept"],
        hash="left",
        share=0.25,
        options=["box"],
    )
    page = as_staff.get(BOARD, {"opponent": opponent.pk, "week": week.pk, "system": the_system().pk})
    assert {cell.ask.setting.hash for cell in cells(page)} == {"left"}
    assert b"25 % of their runs" in page.content and b"with box" in page.content


def test_empty_states_say_what_to_do(as_staff, db):
    System.objects.all().delete()
    page = as_staff.get(BOARD)
    assert page.status_code == 200
    assert b"There is no system yet" in page.content


def test_htmx_gets_only_the_board_and_nonsense_is_refused(as_staff, opponent):
    part = as_staff.get(BOARD, {"opponent": opponent.pk}, headers={"HX-Request": "true"})
    assert b"<html" not in part.content and b'id="board"' in part.content
    assert as_staff.get(BOARD, {"state": "purple"}).status_code == 422
    assert as_staff.get(BOARD, {"opponent": "abc"}).status_code == 422


def test_only_staff_and_only_get(client, player, staff):
    assert client.get(BOARD).status_code == 302
    client.force_login(player)
    assert client.get(BOARD).status_code == 404
    client.force_login(staff)
    assert client.post(BOARD).status_code == 405
