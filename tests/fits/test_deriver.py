"""One deriver gives what a derivation alone gives, whatever it was asked before."""

import pickle
import random

import pytest

import fits
from fits.deriver import Deriver
from fits.field import LEFT, RIGHT, Hash

LIB = fits.load_library()
MOTIONS = (None, *LIB.motions.values())
OPTIONS = ((), *((option,) for option in LIB.options.values()))


def specs(seed, count=150):
    """Looks at random, in no order, so that what is kept of one meets another."""
    rng = random.Random(seed)
    calls, formations, concepts = (list(t.values()) for t in (LIB.calls, LIB.formations, LIB.concepts))
    return [
        fits.LookSpec(
            call=rng.choice(calls[:6]), formation=rng.choice(formations[:8]), concept=rng.choice(concepts[:8]),
            to=rng.choice((LEFT, RIGHT, None)), flip=rng.random() < 0.5, hash=rng.choice(list(Hash)),
            motion=rng.choice(MOTIONS) if rng.random() < 0.3 else None,
            options=rng.choice(OPTIONS) if rng.random() < 0.3 else (),
            first_steps={"RG": "pull"} if rng.random() < 0.1 else None,
        )
        for _ in range(count)
    ]  # fmt: skip


def alone(spec):
    try:
        return Deriver().look(spec)
    except fits.FitsError as error:
        return str(error)


@pytest.mark.parametrize("kept", [1, 3, 64])
def test_what_is_shared_changes_nothing(kept):
    deriver, asked = Deriver(kept), specs(kept)
    made = [m if isinstance(m, fits.Look) else str(m) for m in deriver.looks(asked)]
    assert made == [alone(spec) for spec in asked]
    assert sum(isinstance(m, fits.Look) for m in made) > 40


def test_a_verdict_is_what_the_look_says():
    deriver = Deriver()
    bands = set()
    for spec in specs(7):
        look = alone(spec)
        if isinstance(look, fits.Look):
            verdict = deriver.verdict(spec)
            assert (verdict.band, verdict.codes) == (look.band, tuple(f.code for f in look.findings))
            assert verdict.sound == look.sound
            bands.add(verdict.band)
    assert len(bands) > 1


def test_memory_is_bounded_by_the_offenses_kept():
    deriver = Deriver(kept=2)
    first, *rest = specs(3, 40)
    snap = None
    for spec in (first, first):
        try:
            snap, before = deriver.snap(spec), snap
        except fits.FitsError:
            pytest.skip("not an offense")
    assert snap is before  # kept
    list(deriver.looks(rest))
    assert len(deriver._standings) == 2
    assert deriver.snap(first) is not snap  # gone, and made again
    deriver.forget()
    assert not deriver._standings


def test_an_error_is_kept_and_says_the_same_again():
    offside = LIB.formation("10-doubles")
    bad = fits.build_formation(offside.as_dict() | {"players": [p | {"y": -5} for p in offside.as_dict()["players"]]})
    deriver = Deriver()
    spec = fits.LookSpec(call=LIB.call("odd-three-safety"), formation=bad, concept=LIB.concept("power"))
    said = set()
    for _ in range(3):
        with pytest.raises(fits.IllegalFormation) as caught:
            deriver.look(spec)
        said.add(str(caught.value))
        depth, trace = 0, caught.value.__traceback__
        while trace:
            depth, trace = depth + 1, trace.tb_next
        assert depth < 12  # the same error raised again does not grow
    assert len(said) == 1


def test_what_a_look_tells_survives_a_copy():
    spec = next(s for s in specs(5) if isinstance(alone(s), fits.Look))
    asked, copied = alone(spec), pickle.loads(pickle.dumps(alone(spec)))  # copied before anything was asked of it
    assert copied == asked and hash(copied) == hash(asked)
    assert [(d.saw, d.why) for d in copied.defenders] == [(d.saw, d.why) for d in asked.defenders]
    assert copied.blocks == asked.blocks and len(asked.blocks) == 11


def test_looks_differ_by_what_a_man_saw():
    spec = next(s for s in specs(6) if isinstance(alone(s), fits.Look))
    one, other = alone(spec), alone(spec)
    assert one == other and one.defenders[0] == other.defenders[0]
    other.account.sights(other.defenders[0].role)
    other.account._sights[other.defenders[0].role] = ("something else",)
    assert one != other and one.defenders[0] != other.defenders[0]
