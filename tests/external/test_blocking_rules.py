"""What each concept's blockers do, as coaching-clinic articles have it (read in secondary sources)."""

import itertools

import pytest

import fits
from fits.field import LEFT, RIGHT
from tests.fits.plays import LIB

# Looks of a concept over every call, some formations it fits, both directions.
PLACES = {
    "one back": ("11-doubles", "11-ace", "11-trips", "12-two-tight"),
    "two backs": ("21-pro-i", "21-offset", "22-heavy"),
    "wide": ("10-doubles", "10-trips", "11-doubles"),
    "h": ("11-h-back", "12-h-back", "12-wing"),
}


def looks(concept, *places):
    found = []
    for name in itertools.chain.from_iterable(PLACES[p] for p in places):
        for made in fits.derive_matrix(
            LIB.calls.values(), [LIB.formation(name)], [LIB.concept(concept)], flips=(False,)
        ):
            if isinstance(made, fits.Look) and not any(d.path for d in made.defenders):  # articles draw men who stay
                found.append(made)
    assert found
    return found


def jobs(look):
    """Blocks by what a man is called on the play: play guard, back tackle, ..."""
    out = {"centre": next(b for b in look.blocks if b.role == "C")}
    for word, side in (("play", look.to), ("back", look.to.other)):
        letter = "L" if side is LEFT else "R"
        for name in ("guard", "tackle"):
            out[f"{word} {name}"] = next(b for b in look.blocks if b.role == letter + name[0].upper())
    return out


def spots(look):
    return {d.role: (d.x, d.y) for d in look.defenders}


def covering(look, block):
    """Defenders at the line within a man's width of that blocker."""
    return [r for r, (x, y) in spots(look).items() if y <= 2.2 and abs(x - block.start_x) <= 0.85]


def kicks_the_end(look, block, side):
    """True when he has a man at the line on that side whom nobody else blocks; with none there, one in the alley; with
    nobody to kick he turns up on a backer."""
    others = {b.on for b in look.blocks if b.role != block.role}
    line = [(x * side, r) for r, (x, y) in spots(look).items() if y <= 2.2 and x * side > 2.4 and r not in others]
    if line:
        return block.on in [r for _, r in line]
    alley = [r for r, (x, y) in spots(look).items() if 3.4 < x * side < 10.5 and 2.2 < y <= 8.5 and r not in others]
    return block.on in alley if alley else block.on is None or at_the_second_level(look, block)


def at_the_second_level(look, block):
    return block.on is not None and spots(look)[block.on][1] > 2.2


# --- zone ---------------------------------------------------------------------------------------------------


def test_inside_zone_covered_men_block_and_uncovered_men_go_on_to_a_linebacker():
    covered = uncovered = 0
    for look in looks("inside-zone", "one back", "wide"):
        line = [b for b in look.blocks if b.role in ("LT", "LG", "C", "RG", "RT")]
        for b in line:
            over = covering(look, b)
            left = {m.name for m in look.left_alone}  # a back side end, when his tackle doubles inside
            if len(over) == 1 and over[0] not in left and not any(o.on == over[0] for o in look.blocks if o is not b):
                assert b.on == over[0]
                covered += 1
            if not any(y <= 2.2 and abs(x - b.start_x) < 1.45 for x, y in spots(look).values()):
                helping = any(o.on == b.on for o in look.blocks if o is not b)
                assert b.on is None or at_the_second_level(look, b) or helping
                uncovered += 1
    assert covered > 50 and uncovered > 20


def test_inside_zone_steps_to_the_play_side():
    for look in looks("inside-zone", "one back"):
        assert {b.step for name, b in jobs(look).items() if name.startswith("play")} == {"out"}
        assert {b.step for name, b in jobs(look).items() if name.startswith("back")} == {"in"}


def test_split_zone_sends_a_tight_end_or_h_across_to_kick_the_backside_end():
    for look in looks("split-zone", "one back", "h"):
        crosser = [b for b in look.blocks if b.step == "cross"]
        assert len(crosser) == 1
        assert {p.role: p.kind.value for p in look.offense}[crosser[0].role] in ("tight end", "back")
        assert crosser[0].x * look.to < 0
        assert kicks_the_end(look, crosser[0], look.to.other)


def test_outside_zone_aims_outside_everybody():
    for look in looks("outside-zone", "one back", "wide"):
        edge = 0 if look.to is LEFT else len(look.lanes) - 1
        assert look.threats[0].lane == edge
        assert not [b for b in look.blocks if b.step == "pull"]


# --- gap schemes --------------------------------------------------------------------------------------------


def test_power_centre_back_and_the_backside_guard_pulls():
    for look in looks("power", "one back", "two backs"):
        job = jobs(look)
        assert job["back guard"].step == "pull" and job["back guard"].x * look.to > 0
        assert job["play guard"].step == job["play tackle"].step == "in"
        centre = spots(look)[job["centre"].on]
        assert centre[1] > 2.2 or centre[0] * look.to <= 0.35
        assert [b.role for b in look.blocks if b.step == "pull"] == [job["back guard"].role]


def test_two_back_power_the_fullback_kicks_the_end_and_the_guard_is_for_the_linebacker():
    for look in looks("power", "two backs"):
        guard = jobs(look)["back guard"]
        kick = [b for b in look.blocks if b.does == "kick"]
        assert [b.role for b in kick] == ["F"]
        assert kicks_the_end(look, kick[0], look.to)
        assert guard.does == "pull and wrap" and at_the_second_level(look, guard)


def test_counter_the_guard_kicks_and_the_tackle_wraps():
    for look in looks("counter", "one back"):
        job = jobs(look)
        assert job["back guard"].does == "pull and kick" and kicks_the_end(look, job["back guard"], look.to)
        assert job["back tackle"].does == "pull and wrap"
        assert abs(job["back tackle"].x) < abs(job["back guard"].x)  # he turns up inside the kick


