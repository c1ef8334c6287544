"""The migration that gives the shipped midline its course of today."""

from importlib import import_module

import pytest
from django.apps import apps

from playbook.models import Concept, ThreatRule

migration = import_module("playbook.migrations.0022_midline_keep")


@pytest.mark.django_db
@pytest.mark.parametrize(("written", "then"), [
    ({}, "dive keep"), ({"where": "inner play C"}, "option keep"), ({"time_s": 1.9}, "option keep"),
])  # fmt: skip
def test_the_shipped_keep_runs_off_the_dive_and_one_the_staff_wrote_stays(written, then):
    midline = Concept.objects.get(name="midline", opponent=None)
    keep = midline.threatrules.get(kind="keep")
    assert keep.course == "dive keep"  # as shipped today
    veer = ThreatRule.objects.get(concept__name="veer", kind="keep")
    ThreatRule.objects.filter(pk=keep.pk).update(course="option keep", **written)
    migration.improve(apps, None)
    keep.refresh_from_db()
    veer.refresh_from_db()
    assert (keep.course, veer.course) == (then, "option keep")
