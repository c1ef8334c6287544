"""A week's page: looks with their state, menu, plan, sheets; release; rows added, changed, moved and taken off."""

import pytest
from django.urls import reverse

from playbook.models import Day, ExpectedLook, MenuCall, PlanEntry, StaleVersion, Week
from playbook.publishing import services as publishing
from playbook.week import queries, services
from tests.playbook.week.made import make_bare_week, make_week

HTMX = {"HTTP_HX_REQUEST": "true"}
pytestmark = pytest.mark.django_db


def orders(rows):
    return list(rows.order_by("order").values_list("pk", flat=True))


def test_it_shows_every_look_with_its_state_against_each_call_of_the_menu(as_staff):
    week = make_week()
    page = as_staff.get(reverse("week:detail", args=[week.pk])).content.decode()
    rows = queries.look_rows(week, ["odd-three-safety"])
    assert len(rows) == 4
    for row in rows:
        assert row.title in page
        standing = row.states[0]
        assert standing.call.name == "odd-three-safety" and standing.result.band
        assert standing.result.words in page


def test_a_look_that_the_system_cannot_derive_says_why(as_staff):
    week = make_week(pairs=[("10-doubles", "iso"), ("10-doubles", "inside-zone")])  # iso: nobody leads, one back
    page = as_staff.get(reverse("week:detail", args=[week.pk])).content.decode()
    assert "1 of 2 looks are not sound" in page
    week.expected_looks.get(concept__name="inside-zone").delete()
    (row,) = queries.look_rows(week, ["odd-three-safety"])
    assert row.states[0].result.state == "none" and row.states[0].result.reason in page
    assert "No look" in page


def test_a_week_whose_system_has_no_rules_still_opens_and_says_so(as_staff):
    page = as_staff.get(reverse("week:detail", args=[make_bare_week().pk])).content.decode()
    assert "cannot be read" in page
    assert "No looks yet" in page


@pytest.mark.parametrize("name", ["week:detail", "week:menu", "week:plan", "quiz:known", "week:grades"])
def test_what_does_not_exist_is_not_found(name, as_staff):
    assert as_staff.get(reverse(name, args=[999])).status_code == 404


def test_players_and_strangers_do_not_see_it(client, player):
    address = reverse("week:detail", args=[make_bare_week(released=True).pk])
    assert client.get(address)["Location"].startswith(reverse("people:log-in"))
    client.force_login(player)
    assert client.get(address).status_code == 404


def test_the_wrong_method_is_refused(as_staff):
    week = make_bare_week()
    assert as_staff.post(reverse("week:detail", args=[week.pk])).status_code == 405
    assert as_staff.get(reverse("week:release", args=[week.pk])).status_code == 405
    assert as_staff.get(reverse("week:row-move", args=["day", week.days.get().pk])).status_code == 405


def test_release_shows_it_to_players_and_takes_it_back(as_staff):
    week = make_week()
    address = reverse("week:release", args=[week.pk])
    assert as_staff.post(address, {"version": week.version, "released": "yes"}).status_code == 303
    week.refresh_from_db()
    assert not week.released, "a worker makes it first"
    publishing.make(week.publications.get().pk)
    week.refresh_from_db()
    assert week.released
    as_staff.post(address, {"version": week.version, "released": "no"})
    week.refresh_from_db()
    assert not week.released


def test_release_of_a_week_that_somebody_changed_meanwhile_does_nothing(as_staff):
    week = make_bare_week()
    week.save_version(week.version, note="changed by another coach")
    as_staff.post(reverse("week:release", args=[week.pk]), {"version": 1, "released": "yes"})
    week.refresh_from_db()
    assert not week.released
    page = as_staff.get(reverse("week:detail", args=[week.pk])).content.decode()
    assert "Somebody changed this week" in page


def test_nothing_is_published_of_a_week_without_calls(as_staff):
    week = make_bare_week()
    as_staff.post(reverse("week:release", args=[week.pk]), {"version": week.version, "released": "yes"})
    assert not week.publications.exists()
    page = as_staff.get(reverse("week:detail", args=[week.pk])).content.decode()
    assert "Not published." in page


def test_release_without_a_version_is_invalid(as_staff):
    assert as_staff.post(reverse("week:release", args=[make_bare_week().pk]), {"released": "yes"}).status_code == 422


