"""illegal-formation: raised while a look is made, with the rule; no look comes of it."""

from dataclasses import replace
from pathlib import Path

import pytest

import fits
from fits.audit.registry import CODES
from tests.fits.audit.looks import derive
from tests.fits.plays import LIB


def moved(role, y):
    formation = LIB.formation("11-doubles")
    return replace(formation, players=tuple(replace(p, y=y) if p.role == role else p for p in formation.players))


def test_too_few_men_on_the_line_are_refused():
    with pytest.raises(fits.IllegalFormation) as refused:
        fits.derive_look(LIB.call("odd-three-safety"), moved("Z", -1.6), LIB.concept("inside-zone"))
    assert refused.value.rule and "line" in str(refused.value)
    assert "illegal-formation" in CODES


def test_the_formation_as_shipped_is_legal():
    assert len(derive("odd-three-safety", "11-doubles", "inside-zone", None).lanes) > 5


def test_every_code_has_a_test_of_its_own():
    files = {p.stem for p in Path(__file__).parent.glob("test_*.py")}
    assert {f"test_{code.replace('-', '_')}" for code in CODES} <= files
