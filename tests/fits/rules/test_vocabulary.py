"""Phrases of conditions and fit targets, each on a look where it holds and one where it does not."""

import pytest

import fits
from fits.field import LEFT, RIGHT

LIB = fits.load_library()


def only_first(name):
    """The file shape of a system cut down to its first call."""
    data = LIB.systems[name].as_dict()
    return data | {part: data[part][:1] for part in ("front", "coverage", "call")}


def with_first_rule(name, part, who, when, fit):
    """The first call of a system with one rule put before all others of that part (front or coverage)."""
    data = only_first(name)
    data[part][0]["fits"].insert(0, {"id": "NEW", "who": who, "when": when, "fit": fit, "say": "a rule under test"})
    if part == "coverage":  # coverage rules come after the front's; the man must not have one there
        assert all(who not in r["who"].split(", ") for r in data["front"][0]["fits"])
    return fits.build_system(data, "test", schemes=LIB.schemes).calls()[name]


def derive(call, formation, concept, **how):
    options = tuple(LIB.option(o) for o in how.pop("options", ()))
    return fits.derive_look(call, LIB.formation(formation), LIB.concept(concept), options=options, **how)


def fired(call, formation, concept, who, **how):
    """True when the rule under test fired for that man."""
    return derive(call, formation, concept, **how).defender(who).rule.id == "NEW"


# --- conditions -------------------------------------------------------------------------------------------------------


def test_kicked_is_a_block_out_by_a_man_who_moves():
    call = with_first_rule("over-quarters", "front", "E", "kicked", "free")
    assert fired(call, "11-h-back", "split-zone", "left E", to=RIGHT)  # outside his tackle: H crosses and kicks him
    assert not fired(call, "11-h-back", "split-zone", "right E", to=RIGHT)
    inside = with_first_rule("odd-three-safety", "front", "E", "kicked", "free")
    assert not fired(inside, "11-h-back", "split-zone", "left E", to=RIGHT)  # a 4i is the tackle's


def test_kicked_is_not_a_crack_nor_a_lead_through_a_gap():
    end = with_first_rule("over-quarters", "front", "E", "kicked", "free")
    crack = derive(end, "10-doubles", "toss-crack", to=RIGHT)
    assert next(b.on for b in crack.blocks if b.step == "crack") == "right E"
    assert crack.defender("right E").rule.id != "NEW"
    backers = with_first_rule("over-quarters", "front", "M, W", "kicked", "free")
    iso = derive(backers, "21-pro-i", "iso", to=RIGHT)
    led_on = next(b.on for b in iso.blocks if b.role == "F")
    assert led_on in ("M", "W") and iso.defender(led_on).rule.id != "NEW"


@pytest.mark.parametrize(
    ("concept", "formation", "holds"), [("iso", "21-pro-i", True), ("inside-zone", "10-doubles", False)]
)
def test_open_beside_a_lead(concept, formation, holds):
    call = with_first_rule("odd-three-safety", "coverage", "MS", "open beside the lead", "off the lead else open lane")
    assert fired(call, formation, concept, "MS", to=RIGHT) == holds


def test_open_beside_a_lead_is_over_when_both_lanes_have_somebody():
    data = only_first("odd-three-safety")
    data["front"][0]["fits"][:0] = [
        {"id": "IN", "who": "N", "when": "", "fit": "inside the lead"},
        {"id": "OUT", "who": "M", "when": "", "fit": "outside the lead else free"},
    ]
    data["coverage"][0]["fits"].insert(
        0, {"id": "NEW", "who": "MS", "when": "open beside the lead", "fit": "open lane"}
    )
    data["front"][0]["fits"] = [
        r for r in data["front"][0]["fits"] if r["id"] in ("IN", "OUT") or r["who"] not in ("N", "M")
    ]
    data["front"][0]["fits"].append({"id": "LAST", "who": "N, M", "when": "", "fit": "free"})
    call = fits.build_system(data, "test", schemes=LIB.schemes).calls()["odd-three-safety"]
    assert not fired(call, "21-pro-i", "iso", "MS", to=RIGHT)


def test_quarterback_is_open_when_nobody_fits_where_he_would_keep():
    call = with_first_rule("odd-three-safety", "coverage", "MS", "quarterback is open", "quarterback")
    assert fired(call, "10-doubles", "inside-zone-rpo", "MS", to=LEFT)  # the man outside is in conflict: nobody there
    assert not fired(call, "11-doubles", "zone-read", "MS", to=LEFT)  # the end beside the tight end has him
    assert not fired(call, "10-doubles", "inside-zone", "MS", to=LEFT)  # nobody can keep it


@pytest.mark.parametrize(("where", "to", "holds"), [
    ("play", RIGHT, True), ("play", LEFT, False), ("back", LEFT, True), ("back", RIGHT, False),
    ("eyes", LEFT, True), ("eyes", RIGHT, False),
])  # fmt: skip
def test_tight_end_by_the_side_of_the_play(where, to, holds):
    """11-doubles has its tight end on the right; on a zone read the eyes are behind the play."""
    call = with_first_rule("odd-three-safety", "coverage", "MS", f"tight end on the {where} side", "free")
    assert fired(call, "11-doubles", "zone-read", "MS", to=to) == holds