def test_a_look_is_added_at_the_end(as_staff):
    week = make_week(pairs=[("10-doubles", "inside-zone")])
    first = week.expected_looks.get()
    sent = {"formation": first.formation_id, "concept": first.concept_id, "hash": "left", "to": "left", "share": "12.5"}
    assert as_staff.post(reverse("week:row-add", args=[week.pk, "look"]), sent).status_code == 303
    added = week.expected_looks.get(order=1)
    assert (added.hash, added.to, added.share) == ("left", "left", 0.125)


def test_the_same_look_twice_is_invalid_and_says_so(as_staff):
    week = make_week(pairs=[("10-doubles", "inside-zone")])
    first = week.expected_looks.get()
    sent = {"formation": first.formation_id, "concept": first.concept_id, "hash": "middle"}
    answer = as_staff.post(reverse("week:row-add", args=[week.pk, "look"]), sent)
    assert answer.status_code == 422
    assert "on the list already" in answer.content.decode()
    assert week.expected_looks.count() == 1


def test_a_look_that_cannot_be_run_is_invalid_and_says_why(as_staff):
    week = make_week(pairs=[("10-doubles", "inside-zone"), ("21-pro-i", "iso")])
    doubles, iso = week.expected_looks.all()
    sent = {"formation": doubles.formation_id, "concept": iso.concept_id, "hash": "middle"}
    answer = as_staff.post(reverse("week:row-add", args=[week.pk, "look"]), sent)
    assert answer.status_code == 422
    assert "iso" in answer.content.decode().lower()
    assert week.expected_looks.count() == 2


def test_a_share_above_a_hundred_per_cent_is_invalid(as_staff):
    week = make_week(pairs=[("10-doubles", "inside-zone")])
    look = week.expected_looks.get()
    sent = {"formation": look.formation_id, "concept": look.concept_id, "hash": "middle", "share": "120", "version": 1}
    assert as_staff.post(reverse("week:row-edit", args=["look", look.pk]), sent).status_code == 422


def test_two_coaches_edit_one_row_and_the_second_sees_both_versions(as_staff):
    day = make_bare_week().days.get()
    address = reverse("week:row-edit", args=["day", day.pk])
    assert as_staff.post(address, {"label": "Tuesday, shells", "version": 1}).status_code == 303
    second = as_staff.post(address, {"label": "Tuesday, pads", "version": 1})
    assert second.status_code == 409
    assert "Tuesday, shells" in second.content.decode() and "Tuesday, pads" in second.content.decode()
    day.refresh_from_db()
    assert day.label == "Tuesday, shells"


def test_rows_move_up_and_down_and_stop_at_the_ends():
    week = make_week(pairs=[])
    first, second = week.menu_calls.order_by("order")
    services.move_row(second, -1)
    assert orders(week.menu_calls) == [second.pk, first.pk]
    services.move_row(MenuCall.objects.get(pk=second.pk), -1)
    assert orders(week.menu_calls) == [second.pk, first.pk]


def test_htmx_gets_only_the_list_that_changed(as_staff):
    week = make_week(pairs=[])
    second = week.menu_calls.get(order=1)
    answer = as_staff.post(reverse("week:row-move", args=["call", second.pk]), {"to": "up"}, **HTMX)
    page = answer.content.decode()
    assert page.lstrip().startswith('<section id="menu">')
    assert "<html" not in page


def test_without_htmx_it_goes_back_to_the_week(as_staff):
    week = make_bare_week()
    answer = as_staff.post(reverse("week:row-delete", args=["day", week.days.get().pk]), {"version": 1})
    assert answer.status_code == 303
    assert answer["Location"] == reverse("week:plan", args=[week.pk])
    assert not Day.objects.exists()


def test_an_unknown_kind_of_row_is_not_found(as_staff):
    week = make_bare_week()
    assert as_staff.get(reverse("week:row-add", args=[week.pk, "planet"])).status_code == 404
    assert as_staff.get(reverse("week:row-edit", args=["planet", 1])).status_code == 404


