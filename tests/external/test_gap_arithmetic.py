"""Lanes counted by the published gap arithmetic."""

import pytest

import fits
from fits.field import LEFT, RIGHT
from fits.offense.formation import Kind, read_offense
from tests.fits.plays import LIB, spread

# Source: four published coaching articles agree (read in secondary sources): six blockers make seven gaps; 12 or 21
# personnel makes eight, since a lead blocker is a gap that moves; nine when the quarterback runs behind the back.
# gaps = (5 + attached tight ends) + 1 + lead backs (+ 1 if the quarterback carries behind the back)
ROWS = [
    ("11-doubles", "inside-zone", 7, "six blockers"),
    ("11-ace", "duo", 7, "six blockers"),
    ("12-two-tight", "duo", 8, "seven blockers"),
    ("12-ace", "inside-zone", 8, "seven blockers"),
    ("21-pro-i", "iso", 8, "six and a lead"),
    ("21-pro-i", "power", 8, "six and a lead"),
    ("12-two-tight", "qb-power", 9, "seven, and the back blocks for the quarterback"),
    ("10-doubles", "inside-zone", 6, "five blockers"),
    ("10-doubles", "qb-draw", 7, "five, and the back blocks for the quarterback"),
    ("22-heavy", "iso", 9, "seven and a lead"),
]
AWAY = {"arc", "release", "crack"}


def stays(look):
    """Doubles that stay on one man: until one of the two climbs they are one blocker, so a published gap is closed."""
    counted = [b.on for b in look.blocks if b.on and b.counts]
    return sum(not b.counts and b.on in counted and b.does != "stalk" for b in look.blocks)


@pytest.mark.parametrize("to", [LEFT, RIGHT])
@pytest.mark.parametrize(("formation", "concept", "gaps", "blockers"), ROWS)
def test_published_counts(formation, concept, gaps, blockers, to):
    for call in LIB.calls.values():
        look = fits.derive_look(call, LIB.formation(formation), LIB.concept(concept), to=to)
        assert len(look.lanes) + stays(look) == gaps, blockers


def test_the_formula_over_the_library():
    counted = with_lead = quarterback = 0
    for look in spread(3, 1):
        if any(b.does.removesuffix(" on the back side") in AWAY for b in look.blocks):
            continue  # a man who releases leaves the count, one who cracks joins it: not what the formula is about
        offense = read_offense(LIB.formation(look.formation), look.hash, fits.COLLEGE)
        men = [p for view in (offense.left, offense.right) for p in view.attached]
        attached = {p.role for p in men if p.kind is not Kind.LINE}  # a tackle over is one of the five
        kinds = {p.role: p.kind for p in look.offense}
        runner = look.threats[0].role
        helping = {b.role for b in look.blocks if not b.counts and b.does != "arc" and b.on}
        if runner in attached or not attached <= helping | {b.role for b in look.blocks if b.counts}:
            continue
        leads = sum(b.counts and b.role not in attached and kinds[b.role] is not Kind.LINE for b in look.blocks)
        backs_who_lead_for_him = kinds[runner] is Kind.QUARTERBACK and leads > 0
        lead_backs = leads - backs_who_lead_for_him
        assert len(look.lanes) + stays(look) == 5 + len(attached) + 1 + lead_backs + backs_who_lead_for_him
        counted, with_lead, quarterback = counted + 1, with_lead + bool(leads), quarterback + backs_who_lead_for_him
    assert counted > 150 and with_lead > 40 and quarterback > 10


def test_eight_in_the_box_leave_one_free_hitter():
    """Source: the same articles: eight men against seven blockers (five, a tight end, a fullback) and a quarterback who
    hands off. Seven blockers make eight gaps; the ball is in one of them, so its gap and the edge share a man: with
    eleven defenders and eight lanes owned, three are not needed in a lane."""
    look = fits.derive_look(LIB.call("under-cover-3"), LIB.formation("21-pro-i"), LIB.concept("iso"))
    assert len(look.lanes) + stays(look) == 8 and look.sound
    assert sum(d.lane is None for d in look.defenders) >= 11 - 8
