"""Where each fit is, man by man, before any defender has moved and with everything ahead of the ball taken.

The looks are those of `test_for_whom`; lanes as the offense names them, `-` for a duty without a lane, and who is not
named cannot have the fit. Read on the drawing of each look.
"""

import pytest

from fits.rules.targets import TARGETS, compile_fit
from tests.fits.rules.test_for_whom import DERIVER, men, spec

NOBODY_YET = {
    "my gap": {
        "power": {
            "left A+B": "N, left E, W, MS",
            "right C": "right E, SS",
            "right B": "M",
            "inside LG": "S",
            "left C": "BS, left CB",
            "outside LG": "right CB",
        },
        "counter": {
            "left A": "middle",
            "left B": "left E, W",
            "right C": "right E, SS",
            "right A+B": "M",
            "right D": "S, right CB",
            "outside RG": "BS, left CB",
        },
        "toss": {
            "left A": "middle",
            "left B": "left E",
            "inside K": "right E",
            "left C": "W, BS, left CB",
            "outside RT": "S, SS, right CB",
        },
        "option": {
            "left A": "middle",
            "left B": "left E, W",
            "right C+D+E": "right E, S, SS, right CB",
            "right B": "M",
            "left C": "BS, left CB",
        },
    },
    "A gap": {
        "power": {"right A": "N, right E, M, S, MS, SS, right CB", "left A+B": "left"},
        "counter": {"left A": "N, left E, W, MS, BS, left CB", "right A+B": "right"},
        "toss": {"right A": "N, right E, M, S, MS, SS, right CB", "left A": "left"},
        "option": {"right A": "N, right E, M, S, MS, SS, right CB", "left A": "left"},
    },
    "C gap": {
        "power": {"right C": "N, right E, M, S, MS, SS, right CB", "left C": "left"},
        "counter": {"inside F": "N, left E, W, MS, BS, left CB", "right C": "right"},
        "toss": {"inside RT": "N, right E, M, S, MS, SS, right CB", "left C": "left"},
        "option": {"right C+D+E": "N, right E, M, S, MS, SS, right CB", "left C": "left"},
    },
    "B gap away": {
        "power": {"left A+B": "N, right E, M, S, MS, SS, right CB", "right B": "left"},
        "counter": {"right A+B": "N, left E, W, MS, BS, left CB", "left B": "right"},
        "toss": {"left B": "N, right E, M, S, MS, SS, right CB", "inside K": "left"},
        "option": {"left B": "N, right E, M, S, MS, SS, right CB", "right B": "left"},
    },
    "inner B gap": {
        "power": {"right B": "N, right E, M, S, MS, SS, right CB", "left A+B": "left"},
        "counter": {"left B": "N, left E, W, MS, BS, left CB", "right A+B": "right"},
        "toss": {"inside K": "N, right E, M, S, MS, SS, right CB", "left B": "left"},
        "option": {"right B": "N, right E, M, S, MS, SS, right CB", "left B": "left"},
    },
    "outer C gap": {
        "power": {"right C": "N, right E, M, S, MS, SS, right CB", "left C": "left"},
        "counter": {"outside RG": "N, left E, W, MS, BS, left CB", "right C": "right"},
        "toss": {"outside RT": "N, right E, M, S, MS, SS, right CB", "left C": "left"},
        "option": {"right C+D+E": "N, right E, M, S, MS, SS, right CB", "left C": "left"},
    },
    "open A gap": {
        "power": {"right A": "N, right E, M, S, MS, SS, right CB", "left A+B": "left"},
        "counter": {"left A": "N, left E, W, MS, BS, left CB", "right A+B": "right"},
        "toss": {"right A": "N, right E, M, S, MS, SS, right CB", "left A": "left"},
        "option": {"right A": "N, right E, M, S, MS, SS, right CB", "left A": "left"},
    },
    "open B gap": {
        "power": {"right B": "N, right E, M, S, MS, SS, right CB", "left A+B": "left"},
        "counter": {"left B": "N, left E, W, MS, BS, left CB", "right A+B": "right"},
        "toss": {"inside K": "N, right E, M, S, MS, SS, right CB", "left B": "left"},
        "option": {"right B": "N, right E, M, S, MS, SS, right CB", "left B": "left"},
    },
    "frontside A": {
        "power": {"right A": "all"},
        "counter": {"left A": "all"},
        "toss": {"right A": "all"},
        "option": {"right A": "all"},
    },
    "frontside C": {
        "power": {"right C": "all"},
        "counter": {"inside F": "all"},
        "toss": {"inside RT": "all"},
        "option": {"right C+D+E": "all"},
    },
    "backside B": {
        "power": {"left A+B": "all"},
        "counter": {"right A+B": "all"},
        "toss": {"left B": "all"},
        "option": {"left B": "all"},
    },
    "inside key": {
        "power": {
            "left A+B": "N",
            "inside LG": "left E, W, MS",
            "right B": "right E",
            "right A": "M",
            "right C": "S, SS",
        },
        "counter": {"right A+B": "N, right E", "left A": "left E, W, MS", "inside RG": "M", "right C": "S, SS"},
        "toss": {"left A": "N, left E, MS", "right A": "right E, M", "inside K": "S, SS"},
        "option": {"left A": "N, left E, W, MS", "right B": "right E", "right A": "M"},
    },
    "outside key": {
        "power": {
            "right A": "N",
            "outside LG": "left E, W, MS",
            "right C": "right E",
            "right B": "M",
            "inside LG": "S, SS",
        },
        "counter": {
            "left A": "N",
            "left B": "left E, W, MS",
            "right C": "right E",
            "outside RG": "M",
            "right D": "S, SS",
        },
        "toss": {"right A": "N", "left B": "left E, MS", "inside K": "right E, M", "inside RT": "S, SS"},
        "option": {"right A": "N", "left B": "left E, W, MS", "right C+D+E": "right E", "right B": "M"},
    },
    "inside the puller": {"power": {"inside LG": "all"}, "counter": {"inside RG": "all"}, "toss": {"inside RT": "all"}},
    "outside the puller": {
        "power": {"outside LG": "all"},
        "counter": {"outside RG": "all"},
        "toss": {"outside RT": "all"},
    },
    "inside the lead": {},
    "outside the crosser": {"counter": {"inside RG": "all"}},
    "inside the kick": {"power": {"inside LG": "all"}, "counter": {"inside RG": "all"}},
    "outside the mover to my side": {
        "power": {"outside LG": "right"},
        "counter": {"outside RG": "left"},
        "toss": {"outside RT": "right"},
    },
    "inside the mover": {"power": {"inside LG": "all"}, "counter": {"inside F": "all"}, "toss": {"inside K": "all"}},
    "off the lead": {},
    "off the crosser": {"counter": {"inside RG": "all"}},
    "off the kick": {"power": {"outside LG": "all"}, "counter": {"outside RG": "all"}},
    "off the mover": {"power": {"outside LG": "all"}, "counter": {"inside RG": "all"}, "toss": {"inside RT": "all"}},
    "frontside of the key": {
        "power": {
            "right A": "N",
            "outside LG": "left E, W, MS",
            "right C": "right E",
            "right B": "M",
            "inside LG": "S, SS",
        },
        "counter": {
            "left A": "N",
            "left B": "left E, W, MS",
            "right A+B": "right E",
            "outside RG": "M",
            "right C": "S, SS",
        },
        "toss": {"right A": "N", "left A": "left E, MS", "inside K": "right E, M", "inside RT": "S, SS"},
        "option": {"right A": "N", "left A": "left E, W, MS", "right C+D+E": "right E", "right B": "M"},
    },
    "backside of the key": {
        "power": {
            "left A+B": "N",
            "inside LG": "left E, W, MS",
            "right B": "right E",
            "right A": "M",
            "right C": "S, SS",
        },
        "counter": {
            "right A+B": "N",
            "left A": "left E, W, MS",
            "right C": "right E",
            "inside RG": "M",
            "right D": "S, SS",
        },
        "toss": {"left A": "N", "left B": "left E, MS", "right A": "right E, M", "inside K": "S, SS"},
        "option": {"left A": "N", "left B": "left E, W, MS", "right B": "right E", "right A": "M"},
    },
    "spill": {
        "power": {"left A+B": "N, left E, W", "right B": "right E, M", "inside LG": "S"},
        "counter": {
            "right A+B": "N, right E, M",
            "left B": "left E",
            "inside F": "W",
            "right C": "S",
            "inside RG": "BS",
        },
        "toss": {"left A": "N, M", "left B": "left E", "right A": "right E", "inside K": "S", "inside RT": "SS"},
        "option": {"left A": "N, W", "left B": "left E", "right A": "right E, M"},
    },
    "box": {
        "power": {"right A": "N, W", "left C": "left E", "right C": "right E, M", "outside LG": "S"},
        "counter": {
            "left A": "N, M",
            "inside F": "left E",
            "right C": "right E",
            "inside RG": "W",
            "right D": "S",
            "outside RG": "BS",
        },
        "toss": {
            "right A": "N",
            "left C": "left E",
            "inside K": "right E",
            "left B": "M",
            "inside RT": "S",
            "outside RT": "SS",
        },
        "option": {"right A": "N", "left C": "left E", "right B": "right E, M", "left B": "W"},
    },
    "two-gap": {
        "power": {
            "right A": "middle",
            "left A+B": "left E, W",
            "right C": "right E, SS",
            "right B": "M",
            "inside LG": "S",
            "left C": "BS, left CB",
            "outside LG": "right CB",
        },
        "counter": {
            "left A": "middle",
            "left B": "left E, W",
            "right C": "right E",
            "right A+B": "M, SS",
            "right D": "S, right CB",
            "outside RG": "BS, left CB",
        },
        "toss": {
            "right A": "middle",
            "left B": "left E",
            "inside K": "right E",
            "left C": "W, BS, left CB",
            "outside RT": "S, SS, right CB",
        },
        "option": {
            "right A": "middle",
            "left B": "left E",
            "right C+D+E": "right E, S, SS, right CB",
            "left A": "W",
            "right B": "M",
            "left C": "BS, left CB",
        },
    },
    "scrape": {
        "power": {"right A": "all"},
        "counter": {"left A": "all"},
        "toss": {"right A": "all"},
        "option": {"right A": "all"},
    },
    "scrape or cutback": {
        "power": {"right A": "all"},
        "counter": {"left A": "all"},
        "toss": {"right A": "all"},
        "option": {"right A": "all"},
    },
    "open lane on my side": {
        "power": {"-": "middle", "left A+B": "left", "inside LG": "right"},
        "counter": {"-": "middle", "inside RG": "left", "right A+B": "right"},
        "toss": {"-": "middle", "left A": "left", "outside RT": "right"},
        "option": {"-": "middle", "left A": "left", "right C+D+E": "right"},
    },
    "open lane to the play side": {
        "power": {"inside LG": "all"},
        "counter": {"inside RG": "all"},
        "toss": {"outside RT": "all"},
        "option": {"right C+D+E": "all"},
    },
    "open lane": {
        "power": {"inside LG": "all"},
        "counter": {"inside RG": "all"},
        "toss": {"outside RT": "all"},
        "option": {"right C+D+E": "all"},
    },
    "open edge": {
        "power": {"left C": "left", "outside LG": "right"},
        "counter": {"outside RG": "left", "right D": "right"},
        "toss": {"left C": "left", "outside RT": "right"},
        "option": {"left C": "left", "right C+D+E": "right"},
    },
    "open gap on my side": {
        "power": {"left C": "left", "outside LG": "right"},
        "counter": {"outside RG": "left", "right D": "right"},
        "toss": {"left C": "left", "outside RT": "right"},
        "option": {"left C": "left", "right C+D+E": "right"},
    },
    "force": {
        "power": {"left C": "left", "outside LG": "right"},
        "counter": {"outside RG": "left", "right D": "right"},
        "toss": {"left C": "left", "outside RT": "right"},
        "option": {"left C": "left", "right C+D+E": "right"},
    },
    "cutback": {
        "power": {"left C": "all"},
        "counter": {"right D": "all"},
        "toss": {"left C": "all"},
        "option": {"left C": "all"},
    },
    "quarterback": {"option": {"right C+D+E": "all"}},
    "pitch": {"option": {"right C+D+E": "all"}},
    "man on key": {"power": {"-": "all"}, "counter": {"-": "all"}, "toss": {"-": "all"}, "option": {"-": "all"}},
    "man on #2": {"power": {"-": "sides"}, "counter": {"-": "right"}, "toss": {"-": "right"}, "option": {"-": "sides"}},
    "man on #3": {"toss": {"-": "right"}},
    "replace the crack": {"toss": {"outside RT": "right"}},
    "alley": {"power": {"-": "all"}, "counter": {"-": "all"}, "toss": {"-": "all"}, "option": {"-": "all"}},
}

