"""What no coach would call is never offered: each rule with what breaks it and a near miss. Common practice."""

from types import SimpleNamespace

import pytest

import fits
from fits.defense.system import FitRule
from fits.deriver import Deriver
from fits.repair.plausible import RULES, Change, broken, keeps_numbers
from fits.repair.search import with_rules

LIB = fits.load_library()


def change(call, formation, concept, role, fit, *, when="", leverage="", to=fits.RIGHT, reads=()):
    """That man with that fit in that look, as the rules see it."""
    deriver, call = Deriver(), LIB.call(call)
    spec = fits.LookSpec(call=call, formation=LIB.formation(formation), concept=LIB.concept(concept), to=to)
    rule = FitRule("X-fix", role, when, fit, leverage)
    was = deriver.look(spec).defender(role)
    look = deriver.look(fits.values.replace(spec, call=with_rules(call, (rule,))))
    alignment = deriver.alignment(spec)
    d = next(d for d in alignment.men if d.name == role)
    return Change(d, was, look.defender(role), rule, reads, look, alignment, deriver.after_snap(spec))


ODD, UNDER, QUARTERS = "odd-three-safety", "under-cover-3", "over-quarters"
DOUBLES = (ODD, "11-doubles", "power")
CASES = [  # (rule, what breaks it, a near miss)
    ("corner-outside", ((*DOUBLES, "left CB", "B gap"), {}), ((*DOUBLES, "left CB", "force"), {})),
    ("corner-outside", ((*DOUBLES, "left CB", "B gap"), {}), ((*DOUBLES, "BS", "B gap"), {})),
    ("lineman-one-gap", ((*DOUBLES, "right E", "A gap"), {}), ((*DOUBLES, "right E", "C gap"), {})),
    ("lineman-one-gap", ((*DOUBLES, "right E", "A gap away"), {}), ((*DOUBLES, "N", "frontside A"), {})),
    ("lineman-one-gap", ((*DOUBLES, "N", "frontside B"), {}), ((*DOUBLES, "N", "backside A"), {})),
    ("lineman-one-gap", ((*DOUBLES, "S", "B gap"), {}), ((*DOUBLES, "S", "C gap"), {})),
    ("lineman-one-gap", ((*DOUBLES, "S", "B gap"), {}), ((*DOUBLES, "W", "C gap"), {})),
    ("deep-middle-stays", ((*DOUBLES, "MS", "frontside A"), {}), ((*DOUBLES, "MS", "pass first"), {})),
    ("deep-middle-stays", ((*DOUBLES, "MS", "frontside A"), {}), ((*DOUBLES, "SS", "B gap"), {})),
    ("deep-part-not-inside", ((UNDER, "11-doubles", "power", "left CB", "B gap"), {}),
     ((UNDER, "11-doubles", "power", "left CB", "force"), {})),
    ("too-deep-for-inside", ((*DOUBLES, "SS", "B gap"), {}), ((*DOUBLES, "SS", "D gap"), {})),
    ("too-deep-for-inside", ((*DOUBLES, "SS", "B gap"), {}), ((*DOUBLES, "M", "B gap"), {})),
    ("outside-man-not-in-a", ((*DOUBLES, "S", "A gap"), {}), ((*DOUBLES, "M", "A gap"), {})),
    ("outside-man-not-in-a", ((*DOUBLES, "BS", "A gap"), {}), ((*DOUBLES, "BS", "B gap"), {})),
    ("inside-man-runs-with-it", ((*DOUBLES, "M", "force"), {"to": fits.LEFT}), ((*DOUBLES, "M", "force"), {})),
    ("inside-man-runs-with-it", ((*DOUBLES, "M", "force"), {"to": fits.LEFT}),
     ((*DOUBLES, "S", "force"), {"to": fits.LEFT})),
    ("one-neighbour", ((*DOUBLES, "S", "A gap away"), {}), ((*DOUBLES, "W", "C gap away"), {})),
    ("near-enough", ((*DOUBLES, "W", "outer D gap away"), {}), ((*DOUBLES, "W", "D gap away"), {})),
    ("not-against-flow", ((*DOUBLES, "M", "A gap away"), {}), ((*DOUBLES, "M", "A gap away"), {"to": fits.LEFT})),
    ("safety-on-his-side", ((*DOUBLES, "SS", "B gap away"), {}), ((*DOUBLES, "SS", "C gap"), {})),
    ("number-one-first", ((*DOUBLES, "left CB", "force"), {}),
     ((ODD, "11-doubles", "toss-crack", "right CB", "force"), {})),
    ("pass-set-pass-first", ((ODD, "11-doubles", "draw", "SS", "C gap"), {}), ((*DOUBLES, "SS", "C gap"), {})),
    ("pass-set-pass-first", ((ODD, "11-doubles", "draw", "SS", "C gap"), {}),
     ((ODD, "11-doubles", "draw", "M", "B gap"), {})),
    ("sees-when", ((ODD, "11-doubles", "power-read", "M", "B gap"), {"when": "quarterback read"}),
     ((ODD, "11-doubles", "power-read", "M", "B gap"), {"when": "key steps in or out or straight or pull"})),
    ("sees-when", ((*DOUBLES, "right E", "C gap"), {"when": "flow to my side"}),
     ((*DOUBLES, "W", "C gap"), {"when": "flow away"})),
    ("sees-when", ((*DOUBLES, "M", "B gap"), {"when": "not my gap is owned"}),
     ((*DOUBLES, "M", "B gap"), {"when": "tight end on my side"})),
    ("sees-when", ((*DOUBLES, "right E", "C gap"), {"when": "puller", "reads": ("LG",)}),
     ((*DOUBLES, "M", "B gap"), {"when": "puller", "reads": ("LG",)})),
    ("knows-where", ((*DOUBLES, "M", "open lane"), {}), ((*DOUBLES, "M", "B gap"), {})),
    ("knows-where", ((*DOUBLES, "right E", "backside B"), {}), ((*DOUBLES, "right E", "C gap"), {})),
    ("knows-where", ((*DOUBLES, "M", "spill else A gap"), {}), ((*DOUBLES, "S", "spill else C gap"), {})),
    ("no-third-man", ((*DOUBLES, "M", "B gap"), {"owners": 3}), ((*DOUBLES, "M", "B gap"), {"owners": 2})),
    ("force-outside", ((*DOUBLES, "S", "C gap"), {"leverage": "force"}),
     ((*DOUBLES, "S", "force"), {"leverage": "force"})),
]  # fmt: skip