def test_i_am_the_force_follows_the_coverage():
    data = LIB.systems["okie-two-gap"].as_dict()
    data["front"][0]["fits"].insert(0, {"id": "NEW", "who": "J", "when": "I am the force", "fit": "force"})
    calls = fits.build_system(data, "test", schemes=LIB.schemes).calls()
    assert not fired(calls["okie-two-gap"], "11-doubles", "inside-zone", "J", to=RIGHT)  # the corners force
    assert fired(calls["okie-two-gap-sky"], "11-doubles", "inside-zone", "J", to=RIGHT)


# --- targets ----------------------------------------------------------------------------------------------------------


def empty_but(who, fit):
    """A call in which only `who` fits, everybody else is free."""
    data = only_first("odd-three-safety")
    names = ", ".join(r["name"] for r in data["role"] if r["name"] != who)
    data["front"][0]["fits"] = [
        {"id": "NEW", "who": who, "when": "", "fit": fit}, {"id": "REST", "who": names, "when": "", "fit": "free"},
    ]  # fmt: skip
    data["coverage"][0]["fits"] = []
    return fits.build_system(data, "test", schemes=LIB.schemes).calls()["odd-three-safety"]


@pytest.mark.parametrize(("fit", "who", "to", "lane"), [
    ("scrape or cutback", "W", RIGHT, "right A"), ("scrape or cutback", "W", LEFT, "left A"),
    ("open lane on my side", "S", LEFT, "right A"), ("open lane on my side", "W", RIGHT, "left A"),
    ("open lane to the play side", "MS", RIGHT, "right A"), ("open lane to the play side", "MS", LEFT, "left A"),
    ("open B gap", "S", LEFT, "right B"), ("open A gap", "M", LEFT, "left A"), ("open A gap", "M", RIGHT, "right A"),
])  # fmt: skip
def test_targets_with_every_lane_open(fit, who, to, lane):
    """10-doubles: S lines up on the right, W on the left."""
    look = derive(empty_but(who, fit), "10-doubles", "inside-zone", to=to)
    assert look.lanes[look.defender(who).lane].name == lane


def filled(first, who, fit):
    """As above, with other men in given gaps: {who: fit}."""
    data = only_first("odd-three-safety")
    rows = [{"id": f"R{i}", "who": w, "when": "", "fit": f} for i, (w, f) in enumerate(first.items())]
    rest = ", ".join(r["name"] for r in data["role"] if r["name"] not in (*first, who))
    rows += [{"id": "NEW", "who": who, "when": "", "fit": fit}, {"id": "REST", "who": rest, "when": "", "fit": "free"}]
    data["front"][0]["fits"], data["coverage"][0]["fits"] = rows, []
    return fits.build_system(data, "test", schemes=LIB.schemes).calls()["odd-three-safety"]


FRONT_FULL = {"N": "frontside A", "M": "frontside B", "S": "frontside C"}


def test_scrape_or_cutback_falls_back_behind_the_ball():
    look = derive(filled(FRONT_FULL, "W", "scrape or cutback"), "10-doubles", "inside-zone", to=RIGHT)
    assert look.lanes[look.defender("W").lane].name == "left A"
    plain = derive(filled(FRONT_FULL, "W", "scrape"), "10-doubles", "inside-zone", to=RIGHT)
    assert plain.defender("W").lane is None and plain.defender("W").duty == "free"


def test_open_lane_to_the_play_side_falls_back_behind_the_ball():
    look = derive(filled(FRONT_FULL, "MS", "open lane to the play side"), "10-doubles", "inside-zone", to=RIGHT)
    assert look.lanes[look.defender("MS").lane].name == "left A"


def test_open_lane_on_my_side_leaves_the_other_side_alone():
    look = derive(filled(FRONT_FULL, "SS", "open lane on my side"), "10-doubles", "inside-zone", to=RIGHT)
    assert look.defender("SS").lane is None and look.defender("SS").fit == "alley"


def test_open_a_gap_is_the_one_that_is_left():
    look = derive(filled({"N": "frontside A"}, "M", "open A gap"), "10-doubles", "inside-zone", to=RIGHT)
    assert look.lanes[look.defender("M").lane].name == "left A"
    full = filled({"N": "frontside A", "E": "backside A"}, "M", "open A gap else free")
    assert derive(full, "10-doubles", "inside-zone", to=RIGHT).defender("M").lane is None


def test_a_two_gap_man_squeezes_the_next_blocker_when_his_own_pulls():
    look = derive(LIB.call("okie-two-gap"), "10-doubles", "dart", to=RIGHT)
    assert next(b.step for b in look.blocks if b.role == "LT") == "pull"
    lane = look.lanes[look.defender("left E").lane]
    assert "LG" in (lane.left, lane.right)


@pytest.mark.parametrize(("to", "lane"), [(RIGHT, "right B"), (LEFT, "left B")])
def test_a_gap_of_a_man_over_the_ball_is_on_the_play_side(to, lane):
    look = derive(empty_but("M", "B gap"), "10-doubles", "inside-zone", to=to)
    assert look.lanes[look.defender("M").lane].name == lane
