"""The timeline: everybody somewhere in every frame, nobody faster than he can run, in time exactly as the look says."""

import json
from itertools import pairwise
from math import ceil, hypot
from pathlib import Path

import jsonschema
import pytest

import fits
from fits.deriver import Deriver
from fits.field import LEFT, RIGHT
from fits.notation.timeline_json import timeline_json
from fits.spec import LookSpec
from fits.terms import Step
from fits.timeline.action import set_play
from fits.timeline.make import derive_timeline
from fits.timing import PULL

LIB = fits.load_library()
SCHEMA = json.loads((Path(fits.__file__).parent / "notation" / "timeline.schema.json").read_text(encoding="utf-8"))
CALLS = list(LIB.calls.values())


def specs():
    """A run from every formation, with and without motions, every concept at least once."""
    concepts = list(LIB.concepts.values())
    for i, formation in enumerate(LIB.formations.values()):
        for j in range(i % 3, len(concepts), 3):
            motion = (None, "jet", None, "across", "orbit")[(i + j) % 5]
            yield LookSpec(
                call=CALLS[(i * 5 + j) % len(CALLS)], formation=formation, concept=concepts[j],
                to=(LEFT, RIGHT)[(i + j) % 2], motion=None if motion is None else LIB.motion(motion),
                flip=bool(j % 2),
            )  # fmt: skip


def made():
    deriver = Deriver()
    for spec in specs():
        try:
            yield set_play(spec, deriver), derive_timeline(spec, deriver)
        except fits.FitsError:
            continue


@pytest.fixture(scope="module")
def timelines():
    found = list(made())
    assert len(found) > 150 and sum(t.snap > 0 for _, t in found) > 20
    assert {t.look.concept for _, t in found} >= set(LIB.concepts) - {"jet-sweep"}
    return found


def steps(places):
    return [hypot(b.x - a.x, b.y - a.y) for a, b in pairwise(places)]


def test_twenty_two_men_and_the_ball_in_every_frame(timelines):
    for _, t in timelines:
        assert [m.side for m in t.men].count("offense") == [m.side for m in t.men].count("defense") == 11
        assert {len(m.places) for m in t.men} == {len(t.ball)} == {len(t.holder)}
        assert t.start_s == pytest.approx(-t.snap * t.step_s)
        assert 0 <= t.snap == t.stills["snap"] < t.stills["read"] <= t.stills["fit"] < len(t.ball)


def test_nobody_is_faster_than_he_can_be(timelines):
    """From a stand at the snap a sprint bounds every step; the man in motion and pullers have their own top speed."""
    for play, t in timelines:
        for man in t.men:
            offense = man.side == "offense"
            player = play.offense.by_role[man.role] if offense else None
            speed = play.speed(player) if offense else play.defender_speed(man.role)
            if offense and play.jobs[man.role].step is Step.PULL and play.jobs[man.role].verb.moves:
                speed = PULL
            for k, step in enumerate(steps(man.places), start=1):
                time_s = (k - t.snap) * t.step_s
                moving = (offense and play.in_motion(man.role)) or time_s <= 0
                top = speed.v_yd_s if moving else speed.speed_yd_s(time_s)
                assert step <= top * t.step_s + 1e-6, (t.look.concept, t.look.formation, man.role, time_s)


def test_a_look_stands_at_the_snap_where_it_is_drawn(timelines):
    for _, t in timelines:
        offense = {p.role: (p.x, p.y) for p in t.look.offense}
        defense = {d.role: (d.x, d.y) for d in t.look.defenders}
        for man in t.men:
            where = (offense if man.side == "offense" else defense)[man.role]
            assert man.places[t.snap] == pytest.approx(where, abs=1e-9)


def test_who_has_a_lane_is_at_his_fit_at_his_arrival_and_not_before(timelines):
    checked = 0
    for _, t in timelines:
        places = {m.role: m.places for m in t.men if m.side == "defense"}
        for d in t.look.defenders:
            if d.lane is None:
                continue
            assert t.arrivals_s[d.role] == d.arrival_s
            there = t.snap + ceil(d.arrival_s / t.step_s - 1e-6)
            reach = max(0.7, 1e-9)  # an arm's length
            from_start = hypot(d.fit_x - d.x, d.fit_y - d.y)
            if there < len(t.ball):
                at = places[d.role][there]
                assert hypot(at.x - d.fit_x, at.y - d.fit_y) <= reach + 1e-3 or from_start <= reach
            early = t.snap + int(d.arrival_s / t.step_s) - 1
            if t.snap <= early < len(t.ball) and from_start > 2.0 and not d.path:
                at = places[d.role][early]
                assert hypot(at.x - d.fit_x, at.y - d.fit_y) > reach
                checked += 1
    assert checked > 300


def test_the_ball_is_at_the_line_when_the_look_says_and_never_jumps(timelines):
    for _, t in timelines:
        threat, first = t.look.threats[0], t.snap
        assert max(steps(t.ball)) < 2.6
        assert t.holder[-1] == threat.role and t.holder[first] is None
        if threat.lane is None:
            continue
        before, after = (t.ball[first + round(s / t.step_s)] for s in (threat.time_s - 0.15, threat.time_s + 0.15))
        assert before.y < 0.05 and after.y > -0.05, (t.look.concept, t.look.formation, before, after)


def test_the_json_keeps_to_its_schema(timelines):
    for _, t in timelines[::9]:
        data = timeline_json(t)
        jsonschema.validate(data, SCHEMA)
        assert {len(m["x"]) for m in data["men"]} == {data["frames"]} == {len(data["ball"]["holder"])}


def test_a_man_in_motion_gets_no_faster_than_his_run_up_lets_him(timelines):
    seen = 0
    for play, t in timelines:
        if not t.snap:
            continue
        places = next(m.places for m in t.men if m.side == "offense" and play.in_motion(m.role))
        speeds = [s / t.step_s for s in steps(places[: t.snap + 1])]
        assert max(speeds) <= play.spec.pace.motion_yd_s("full") + 1e-6
        # corners are rounded: a little slower in them
        assert all(after > before - 0.5 for before, after in pairwise(speeds))
        seen += 1
    assert seen > 20