# Somebody has every lane in front of the ball.
TAKEN_AHEAD = {
    "open A gap": {"power": {"left A+B": "all"}, "counter": {"right A+B": "all"}},
    "open B gap": {"power": {"left A+B": "all"}, "counter": {"right A+B": "all"}},
    "scrape": {"power": {"-": "all"}, "counter": {"-": "all"}},
    "scrape or cutback": {"power": {"left A+B": "all"}, "counter": {"right A+B": "all"}},
    "open lane on my side": {
        "power": {"-": "N, right E, M, S, MS, SS, right CB", "left A+B": "left"},
        "counter": {"-": "N, left E, W, MS, BS, left CB", "right A+B": "right"},
    },
    "open lane to the play side": {"power": {"left A+B": "all"}, "counter": {"right A+B": "all"}},
    "open lane": {"power": {"left A+B": "all"}, "counter": {"right A+B": "all"}},
    "open edge": {"power": {"left C": "left"}, "counter": {"right D": "right"}},
    "open gap on my side": {"power": {"left C": "left"}, "counter": {"right D": "right"}},
    "two-gap": {
        "power": {
            "left A+B": "N, left E, W, MS",
            "right C": "right E, SS",
            "right B": "M",
            "inside LG": "S",
            "left C": "BS, left CB",
            "outside LG": "right CB",
        },
        "counter": {
            "right A+B": "N, M, MS, SS",
            "left B": "left E, W",
            "right C": "right E",
            "right D": "S, right CB",
            "outside RG": "BS, left CB",
        },
    },
    "off the kick": {"power": {"inside LG": "all"}, "counter": {"inside RG": "all"}},
    "off the crosser": {"counter": {"inside F": "all"}},
    "off the mover": {"power": {"inside LG": "all"}, "counter": {"inside F": "all"}},  # of two movers the inside one
}


