"""One look is asked for in one way: page, board, proof, sheet, document, player's card and API say the same of it."""

import pytest
from django.urls import reverse

import fits
from playbook import convert
from playbook.board import queries as board
from playbook.exports import documents
from playbook.looks import queries, specs
from playbook.models import Call, ExpectedLook, Option, Player, Position, RosterSpot, Season, Week
from playbook.proof import mending
from playbook.proof import weighing as proof
from playbook.proof.results import SOUND, STATE_WORDS, WARNING, state_of
from playbook.week import queries as week_queries
from playbook.week import sheets
from tests.playbook.week.made import SYSTEM, make_week, put_at

pytestmark = pytest.mark.django_db
PAIRS = [
    ("10-doubles", "inside-zone"), ("11-doubles", "power"), ("11-doubles", "outside-zone"),
    ("10-doubles", "buck-sweep"), ("11-doubles", "inside-zone"),
]  # fmt: skip


def plain_week() -> Week:
    """A week of looks with sides, a hash and shares, of a season that is not the latest."""
    week = make_week(pairs=PAIRS)
    rows = list(week.expected_looks.order_by("order"))
    changes = [{"to": "right", "share": 0.4}, {"to": "left", "hash": "right"}, {"share": 0.3}, {"flip": True}, {}]
    for row, change in zip(rows, changes, strict=True):
        ExpectedLook.objects.filter(pk=row.pk).update(**change)
    Season.objects.create(year=2099, book="professional")
    return week


def slow_men(week: Week) -> None:
    """Everybody on defense runs as slowly as can be: measured, and so the team's."""
    for position in week.system.positions.all():
        man = Player.objects.create(first_name="Slow", last_name=position.name, ten_yd_s="2.60", forty_yd_s="8.40")
        RosterSpot.objects.create(player=man, position=position, order=9)


def other_book(week: Week) -> None:
    """The season goes by another book: hashes stand elsewhere, so the ball does."""
    Season.objects.filter(pk=week.season_id).update(book="high school")


def own_option(week: Week) -> None:
    """A look with an option, of which the opponent has one of his own by the same name."""
    library = Option.objects.get(name="read", opponent=None)
    own = convert.option_dict(library) | {"label": "their own"}
    own["threats"] = [threat | {"time_s": 3.5} for threat in own["threats"]]
    own["rules"] = [*own["rules"], {"who": "C", "when": "", "does": "pull and kick"}]
    convert.write_option(own, week.opponent)
    week.expected_looks.filter(concept__name="inside-zone").update(options=["read"])


def nothing(week: Week) -> None:
    """As it comes."""


