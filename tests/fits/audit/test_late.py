"""late: every man who owns a lane gets there after the ball can, or would with a slow first step."""

import pytest

from fits.audit.band import judge
from fits.audit.checks import late
from fits.audit.registry import audit
from fits.terms import Band
from fits.timing import Speed
from tests.fits.audit.looks import derive
from tests.fits.audit.paper import paper
from tests.fits.plays import LIB

# Common practice. A corner seven yards off comes 0.3 s after the ball; a safety who is there 0.1 s before it is in time
# only if he reads it at once: a slow read costs the secondary a quarter of a second, a backer 0.15 s, a lineman none.
SWEEP = (("sweep", "T", "right C"),)


def one(lane, margin, depth=9.0, **how):
    """A look with every lane owned in time by linemen, but that one, whose only man has that margin."""
    names = ("left C", "left B", "left A", "right A", "right B", "right C")
    men = {f"man in {n}": (i * 1.5 - 4, 1.0, n, "outside", "gap") for i, n in enumerate(names) if n != lane}
    return paper(men | {"X": (0.5, depth, lane, "outside", "gap", margin)}, **how)


def test_a_lane_left_to_a_man_too_far_away_is_found():
    (finding,) = late.check(one("right B", -0.3))
    assert (finding.severity, finding.roles, finding.text) == ("unsound", ("X",), "X is 0.30 s late to right B.")


def test_with_a_second_man_there_in_time_the_lane_is_had():
    names = {"X": (0.5, 9.0, "right B", "outside", "gap", -0.3), "E": (3.6, 1.0, "right B", "gap", "gap", 0.4)}
    assert late.check(paper(names)) == []


# Common practice: on an option one man has the quarterback and another the pitch. Who stands on the quarterback is no
# help against the pitch, and the other way about; an extra man with neither of them is nobody's help for either.
@pytest.mark.parametrize(("man", "text"), [
    ("CB", "CB is 0.30 s late to the pitch in right C."), ("E", "E is 0.30 s late to the quarterback in right C."),
])  # fmt: skip
def test_who_has_the_quarterback_is_not_in_time_for_the_pitch(man, text):
    threats = (("keep", "QB", "right C", ("E",)), ("pitch", "T", "right C", ("CB",)))
    margins = {"E": 0.6, "CB": 0.6} | {man: -0.3}
    men = {
        "E": (4.0, 1.0, "right C", "outside", "quarterback", margins["E"]),
        "CB": (12.0, 7.0, "right C", "force", "pitch", margins["CB"]),
    }
    (finding,) = late.check(paper(men, threats=threats))
    assert (finding.severity, finding.roles, finding.text) == ("unsound", (man,), text)
    assert late.check(paper(men, threats=(("run", "T", "right C"),))) == []  # no option: one of the two is there


def test_two_men_on_the_only_carrier_help_each_other():
    threats = (("keep", "QB", "right C", ("E", "CB")),)
    men = {
        "E": (4.0, 1.0, "right C", "outside", "quarterback", 0.6),
        "CB": (12.0, 7.0, "right C", "force", "gap", -0.3),
    }
    assert late.check(paper(men, threats=threats)) == []


def test_a_slow_read_that_would_be_too_late_is_a_warning():
    (finding,) = late.check(one("right B", 0.1))
    assert finding.severity == "warning"
    assert finding.text == "X reaches right B with 0.10 s to spare: with a slow read the ball is through."
    assert late.check(one("right B", 0.26)) == []


def test_far_behind_a_sweep_nobody_is_too_late_for_the_play():
    (finding,) = late.check(one("left B", -0.3, threats=SWEEP))
    assert finding.severity == "warning"
    assert late.check(one("left B", 0.1, threats=SWEEP)) == []


@pytest.mark.parametrize(("margin", "depth", "band"), [
    (0.26, 9.0, Band.SOUND), (0.24, 9.0, Band.IF_ON_TIME), (-0.24, 9.0, Band.IF_ON_TIME), (-0.26, 9.0, Band.NOT_SOUND),
    (0.16, 4.0, Band.SOUND), (0.14, 4.0, Band.IF_ON_TIME), (-0.14, 4.0, Band.IF_ON_TIME), (-0.16, 4.0, Band.NOT_SOUND),
    (0.01, 1.0, Band.SOUND), (-0.01, 1.0, Band.NOT_SOUND),
])  # fmt: skip
def test_the_band_turns_on_what_a_slow_or_fast_read_is_worth(margin, depth, band):
    evidence = one("right B", margin, depth)
    assert judge(evidence, tuple(late.check(evidence))) is band


def test_any_other_unsound_finding_is_unsound_at_every_pace():
    men = {"E": (3.6, 1.0, "right B", "gap", "gap", 2.0)}
    evidence = paper(men)
    assert judge(evidence, audit(evidence)) is Band.NOT_SOUND


def test_a_warning_changes_no_band():
    evidence = one("right B", 1.0, takes={"X": "deep middle"})
    assert any(f.severity == "warning" for f in audit(evidence))
    assert not any(f.severity == "unsound" for f in audit(evidence))
    assert judge(evidence, audit(evidence)) is Band.SOUND


def test_the_roster_decides():
    """A man with half the speed is later to his lane, and the look says by how much."""
    asked = ("over-quarters", "11-doubles", "inside-zone", None)
    look = derive(*asked)
    man = next(d for d in look.defenders if d.group == "linebacker" and d.lane is not None)
    speed = LIB.call("over-quarters").positions[man.position].speed or Speed(8.9, 0.72)
    slow = derive(*asked, roster={man.role: Speed(speed.v_yd_s / 3, speed.tau_s * 2)})
    assert slow.defender(man.role).margin_s < man.margin_s


# Common practice: a toss with a crack is forced by whoever replaces the man who was cracked. A backer who runs out
# there from inside has the ball in front of him and nobody turns it in.
def test_who_replaces_a_cracked_force_has_to_be_there():
    men = {
        "W": (1.5, 4.5, "right C", "outside", "gap", 0.4),
        "CB": (12.0, 7.0, "right C", "force", "replace", -0.6),
    }
    (finding,) = late.check(paper(men, threats=SWEEP, cracked=["SS"]))
    assert (finding.severity, finding.roles, finding.text) == ("unsound", ("CB",), "CB is 0.60 s late to right C.")
    in_time = men | {"CB": (12.0, 7.0, "right C", "force", "replace", 0.6)}
    assert late.check(paper(in_time, threats=SWEEP, cracked=["SS"])) == []


def test_a_second_force_player_outside_is_there_for_him():
    men = {
        "S": (5.0, 4.5, "right C", "force", "force", 0.3),
        "CB": (12.0, 7.0, "right C", "force", "replace", -0.6),
    }
    assert late.check(paper(men, threats=SWEEP, cracked=["SS"])) == []
