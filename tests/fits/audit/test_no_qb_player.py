"""no-qb-player: the quarterback may keep the ball and nobody has him."""

from tests.fits.audit.looks import LEFT, RIGHT, derive, found, lane


def test_a_quarterback_whom_nobody_has_is_found():
    look = derive("odd-three-safety-one-high", "20-split", "inside-zone-rpo", LEFT)
    (finding,) = found(look, "no-qb-player")
    assert (finding.severity, lane(look, finding).name) == ("unsound", "right C")
    assert finding.text == "Nobody has the quarterback if he keeps it in right C."
    assert not look.sound


def test_the_middle_safety_who_has_him_settles_it():
    look = derive("odd-three-safety", "11-doubles", "inside-zone-rpo", RIGHT)
    (keep,) = [t for t in look.threats if t.kind == "keep"]
    assert "MS" in keep.owners and not found(look, "no-qb-player")


def test_a_read_laid_over_a_read_is_one_quarterback():
    plain = derive("over-quarters", "12-wing", "zone-read", RIGHT)
    twice = derive("over-quarters", "12-wing", "zone-read", RIGHT, "read")
    assert [t.kind for t in twice.threats] == [t.kind for t in plain.threats] == ["run", "keep"]
    assert not found(twice, "no-qb-player")


def test_an_arc_moves_the_keep_of_an_option_to_the_back_side():
    look = derive("odd-three-safety", "11-doubles", "inside-zone-rpo", LEFT, "arc")
    (keep,) = [t for t in look.threats if t.kind == "keep"]
    assert look.lanes[keep.lane].name == "right C+D" and keep.owners


def test_a_man_told_to_take_the_pitch_does_not_count_for_the_keep_in_his_lane():
    """Common practice: on an option one man cannot have both the quarterback and the pitch."""
    look = derive("odd-three-safety", "20-split", "veer", RIGHT)
    owners = {t.kind: t.owners for t in look.threats}
    assert (owners["keep"], owners["pitch"]) == ((), ("S",))
    s = next(d for d in look.defenders if d.role == "S")
    keep = next(t for t in look.threats if t.kind == "keep")
    assert s.duty == "pitch" and s.lane == keep.lane
    assert found(look, "no-qb-player") and not found(look, "no-pitch-player")
