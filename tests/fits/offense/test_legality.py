from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fits.errors import IllegalFormation
from fits.field import COLLEGE, HIGH_SCHOOL, PROFESSIONAL, RULE_BOOKS, Hash
from fits.offense.build import build_formation
from fits.offense.formation import SWAP, Kind, OffensiveMan
from fits.offense.legality import RULES, Effect, check_formation, covered_eligibles, refuse_illegal
from tests.fits.strategies import FORMATIONS, formation_entries, formations, with_player

DOUBLES, PRO_I = FORMATIONS["10-doubles"], FORMATIONS["21-pro-i"]
BOOKS = list(RULE_BOOKS.values())


def rules(formation, book=COLLEGE, **asked):
    return [v.rule for v in check_formation(formation, book, **asked)]


@pytest.mark.parametrize("book", BOOKS, ids=lambda b: b.name)
@pytest.mark.parametrize("formation", FORMATIONS.values(), ids=lambda f: f.name)
def test_every_shipped_formation_is_legal_on_every_hash_of_every_book(formation, book):
    covered = ("Y",) if formation.name == "22-unbalanced" else None  # the inner of two ends on the line
    assert [v.roles for v in check_formation(formation, book)] == ([covered] if covered else [])
    for hash_ in Hash:
        for drawn in (formation, formation.mirrored()):
            assert not [v for v in check_formation(drawn, book, hash_) if v.refused]
            refuse_illegal(drawn, book, hash_, needs=[p.role for p in drawn.players if p.kind is Kind.RECEIVER])


def moved(formation, who, /, **place):
    return build_formation(with_player(formation, who, **place))


EXTRA = OffensiveMan("J", Kind.RECEIVER, 12.0, -1.6)
FIRES = {
    "eleven-men": replace(DOUBLES, players=(*DOUBLES.players, EXTRA)),
    "one-of-each": replace(
        DOUBLES, players=tuple(replace(p, role="Z") if p.role == "K" else p for p in DOUBLES.players)
    ),
    "one-quarterback": moved(DOUBLES, "QB", role="F", kind="back"),
    "five-linemen": replace(
        DOUBLES, players=tuple(replace(p, role="G") if p.role == "RG" else p for p in DOUBLES.players)
    ),
    "line-order": moved(DOUBLES, "RT", x=1.0),
    "centre-over-ball": moved(DOUBLES, "C", x=0.4),
    "neutral-zone": moved(DOUBLES, "X", y=-0.2),
    "line-minimum": moved(DOUBLES, "RT", y=-1.2),
    "backs-maximum": moved(DOUBLES, "X", y=-1.6),
    "off-field": moved(DOUBLES, "Z", x=34.0),
    "overlap": moved(DOUBLES, "T", x=0.3),
    "short-side": replace(moved(FORMATIONS["12-tackle-over"], "Y", x=-7.0), name="10-doubles"),
}
NEAR_MISSES = {
    "eleven-men": DOUBLES,
    "one-of-each": moved(DOUBLES, "K", role="J"),
    "one-quarterback": moved(DOUBLES, "QB", role="Q"),
    "five-linemen": moved(DOUBLES, "RG", x=1.5),
    "line-order": moved(DOUBLES, "RT", x=2.3),
    "centre-over-ball": moved(DOUBLES, "C", x=0.2),
    "neutral-zone": moved(moved(DOUBLES, "X", y=-0.3), "C", y=-0.1),  # the snapper may be in it
    "line-minimum": moved(DOUBLES, "RT", y=-1.0),
    "backs-maximum": moved(DOUBLES, "X", y=-0.9),
    "off-field": moved(DOUBLES, "Z", x=33.0),
    "overlap": moved(DOUBLES, "T", x=0.65),
    "short-side": FORMATIONS["12-tackle-over"],
}


@pytest.mark.parametrize("rule", FIRES)
def test_a_broken_rule_is_named_and_refused(rule):
    assert rule in rules(FIRES[rule])
    with pytest.raises(IllegalFormation) as caught:
        refuse_illegal(FIRES[rule], COLLEGE)
    assert caught.value.rule in rules(FIRES[rule])
    assert caught.value.rule in str(caught.value) and FIRES[rule].called in str(caught.value)