def made(args, how):
    how = dict(how)
    owners = how.pop("owners", 0)
    found = change(*args, **how)
    assert found.now.rule.id == "X-fix"
    if not owners:
        return found
    names = ("M", "W", "S")[:owners]
    lanes = [x._replace(owners=names) if x.index == found.now.lane else x for x in found.look.lanes]
    return fits.values.replace(found, look=fits.values.replace(found.look, lanes=tuple(lanes)))


@pytest.mark.parametrize(("rule", "breaks", "near"), CASES, ids=[f"{n}-{c[0]}" for n, c in enumerate(CASES)])
def test_a_rule_refuses_what_no_coach_would_call_and_not_its_neighbour(rule, breaks, near):
    assert rule in broken(made(*breaks))
    assert rule not in broken(made(*near))


def test_every_rule_has_a_case_and_a_reason():
    assert {rule.name for rule in RULES} == {case[0] for case in CASES}
    assert len({rule.name for rule in RULES}) == len(RULES)
    assert all(rule.why.endswith(".") for rule in RULES)


def sides(*numbers):
    """A look's pass numbers: (defenders, receivers) left and right."""
    return SimpleNamespace(passes=[SimpleNamespace(defenders="x" * d, receivers="x" * r) for d, r in numbers])


@pytest.mark.parametrize(("before", "after", "keeps"), [
    (((3, 2), (2, 2)), ((2, 2), (2, 2)), True),  # three for two may become two for two
    (((3, 2), (2, 2)), ((1, 2), (2, 2)), False),  # not one for two
    (((3, 2), (2, 2)), ((3, 2), (1, 2)), False),  # on neither side
    (((1, 2), (2, 2)), ((1, 2), (2, 2)), True),  # who was short may stay short
    (((1, 2), (2, 2)), ((0, 2), (2, 2)), False),  # and not shorter
    (((2, 3), (2, 2)), ((2, 3), (2, 2)), True),  # short by one stays short by one
    (((2, 3), (2, 2)), ((1, 3), (2, 2)), False),
    (((4, 2), (2, 2)), ((3, 2), (2, 2)), True),  # one to spare is left
    (((2, 2), (1, 0)), ((2, 2), (0, 0)), True),  # where nobody goes out nobody is needed
    (((2, 2), (2, 2)), ((2, 1), (2, 2)), True),  # receivers of the look before are what is needed
    (((2, 1), (2, 2)), ((1, 2), (2, 2)), True),
])  # fmt: skip
def test_a_repair_takes_no_man_from_the_pass_who_is_needed_there(before, after, keeps):
    """Common practice: a fit is not repaired by leaving a receiver uncovered."""
    assert keeps_numbers(sides(*before), sides(*after)) is keeps


def test_both_looks_must_have_both_sides():
    with pytest.raises(ValueError, match="shorter"):
        keeps_numbers(sides((2, 2), (2, 2)), sides((2, 2)))
