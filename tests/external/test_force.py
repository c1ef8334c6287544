"""Who forces, by coverage."""

import pytest

import fits
from fits.blocking.cast import plan_concept
from fits.defense.align import align_call
from fits.derive.pipeline import snap_offense
from fits.field import LEFT, RIGHT, Hash

LIB = fits.load_library()

# Source: published rules of thumb (secondary): cover 2: the corners; cover 3 sky: the safety where he comes down,
# cloud: the corner to the strength, elsewhere the man with curl and flat; quarters: the safeties. Sources differ on
# cover 1, so it is a staff's own setting.
RULES = [
    ("okie-two-gap", {"CB"}, "both"),
    ("over-quarters-two", {"CB"}, "both"),
    ("under-cover-3", {"SS"}, "SS"),
    ("under-cover-3-cloud", {"CB"}, "strength"),
    ("okie-two-gap-sky", {"SS"}, "SS"),
    ("over-quarters", {"SS", "FS"}, "both"),
]
SPREAD_OUT = ["10-doubles", "11-doubles", "20-split", "11-ace", "21-pro-i"]


def force_players(alignment, side):
    return {d.position for d in alignment.men if d.force and d.side is side}


@pytest.mark.parametrize("hash_", [Hash.LEFT, Hash.RIGHT])
@pytest.mark.parametrize("formation", SPREAD_OUT)
@pytest.mark.parametrize(("call", "men", "where"), RULES)
def test_the_coverages_force_player(call, men, where, formation, hash_):
    offense = snap_offense(LIB.formation(formation), hash_=hash_).offense
    alignment = align_call(LIB.call(call), offense)
    one = {"strength": alignment.strength} | {d.name: d.side for d in alignment.men}
    sides = (LEFT, RIGHT) if where == "both" else (one[where],)
    for side in sides:
        assert force_players(alignment, side) & men, side.word
    for side in (LEFT, RIGHT):  # elsewhere at least the curl/flat man is there to do it
        assert force_players(alignment, side) or any(d.side is side and "flat" in d.takes for d in alignment.men)


@pytest.mark.parametrize("call", ["okie-two-gap", "over-quarters", "over-quarters-two"])
def test_and_nobody_elses_man(call):
    """Cover 2 leaves the safeties deep; quarters leaves the corners on the receivers unless one is attached."""
    offense = snap_offense(LIB.formation("10-doubles")).offense
    alignment = align_call(LIB.call(call), offense)
    wanted = {"SS", "FS"} if call == "over-quarters" else {"CB"}
    assert {d.position for d in alignment.men if d.force} == wanted


@pytest.mark.parametrize("concept", ["outside-zone", "pin-pull"])
@pytest.mark.parametrize(("call", "men", "where"), RULES)
def test_a_wide_run_has_its_force_outside_or_is_found_out(call, men, where, concept):
    offense = snap_offense(LIB.formation("11-doubles")).offense
    side = plan_concept(LIB.concept(concept), offense, RIGHT).play
    look = fits.derive_look(LIB.call(call), LIB.formation("11-doubles"), LIB.concept(concept), to=side)
    edge = look.lanes[-1]
    outside = {look.defender(r).leverage for r in edge.owners} - {"spill", "inside", "hip", "head up"}
    free = {
        d.role for d in look.defenders
        if d.lane is None and d.side is side and (d.position in men or d.leverage in ("force", "overlap", "alley"))
    }  # fmt: skip
    assert bool(outside or free) != any(f.code == "no-force" and f.lane == edge.index for f in look.findings)


def test_up_to_nine_in_the_run_fit_of_quarters():
    """Source: the same rules of thumb: with safeties who force, up to nine men fit the run.

    Nine are all but two corners, who stay with the receivers out wide; a corner with nobody out wide is one more.
    """
    for formation in LIB.formations.values():
        for made in fits.derive_matrix(
            [LIB.call("over-quarters")], [formation], [LIB.concept("power")], flips=(False,)
        ):
            if isinstance(made, fits.Look) and len(made.lanes) <= 8:
                home = sum(d.position == "CB" and d.lane is not None for d in made.defenders)
                assert home <= 1 and sum(d.lane is not None for d in made.defenders) <= 9 + home
