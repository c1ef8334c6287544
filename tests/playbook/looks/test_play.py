"""A look as it is run, for the page's drawings."""

import re

import pytest
from django.urls import reverse

from fits.timeline.make import derive_timeline
from playbook.looks import specs
from playbook.looks.playing import merged
from playbook.models import Motion
from tests.playbook.looks.made import look_kwargs

pytestmark = pytest.mark.django_db


@pytest.fixture
def address():
    return reverse("looks:play", kwargs=look_kwargs())


def test_it_gives_every_man_and_the_ball_of_the_drawing_frame_by_frame(as_staff, address):
    page = as_staff.get(reverse("looks:detail", kwargs=look_kwargs()))
    data = as_staff.get(address).json()
    drawn = set(re.findall(r'class="[a-z]+ moves" data-man="([^"]+)"', page.content.decode()))
    drawn |= set(re.findall(r'data-man="([^"]+)" class="[a-z]+ moves"', page.content.decode()))
    told = derive_timeline(specs.spec_of(page.context["ask"], specs.surroundings(page.context["ask"].call.system_id)))
    for shifts in data["forms"].values():
        assert set(shifts) == drawn and len(shifts) == 23
        assert {len(way) for way in shifts.values()} == {len(told.ball)}
        assert all(way[data["snap"]] == [0, 0] for way in shifts.values()), "the drawing shows the snap"
    back = data["forms"]["wide"]["o:T"]
    assert min(y for _, y in back) < -50, "the back comes up the page"
    assert data["arrivals"] == {f"d:{role}": seconds for role, seconds in told.arrivals_s.items()}


def test_the_slider_says_what_happens_when(as_staff, address):
    marks = as_staff.get(address).json()["marks"]
    text = ", ".join(mark["text"] for mark in marks)
    assert marks[0] == {"frame": 0, "text": "snap"} and "ball to T" in text and "at the line" in text
    assert [mark["frame"] for mark in marks] == sorted(mark["frame"] for mark in marks)


def test_with_motion_it_starts_before_the_snap(as_staff, address):
    data = as_staff.get(address, {"motion": Motion.objects.get(name="across").pk}).json()
    assert data["start"] < 0 < data["snap"] and data["marks"][0]["text"].startswith("motion")
    moved = [man for man, way in data["forms"]["wide"].items() if man.startswith("o:") and way[0] != [0, 0]]
    assert len(moved) == 1


def test_turned_round_everybody_runs_the_other_way(as_staff, address):
    plain, turned = (as_staff.get(address, {"up": up}).json()["forms"]["wide"] for up in ("offense", "defense"))
    assert plain["o:T"][-1] == pytest.approx([-n for n in turned["o:T"][-1]], abs=0.2)


def test_what_cannot_be_run_or_read_is_told(as_staff, address):
    bad = as_staff.get(reverse("looks:play", kwargs=look_kwargs("10-doubles", "split-zone")))
    assert bad.status_code == 422 and bad.json()["refused"]
    assert as_staff.get(address, {"hash": "sideways"}).status_code == 422
    assert as_staff.post(address).status_code == 405


def test_moments_close_together_share_a_mark():
    assert merged([(30, "3.0 s"), (0, "snap"), (9, "ball to T"), (8, "read")], 31) == [
        (0, "snap"), (8, "read, ball to T"), (30, "3.0 s"),
    ]  # fmt: skip