@pytest.mark.parametrize("rule", NEAR_MISSES)
def test_a_near_miss_is_not(rule):
    assert rule not in rules(NEAR_MISSES[rule])


def test_thirteen_men_are_counted():
    crowd = replace(DOUBLES, players=(*DOUBLES.players, EXTRA, replace(EXTRA, role="F", x=14.0)))
    assert "13 men" in check_formation(crowd, COLLEGE)[0].text


def test_a_covered_tight_end_is_a_warning_until_he_is_needed():
    covered = moved(PRO_I, "Z", y=-0.6)
    (found,) = check_formation(covered, COLLEGE)
    assert (found.rule, found.severity, found.roles) == ("covered-eligible", Effect.WARNING, ("Y",))
    refuse_illegal(covered, COLLEGE, needs=("Z",))
    with pytest.raises(IllegalFormation, match=r"covered-eligible.*Y is covered"):
        refuse_illegal(covered, COLLEGE, needs=("Y", "Z"))


def test_a_man_drawn_out_of_bounds_is_warned_about_on_that_hash_only():
    wide = moved(DOUBLES, "Z", x=22.0)
    assert rules(wide) == rules(wide, hash_=Hash.MIDDLE) == rules(wide, hash_=Hash.LEFT) == []
    (found,) = check_formation(wide, COLLEGE, Hash.RIGHT)
    assert (found.rule, found.refused, found.roles) == ("out-of-bounds", False, ("Z",))
    assert "2.0 yards out of bounds with the ball on the right hash" in found.text


def test_two_men_pushed_into_one_spot_by_the_sideline_are_refused():
    crowded = moved(moved(DOUBLES, "Z", x=24.0, y=-1.0), "K", x=19.0, y=-1.2)
    assert "overlap" not in rules(crowded)
    assert "overlap" in rules(crowded, hash_=Hash.RIGHT)


def test_refusals_come_before_warnings():
    both = moved(moved(PRO_I, "Z", y=-0.6), "T", x=0.0, y=-4.4)
    assert rules(both) == ["overlap", "covered-eligible"]


@given(formation_entries(), st.sampled_from(BOOKS), st.randoms(use_true_random=False))
def test_listing_order_changes_nothing(listed, book, rng):
    formation = build_formation(listed)
    shuffled = list(formation.players)
    rng.shuffle(shuffled)
    assert check_formation(replace(formation, players=tuple(shuffled)), book) == check_formation(formation, book)


@given(formations(), st.sampled_from(BOOKS), st.sampled_from(Hash))
def test_a_mirror_breaks_the_same_rules(formation, book, hash_):
    def told(found):
        return sorted((v.rule, v.severity.value, sorted(v.roles)) for v in found)

    def turned(found):
        return [replace(v, roles=tuple(SWAP.get(r, r) for r in v.roles)) for v in found]

    mirror = check_formation(formation.mirrored(), book, hash_.mirrored)
    assert told(mirror) == told(turned(check_formation(formation, book, hash_)))


@given(formations())
def test_the_end_men_are_never_covered(formation):
    line = [p for p in formation.players if p.on_line]
    ends = {min(p.x for p in line), max(p.x for p in line)}
    assert all(p.x not in ends and p.on_line for p in covered_eligibles(formation))


def test_books_differ_only_where_they_should():
    five_backs = FIRES["backs-maximum"]
    assert rules(five_backs, HIGH_SCHOOL) == rules(five_backs, COLLEGE) == ["backs-maximum"]
    assert rules(five_backs, PROFESSIONAL) == ["line-minimum"]


def test_every_rule_has_a_formation_that_breaks_it():
    told = {v.rule for f in FIRES.values() for v in check_formation(f, COLLEGE)}
    told |= {v.rule for v in check_formation(moved(PRO_I, "Z", x=30.0, y=-0.6), COLLEGE, Hash.RIGHT)}
    assert told == set(RULES) - {"motion-forward"}  # that one is told by apply_motion
    assert set(FIRES) == set(NEAR_MISSES) <= set(RULES)
