"""The board: calls against looks, the current week's by default, a menu when it is asked for, a page at a time."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from playbook.board import queries as board
from playbook.looks import queries as looks
from playbook.looks import specs
from playbook.models import Call, Concept, ExpectedLook, Formation, MenuCall, Season, System, Week
from tests.playbook.looks.made import CALL, make_opponent, the_system

pytestmark = pytest.mark.django_db
BOARD = reverse("board:show")
PANEL = {"HX-Request": "true", "HX-Target": "panel"}


@pytest.fixture
def opponent():
    return make_opponent()


@pytest.fixture
def week(opponent):
    return make_week(opponent)


def make_week(opponent, number=3, **fields) -> Week:
    """A week with four looks: shares out of order, one nobody counted, one on a hash with an option."""
    season = Season.objects.get_or_create(year=2031)[0]
    week = Week.objects.create(season=season, number=number, opponent=opponent, system=the_system(), **fields)
    rows = [
        ("10-doubles", "inside-zone", 0.125, {}), ("11-doubles", "power", 0.5, {}),
        ("11-doubles", "inside-zone", None, {}),
        ("10-doubles", "power", 0.002, {"hash": "left", "options": ["box"]}),
    ]  # fmt: skip
    for order, (formation, concept, share, more) in enumerate(rows):
        ExpectedLook.objects.create(
            week=week, order=order, share=share, formation=Formation.objects.get(name=formation, opponent=None),
            concept=Concept.objects.get(name=concept, opponent=None), **more,
        )  # fmt: skip
    return week


def cells(page):
    return [cell for row in page.context["board"].rows for cell in row.cells]


def test_every_call_meets_every_look_with_mark_words_and_a_way_in(as_staff, week):
    page = as_staff.get(BOARD)
    found = cells(page)
    assert len(found) == 4 * the_system().calls.count()
    around = specs.surroundings(the_system().pk, week)
    text = page.content.decode()
    for cell in found:
        assert looks.sum_up(looks.known_look(cell.ask, around)) == cell.verdict
        assert re.search(rf'class="cell {cell.verdict.state}" href="[^"]*open={cell.name}"', text)
        name = f"{cell.ask.concept}, {cell.ask.formation}, {cell.ask.call}: {cell.verdict.title}"
        assert f'aria-label="{name}"' in text, "said without seeing it"


def test_the_heaviest_look_is_first_and_shares_are_said(as_staff, week):
    page = as_staff.get(BOARD)
    assert [row.line.share for row in page.context["board"].rows] == [0.5, 0.125, 0.002, None]
    text = page.content.decode()
    assert "<b>50</b> %" in text and "<b>12</b> %" in text and "<b>&lt;1</b> %" in text
    assert "left hash" in text and "with Box the kick" in text


def test_each_call_says_how_much_of_their_runs_it_holds(as_staff, week):
    shown = as_staff.get(BOARD).context["board"]
    whole = sum(row.line.share or 0 for row in shown.rows)
    for place, column in enumerate(shown.columns):
        held = sum(row.line.share or 0 for row in shown.rows if row.cells[place].verdict.state in board.HELD)
        assert column.held == f"{100 * held / whole:.0f} %"
    Week.objects.get(pk=week.pk).expected_looks.update(share=None)
    assert as_staff.get(BOARD).context["board"].columns[0].held.endswith(" of 4"), "looks, when nobody counted"


def test_the_current_week_is_shown_and_an_old_address_of_an_opponent_still_finds_his(as_staff, week):
    today = timezone.localdate()
    now = make_week(make_opponent("Harrow Point"), 5, game_on=today + timedelta(days=2))
    make_week(make_opponent("Later Opponent"), 6, game_on=today + timedelta(days=9))
    assert as_staff.get(BOARD).context["week"] == now
    assert as_staff.get(BOARD, {"opponent": week.opponent_id}).context["week"] == week
    alone = make_opponent("Nobody's Week")
    page = as_staff.get(BOARD, {"opponent": alone.pk})
    assert page.context["week"] is None and len(page.context["board"].rows) == 4


def test_the_weeks_own_calls_come_first_and_all_can_be_asked_for(as_staff, week):
    call = the_system().calls.last()
    MenuCall.objects.create(week=week, call=call)
    assert [column.call for column in as_staff.get(BOARD).context["board"].columns] == [call]
    every = as_staff.get(BOARD, {"calls": "1"}).context["board"].columns
    assert [column.call for column in every] == list(the_system().calls.all())
    other = System.objects.exclude(pk=the_system().pk).first()
    shown = as_staff.get(BOARD, {"system": other.pk}).context["board"]
    assert [column.call for column in shown.columns] == list(other.calls.all())


def test_many_calls_are_asked_for_in_parts(as_staff, week):
    first = the_system().calls.first()
    for number in range(30):
        Call.objects.create(
            system=the_system(), name=f"call-{number}", front=first.front, coverage=first.coverage, order=100 + number
        )
    chosen, choices = board.calls_of(the_system(), week, "2")
    assert len(chosen) == the_system().calls.count() - board.CALLS
    assert choices[1][1] == f"calls 25 to {the_system().calls.count()}"


def test_only_what_is_not_sound(as_staff, week):
    every = as_staff.get(BOARD).context["board"]
    page = as_staff.get(BOARD, {"show": "unsound"})
    wanted = [r.line.key for r in every.rows if any(c.verdict.state in board.SHOWN["unsound"] for c in r.cells)]
    assert [row.line.key for row in page.context["board"].rows] == wanted
    assert page.context["board"].columns == every.columns, "what a call holds does not hang on what is shown"


def test_calls_and_looks_are_put_away_and_shown_again(as_staff, week):
    every = as_staff.get(BOARD).context["board"]
    look, call = every.rows[0].line.key, every.columns[0].call
    page = as_staff.get(BOARD, {"away": [look, f"c{call.pk}", "c0", "nonsense"]})
    shown = page.context["board"]
    assert [row.line.key for row in shown.rows] == [row.line.key for row in every.rows[1:]]
    assert [column.call for column in shown.columns] == [column.call for column in every.columns[1:]]
    assert shown.away == 2 and b"Show all" in page.content
    states = {(c.ask.formation, c.ask.concept, c.ask.call): c.verdict for c in cells(as_staff.get(BOARD))}
    assert all(states[c.ask.formation, c.ask.concept, c.ask.call] == c.verdict for c in cells(page)), "verdicts stay"
    gone = as_staff.get(BOARD, {"away": [f"c{column.call.pk}" for column in every.columns]})
    assert b"Every call is put away" in gone.content


def test_a_menu_comes_a_page_at_a_time(as_staff, opponent, django_assert_max_num_queries):
    page = as_staff.get(BOARD, {"of": "library", "page": 3})
    shown = page.context["board"]
    total = Formation.objects.filter(opponent=None).count() * Concept.objects.filter(opponent=None).count()
    assert shown.total == total > board.PAGE
    assert (shown.page, shown.pages) == (3, -(-total // board.PAGE))
    assert len(shown.rows) + shown.not_run == board.PAGE
    assert not shown.together and b"Each look by itself" in page.content
    around = specs.surroundings(page.context["system"].pk)
    for cell in cells(page)[:6]:
        assert looks.judge(cell.ask, around) == cell.verdict
    with django_assert_max_num_queries(20):
        as_staff.get(BOARD, {"of": "library", "page": 3})
    last = as_staff.get(BOARD, {"of": "library", "page": 9999}).context["board"]
    assert last.page == last.pages, "past the end is the last page"


def test_a_small_menu_is_judged_together(as_staff, opponent):
    page = as_staff.get(BOARD, {"of": f"o{opponent.pk}"})
    shown, around = page.context["board"], specs.surroundings(page.context["system"].pk)
    assert shown.together and len(shown.rows) == 4
    for cell in cells(page):
        assert looks.sum_up(looks.known_look(cell.ask, around, menu_=looks.menu(opponent))) == cell.verdict


def test_a_changed_rule_changes_the_board_at_once(as_staff, week):
    before = [cell.verdict.codes for cell in cells(as_staff.get(BOARD))]
    front = the_system().calls.get(name=CALL).front
    front.fitrules.filter(who="N").update(fit="free", leverage="")
    assert [cell.verdict.codes for cell in cells(as_staff.get(BOARD))] != before


def test_a_cell_opens_its_look_in_the_panel(as_staff, week):
    cell = cells(as_staff.get(BOARD))[0]
    part = as_staff.get(BOARD, {"open": cell.name}, headers=PANEL)
    text = part.content.decode()
    assert "<html" not in text and "<table" not in text and "<svg" in text
    assert cell.ask.address().replace("&", "&amp;") in text and "Open on the desk" in text
    assert cell.verdict.title in text and "HX-Target" in part["Vary"]
    whole = as_staff.get(BOARD, {"open": cell.name})
    once = re.compile(r'(?<=name="csrfmiddlewaretoken" value=").*?(?=")|(?<=name="key" value=").*?(?=")')
    assert once.sub("", text.strip()) in once.sub("", whole.content.decode()), (
        "without a script the same, on the whole page"
    )
    assert whole.content.count(b'aria-current="true"') == 1
    assert as_staff.get(BOARD, {"open": "0.l0"}).context["opened"] is None


def test_the_panel_says_who_would_hold_it_and_where_else_the_fault_is(as_staff, week):
    front = the_system().calls.get(name=CALL).front
    front.fitrules.filter(who="N").update(fit="free", leverage="")
    shown = as_staff.get(BOARD).context["board"]
    (row, cell) = next((r, c) for r in shown.rows for c in r.cells if c.verdict.state == looks.UNSOUND)
    opened = as_staff.get(BOARD, {"open": cell.name}).context["opened"]
    assert set(opened.held_by) == {c for c in row.cells if c.verdict.state in board.HELD}
    look = looks.known_look(cell.ask, specs.surroundings(the_system().pk, week))
    worst = next(finding.code for finding in look.findings if finding.severity == "unsound")
    place = row.cells.index(cell)
    others = [r for r in shown.rows if r is not row and worst in r.cells[place].verdict.codes]
    assert opened.alike == len([r for r in others if r.cells[place].verdict.state == looks.UNSOUND])
    assert set(opened.findings) == set(cell.verdict.texts)


def test_a_look_that_cannot_be_asked_for_says_why_in_the_panel(as_staff, week):
    week.expected_looks.filter(share=0.5).update(options=["long-gone"])
    cell = cells(as_staff.get(BOARD))[0]
    assert cell.verdict.state == looks.BROKEN
    part = as_staff.get(BOARD, {"open": cell.name}, headers=PANEL)
    assert part.status_code == 200 and b"no option called Long gone" in part.content


def test_empty_states_say_what_to_do(as_staff, opponent):
    assert b"No week is open" in as_staff.get(BOARD).content
    week = make_week(opponent)
    week.expected_looks.all().delete()
    assert b"Show their whole menu" in as_staff.get(BOARD).content
    Week.objects.all().delete()
    System.objects.all().delete()
    page = as_staff.get(BOARD)
    assert page.status_code == 200 and b"There is no system yet" in page.content


def test_htmx_gets_only_the_board_and_nonsense_is_refused(as_staff, week):
    part = as_staff.get(BOARD, headers={"HX-Request": "true"})
    assert b"<html" not in part.content and b'id="board"' in part.content
    for query in ({"show": "purple"}, {"of": "abc"}, {"system": "0"}, {"calls": "77"}, {"page": "x"}):
        page = as_staff.get(BOARD, query)
        assert page.status_code == 422 and b"Show the current week" in page.content, query


def test_only_staff_and_only_get(client, player, staff):
    assert client.get(BOARD).status_code == 302
    client.force_login(player)
    assert client.get(BOARD).status_code == 404
    client.force_login(staff)
    assert client.post(BOARD).status_code == 405
