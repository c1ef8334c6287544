"""A week's looks, the weighed proof, repairs in the week's variant, two plans, a suggested menu."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils.html import escape

from playbook import convert
from playbook.charts import words
from playbook.looks.specs import surroundings
from playbook.models import (
    Alias,
    Concept,
    Formation,
    MenuCall,
    Player,
    RosterSpot,
    Season,
    System,
    Week,
)
from playbook.proof import expected as looks
from playbook.proof import mending, studies
from playbook.proof import weighing as proof
from playbook.proof.results import Found, StoredVerdict
from tests.playbook.charts.made import season

MEANINGS = {
    ("formation", "trips"): "11-trips", ("formation", "ace"): "12-two-tight", ("formation", "pro"): "21-pro-i",
    ("concept", "iz"): "inside-zone", ("concept", "oz"): "outside-zone", ("concept", "power"): "power",
    ("concept", "ctr"): "counter",
}  # fmt: skip


@pytest.fixture
def week(opponent):
    """A week against the opponent with the first shipped system."""
    convert.load_library()
    made = Season.objects.create(year=2031)
    return Week.objects.create(
        season=made, number=3, opponent=opponent, system=System.objects.get(name="odd-three-safety")
    )


@pytest.fixture
def charted(week, read, opponent):
    """The same week with a chart whose words have a meaning."""
    read(season(300))
    words.save_words(opponent, MEANINGS)
    return week


@pytest.fixture
def full(charted):
    """The same week with its looks."""
    looks.take_looks(charted, at_least=3)
    return charted


def names(counted):
    return {line.name: line for line in counted.lines}


def test_counted_looks_come_into_the_week_and_shares_add_up(charted):
    counted = looks.count_week(charted)
    assert counted.runs > 100
    assert sum(line.expected.share for line in counted.lines) == pytest.approx(1)
    new, changed = looks.take_looks(charted, at_least=1, guesses=True)
    assert (new, changed) == (len(counted.lines), 0)
    assert looks.take_looks(charted, at_least=1, guesses=True) == (0, 0)
    assert sum(charted.expected_looks.values_list("share", flat=True)) == pytest.approx(1)


def test_nothing_that_the_staff_added_is_taken_out(charted):
    formation, concept = (
        Formation.objects.get(name="22-heavy", opponent=None),
        Concept.objects.get(name="iso", opponent=None),
    )
    charted.expected_looks.create(formation=formation, concept=concept, pinned=True)
    looks.take_looks(charted, at_least=2)
    mine = charted.expected_looks.get(formation=formation)
    assert mine.pinned
    assert 0 < mine.share < 0.02


def test_a_dropped_look_stays_out_until_it_is_brought_back(full):
    row = full.expected_looks.first()
    name = looks.look_name(row.formation, row.concept, row.to, row.zone, row.motion, row.back)
    looks.drop_look(full, name)
    assert name not in names(looks.count_week(full))
    looks.take_looks(full)
    assert name not in names(looks.count_week(full))
    looks.bring_back(full, name)
    assert name in names(looks.count_week(full))


def test_pinning_adds_and_puts_first(charted):
    name = looks.count_week(charted).lines[5].name
    looks.pin_look(charted, name, True)
    assert charted.expected_looks.get().pinned
    with pytest.raises(looks.NoSuchLook):
        looks.pin_look(charted, "no|such|look", True)


def test_the_sound_share_is_the_weight_of_what_is_sound():
    class Row:
        pk = 1

    def look(weight):
        return proof.Weighed(Row(), weight)

    open_lane = StoredVerdict("not sound", (Found("open-lane", "unsound", "The left B is open."),))
    deep = StoredVerdict("sound", (Found("post-vacated", "warning", "Nobody is deep."),))
    late = StoredVerdict("sound if on time", (Found("late", "warning", "Late."),))
    against = (
        (look(0.4), StoredVerdict("sound")),
        (look(0.05), StoredVerdict("sound", (Found("idle", "hint", "He could help."),))),
        (look(0.2), open_lane),
        (look(0.1), deep),
        (look(0.05), late),
        (look(0.2), StoredVerdict("", (), "cannot")),
    )
    mine = proof.CallProof("Base", against)
    assert mine.sound == pytest.approx(0.55 / 0.8)
    assert mine.on_time == pytest.approx(0.05 / 0.8)
    assert mine.warned == pytest.approx(0.1 / 0.8)
    fixes = proof.fix_first([mine])
    assert [fix.worth for fix in fixes] == pytest.approx([0.2, 0.025, 0.0125])


def test_each_call_is_weighed_as_the_engine_says(full):
    proofs = proof.prove_week(full)
    assert {p.call for p in proofs} == set(full.system.calls.values_list("name", flat=True))
    for p in proofs:
        again = proof.prove_week(full)
        assert next(q for q in again if q.call == p.call).sound == p.sound
    assert sum(look.weight for look in proof.weigh_looks(full)) == pytest.approx(1)


def broken(week):
    """Takes the rules of the outside backers away, so that something is open."""
    data = convert.system_dict(week.system)
    for owner in (*data["front"], *data["coverage"]):
        for rule in owner["fits"]:
            if rule["who"] == "MS":
                rule["fit"] = "stay in conflict"
                rule["when"] = ""
    week.system = convert.write_system(data, week.system)
    return week


def test_fixes_are_ordered_by_share_times_severity(full):
    fixes = proof.fix_first(proof.prove_week(broken(full)))
    assert fixes
    assert [fix.worth for fix in fixes] == sorted((fix.worth for fix in fixes), reverse=True)


def first_repair(week):
    for fix in proof.fix_first(proof.prove_week(week), most=40):
        if fix.result.state != "unsound":
            continue
        for mended in mending.find_repairs(week, fix.call, fix.look.row.pk):
            if mended.rules:
                return fix, mended
    pytest.fail("no look of this week can be repaired by a rule")


def test_a_repair_goes_into_the_weeks_variant_and_never_into_the_base(full):
    week = broken(full)
    base = week.system
    before = convert.system_dict(base)
    fix, mended = first_repair(week)
    cost = mending.weigh_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text)
    done = mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text)
    week = Week.objects.get(pk=week.pk)
    assert done.made_variant
    assert week.system == done.system != base
    assert week.system.base == base
    assert convert.system_dict(System.objects.get(pk=base.pk)) == before
    again = next(p for p in proof.prove_week(week) if p.call == fix.call)
    result = next(result for look, result in again.against if look.row.pk == fix.look.row.pk)
    assert result.band == mended.repair.look.band != fix.result.band
    assert {(c.call, c.look.row.pk) for c in done.changed} == {(c.call, c.look.row.pk) for c in cost.changed}
    saved = {rule.say for front in done.system.fronts.all() for rule in front.fitrules.all()}
    assert {rule.say for rule in mended.rules} <= saved, "the coach's sentence goes with the rule"


def test_the_price_of_a_repair_is_what_the_weeks_other_looks_become(full):
    week = broken(full)
    fix, mended = first_repair(week)
    cost = mending.weigh_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text)
    price = cost.weight.price
    others = [c for c in cost.changed if c.call == fix.call and c.look.row.pk != fix.look.row.pk]
    bands = [(c.before.band, c.after.band) for c in others if c.before.band != c.after.band]
    order = ["sound", "sound if on time", "not sound"]
    assert price.better == sum(order.index(now) < order.index(was) for was, now in bands)
    assert price.worse == sum(order.index(now) > order.index(was) for was, now in bands)
    answered = [r for p in proof.prove_week(week) if p.call == fix.call for _, r in p.against if r.band]
    assert price.looks == len(answered) - 1, "the look itself is not among the others"
    assert cost.weight.before.band == "not sound" and mended.repair.look.band != "not sound"


def test_the_coach_says_it_in_his_own_words(full):
    week = broken(full)
    fix, mended = first_repair(week)
    says = [f"my words {n}" for n, _ in enumerate(mended.rules)]
    done = mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text, says)
    saved = {rule.say for front in done.system.fronts.all() for rule in front.fitrules.all()}
    assert set(says) <= saved and not {rule.say for rule in mended.rules} & saved


def test_sentences_for_other_rules_than_the_repairs_change_nothing(full):
    week = broken(full)
    fix, mended = first_repair(week)
    with pytest.raises(mending.NoRepair):
        mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text, ["a"] * 9)
    assert not System.objects.filter(base=week.system).exists()


def test_a_second_repair_uses_the_same_variant(full):
    week = broken(full)
    fix, mended = first_repair(week)
    mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text)
    week = Week.objects.get(pk=week.pk)
    variant = week.system
    fix, mended = first_repair(week)
    done = mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text)
    assert not done.made_variant
    assert done.system == variant


def test_a_repair_that_is_not_the_one_that_was_seen_changes_nothing(full):
    week = broken(full)
    fix, mended = first_repair(week)
    with pytest.raises(mending.NoRepair):
        mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, "something else")
    assert Week.objects.get(pk=week.pk).system == week.system
    assert not System.objects.filter(base=week.system).exists()


def test_two_plans_side_by_side(full):
    week = broken(full)
    base = week.system
    fix, mended = first_repair(week)
    cost = mending.weigh_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text)
    variant = mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text).system
    sides = {side.call: side for side in proof.compare_plans(week, base, variant)}
    assert sides[fix.call].gain == pytest.approx(cost.gain)
    assert len(sides[fix.call].differs) == sum(change.call == fix.call for change in cost.changed)


def test_a_menu_is_suggested_by_situation_with_reasons(full):
    found = proof.suggest_menu(full, proof.prove_week(full))
    labels = [s.situation for s in found]
    assert "Down and distance: 1st & 10" in labels
    assert any(label.startswith("Field zone: red zone") for label in labels)
    first = found[labels.index("Down and distance: 1st & 10")]
    assert first.best[0][1] >= first.best[-1][1]
    assert f"{first.runs} runs were charted" in first.reason
    assert first.menu == {"down": 1, "distance_from": 10, "distance_to": 10}


def suggestion(runs=20, best=(("A", 0.9), ("B", 0.5)), passes=5, told=25):
    return proof.Suggestion("3rd & 7+", runs, told, best, {}, passes, told)


def test_a_tie_is_said_and_no_call_is_chosen_for_the_staff():
    tied = suggestion(best=(("A", 0.901), ("B", 0.899), ("C", 0.5)))
    assert tied.tied == tied.offered == ("A", "B")
    assert "A and B are sound against 90 % alike" in tied.reason
    assert suggestion().offered == ("A",)


@pytest.mark.parametrize(("runs", "passes"), [(2, 0), (7, 0), (2, 24), (20, 18)])
def test_nothing_is_suggested_from_too_few_runs_or_for_a_passing_down(runs, passes):
    silent = suggestion(runs=runs, passes=passes)
    assert silent.offered == ()
    assert ("too few" in silent.reason) or ("passing down" in silent.reason)


def test_what_share_of_the_charted_runs_the_proof_covers_stands_beside_it(as_staff, full):
    plays = [play for play in looks.week_plays(full) if play.run]
    covered = proof.week_covered(full, proof.prove_week(full))
    assert covered.runs == len(plays)
    assert 0 < covered.listed < covered.runs
    for name in ("weighed", "suggest", "compare"):
        page = as_staff.get(reverse(f"proof:{name}", args=[full.pk])).content.decode()
        assert f"of the {covered.percent} % of their charted runs" in page


def test_the_whole_menu_says_what_share_of_the_charted_runs_it_is_of(as_staff, charted, opponent):
    trips = Formation.objects.get(name="11-trips")
    opponent.formations.add(trips)
    opponent.concepts.add(*Concept.objects.filter(name__in=("power", "counter")))
    as_staff.post(reverse("proof:study-start", args=[charted.pk]))
    studies.work_on_study(studies.studies_of(charted.system).first().pk)
    runs = [play for play in looks.week_plays(charted) if play.run]
    listed = sum(play.formation == "11-trips" and play.concept in ("power", "counter") for play in runs)
    assert 0 < listed < len(runs)
    page = as_staff.get(reverse("proof:study", args=[charted.pk])).content.decode()
    assert f"({listed} of {len(runs)})" in page


# --- pages --------------------------------------------


def test_the_looks_page(as_staff, charted):
    address = reverse("proof:looks", args=[charted.pk])
    page = as_staff.get(address).content.decode()
    assert "Trips, flexed end" in page and "11-trips" not in page
    assert "smoothed a little" in page
    assert as_staff.post(reverse("proof:take", args=[charted.pk]), {"at_least": 2}).status_code == 303
    assert charted.expected_looks.count() > 3
    assert as_staff.post(reverse("proof:take", args=[charted.pk]), {"at_least": "many"}).status_code == 422
    row = charted.expected_looks.first()
    name = looks.look_name(row.formation, row.concept, row.to, row.zone, row.motion, row.back)
    for mark in ("pin", "unpin", "drop", "bring-back", "add"):
        answer = as_staff.post(reverse("proof:mark", args=[charted.pk]), {"look": name, "mark": mark})
        assert answer.status_code == 303, mark
    assert as_staff.post(reverse("proof:mark", args=[charted.pk]), {"look": "x", "mark": "add"}).status_code == 422
    assert as_staff.post(reverse("proof:mark", args=[charted.pk]), {"look": name, "mark": "eat"}).status_code == 404


@pytest.mark.parametrize(("snaps", "often"), [(4, 1), (300, 2)])
def test_of_a_short_chart_in_which_each_look_comes_once_every_one_is_offered(
    as_staff, week, read, opponent, snaps, often
):
    read(season(snaps))
    words.save_words(opponent, MEANINGS)
    counts = [line.expected.count for line in looks.count_week(week).lines]
    assert (max(counts) > 1) == (often == 2)
    page = as_staff.get(reverse("proof:looks", args=[week.pk])).content.decode()
    assert f'name="at_least" value="{often}"' in page


def test_marks_give_only_the_partial_to_htmx(as_staff, full):
    row = full.expected_looks.first()
    name = looks.look_name(row.formation, row.concept, row.to, row.zone, row.motion, row.back)
    answer = as_staff.post(
        reverse("proof:mark", args=[full.pk]), {"look": name, "mark": "pin"}, headers={"HX-Request": "true"}
    )
    page = answer.content.decode()
    assert page.lstrip().startswith('<div id="looks"')
    assert "<html" not in page


def test_from_fix_first_to_the_applied_repair(as_staff, full):
    week = broken(full)
    page = as_staff.get(reverse("proof:weighed", args=[week.pk])).content.decode()
    assert "of the expected runs" in page
    fix, mended = first_repair(week)
    where = {"pk": week.pk, "look": fix.look.row.pk, "call": week.system.calls.get(name=fix.call).pk}
    page = as_staff.get(reverse("proof:repairs", kwargs=where)).content.decode()
    assert "before and after drawn" in page and "<svg" not in page, "the list comes first"
    assert all(escape(rule.say) in page and f"Told to {rule.who}" in page for rule in mended.rules)
    one = reverse("proof:repair", kwargs=where | {"number": mended.number})
    part = as_staff.get(one, {"text": mended.text}, headers={"HX-Request": "true"})
    assert part.status_code == 200 and b"<html" not in part.content and part.content.count(b"<svg") == 2
    assert f"Over the looks of {escape(week)}:" in part.content.decode()
    assert b"A double ring marks" in part.content
    assert as_staff.get(one, {"text": "another"}).status_code == 409
    assert b"<html" in as_staff.get(one, {"text": mended.text}).content
    sent = {"number": mended.number, "text": mended.text}
    long = as_staff.post(reverse("proof:apply", kwargs=where), sent | {"say-0": "x" * 301})
    assert long.status_code == 422 and "300" in long.content.decode()
    assert not System.objects.filter(base=week.system).exists()
    says = {f"say-{n}": f"go there\n{n}" for n, _ in enumerate(mended.rules)}
    page = as_staff.post(reverse("proof:apply", kwargs=where), sent | says).content.decode()
    assert "The base system is as it was" in page
    variant = Week.objects.get(pk=week.pk).system
    assert variant.fitrules.filter(say="go there 0").exists()
    assert Week.objects.get(pk=week.pk).system.base == week.system
    answer = as_staff.post(reverse("proof:apply", kwargs=where), {"number": "77", "text": "x"})
    assert answer.status_code == 422
    assert "Nothing was changed" in answer.content.decode()
    page = as_staff.get(reverse("proof:compare", args=[week.pk])).content.decode()
    assert "% sound" in page


def test_a_look_that_is_sound_has_nothing_to_repair(as_staff, full):
    call = full.system.calls.first()
    for look in full.expected_looks.all():
        if mending.is_sound(full, call.name, look.pk):
            page = as_staff.get(reverse("proof:repairs", args=[full.pk, look.pk, call.pk])).content.decode()
            assert "By itself this look is sound" in page and "<form" not in page.split("<h1>")[1]
            return
    pytest.fail("no sound look in this week")


def test_a_suggestion_goes_on_the_menu_only_when_asked(as_staff, full):
    page = as_staff.get(reverse("proof:suggest", args=[full.pk])).content.decode()
    assert "A suggestion" in page
    assert not MenuCall.objects.filter(week=full).exists()
    offer = next(
        one for one in proof.suggest_menu(full, proof.prove_week(full)) if one.menu.get("down") == 1 and one.offered
    )
    sent = {"situation": offer.situation, "call": offer.offered[0]}
    as_staff.post(reverse("proof:menu-add", args=[full.pk]), sent)
    assert MenuCall.objects.get(week=full).down == 1
    as_staff.post(reverse("proof:menu-add", args=[full.pk]), {"situation": "nowhere"})
    assert MenuCall.objects.filter(week=full).count() == 1


@pytest.mark.parametrize("name", ["looks", "weighed", "suggest", "compare"])
def test_a_week_without_anything_opens(as_staff, week, name):
    week.opponent = None
    week.save()
    page = as_staff.get(reverse(f"proof:{name}", args=[week.pk]))
    assert page.status_code == 200 and "0 % sound" not in page.content.decode()
    assert not Alias.objects.exists()


def test_a_variant_has_the_men_of_its_base(full):
    week = broken(full)
    position = week.system.positions.get(name="M")
    man = Player.objects.create(first_name="Odo", last_name="Hask", number=50, ten_yd_s="1.70", forty_yd_s="4.90")
    RosterSpot.objects.create(player=man, position=position, order=0)
    fix, mended = first_repair(week)
    variant = mending.apply_repair(week, fix.call, fix.look.row.pk, mended.number, mended.text).system
    assert surroundings(variant.pk).roster == surroundings(week.system_id).roster
    assert "M" in surroundings(variant.pk).roster
