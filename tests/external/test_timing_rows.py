"""The timing model at the professional level against tracking data.

Source of the rows: open 10 Hz tracking of professional plays 2018-19 (public repository asonty/ngs_highlights), as
medians and quartiles computed from it; figures only, no data. The sample is long gains: rows it biases have a
tolerance beside them, which says how near the model is; all others must lie inside the quartiles.
"""

from math import hypot
from statistics import median

import pytest

import fits
from fits.derive.ball import Carry, under_centre
from fits.deriver import Deriver
from fits.offense.formation import Kind
from fits.spec import LookSpec
from fits.timeline.action import set_play
from fits.timeline.make import derive_timeline
from fits.timing import FIRST_S, PULL, PULL_FIRST_S, level_pace

LIB = fits.load_library()
PRO = level_pace("professional")
RUNS = [
    "inside-zone", "outside-zone", "power", "counter", "iso", "duo", "dart", "trap", "wham", "split-zone", "pin-pull",
    "buck-sweep",
]  # fmt: skip


def inside(value, low, high, near=0.0):
    assert low - near <= value <= high + near, f"{value:.2f} is not in [{low}, {high}] (tolerance {near})"


@pytest.fixture(scope="module")
def plays():
    """Backs' runs from every formation against two calls."""
    deriver, found = Deriver(), []
    for name in ("over-quarters", "odd-three-safety"):
        for formation in LIB.formations.values():
            for concept in RUNS:
                spec = LookSpec(call=LIB.call(name), formation=formation, concept=LIB.concept(concept), pace=PRO)
                try:
                    play = set_play(spec, deriver)
                except fits.FitsError:
                    continue
                way = play.courses[0].way
                if isinstance(way, Carry) and play.offense.by_role[way.role].kind is Kind.BACK:
                    found.append((play, way))
    assert len(found) > 400
    return found


@pytest.fixture(scope="module")
def backers_and_safeties():
    """Seconds to a speed of 1.5 yd/s and to 1 yd nearer the line, sampled at 10 Hz, of men who have a lane."""
    deriver = Deriver()
    out = {"backer": [], "backer one yard": [], "near": [], "deep": []}
    for name in ("over-quarters", "odd-three-safety", "under-cover-3", "okie-two-gap"):
        for formation in list(LIB.formations.values())[::2]:
            for concept in ("inside-zone", "power", "outside-zone"):
                spec = LookSpec(call=LIB.call(name), formation=formation, concept=LIB.concept(concept), pace=PRO)
                try:
                    t = derive_timeline(spec, deriver)
                except fits.FitsError:
                    continue
                places = {m.role: m.places[t.snap :] for m in t.men if m.side == "defense"}
                for d in t.look.defenders:
                    if d.lane is None or hypot(d.fit_x - d.x, d.fit_y - d.y) < 1.5:
                        continue
                    p = places[d.role]
                    fast = [i for i in range(1, len(p)) if hypot(p[i].x - p[i - 1].x, p[i].y - p[i - 1].y) > 0.15]
                    closer = [i for i in range(len(p)) if p[0].y - p[i].y > 1.0]
                    if d.group == "linebacker" and abs(d.x) < 4.0 and d.y > 2.5:
                        out["backer"] += [fast[0] / 10] if fast else []
                        out["backer one yard"] += [closer[0] / 10] if closer else []
                    elif d.group == "secondary" and fast:
                        out["deep" if d.y >= 9 else "near"].append(fast[0] / 10)
    return out


@pytest.mark.parametrize(("under", "row"), [(True, (1.30, 1.40)), (False, (1.10, 1.30))])
def test_snap_to_handoff(plays, under, row):
    inside(median(w.mesh_s for p, w in plays if under_centre(p.offense) is under), *row)


@pytest.mark.parametrize(("low", "high", "row", "near"), [
    (0.0, 3.2, (2.16, 2.51), 0.0),  # middle to guard
    (3.2, 5.2, (2.21, 2.70), 0.0),  # tackle
    (5.2, 99.0, (2.58, 3.21), 0.05),  # end
])  # fmt: skip
def test_snap_to_line_by_aim(plays, low, high, row, near):
    """Starred rows: long gains. By where the aim lies from the ball."""
    times = [p.look.threats[0].time_s for p, w in plays if low <= abs(w.aim_x) < high]
    inside(median(times), *row, near)


