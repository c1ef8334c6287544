"""What a repair changes elsewhere: the price in words, and what men could not tell apart any more with it."""

import pytest

import fits
from fits.defense.system import FitRule
from fits.values import replace
from playbook.looks import pricing

LIB = fits.load_library()
RUNS = ("power", "counter", "inside-zone", "outside-zone", "split-zone", "duo", "trap", "draw", "qb-power", "iso")


def looks(call):
    """Some runs from one formation, both ways."""
    return [
        fits.LookSpec(call=call, formation=LIB.formation("11-doubles"), concept=LIB.concept(run), to=to)
        for run in RUNS for to in (fits.LEFT, fits.RIGHT)
    ]  # fmt: skip


def repair_by(spec, *rules):
    """A repair with those rules, whatever it is worth."""
    call = fits.with_rules(spec.call, rules)
    look = fits.Deriver().look(replace(spec, call=call))
    return fits.Repair(kind="fold", text="", size=len(rules), rules=rules, call=call.name, look=look, men=("S",))


@pytest.fixture
def spec():
    return looks(LIB.call("odd-three-safety"))[0]


def test_a_rule_that_needs_an_unseen_fact_is_told_as_such(spec):
    """A lineman sees no flow: on the same steps of his key he would fit here and there."""
    repair = repair_by(spec, FitRule("Z1", "E", "flow to my side", "C gap"), FitRule("Z2", "E", "", "A gap"))
    weight = pricing.weigh(spec, repair, looks(spec.call), "these looks")
    assert any("E cannot know his fit" in text for text in weight.blind)


def test_a_rule_that_changes_nothing_leaves_everything_known(spec):
    weight = pricing.weigh(
        spec, repair_by(spec, FitRule("Z", "MS", "goal line", "free")), looks(spec.call), "these looks"
    )
    assert weight.blind == () and weight.worst == () and weight.bands == []
    assert (weight.price.better, weight.price.worse) == (0, 0)


def test_the_look_itself_is_left_out(spec):
    repair = repair_by(spec, FitRule("Z", "MS", "goal line", "free"))
    runs = [one for one in looks(spec.call) if _runs(one)]
    assert pricing.weigh(spec, repair, looks(spec.call), "these looks").price.looks == len(runs) - 1


def test_what_gets_worse_is_named_by_formation_run_and_side(spec):
    repair = repair_by(spec, FitRule("Z", "M, W", "", "free"))
    weight = pricing.weigh(spec, repair, looks(spec.call), "these looks")
    assert weight.price.worse > 3 and len(weight.worst) == 3
    for text, effect in zip(weight.worst, weight.price.worst, strict=True):
        assert text.startswith(f"{effect.spec.concept.label} from Doubles, tight end to the ")
        assert f"{effect.before} becomes {effect.after}." in text
    assert sum(n for _, _, n in weight.bands) == weight.price.worse + weight.price.better


def _runs(spec):
    try:
        fits.Deriver().look(spec)
    except fits.NotRunnable:
        return False
    return True
