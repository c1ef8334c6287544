"""Which question comes next: misses come again, what looks alike comes together, days apart, kinds mixed."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from playbook.quiz.memory import remember
from playbook.quiz.picking import EARLIER, GAP, LENGTH, MOST, NONE, Given, Item, pick

NOW = datetime(2031, 9, 3, 18, tzinfo=UTC)


def pool(count=24, rules=8, week=1):
    kinds = ("fit", "fit", "key", "place")
    return [Item(week, "base", n, kinds[n % 4], f"{kinds[n % 4]}-{n % rules}") for n in range(count)]


def said(item, right, days=1.0, round_="before"):
    return Given(item.key, item.topic, right, NOW - timedelta(days=days), round_)


def play(items, right, past=(), round_="r", week=1, mistakes=NONE):
    """Returns the items of a round, answered by `right`."""
    past, asked = list(past), []
    while (item := pick(items, past, round_, NOW, week=week, mistakes=mistakes)) is not None:
        assert len(asked) < 40
        asked.append(item)
        past.append(Given(item.key, item.topic, right(item, len(asked)), NOW, round_))
    return asked


def test_a_round_has_ten_questions_and_mixes_kinds():
    asked = play(pool(), lambda item, n: True)
    assert len(asked) == LENGTH
    kinds = [item.ask for item in asked]
    assert {kind: kinds.count(kind) for kind in ("fit", "key", "place")} == {"fit": 5, "key": 3, "place": 2} or (
        kinds.count("fit") == 5 and min(kinds.count("key"), kinds.count("place")) >= 2
    )


def test_who_misses_everything_is_still_asked_of_every_kind_and_not_the_same_rule_in_a_row():
    asked = play(pool(), lambda item, n: False)
    assert {item.ask for item in asked[:4]} == {"fit", "key", "place"}
    assert all(a.topic != b.topic for a, b in pairwise(asked))


def test_a_miss_comes_again_after_three_others_until_it_is_right():
    asked = play(pool(), lambda item, n: n != 2)
    first = asked[1]
    places = [n for n, item in enumerate(asked) if item.key == first.key]
    assert len(places) == 2 and places[0] == 1 and GAP < places[1] - 1 <= GAP + 3
    never = play(pool(), lambda item, n: item.key != first.key)
    assert len(never) == MOST and sum(item.key == first.key for item in never) > 2


def test_a_rule_that_was_missed_is_asked_in_another_picture_too():
    items = pool(36, 12)
    asked = play(items, lambda item, n: n != 1)
    rule = asked[0].topic
    assert len({item.key for item in asked if item.topic == rule}) > 1
    at_once = play(items, lambda item, n: True)
    assert len({item.key for item in at_once if item.topic == rule}) == 1


@settings(max_examples=60, deadline=None)
@given(
    st.integers(4, 30), st.integers(2, 9), st.lists(st.booleans(), min_size=20, max_size=20),
    st.text("abc", min_size=1, max_size=4),
)  # fmt: skip
def test_nothing_is_asked_twice_within_three_and_every_round_ends(count, rules, rights, round_):
    items = pool(count, rules)
    asked = play(items, lambda item, n: rights[n % 20], round_=round_)
    keys = [item.key for item in asked]
    assert 1 <= len(keys) <= MOST
    assert all(key not in keys[max(0, n - GAP) : n] for n, key in enumerate(keys))


def test_fewer_questions_than_that_are_asked_in_turn():
    items = pool(2)
    asked = play(items, lambda item, n: True)
    assert [item.key for item in asked] in ([i.key for i in items], [i.key for i in items[::-1]])
    assert play([], lambda item, n: True) == []


def test_what_looks_alike_comes_right_after():
    a, b = Item(1, "base", 100, "fit", "A"), Item(1, "base", 101, "fit", "B", twin=(1, "base", 100, "fit"))
    items = [*pool(), replace(a, twin=b.key), b]
    asked = play(items, lambda item, n: True, mistakes={("fit", "A"): NOW})
    assert [item.look for item in asked[:2]] == [100, 101]
    assert ({100, 101} <= {item.look for item in asked}) and len({item.key for item in asked}) == len(asked)


def test_last_games_mistakes_come_first_then_what_is_due_then_what_is_new():
    items = [Item(1, "base", n, "fit", f"R{n}") for n in range(8)]
    past = [said(items[3], False), said(items[4], True, days=90), said(items[5], True, days=0.1)]
    past += [said(items[n], True, days=0.2) for n in (0, 1, 2)]
    past.sort(key=lambda one: one.at)
    asked = play(items, lambda item, n: True, past, mistakes={("fit", "R7"): NOW - timedelta(days=1)})
    rules = [item.rule for item in asked]
    assert rules[:4] == ["R7", "R3", "R4", "R6"] or rules[:4] == ["R7", "R4", "R3", "R6"]
    again = [*past, said(items[7], True, days=0.05)]
    first = pick(items, again, "r", NOW, week=1, mistakes={("fit", "R7"): NOW - timedelta(days=1)})
    assert first.rule in ("R3", "R4"), "right since"


def test_earlier_weeks_come_back_but_not_first_and_not_often():
    old = pool(week=1)
    past = [said(item, False, days=8) for item in old]
    asked = play([*pool(week=2), *old], lambda item, n: True, past, week=2)
    weeks = [item.week for item in asked]
    assert weeks[:GAP] == [2] * GAP and weeks.count(1) == EARLIER


def test_right_answers_move_a_rule_days_apart_and_a_miss_brings_it_back():
    item, days, gaps, past = pool()[0], 0.0, [], []
    for _ in range(4):
        past.append(Given(item.key, item.topic, True, NOW + timedelta(days=days), "r"))
        memory = remember(past)[item.topic]
        gaps.append((memory.due - past[-1].at).days)
        days += gaps[-1]
    assert gaps[0] >= 1 and all(later > sooner for sooner, later in pairwise(gaps))
    past.append(Given(item.key, item.topic, False, NOW + timedelta(days=days), "r"))
    missed = remember(past)[item.topic]
    assert (missed.due - past[-1].at).days < gaps[-1] / 2 and not missed.right


def test_the_same_answers_always_give_the_same_days():
    past = [said(item, n % 3 > 0, days=20 - n) for n, item in enumerate(pool())]
    assert {t: m.due for t, m in remember(past).items()} == {t: m.due for t, m in remember(past).items()}
