"""Tells: found where they are and nowhere else."""

from __future__ import annotations

import random

from playbook.charts.plays import Aliases, read_plays
from playbook.tendencies.reports import BY_REPORT, Known, make_table
from playbook.tendencies.tells import TELL_MINIMUM, find_tells

from .test_counting import RUN


def drawn(count, seed, lean=None):
    """Plays without any lean, unless `lean` changes a snap."""
    dice = random.Random(seed)
    snaps = []
    for _ in range(count):
        snap = RUN._replace(
            play_type=dice.choice(("run", "pass")),
            down=dice.choice((1, 1, 2, 3)),
            distance=dice.randint(1, 10),
            yard_line=dice.randint(1, 99),
            hash=dice.choice(("left", "right", "middle")),
            back=dice.choice(("left", "right")),
            strength=dice.choice(("left", "right")),
            formation=dice.choice("ABCD"),
            personnel=dice.choice(("11", "12")),
            concept=dice.choice(("Power", "Iso", "Zone")),
            direction=dice.choice(("left", "right")),
        )
        snaps.append(lean(snap, dice) if lean else snap)
    return read_plays(snaps, Aliases())


def test_a_tell_is_said_with_its_numbers():
    def lean(snap, dice):
        away = "left" if snap.back == "right" else "right"
        return snap._replace(direction=away) if snap.personnel == "12" and dice.random() < 0.95 else snap

    tells = find_tells(drawn(400, 1, lean))
    strongest = tells[0]
    assert strongest.condition == "12 personnel"
    assert strongest.outcome == "runs away from the back"
    assert strongest.share.n >= TELL_MINIMUM
    interval = strongest.share.interval
    said = f"12 personnel: {strongest.share.hits} of {strongest.share.n} runs away from the back, {interval.text}"
    assert strongest.text.startswith(said)
    assert strongest.adjusted >= strongest.p_value
    assert strongest.tried > 50


def test_a_tell_of_two_things_together_is_found():
    def lean(snap, dice):
        return snap._replace(play_type="run", concept="Power") if (snap.formation, snap.down) == ("B", 1) else snap

    texts = [tell.text for tell in find_tells(drawn(900, 2, lean))]
    (text,) = [text for text in texts if "from B" in text and "1st" in text and "runs are Power" in text]
    assert "from B otherwise: " in text, "said beside what it was compared with"
    assert "on 1st" in text.split("(", 1)[1]


def test_chance_alone_gives_hardly_any_tell():
    """At 5 % false discoveries and no lean at all, at most about one sample in twenty may show any."""
    with_tells = sum(bool(find_tells(drawn(250, seed))) for seed in range(40))
    assert with_tells <= 5


def test_the_same_plays_are_told_once():
    def lean(snap, dice):
        twelve = snap.personnel == "12"
        return snap._replace(formation="Ace" if twelve else "Trips", play_type="run" if twelve else "pass")

    tells = [tell for tell in find_tells(drawn(300, 3, lean)) if tell.outcome == "plays are runs"]
    assert len(tells) == 1


def test_what_one_thing_alone_says_is_not_said_of_two():
    """The hash is random: with a formation that leans it says nothing more."""

    def lean(snap, dice):
        return snap._replace(play_type="pass" if snap.formation == "B" and dice.random() < 0.9 else snap.play_type)

    tells = find_tells(drawn(900, 5, lean))
    assert tells[0].condition == "from B"
    assert not [tell.text for tell in tells if "hash" in tell.condition or "," in tell.condition]


def test_tells_of_one_thing_come_first():
    def lean(snap, dice):
        if (snap.formation, snap.down) == ("B", 1):
            return snap._replace(play_type="run", concept="Power")
        return snap._replace(play_type="pass") if snap.personnel == "12" and dice.random() < 0.5 else snap

    parts = [tell.condition.count(", ") for tell in find_tells(drawn(900, 6, lean))]
    assert set(parts) == {0, 1}
    assert parts == sorted(parts)


def test_to_the_field_is_not_said_of_the_hash_when_they_always_run_right():
    def lean(snap, dice):
        return snap._replace(direction="right" if dice.random() < 0.9 else "left")

    tells = find_tells(drawn(400, 7, lean))
    assert any(tell.condition == "overall" and tell.outcome == "runs right" for tell in tells)
    assert not [tell.text for tell in tells if "hash" in tell.condition]


def test_to_strength_is_not_said_of_the_backs_side():
    """Strong right from one formation only: away from a back on the left is then to strength, and says no more."""

    def lean(snap, dice):
        away = "left" if snap.back == "right" else "right"
        sided = snap._replace(strength="right") if snap.formation == "A" else snap
        return sided._replace(direction=away if dice.random() < 0.9 else snap.direction)

    tells = find_tells(drawn(600, 8, lean))
    assert tells[0].text.startswith("overall")
    assert not [tell.text for tell in tells if "strength" in tell.outcome]


def test_three_situations_are_always_counted():
    third = RUN._replace(down=3, distance=8, play_type="pass")
    plays = read_plays([third] * 4 + [RUN] * 3 + [RUN._replace(down=2, distance=7)], Aliases())
    table = make_table(BY_REPORT["situations"], plays, Known())
    watched = {row.label.split(" (")[0]: (row.values[1].hits, row.values[0].hits) for row in table.rows}
    assert watched == {"Third and long": (0, 4), "Second and long": (1, 1), "Goal line": (0, 0)}
    assert len(make_table(BY_REPORT["situations"], [], Known()).rows) == 3


def test_no_plays_no_tells():
    assert find_tells([]) == []