def answers(week: Week, as_staff) -> dict[str, dict[int, tuple[str, object]]]:
    """For every way to ask, by look: the verdict's state and sentences, and where it has them the men's fits."""
    call = week.system.calls.get(name=SYSTEM)
    value = convert.calls_of(week.system)[SYSTEM]
    found: dict[str, dict[int, tuple[object, object]]] = {}

    def of_look(look: fits.Look):
        told = fits.words.words_of(look)
        texts = tuple(told.retell(finding.text) for finding in look.findings)
        return (state_of(look.band, look.findings), texts), fits_of(look.defenders)

    rows = specs.expected_looks(week)
    found["sheet"] = {p.expected.pk: of_look(p.look) for p in sheets.derive_plays(week, rows, value)}
    found["week page"] = {
        row.expected.pk: ((row.states[0].result.state, texts(row.states[0].result)), None)
        for row in as_staff.get(reverse("week:detail", args=[week.pk])).context["looks"]
    }
    page = as_staff.get(reverse("proof:weighed", args=[week.pk]))
    (proven,) = (p for p in page.context["proofs"] if p.call == SYSTEM)
    found["proof"] = {look.row.pk: ((result.state, texts(result)), None) for look, result in proven.against}
    shown = as_staff.get(reverse("board:show"), {"of": f"w{week.pk}", "calls": "1"})
    cells = [cell for row in shown.context["board"].rows for cell in row.cells if cell.ask.call == call]
    asks = dict(zip(specs.asks_of(week, rows, call), rows, strict=True))
    found["board"] = {asks[c.ask].pk: ((c.verdict.state, c.verdict.texts), None) for c in cells}
    found["page"], found["API"], found["drawn"] = {}, {}, {}
    for ask, row in asks.items():
        looked = as_staff.get(ask.address())
        assert looked.status_code == 200
        found["page"][row.pk] = of_look(looked.context["look"])
        assert (looked.context["verdict"].state, looked.context["verdict"].texts) == found["page"][row.pk][0]
        look = as_staff.get("/api/looks/derive/", api_query(ask)).json()
        told = [fits.Finding(f["code"], f["severity"], f["lane"], (), f["text"]) for f in look["findings"]]
        men = {d["role"]: (d["fit"], d["technique"], round(d["x"], 1), d["margin_s"]) for d in look["defenders"]}
        state = state_of(look["band"], told)
        found["API"][row.pk] = ((state, found["page"][row.pk][0][1]), men)
        codes = [finding.code for finding in looked.context["look"].findings]
        assert [finding["code"] for finding in look["findings"]] == codes
        data = documents.wall(week, {"call": SYSTEM, "look": row.pk}, lambda: None)["card"]
        words = {word: state for state, word in STATE_WORDS.items()}
        found["drawn"][row.pk] = ((words[data["verdict"]], tuple(data["findings"])), None)
        assert mending.is_sound(week, SYSTEM, row.pk) == (state in (SOUND, WARNING))
    return found


def texts(result) -> tuple[str, ...]:
    return tuple(finding.text for finding in result.findings)


def fits_of(men) -> dict[str, tuple[object, ...]]:
    return {d.role: (d.fit, d.technique, round(d.x, 1), d.margin_s) for d in men}


def api_query(ask) -> dict[str, object]:
    s = ask.setting
    query = {
        "call": ask.call.name, "system": ask.call.system.name, "formation": ask.formation.name,
        "concept": ask.concept.name, "opponent": s.week.opponent_id, "week": s.week.pk, "hash": s.hash,
        "with": [option.name for option in s.options], "flip": "true" if s.flip else "false",
    }  # fmt: skip
    return query | ({"to": s.to} if s.to else {})


@pytest.mark.parametrize("change", [nothing, slow_men, other_book, own_option])
def test_a_weeks_look_is_the_same_wherever_it_is_asked(as_staff, change):
    week = plain_week()
    before = answers(week, as_staff)["sheet"]
    change(week)
    week = week_queries.weeks().get(pk=week.pk)
    found = answers(week, as_staff)
    assert set(found["sheet"]) == set(before)
    for way, looks in found.items():
        assert set(looks) == set(found["sheet"]), way
        for pk, (verdict, men) in looks.items():
            assert verdict == found["sheet"][pk][0], (way, pk)
            assert men is None or men == found["sheet"][pk][1], (way, pk)
    if change is not nothing:
        assert found["sheet"] != before, "the change is one that can be seen"


def test_slow_men_are_too_late_for_a_player_too(as_player, player):
    week = plain_week()
    put_at(player.player, "M")
    Week.objects.filter(pk=week.pk).update(released=True)
    slow_men(week)
    call = convert.calls_of(week.system)[SYSTEM]
    for play in sheets.derive_plays(week, specs.expected_looks(week), call):
        assert sheets.find_play(week, play.expected.pk, call).look is play.look, "derived once"


def test_an_option_that_is_gone_leaves_no_look_anywhere(as_staff):
    week = plain_week()
    row = week.expected_looks.first()
    ExpectedLook.objects.filter(pk=row.pk).update(options=["long-gone"])
    call = week.system.calls.get(name=SYSTEM)
    (proven,) = (p for p in proof.prove_week(week) if p.call == SYSTEM)
    (result,) = (result for look, result in proven.against if look.row.pk == row.pk)
    (standing,) = next(r for r in week_queries.look_rows(week, [SYSTEM]) if r.expected.pk == row.pk).states
    play = sheets.find_play(week, row.pk, convert.calls_of(week.system)[SYSTEM])
    assert result == standing.result
    assert result.state == play.state == "none"
    assert result.reason == play.trouble == "There is no option called Long gone any more."
    page = as_staff.get(standing.address)
    assert page.status_code == 422 and play.trouble in page.content.decode()
    call.system = week.system
    shown = board.board(board.Question(week.system, (call,), week))
    cells = [cell for line in shown.rows for cell in line.cells]
    assert [cell.verdict.texts for cell in cells if cell.ask.setting.gone] == [(play.trouble,)]


