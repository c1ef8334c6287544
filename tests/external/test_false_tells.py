"""How often a tell is told where there is none, by simulation.

Source of the limit: what a 5 % level promises, that at most one sample in twenty shows anything. The plays are
invented, with leans by personnel, down and back as a scout finds them; then what was run is dealt out anew, or one
factor is.
SHUFFLES says how many samples of each kind (1,000 in the nightly run).
"""

from __future__ import annotations

import os
import random
import re

import pytest

from playbook.charts.plays import Aliases, read_plays
from playbook.charts.snaps import Snap
from playbook.tendencies.tells import find_tells

SHUFFLES = int(os.environ.get("SHUFFLES", "60"))
AT_MOST = 0.05
RUN = ("play_type", "concept", "direction")


def plays(count: int, dice: random.Random) -> list[Snap]:
    """Plays with true leans: pass when long, two tight ends mean power, away from the back, right more than left."""
    made = []
    for _ in range(count):
        down = dice.choices((1, 2, 3, 4), (44, 32, 20, 4))[0]
        distance = 10 if down == 1 else dice.randint(1, 12)
        personnel, formation = dice.choice((("11", "Trips"), ("11", "Doubles"), ("12", "Ace"), ("12", "Wing")))
        back, strength = dice.choice(("left", "right")), dice.choice(("left", "right"))
        run = dice.random() < (0.2 if down == 3 and distance > 5 else 0.7 if personnel == "12" else 0.5)
        away = "left" if back == "right" else "right"
        made.append(
            Snap(
                down=down, distance=distance, yard_line=dice.randint(1, 99), personnel=personnel, formation=formation,
                hash=dice.choice(("left", "middle", "right")), back=back, strength=strength,
                motion=dice.choice(("", "", "Jet", "Orbit")), play_type="run" if run else "pass",
                concept=dice.choice(("Power", "Power", "Zone") if personnel == "12" else ("Zone", "Zone", "Counter")),
                direction=away if dice.random() < 0.6 else dice.choice(("right", "right", "left")),
            )
        )  # fmt: skip
    return made


def shuffled(snaps: list[Snap], fields: tuple[str, ...], dice: random.Random) -> list[Snap]:
    """The same plays with these fields dealt out anew, together."""
    dealt = [tuple(getattr(snap, name) for name in fields) for snap in snaps]
    dice.shuffle(dealt)
    return [snap._replace(**dict(zip(fields, cells, strict=True))) for snap, cells in zip(snaps, dealt, strict=True)]


def false_tells(fields: tuple[str, ...], said: str, seed: int) -> list[str]:
    """The first false tell of each sample that has one. `said` is in a false one, "" in any but the overall."""
    found = []
    for number in range(SHUFFLES):
        dice = random.Random(seed * 100_000 + number)
        tells = find_tells(read_plays(shuffled(plays(dice.choice((120, 300, 500)), dice), fields, dice), Aliases()))
        wrong = [tell.text for tell in tells if tell.condition != "overall" and re.search(said, tell.condition)]
        found += wrong[:1]
    return found


@pytest.mark.parametrize(
    ("fields", "said"),
    [(RUN, ""), (("hash",), "hash"), (("motion",), "motion"), (("formation",), "from [A-Z]")],
    ids=["what was run", "hash", "motion", "formation"],
)
def test_what_is_dealt_out_by_chance_is_hardly_ever_told(fields, said):
    found = false_tells(fields, said, seed=len(said) + 1)
    print(f"{len(found)} of {SHUFFLES} samples show a false tell")
    assert len(found) <= max(1, AT_MOST * SHUFFLES), found


def test_the_true_leans_are_told_in_nearly_every_sample():
    """Nothing that never speaks passes: the leans that were made are found."""
    long, away = 0, 0
    for number in range(20):
        tells = find_tells(read_plays(plays(500, random.Random(number)), Aliases()))
        long += any("3rd & 7+" in tell.condition and tell.outcome == "plays are passes" for tell in tells)
        away += any(tell.condition == "overall" and tell.outcome == "runs away from the back" for tell in tells)
    assert long >= 18
    assert away >= 18
