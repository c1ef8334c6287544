"""The week's looks beside the one on the desk."""

import re

import pytest
from django.urls import reverse

from playbook.looks import specs
from playbook.models import ExpectedLook
from tests.playbook.week.made import SYSTEM, make_week

pytestmark = pytest.mark.django_db


def addresses(week):
    call = week.system.calls.get(name=SYSTEM)
    return [ask.address() for ask in specs.asks_of(week, specs.expected_looks(week), call)]


def links(page):
    return re.findall(r'<a id="look-\d+" class="([^"]+)" href="([^"]+)"', page.content.decode().replace("&amp;", "&"))


def test_it_holds_the_weeks_looks_in_order_with_share_and_verdict(as_staff):
    week = make_week()
    first, *_ = week.expected_looks.order_by("order")
    ExpectedLook.objects.filter(pk=first.pk).update(share=0.004)
    wanted = addresses(week)
    page = as_staff.get(wanted[0])
    assert [address for _, address in links(page)] == wanted
    desk = page.context["desk"]
    assert [state for state, _ in links(page)] == [row.states[0].result.state for row in desk.rows]
    assert desk.at == 0 and desk.next and not desk.previous
    text = page.content.decode()
    assert text.count('aria-current="page"') == 2, "the entry of the navigation, and the look"
    assert "&lt;1 % of their runs" in text


def test_what_is_tried_stays_at_its_place_and_another_look_has_none(as_staff):
    week = make_week()
    (first, *_) = addresses(week)
    tried = as_staff.get(f"{first}&yard_line=3&step-LG=out&pace=high-school")
    assert tried.status_code == 200 and tried.context["desk"].at == 0
    other = as_staff.get(f"{first}&flip=on")
    assert other.context["desk"].row is None and "Not one of the looks of" in other.content.decode()


def test_without_a_week_there_is_none(as_staff):
    from tests.playbook.looks.made import look_kwargs

    page = as_staff.get(reverse("looks:detail", kwargs=look_kwargs()))
    assert page.context["desk"] is None and "data-ribbon" not in page.content.decode()


def test_a_page_takes_few_queries_however_many_looks(as_staff, django_assert_max_num_queries):
    week = make_week()
    (first, *_) = addresses(week)
    as_staff.get(first)
    with django_assert_max_num_queries(40):
        as_staff.get(first)