def test_an_entry_that_goes_to_another_day_goes_to_its_end():
    week = make_week(pairs=[])
    tuesday, wednesday = week.days.order_by("order")
    entry = tuesday.entries.first()
    services.change_row(entry, entry.version, {"day": wednesday})
    assert orders(wednesday.entries)[-1] == entry.pk


def test_a_stale_row_is_left_alone():
    look = make_week(pairs=[("10-doubles", "inside-zone")]).expected_looks.get()
    with pytest.raises(StaleVersion):
        services.change_row(look, look.version + 1, {"note": "late"})
    assert ExpectedLook.objects.get(pk=look.pk).note == ""


def test_no_script_and_no_style_is_inline(as_staff):
    page = as_staff.get(reverse("week:detail", args=[make_week(pairs=[]).pk])).content.decode()
    assert "<style" not in page and " style=" not in page and " onclick=" not in page


def test_full_contact_minutes_are_counted_by_group_and_entries_for_everybody_count_for_all():
    week = make_week(pairs=[])
    plan = queries.plan(week)
    assert dict(plan.days[0].contact) == {"line": 25, "linebacker": 5, "secondary": 5}
    assert dict(plan.contact) == {"line": 50, "linebacker": 10, "secondary": 10}
    assert plan.most == 50 and not plan.over


def test_over_the_limit_is_said(as_staff):
    week = make_week(pairs=[])
    week.season.contact_day_min = 24
    week.season.save()
    page = as_staff.get(reverse("week:plan", args=[week.pk])).content.decode()
    assert "over your limit" in page
    assert "physician decide" in page


def test_bags_and_air_are_not_full_contact():
    day = make_bare_week().days.get()
    for order, level in enumerate(["air", "bags", "control", "thud", "live"]):
        PlanEntry.objects.create(day=day, order=order, text=level, minutes=10, contact=level)
    assert queries.contact_minutes(day.entries.all(), "line") == 20


def test_thud_without_minutes_is_invalid(as_staff):
    week = make_bare_week()
    sent = {"day": week.days.get().pk, "text": "Inside run", "contact": "thud"}
    answer = as_staff.post(reverse("week:row-add", args=[week.pk, "entry"]), sent)
    assert answer.status_code == 422
    assert "how many minutes" in answer.content.decode()


def test_the_plan_of_one_group_leaves_out_the_others(as_staff):
    week = make_week(pairs=[])
    answer = as_staff.get(reverse("week:plan", args=[week.pk]), {"group": "linebacker"}, **HTMX)
    page = answer.content.decode()
    assert "Team run" in page and "Hands" not in page and "<html" not in page
    assert as_staff.get(reverse("week:plan", args=[week.pk]), {"group": "kickers"}).status_code == 404


def test_the_menu_answers_a_situation(as_staff):
    week = make_week(pairs=[])
    found = queries.menu_for(week, 3, 5, "", "11")
    assert [queries.situation_words(entry) for entry in found] == ["3rd & 4 to 6, red zone"]
    assert queries.menu_for(week, 3, 9, "", "") == []
    assert len(queries.menu_for(week, 1, None, "", "")) == 1
    answer = as_staff.get(reverse("week:menu", args=[week.pk]), {"down": "3", "distance": "9"}, **HTMX)
    assert "No call of the menu fits" in answer.content.decode()
    assert as_staff.get(reverse("week:menu", args=[week.pk]), {"distance": "-4"}).status_code == 422


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({}, "Any down"),
        ({"down": 2, "distance_from": 7}, "2nd & 7 or more"),
        ({"down": 4, "distance_to": 1}, "4th & 1 or less"),
        ({"down": 1, "distance_from": 10, "distance_to": 10, "personnel": "12"}, "1st & 10, 12 personnel"),
    ],
)
def test_situations_read_as_coaches_say_them(fields, says):
    assert queries.situation_words(MenuCall(**fields)) == says


def test_a_distance_that_ends_before_it_starts_is_invalid(as_staff):
    week = make_week(pairs=[])
    sent = {"call": week.menu_calls.first().call_id, "distance_from": 6, "distance_to": 4}
    answer = as_staff.post(reverse("week:row-add", args=[week.pk, "call"]), sent)
    assert answer.status_code == 422
    assert "Expected 6 or more" in answer.content.decode()
    assert Week.objects.get(pk=week.pk).menu_calls.count() == 2
