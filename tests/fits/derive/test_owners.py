"""Who has each ball carrier. Common practice: the quarterback and the pitch need a man each."""

from types import SimpleNamespace

from fits.derive.owners import own_threats
from fits.derive.threats import Course
from fits.field import LEFT, RIGHT


def man(role, lane=None, duty="pass", leverage="pass", side=RIGHT):
    return SimpleNamespace(role=role, lane=lane, duty=duty, leverage=leverage, side=side)


def owned(men, force=(), lanes=4):
    """The owners of keep and pitch on an option to the right edge; the keep is one lane inside the pitch."""
    owners = [[d.role for d in men if d.lane == i] for i in range(lanes)]
    courses = (course("keep", "QB", 2), course("pitch", "T", 3))
    call = SimpleNamespace(force=frozenset(force))
    return {t.kind: t.owners for t in own_threats(courses, ((1, 3), (2, 3)), owners, tuple(men), call, ())}


def course(kind, role, lane, side=RIGHT):
    out = SimpleNamespace(kind=kind, role=role, lane=lane, side=side, time_s=2.0, inside=False)
    assert set(vars(out)) <= set(Course.__annotations__)
    return out


QB = man("E", 2, "quarterback", "outside")


def test_a_man_in_the_alley_on_that_side_has_the_pitch():
    assert owned([QB, man("SS", leverage="alley", duty="alley")]) == {"keep": ("E",), "pitch": ("SS",)}
    assert owned([QB, man("SS", leverage="alley", duty="alley", side=LEFT)])["pitch"] == ()


def test_so_has_a_free_force_player_and_a_man_in_coverage_has_not():
    assert owned([QB, man("CB")], force=["CB"])["pitch"] == ("CB",)
    assert owned([QB, man("CB")])["pitch"] == ()


def test_who_has_the_pitch_as_his_duty_comes_before_who_is_in_its_lane():
    men = [QB, man("W", 3, "gap", "outside"), man("BS", 3, "pitch", "force")]
    assert owned(men)["pitch"] == ("BS",)


def test_one_man_never_has_both():
    assert owned([man("E", 2, "quarterback", "outside"), man("E", 3)])["pitch"] == ()
    both = [man("S", 3, "quarterback", "outside")]
    assert owned(both) == {"keep": ("S",), "pitch": ()}


def test_an_alley_man_of_the_other_option_threat_is_not_the_quarterbacks():
    assert owned([man("SS", leverage="alley", duty="alley")]) == {"keep": (), "pitch": ("SS",)}
