"""Stored results: by content, never stale, derived once."""

from __future__ import annotations

import copy

import pytest

import fits
from fits.timing import level_pace
from fits.words import words_of
from playbook.models import LookResult
from playbook.proof.results import derive_unstored, look_results, set_results

pytestmark = pytest.mark.django_db

FORMATIONS = ("10-doubles", "11-doubles", "11-trips", "12-wing", "21-pro-i", "22-heavy")
CONCEPTS = ("inside-zone", "power", "counter", "zone-read", "split-zone", "toss-crack")


def questions(calls, formations=FORMATIONS, concepts=CONCEPTS, **around):
    library = fits.load_library()
    return [
        fits.LookSpec(
            call=call, formation=library.formations[formation], concept=library.concepts[concept], to=to, **around
        )
        for formation in formations
        for concept in concepts
        for to in (fits.LEFT, fits.RIGHT)
        for call in calls
    ]


def system(name="odd-three-safety", change=None):
    library = fits.load_library()
    data = copy.deepcopy(library.systems[name].as_dict())
    if change:
        change(data)
    return fits.build_system(data, name, library.schemes)


def calls_of(name="odd-three-safety", change=None):
    return list(system(name, change).calls().values())


def test_a_result_is_what_the_engine_says_now():
    asked = questions(calls_of())
    stored = look_results(asked)
    assert stored.derived > 0
    assert stored.results == derive_unstored(asked)
    for question, result in list(zip(asked, stored.results, strict=True))[::17]:
        try:
            look = fits.derive_look(question.call, question.formation, question.concept, to=question.to)
        except fits.FitsError as error:
            assert (result.band, result.reason) == ("", str(error)[:400])
        else:
            assert result.band == look.band
            said = words_of(look)
            assert [f.text for f in result.findings] == [said.retell(f.text) for f in look.findings]


def test_a_second_time_nothing_is_derived():
    first = look_results(questions(calls_of()))
    again = look_results(questions(calls_of()))
    assert again.derived == 0
    assert again.results == first.results
    assert LookResult.objects.count() == first.derived


def test_names_notes_and_labels_are_no_content():
    look_results(questions(calls_of()))

    def rename(data):
        data["system"]["label"] = "Another label"
        for call in data["call"]:
            call["name"], call["note"] = f"{call['name']}-again", "other words"

    assert look_results(questions(calls_of(change=rename))).derived == 0


@pytest.mark.parametrize("name", ["odd-three-safety", "over-quarters", "under-cover-3", "okie-two-gap"])
def test_after_any_change_of_a_rule_the_results_are_what_the_engine_says_now(name):
    """Whatever rule is changed, taken out or put first: looked-up results equal freshly derived ones."""
    look_results(questions(calls_of(name)))
    library = fits.load_library()
    owners = [(kind, n) for kind in ("front", "coverage") for n in range(len(library.systems[name].as_dict()[kind]))]
    for kind, number in owners:
        rules = library.systems[name].as_dict()[kind][number]["fits"]
        for place in range(0, len(rules), 3):
            for change in (_other_leverage, _out, _first):
                try:
                    calls = calls_of(name, lambda data: change(data[kind][number]["fits"], place))  # noqa: B023
                except fits.FitsError:
                    continue  # without this rule somebody has none
                asked = questions(calls, FORMATIONS[1:5:2], CONCEPTS[::2])
                assert look_results(asked).results == derive_unstored(asked), (kind, number, place, change.__name__)


def _other_leverage(rules, place):
    rules[place]["leverage"] = "inside" if rules[place].get("leverage") != "inside" else "outside"


def _out(rules, place):
    del rules[place]


def _first(rules, place):
    rules.insert(0, rules.pop(place))


def test_a_rule_that_cannot_apply_touches_nothing():
    look_results(questions(calls_of()))

    def add(data):
        rule = {"id": "wing-only", "who": "BS, SS", "when": "wing on my side", "fit": "force"}
        for front in data["front"]:
            front["fits"].insert(0, rule | {"id": f"wing-only-{front['name']}"})

    asked = questions(calls_of(change=add), ("10-doubles", "11-doubles"))
    assert look_results(asked).derived == 0
    assert look_results(questions(calls_of(change=add), ("12-wing",))).derived > 0


def test_speeds_and_the_rule_book_are_content():
    few = calls_of(), FORMATIONS[:1], CONCEPTS[:1]
    look_results(questions(*few))
    assert look_results(questions(*few, roster={"M": fits.Speed(6.0, 0.9)})).derived > 0
    assert look_results(questions(*few, pace=level_pace("high-school"))).derived > 0
    assert look_results(questions(*few, book=fits.RULE_BOOKS["high-school"])).derived > 0
    assert look_results(questions(*few, first_steps={"RG": "pull"})).derived > 0
    assert look_results(questions(*few)).derived == 0


def test_an_illegal_formation_has_its_reason_stored():
    library = fits.load_library()
    data = copy.deepcopy(library.formations["10-doubles"].as_dict())
    for player in data["players"]:
        player["y"] = -5
    asked = [fits.LookSpec(call=calls_of()[0], formation=fits.build_formation(data), concept=library.concepts["power"])]
    (result,) = look_results(asked).results
    assert result.state == "none"
    assert "illegal" in result.reason
    assert look_results(asked).derived == 0


def test_two_who_store_the_same_do_not_collide():
    from playbook.proof import results

    asked = questions(calls_of(), FORMATIONS[:1], CONCEPTS[:2])
    look_results(asked)
    desk = results.Desk()
    again = {desk.key(question): desk.derive(question) for question in asked}
    results.store(again)
    assert LookResult.objects.count() == len(again)


def test_a_set_knows_what_men_cannot_tell_apart_and_one_look_does_not():
    asked = questions(calls_of())
    alone, together = look_results(asked).results, set_results(asked).results
    assert {f.code for r in alone for f in r.findings}.isdisjoint({"cannot-know"})
    worse = [(a, b) for a, b in zip(alone, together, strict=True) if a != b]
    assert worse and all("cannot-know" in {f.code for f in b.findings} for _, b in worse)
    assert set_results(asked).derived == 0
    assert set_results(asked[:1]).results == alone[:1], "of one look there is nothing to tell apart"
