"""The migration that rewrites what was written with identifiers."""

from importlib import import_module

import pytest
from django.apps import apps

from playbook.models import ExpectedLook, Formation, MenuCall
from tests.playbook.week.made import make_week

migration = import_module("playbook.migrations.0017_said_as_coaches_say")


@pytest.mark.django_db
def test_notes_and_labels_are_said_in_labels_and_the_staffs_own_stay():
    week = make_week()
    look, other = week.expected_looks.all()[:2]
    ExpectedLook.objects.filter(pk=look.pk).update(
        note="split-zone, of the same family, came 12 times from 11-doubles, a like formation"
    )
    ExpectedLook.objects.filter(pk=other.pk).update(note="they came 4 times, watch 11-doubles")
    call = week.system.calls.last()
    menu = MenuCall.objects.create(
        week=week, call=call, order=900, note=f"{call.name} is sound against 76 % of the runs expected here. 4 runs."
    )
    Formation.objects.filter(name="11-trips-nub").update(label="Trips, nub end away")
    Formation.objects.filter(name="13-three-tight").update(label="Elephant")
    migration.say(apps, None)
    look.refresh_from_db()
    other.refresh_from_db()
    menu.refresh_from_db()
    assert look.note == "Split zone, of the same family, came 12 times from Doubles, tight end, a like formation"
    assert other.note == "they came 4 times, watch 11-doubles"
    assert menu.note == f"{call.label} is sound against 76 % of the runs expected here. 4 runs."
    assert str(Formation.objects.get(name="11-trips-nub")) == "Trips, nub tight end"
    assert str(Formation.objects.get(name="13-three-tight")) == "Elephant"
