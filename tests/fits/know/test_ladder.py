"""The reading ladder: it gives every fit, no shorter one does, and it speaks like a coach."""

import json
import re
from itertools import combinations
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.preprocessing import OrdinalEncoder
from sklearn.tree import DecisionTreeClassifier

import fits
import fits.notation.know_json
from fits.defense.system import FitRule
from fits.deriver import Deriver
from fits.know import ladder, study
from fits.know.answers import Case, Table, questions_of, tabulate
from fits.know.ladder import choose, climb, grow
from fits.notation.know_json import ladder_json

LIB = fits.load_library()
CALL = LIB.call("odd-three-safety")
SCHEMA = json.loads((Path(fits.notation.know_json.__file__).parent / "ladder.schema.json").read_text())
CHECK = jsonschema.Draft202012Validator(SCHEMA)
GROUPS = ("12", "21")
FORMATIONS = [f for f in LIB.formations.values() if f.personnel in GROUPS]

TABLES = st.integers(1, 5).flatmap(
    lambda width: st.lists(
        st.tuples(st.tuples(*[st.sampled_from("abc")] * width), st.sampled_from(["go", "stay", "over the top"])),
        min_size=1, max_size=12, unique_by=lambda case: case[0],
    )
)  # fmt: skip


def make_table(cases):
    """Rows of answers as a table: the first two questions are about the formation, the last column is its name."""
    width = len(cases[0][0])
    stages = ("formation", "formation", "first key", "second key", "flow")[:width]
    made = tuple(Case((*row, "name"), fit, fit, float(i + 1)) for i, (row, fit) in enumerate(cases))
    return Table((*stages, "formation"), (*[f"q{i}" for i in range(width)], "name"), made)


@given(TABLES)
@settings(max_examples=150, deadline=None)
def test_it_gives_every_fit_with_as_few_reads_as_any_set_of_them(cases):
    table = make_table(cases)
    columns = range(len(table.names) - 1)
    choice = choose(table.cases, columns)
    node = grow(table, choice.columns, table.cases)
    for case in table.cases:
        assert climb(node, case.row) == case.say
    enough = (
        n for n in range(len(columns) + 1) for some in combinations(columns, n)
        if len({tuple(c.row[i] for i in some) for c in table.cases})
        == len({(tuple(c.row[i] for i in some), c.label) for c in table.cases})
    )  # fmt: skip
    assert choice.exact and len(choice.columns) == next(enough)


@pytest.mark.parametrize("role", ["N", "E", "CB", "SS"])
def test_a_decision_tree_asks_no_fewer_things(role):
    """scikit-learn's tree over the same answers, grown until it makes no mistake, is an upper bound."""
    men = study(CALL, FORMATIONS, LIB.concepts.values(), roles=[role]).men
    deriver, sights = Deriver(), []
    for man in men:
        for seen in man.seen:
            if seen.known:
                sights.append((man.role, seen, deriver.stand(LIB.formation(seen.picture.before[0])).alignment(CALL)))
    table = tabulate(questions_of(CALL, men), sights)
    columns = range(len(table.names) - 1)
    rows = {}
    for case in table.cases:
        rows.setdefault(case.row[:-1], case.label)
    coded = OrdinalEncoder().fit_transform([list(row) for row in rows])
    tree = DecisionTreeClassifier(random_state=0).fit(coded, list(rows.values()))
    asked = {int(f) for f in tree.tree_.feature if f >= 0}
    distinct = [Case((*row, ""), label, label, 1.0) for row, label in rows.items()]
    choice = choose(distinct, columns)
    assert tree.score(coded, list(rows.values())) == 1.0
    assert len(choice.columns) <= len(asked) and choice.bound <= len(asked)


def taught(role, *rules, formations=FORMATIONS, **settings):
    made = tuple(FitRule(f"T{i}", role, when, fit, say=say) for i, (when, fit, say) in enumerate(rules))
    return ladder(fits.with_rules(CALL, made), role, formations, LIB.concepts.values(), **settings)