def test_what_goes_for_a_week_is_its_seasons_and_its_teams():
    week = plain_week()
    assert specs.surroundings(week.system_id).book.name == "professional", "outside of a week: the latest season"
    assert specs.surroundings(week.system_id, week).book.name == "college"
    assert specs.surroundings(week.system_id, week).roster == {}
    quick, slow = (
        Player.objects.create(first_name="Odo", last_name=f"Hask {ten}", ten_yd_s=ten, forty_yd_s=forty)
        for ten, forty in (("1.60", "4.60"), ("1.90", "5.40"))
    )
    put_at(slow, "M")
    RosterSpot.objects.create(player=quick, position=Position.objects.get(system=week.system, name="M"), order=1)
    assert specs.surroundings(week.system_id, week).roster["M"] == fits.speed_from_splits(1.9, 5.4), "who plays there"
    Player.objects.filter(pk=slow.pk).update(active=False)
    assert specs.surroundings(week.system_id, week).roster["M"] == fits.speed_from_splits(1.6, 4.6)


def test_a_pressure_and_a_yard_line_are_part_of_the_question(as_staff):
    week = plain_week()
    call = Call.objects.get(system=week.system, name=SYSTEM)
    (ask, *_) = specs.asks_of(week, specs.expected_looks(week), call)
    blitz = next(iter(convert.system_value(week.system).pressures))
    near = ask.at(pressure=blitz, yard_line=2)
    page = as_staff.get(near.address())
    assert page.context["look"].pressure == blitz and page.context["look"].yard_line == 2
    assert page.context["ask"] == near and page["HX-Push-Url"] == near.address()
    told = as_staff.get("/api/looks/derive/", api_query(ask) | {"pressure": blitz, "yard_line": 2}).json()
    assert (told["pressure"], told["yard_line"], told["band"]) == (blitz, 2, page.context["look"].band.value)
    assert as_staff.get(ask.at(pressure="no such").address()).status_code == 422
    assert as_staff.get("/api/looks/derive/", api_query(ask) | {"week": 999_999}).status_code == 422


def test_a_look_without_a_week_is_the_one_of_the_latest_week_that_expects_it(as_staff):
    week = plain_week()
    call = week.system.calls.get(name=SYSTEM)
    (ask, *_) = specs.asks_of(week, specs.expected_looks(week), call)
    assert queries.in_week(ask.at(week=None)) == ask
    assert as_staff.get(ask.at(week=None).address()).context["ask"] == ask
    other = ask.at(week=None, flip=not ask.setting.flip)
    assert queries.in_week(other) == other


def test_the_desk_knows_the_looks_beside_one(django_assert_max_num_queries):
    week = plain_week()
    rows = specs.expected_looks(week)
    assert [row.share for row in rows[:2]] == [0.4, 0.3], "the heaviest first"
    week_queries.desk(week, SYSTEM)
    week = week_queries.weeks().get(pk=week.pk)
    with django_assert_max_num_queries(5):
        desk = week_queries.desk(week, SYSTEM, rows[1].pk)
    assert [row.expected for row in desk.rows] == rows
    assert (desk.previous.expected, desk.row.expected, desk.next.expected) == tuple(rows[:3])
    first, last, lost = (week_queries.desk(week, SYSTEM, pk) for pk in (rows[0].pk, rows[-1].pk, 0))
    assert first.previous is None and last.next is None
    assert (lost.previous, lost.row, lost.next.expected) == (None, None, rows[0])
    assert all(row.states[0].result.state in STATE_WORDS and row.title for row in desk.rows)