def test_where_and_how_fast_the_back_gets_the_ball(plays):
    normal = [(p, w) for p, w in plays if not w.rests]
    inside(median(-w.mesh.y for _, w in normal), 4.50, 5.30)
    back = PRO.speed("back")
    inside(back.speed_yd_s(1.30 - FIRST_S["back"]), 4.21, 5.69)


def test_the_carriers_run():
    back = PRO.speed("back")
    inside(back.time_to_s(10), 1.90, 2.30)
    inside(back.speed_yd_s(0.4) / 0.4, 5.15, 6.64)  # peak acceleration over 0.4 s
    inside(back.speed_yd_s(2.34 - FIRST_S["back"]), 6.08, 7.12)  # at the line, middle to guard (starred)


def test_the_first_movement_of_backers_and_safeties(backers_and_safeties):
    seen = backers_and_safeties
    assert all(len(times) > 20 for times in seen.values())
    inside(median(seen["backer"]), 0.50, 0.80)
    inside(median(seen["backer one yard"]), 1.00, 1.40)
    inside(median(seen["near"]), 0.50, 1.10)
    inside(median(seen["deep"]), 0.70, 1.30)


def test_the_first_movement_of_both_lines():
    for group, speed_yd_s, row in (("offensive line", 1.0, (0.20, 0.50)), ("line", 1.5, (0.40, 0.90))):
        speed = PRO.speed(group)
        inside(FIRST_S[group] + speed.time_to_s(speed.run_up_yd(speed_yd_s)), *row)


def test_a_pulling_guard():
    def over(yards):
        """Seconds to that much sideways; the way is longer by the dip off the line."""
        return PULL_FIRST_S + PULL.time_to_s(hypot(1.0, 0.9) + yards - 1.0)

    inside(over(1.56 - 0.5), 0.60, 0.70, 0.08)  # the centre has stepped half a yard towards him (assumption)
    inside(over(3.0), 1.20, 1.40)
    inside(over(5.0), 1.77, 2.32)
    inside(over(5.0) + PULL.time_to_s(3.0) - PULL.time_to_s(1.5), 1.90, 2.50)  # and up to the line
    assert PULL.v_yd_s == pytest.approx(4.11)


def test_a_fast_motion_man_at_the_snap():
    deriver = Deriver()
    for formation in ("11-doubles", "10-doubles"):
        spec = LookSpec(
            call=LIB.call("over-quarters"), formation=LIB.formation(formation), concept=LIB.concept("jet-sweep"),
            motion=LIB.motion("jet"), pace=PRO,
        )  # fmt: skip
        t = derive_timeline(spec, deriver)
        play = set_play(spec, deriver)
        places = next(m.places for m in t.men if m.side == "offense" and play.in_motion(m.role))
        a, b = places[t.snap - 1], places[t.snap]
        inside(hypot(b.x - a.x, b.y - a.y) / t.step_s, 6.24, 7.12, 0.3)
        inside(-b.y, 3.13, 3.62)


def test_a_sweep_by_a_receiver():
    """Starred, and of every kind of run by receivers, reverses too: the jet is by far the quickest of them."""
    spec = LookSpec(
        call=LIB.call("over-quarters"), formation=LIB.formation("11-doubles"), concept=LIB.concept("jet-sweep"),
        motion=LIB.motion("jet"), pace=PRO,
    )  # fmt: skip
    inside(Deriver().look(spec).threats[0].time_s, 3.14, 4.46, 1.40)


def test_splits_of_the_line():
    for formation in LIB.formations.values():
        x = {p.role: p.x for p in formation.players}
        inside(x["RG"] - x["C"], 1.42, 1.72)
        inside(x["RT"] - x["RG"], 1.42, 1.69) if "over" not in formation.name else None