class TestReads:
    def test_one_rule_needs_no_read(self):
        made = taught("M", ("", "frontside A", "front A"))
        assert made.reads == () and [r.text for r in made.rungs] == ["always: front A"] and made.exact

    def test_one_key_is_one_read(self):
        made = taught("left E", ("second key pulls", "B gap", "squeeze"), ("", "C gap", "outside"),
                      formations=[LIB.formation("10-doubles")])  # fmt: skip
        assert made.reads == ("second key",)
        pulls, others = sorted(made.rungs, key=lambda r: r.then != "squeeze")
        assert all("tackle pulls" in part for part in pulls.when[0].sees.split(" or ")) and pulls.then == "squeeze"
        assert others.then == "outside" and "tackle pulls" not in others.when[0].sees
        assert pulls.share + others.share == pytest.approx(1)

    def test_the_formation_comes_first_in_the_coachs_own_words(self):
        made = taught("left E", ("tight end on my side", "C gap", "outside"), ("", "B gap", "inside"))
        assert made.reads == ("tight end on my side",)
        assert {r.text for r in made.rungs} == {"tight end on my side: outside", "no tight end on my side: inside"}

    def test_flow_is_read_by_a_backer(self):
        made = taught("W", ("flow to my side", "C gap", "outside"), ("", "B gap", "inside"))
        assert made.reads == ("flow",)
        assert {r.then for r in made.rungs if "flow to my side" in r.when[0].sees} == {"outside"}

    def test_what_he_cannot_know_is_not_on_it(self):
        zone = [LIB.concept("inside-zone"), LIB.concept("inside-zone-rpo")]
        call = fits.with_rules(CALL, (FitRule("T0", "M", "run-pass option", "frontside C"),
                                      FitRule("T1", "M", "", "frontside A")))  # fmt: skip
        made = ladder(call, "M", [LIB.formation("10-doubles")], zone)
        assert made.cannot_know == 1.0 and made.rungs == () and made.reads == ()

    def test_what_comes_often_comes_first(self):
        rules = ("tight end on my side", "C gap", "outside"), ("", "B gap", "inside")
        for wanted in ("outside", "inside"):

            def weigh(look, wanted=wanted):
                d = look.defender("left E")
                return 9.0 if d.rule.rule.say == wanted else 1.0

            assert taught("left E", *rules, weigh=weigh).rungs[0].then == wanted


class TestWords:
    @pytest.mark.parametrize("role", ["E", "M", "MS"])
    def test_no_rule_ids_and_no_marks_of_the_drawing(self, role):
        made = ladder(CALL, role, FORMATIONS, LIB.concepts.values())
        ids = {rule.id for rule in CALL.fits}
        for rung in made.rungs:
            words = set(re.findall(r"[\w-]+", " ".join([r.sees for r in rung.when if not r.by_name] + [rung.then])))
            assert not words & (ids - {"C"}), rung
            assert not words & {"LG", "RG", "LT", "RT", "QB", "None"}, rung

    def test_a_position_has_the_ladder_of_both_its_men(self):
        made = ladder(CALL, "CB", FORMATIONS, LIB.concepts.values())
        assert made.men == ("left CB", "right CB")
        assert sum(r.share for r in made.rungs) == pytest.approx(1)

    def test_reads_stand_in_the_order_of_sight(self):
        order = ["formation", "first key", "second key", "third key", "flow", "told", "felt"]
        for rung in ladder(CALL, "MS", FORMATIONS, LIB.concepts.values()).rungs:
            places = [order.index(read.stage) for read in rung.when]
            assert places == sorted(places)


def test_the_json_keeps_to_its_schema():
    for role in ("N", "W"):
        CHECK.validate(ladder_json(ladder(CALL, role, FORMATIONS, LIB.concepts.values())))


def test_a_role_nobody_has():
    with pytest.raises(fits.UnknownName, match="unknown role 'Q'"):
        ladder(CALL, "Q", FORMATIONS, LIB.concepts.values())
