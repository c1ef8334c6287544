"""Identifiers made from what people call a thing."""

import pytest

from playbook import names
from playbook.models import Formation, Opponent


@pytest.mark.parametrize(
    ("label", "taken", "made"),
    [
        ("Trey Rip 11", (), "trey-rip-11"),
        ("Trey Rip 11", ("trey-rip-11", "trey-rip-11-2"), "trey-rip-11-3"),
        ("Über Größe", (), "uber-grosse"),
        ("中央の壁", (), "formation"),
        ("🏈", ("formation",), "formation-2"),
        ("  --  ", (), "formation"),
        ("x" * 90, (), "x" * 60),
        ("x" * 90, ("x" * 60,), "x" * 58 + "-2"),
    ],
)
def test_an_identifier_is_made_of_a_label(label, taken, made):
    assert names.identifier(label, taken, "formation") == made


@pytest.mark.django_db
def test_an_opponents_own_never_takes_the_identifier_of_the_librarys():
    ours, theirs = Opponent.objects.create(name="Wexmoor"), Opponent.objects.create(name="Vellmark")
    Formation.objects.create(name="trey", label="Trey", personnel="11")
    Formation.objects.create(name="trey-2", label="Trey", personnel="11", opponent=ours)
    assert names.free_name(Formation, "Trey", opponent=ours) == "trey-3"
    assert names.free_name(Formation, "Trey", opponent=theirs) == "trey-2"
    assert names.free_name(Formation, "Trey", opponent=None) == "trey-3"