def lanes(look, fit, taken_ahead):
    """Role -> the lane that the fit gives him, for those who can have it."""
    one = spec(look)
    alignment, after = DERIVER.alignment(one), DERIVER.after_snap(one)
    names = [lane.name for lane in DERIVER.look(one).lanes]
    if taken_ahead:
        for i, space in enumerate(after.lanes.spaces):
            if space.x * after.play > -0.3:
                after.owners[i].append("somebody")
    (target,) = compile_fit(fit)
    found = {d.name: target.find(after, d) for d in alignment.men}
    return alignment, {role: "-" if i == -1 else names[i] for role, i in found.items() if i is not None}


CASES = [
    (fit, look, taken_ahead, wanted.get(look, {}))
    for taken_ahead, table in ((False, NOBODY_YET), (True, TAKEN_AHEAD))
    for fit, wanted in table.items()
    for look in (("power", "counter") if taken_ahead else ("power", "counter", "toss", "option"))
]


@pytest.mark.parametrize(("fit", "look", "taken_ahead", "wanted"), CASES)
def test_where_it_is(fit, look, taken_ahead, wanted):
    alignment, found = lanes(look, fit, taken_ahead)
    assert found == {role: lane for lane, words in wanted.items() for role in men(alignment, words)}


def test_every_fit_is_in_the_table():
    """These ask for nothing of the look: they are a duty without a lane, whoever it is."""
    anywhere = {"stay in conflict", "alley", "overlap", "pass first", "free"}
    for entry in TARGETS.entries:
        assert entry.example in NOBODY_YET or entry.example in anywhere, entry.example
