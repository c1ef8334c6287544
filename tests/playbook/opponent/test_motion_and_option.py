"""Motions and options: made, drawn, changed, deleted; bad input keeps what was typed."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import ExpectedLook, Motion, Option
from tests.playbook.looks.made import make_opponent
from tests.playbook.week.made import make_week

pytestmark = pytest.mark.django_db
FLY = {
    "label": "Fly", "kind": "motion", "who": "slot, flanker", "x": "-2", "x_of": "tackle", "y": "", "y_of": "line",
    "note": "", "source": "", "seen": "0",
}  # fmt: skip
ARROW = {"label": "Arrow", "side": "offense", "eyes": "", "flags": "rpo", "source": "", "seen": "0"}
EMPTY = {
    f"{key}-{name}": 0 for key in ("cast", "rules", "threats", "leaves") for name in ("TOTAL_FORMS", "INITIAL_FORMS")
}
THROW = {"threats-TOTAL_FORMS": 1, "threats-0-kind": "route", "threats-0-who": "eyes inside receiver"}
THROW |= {"threats-0-where": "route", "threats-0-time_s": "", "threats-0-course": ""}


def test_a_motion_is_made_for_an_opponent_drawn_and_changed(as_staff):
    opponent = make_opponent()
    add = reverse("opponent:add-motion") + f"?opponent={opponent.pk}"
    assert "At the snap" in as_staff.get(add).content.decode()
    tried = as_staff.post(add, FLY | {"try": "1"}, headers={"HX-Request": "true"})
    assert tried.status_code == 200 and "At the snap" in tried.content.decode()
    assert not Motion.objects.filter(label="Fly").exists()
    answer = as_staff.post(add, FLY)
    made = Motion.objects.get(label="Fly")
    assert answer["Location"] == reverse("opponent:motion", args=[made.pk])
    assert (made.opponent, made.name, made.who) == (opponent, "fly", ["slot", "flanker"])
    assert made in opponent.motions.all()
    page = answer["Location"]
    text = as_staff.get(page).content.decode()
    assert "Before" in text and "Fly" in text
    as_staff.post(page, FLY | {"label": "Fly fast", "seen": made.revision})
    made.refresh_from_db()
    assert (str(made), made.name) == ("Fly fast", "fly")
    assert as_staff.post(page, FLY | {"seen": made.revision - 1}).status_code == 409
    assert as_staff.post(reverse("opponent:delete-motion", args=[made.pk])).status_code == 303
    assert not Motion.objects.filter(pk=made.pk).exists()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"who": "the guy"}, "Nobody is called “the guy”"),
        ({"x": ""}, "how far across"),
        ({"x": "900"}, "less than or equal to 54"),
        ({"balance": "on"}, "only one man moves"),
        ({"label": "Jet"}, "here already"),
    ],
)
def test_a_wrong_motion_says_so_and_keeps_what_was_typed(as_staff, wrong, said):
    answer = as_staff.post(reverse("opponent:add-motion"), FLY | {"note": "typed so far"} | wrong)
    text = answer.content.decode()
    assert answer.status_code == 422 and said in text and "typed so far" in text
    assert not Motion.objects.filter(label="Fly").exists()


def test_every_shipped_motion_and_option_opens_and_saves_as_it_is(as_staff):
    for motion in Motion.objects.all():
        was = convert.motion_dict(motion)
        page = reverse("opponent:motion", args=[motion.pk])
        form = as_staff.get(page).context["form"]
        data = {name: value for name in form.fields if (value := form[name].value()) not in (None, False)}
        assert as_staff.post(page, data | {"seen": motion.revision}).status_code == 303, motion
        assert convert.motion_dict(Motion.objects.get(pk=motion.pk)) == was
    for option in Option.objects.all():
        assert as_staff.get(reverse("opponent:option", args=[option.pk])).status_code == 200


def test_an_option_is_made_drawn_changed_and_not_deleted_while_a_week_has_it(as_staff):
    add = reverse("opponent:add-option")
    data = ARROW | EMPTY | THROW
    tried = as_staff.post(add, data | {"try": "1"}, headers={"HX-Request": "true"})
    assert tried.status_code == 200 and "<svg" in tried.content.decode()
    assert as_staff.post(add, data).status_code == 303
    made = Option.objects.get(label="Arrow")
    assert (made.name, made.flags, made.threatrules.count()) == ("arrow", ["rpo"], 1)
    page = reverse("opponent:option", args=[made.pk])
    as_staff.post(page, data | {"label": "Arrow route", "seen": made.revision})
    made.refresh_from_db()
    assert (str(made), made.name) == ("Arrow route", "arrow")
    assert as_staff.post(page, data | {"seen": "1"}).status_code == 409
    wrong = as_staff.post(add, data | {"label": "Other", "threats-0-where": "the moon"})
    assert wrong.status_code == 422 and 'value="the moon"' in wrong.content.decode()
    look = make_week().expected_looks.first()
    ExpectedLook.objects.filter(pk=look.pk).update(options=["arrow"])
    look = ExpectedLook.objects.get(pk=look.pk)
    assert look.option_labels == ["Arrow route"]
    as_staff.post(reverse("opponent:delete-option", args=[made.pk]))
    assert Option.objects.filter(pk=made.pk).exists()
    ExpectedLook.objects.filter(pk=look.pk).update(options=[])
    as_staff.post(reverse("opponent:delete-option", args=[made.pk]))
    assert not Option.objects.filter(pk=made.pk).exists()