def test_counter_with_an_h_the_h_wraps_and_the_tackle_stays():
    for look in looks("counter-h", "two backs"):
        wrap = next(b for b in look.blocks if b.does == "cross and wrap")
        assert wrap.role in ("F", "Y", "U", "H")
        assert jobs(look)["back tackle"].step != "pull" and jobs(look)["back guard"].step == "pull"


def test_iso_doubles_by_front_and_the_fullback_is_on_the_linebacker():
    fronts = set()
    for look in looks("iso", "two backs"):
        job = jobs(look)
        odd = any(abs(x) < 0.6 and y <= 2.2 for x, y in spots(look).values())
        fronts.add(odd)
        assert job["centre"].does == "double"
        # odd: play-side guard and centre, both guards step in; even: centre and back guard
        assert job["play guard"].does.startswith("double") is odd
        assert (job["back guard"].does == "double") is not odd
        if odd:
            assert job["play guard"].on == job["centre"].on
            assert job["play guard"].step == job["back guard"].step == "in"
        lead = next(b for b in look.blocks if b.does == "lead through the bubble")
        assert at_the_second_level(look, lead)
    assert fronts == {True, False}


def test_duo_has_doubles_and_no_puller():
    doubled = 0
    for look in looks("duo", "one back"):
        assert not [b for b in look.blocks if b.step in ("pull", "cross")]
        on = [b.on for b in look.blocks if b.on and spots(look)[b.on][1] <= 2.2]
        doubled += len(on) > len(set(on))
    assert doubled > 20


def test_trap_takes_the_first_lineman_past_the_centre():
    """The man on or just outside the guard; wider than that the play is checked off, so every trap has its man."""
    for look in looks("trap", "one back", "wide"):
        guard = jobs(look)["back guard"]
        assert guard.step == "pull"
        line = sorted(x * look.to for x, y in spots(look).values() if y <= 2.2 and x * look.to > 1.3)
        assert spots(look)[guard.on][0] * look.to == pytest.approx(line[0])
        assert [b.role for b in look.blocks if b.on == guard.on] == [guard.role]  # nobody else touches him


def test_wham_traps_an_interior_lineman_with_a_tight_end_or_h():
    for look in looks("wham", "h"):
        trap = next(b for b in look.blocks if b.does == "cross and trap")
        assert {p.role: p.kind.value for p in look.offense}[trap.role] == "tight end"
        x, y = spots(look)[trap.on]
        assert y <= 2.2 and abs(x) < 2.7


# --- the perimeter ------------------------------------------------------------------------------------------


def test_pin_and_pull_pins_men_shaded_inside_and_the_uncovered_pull():
    pulled = 0
    for look in looks("pin-pull", "one back"):
        for b in (jobs(look)["play guard"], jobs(look)["play tackle"]):
            # inside him, up to head up on the next man; a nose stays the centre's
            inside = any(
                y <= 2.2 and 0.15 < (b.start_x - x) * look.to < 1.65 and abs(x) > 0.3 for x, y in spots(look).values()
            )
            assert (b.does == "pin") is inside
            pulled += b.step == "pull"
    assert pulled > 20


def test_buck_sweep_the_play_side_guard_kicks_and_the_backside_guard_leads():
    for look in looks("buck-sweep", "two backs"):
        job = jobs(look)
        assert job["play guard"].does == "pull and kick" and job["back guard"].step == "pull"
        assert job["play guard"].x * look.to > job["back guard"].x * look.to
        backs = [b for b in look.blocks if {p.role: p.kind.value for p in look.offense}[b.role] == "back"]
        assert "fake" in {b.does for b in backs}


def test_toss_with_a_crack_a_receiver_cracks_and_a_tackle_pulls():
    for look in looks("toss-crack", "wide"):
        crack = [b for b in look.blocks if b.step == "crack"]
        assert len(crack) == 1 and abs(crack[0].start_x) > abs(crack[0].x)
        assert jobs(look)["play tackle"].step == "pull"


# --- options ------------------------------------------------------------------------------------------------


def test_power_read_leaves_the_play_side_end_and_pulls_the_guard():
    read = 0
    for look in looks("power-read", "wide"):
        ends = [(x * look.to, r) for r, (x, y) in spots(look).items() if y <= 2.2 and x * look.to > 3.2]
        if not ends:
            continue  # the last man is inside the tackle and blocked down: the man read stands off the line
        read += 1
        end = max(ends)[1]
        assert end not in {
            b.on for b in look.blocks if b.role in ("C", *(j.role for n, j in jobs(look).items() if "play" in n))
        }
        assert jobs(look)["back guard"].step == "pull"
        assert {t.kind for t in look.threats} == {"sweep", "keep"}
    assert read > 10


def test_veer_has_a_dive_a_keep_and_with_a_second_back_a_pitch():
    assert {t.kind for look in looks("veer", "two backs") for t in look.threats} == {"dive", "keep", "pitch"}
    for look in looks("veer", "wide"):
        assert [t.kind for t in look.threats][:2] == ["dive", "keep"]


def test_a_linemans_first_step_is_what_his_block_says():
    words = {
        "pull and kick": "pull",
        "pull and wrap": "pull",
        "pull around": "pull",
        "down": "in",
        "cross and kick": "cross",
    }
    for concept in ("power", "counter", "split-zone", "buck-sweep"):
        for look in looks(concept, "one back"):
            for b in look.blocks:
                wanted = words.get(b.does.removesuffix(" on the back side"))
                assert wanted in (None, b.step)


def test_both_directions_were_looked_at():
    assert {look.to for look in looks("power", "one back")} == {LEFT, RIGHT}
