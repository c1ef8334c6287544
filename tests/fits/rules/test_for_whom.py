"""For whom each condition holds, look by look, before any defender has moved: read on the drawing of each look.

Left and right are the offense's; a man of the middle has no side, so nothing is to his side or away from him.
"""

import re

import pytest

import fits
from fits.deriver import Deriver
from fits.field import LEFT, RIGHT, Hash
from fits.rules.conditions import CONDITIONS, Before, compile_when
from fits.rules.snap import BeforeSnap

LIB = fits.load_library()
DERIVER = Deriver()
LOOKS = {
    "power": ("11-doubles", "power", RIGHT, {}),
    "iso": ("21-pro-i", "iso", LEFT, {}),
    "toss": ("10-trips", "toss-crack", RIGHT, {}),
    "split": ("11-h-back", "split-zone", RIGHT, {"hash": Hash.LEFT}),
    "jet": ("11-doubles", "jet-sweep", RIGHT, {"motion": "jet"}),
    "rpo": ("10-doubles", "inside-zone-rpo", LEFT, {}),
    "draw": ("20-split", "draw", RIGHT, {}),
    "across": ("11-doubles", "zone-read", LEFT, {"motion": "across", "hash": Hash.RIGHT}),
    "option": ("12-wing", "speed-option", RIGHT, {}),
    "counter": ("21-offset", "counter-h", LEFT, {}),
    "dart": ("12-two-tight", "dart", LEFT, {"yard_line": 4}),
    "sift": ("12-h-back", "split-zone", LEFT, {}),
    "sweep": ("11-trey", "buck-sweep", LEFT, {}),
    "empty": ("00-empty", "qb-draw", RIGHT, {}),
    "over": ("11-doubles", "inside-zone", RIGHT, {"motion": "across"}),
    "orbit": ("10-doubles", "outside-zone", RIGHT, {"motion": "orbit", "yard_line": 95}),
}

# "right" is everybody of that side, "sides" both, "middle" the men of neither, "all" the eleven; else men by name. A
# look that is not named: nobody.
HOLDS = {
    "tight end": {"all": "power iso jet across option counter dart sift sweep over"},
    "two tight ends": {"all": "option dart"},
    "tight end on my side": {"right": "power iso jet across option counter sift sweep over", "sides": "dart"},
    "tight end on the other side": {"left": "power iso jet across option counter sift sweep over", "sides": "dart"},
    "wing on my side": {"right": "option"},
    "#1 attached": {"right": "option"},
    "#2 attached": {"right": "power iso jet option counter sift", "sides": "dart"},
    "#3 attached": {"right": "across sweep over"},
    "2 receivers on my side": {
        "sides": "power rpo option dart",
        "right": "iso split jet draw counter sift orbit",
        "left": "empty",
    },
    "3 or more receivers on my side": {"right": "toss across sweep empty over"},
    "1 or fewer receivers on the other side": {"right": "iso toss split jet draw across counter sift sweep over orbit"},
    "2 or more receivers on the other side": {
        "sides": "power rpo option dart empty",
        "left": "iso toss split jet draw across counter sift sweep over orbit",
    },
    "1 back": {"all": "power toss rpo across option dart sweep over"},
    "2 or more backs": {"all": "iso split jet draw counter sift orbit"},
    "1 or fewer backs": {"all": "power toss rpo across option dart sweep empty over"},
    "back on my side": {"left": "power toss split jet across option dart sweep over", "right": "rpo sift orbit"},
    "back away from me": {"right": "power toss split jet across option dart sweep over", "left": "rpo sift orbit"},
    "back behind the quarterback": {"all": "iso draw counter"},
    "to the strength": {
        "right": "power iso toss split jet rpo draw option counter dart sift sweep empty over orbit",
        "left": "across",
    },
    "to the field": {
        "right": "power iso toss split jet rpo draw option counter dart sift sweep empty over orbit",
        "left": "across",
    },
    "to the boundary": {
        "left": "power iso toss split jet rpo draw option counter dart sift sweep empty over orbit",
        "right": "across",
    },
    "to the run strength": {
        "right": "power iso toss split jet rpo draw across option counter dart sift sweep empty over orbit"
    },
    "I play 4i": {
        "left E": "power iso jet across option counter sift sweep over",
        "left E, right E": "toss split rpo draw empty orbit",
    },
    "I play 5": {"right E": "power iso jet across option counter sift sweep over", "left E, right E": "dart"},
    "gun": {"all": "power toss split jet rpo draw across option dart sift sweep empty over orbit"},
    "under centre": {"all": "iso counter"},
    "motion": {"all": "jet across over orbit"},
    "motion to my side": {"left": "jet orbit", "right": "across over"},
    "motion away from me": {"right": "jet orbit", "left": "across over"},
    "motion across": {"all": "across over"},
    "motion across to my side": {"right": "across over"},
    "motion across away from me": {"left": "across over"},
    "motion across to the strength": {"all": "over"},
    "motion across to the weak side": {"all": "across"},
    "2 or more receivers where the motion ends": {"all": "across over"},
    "3 or more receivers where the motion ends": {"all": "across over"},
    "motion into the backfield": {"all": "jet orbit"},
    "goal line": {"all": "dart"},
    "backed up": {"all": "orbit"},
    "told jersey by MS: tight end on the other side": {
        "left": "power iso jet across option counter sift sweep over",
        "sides": "dart",
    },
    "told jersey by MS: not tight end": {"all": "toss split rpo draw empty orbit"},
    "key steps in": {
        "N, right E, M, S, SS": "power",
        "left E, W, M, S, MS, SS": "iso",
        "left E, MS": "toss split orbit",
        "left E, W, MS": "jet option",
        "right E, M": "rpo",
        "right E, W": "across",
        "N, left E, right E, W, S, MS, SS": "counter",
        "S, SS": "dart",
        "right E, M, S, SS": "sift",
        "N, right E, S, SS": "sweep",
        "left E, W, BS": "over",
    },
    "key steps out or straight": {
        "BS, left CB, right CB": "power counter sweep",
        "N, right E, BS, left CB, right CB": "iso",
        "N, right E, M, W, BS, left CB, right CB": "toss",
        "N, right E, M, W, S, BS, SS, left CB, right CB": "split",
        "N, right E, M, S, SS, BS, left CB, right CB": "jet",
        "N, left E, W, S, MS, BS, SS, left CB, right CB": "rpo",
        "S, W, BS, SS, left CB, right CB": "draw",
        "N, left E, M, S, SS, right CB, left CB": "across",
        "N, right E, M, BS, left CB": "option",
        "N, left E, W, M, MS, BS, left CB, right CB": "dart",
        "N, left E, W, MS, BS, left CB, right CB": "sift",
        "W, S, BS, SS, left CB, right CB": "empty",
        "N, right E, M, S, MS, SS, left CB, right CB": "over",
        "N, right E, M, S, W, BS, SS, left CB, right CB": "orbit",
    },
    "second key steps out": {
        "left E": "iso",
        "MS": "toss",
        "right E, MS": "split jet option orbit",
        "left E, M, MS": "rpo sift",
        "left E, SS": "across",
        "right E, BS": "over",
    },
    "third key steps out": {"MS": "toss split jet option orbit", "BS": "over"},
    "centre steps in": {"all": "power counter sweep"},
    "guard steps pull": {
        "N, left E, W, MS, BS, left CB": "power",
        "N, right E, M, S, MS, SS, right CB": "counter",
        "all": "sweep",
    },
    "tackle steps out": {
        "N, left E, W, MS, BS, left CB": "iso dart sift",
        "N, right E, M, S, MS, SS, right CB": "split jet option orbit",
        "N, left E, M, W, MS, BS, left CB": "rpo",
        "N, left E, M, S, SS, left CB": "across",
        "N, right E, M, S, BS, MS, SS, right CB": "over",
    },
    "tackle steps set": {"all": "draw empty"},
    "key pulls": {"left E, W, MS": "power", "M": "counter", "right E": "dart", "left E, W, M, MS": "sweep"},
    "key arcs": {"MS, BS": "across", "S, SS, right CB": "option"},
    "key crosses": {},
    "key cracks": {"S, SS": "toss"},
    "key blocks": {
        "N, right E, M, S, SS": "power",
        "N, left E, right E, W, M, S, MS, SS": "iso jet sift",
        "N, left E, right E, M, MS": "toss split rpo draw empty orbit",
        "N, left E, right E, W, M, SS": "across",
        "N, left E, right E, W, M, MS": "option",
        "N, left E, right E, W, S, MS, SS": "counter",
        "N, left E, W, M, S, MS, BS, SS": "dart",
        "N, right E, S, SS": "sweep",
        "N, left E, right E, W, M, S, BS, MS, SS": "over",
    },
    "second key blocks": {
        "left E, right E, MS": "power",
        "left E, right E, M, MS": "iso split jet rpo draw option dart sift empty orbit",
        "left E, M, MS": "toss counter",
        "left E, right E, M, SS": "across",
        "left E, MS": "sweep",
        "left E, right E, M, BS": "over",
    },
    "key goes to my side": {"left E, W": "sweep"},
    "key goes away": {"left E, W": "power", "M": "counter sweep", "right E": "dart"},
    "second key goes to my side": {"M": "power", "right E": "toss"},
    "a key pulls": {
        "left E, W, M, MS": "power",
        "right E": "toss dart",
        "right E, M, MS": "counter",
        "left E, right E, W, M, MS": "sweep",
    },
    "a key pulls to my side": {"M": "power", "right E": "toss", "left E, W": "sweep"},
    "a key pulls away": {"left E, W": "power", "right E, M": "counter sweep", "right E": "dart"},
    "flow to my side": {
        "right": "power toss split jet draw option over orbit",
        "left": "iso rpo across counter dart sift sweep",
    },
    "flow away": {
        "left": "power toss split jet draw option over orbit",
        "right": "iso rpo across counter dart sift sweep",
    },
    "split flow": {"all": "split sift"},
    "no flow": {"all": "empty"},
    "blocked from inside": {
        "W, S": "power iso",
        "right E, SS": "toss",
        "right E, W": "split",
        "right E, M, S": "jet",
        "left E": "rpo across",
        "left E, right E": "draw",
        "right E": "option",
        "W, M, S, BS": "counter",
        "W, BS": "dart",
        "left E, S": "sift",
        "W, S, BS": "sweep",
        "right E, S": "empty over orbit",
    },
    "blocked from outside": {
        "right E, M, BS": "power",
        "S": "toss split draw",
        "W": "rpo empty",
        "W, BS": "across",
        "SS, BS": "option",
        "left E, right E, left CB, right CB": "dart",
        "right E": "sift",
        "SS": "sweep over orbit",
    },
    "blocked head up": {
        "N, left E, right E, left CB, right CB": "power split rpo draw counter sweep orbit",
        "N, left E, right E, M, left CB, right CB": "iso",
        "N, left E, left CB, right CB": "toss",
        "N, left E, right E, W, left CB, right CB": "jet",
        "N, left E, M, MS, right CB, left CB": "across",
        "N, left E, right E, W, M, right CB, left CB": "option",
        "N, left E, M, MS": "dart",
        "N, left E, right E, W, M, left CB, right CB": "sift over",
        "N, left E, right E, SS, left CB, right CB": "empty",
    },
    "crack called": {"right E, S, right CB": "toss"},
    "guards flow together": {"all": "toss split jet rpo across option sift over orbit"},
    "a guard pulls": {"all": "power counter sweep"},
    "a guard pulls to my side": {"right": "power", "left": "counter sweep"},
    "a guard pulls away": {"left": "power", "right": "counter sweep"},
    "a lineman pulls": {"all": "power toss counter dart sweep"},
    "a lineman pulls to my side": {"right": "power toss", "left": "counter dart sweep"},
    "puller": {"all": "power toss counter sweep"},
    "puller to my side": {"right": "power toss", "left": "counter sweep"},
    "puller away": {"left": "power toss", "right": "counter sweep"},
    "lead to my side": {"left": "iso dart", "right": "jet draw"},
    "crosser": {"all": "split counter sift"},
    "crosser to my side": {"left": "split counter", "right": "sift"},
    "crosser away": {"right": "split counter", "left": "sift"},
    "crack to my side": {"right": "toss"},
    "mover away": {"left": "power toss jet draw sift", "right": "iso split counter dart sweep"},
    "kick to my side": {"right": "power sift", "left": "split counter sweep"},
    "wrap to my side": {"left": "counter sweep"},
    "wrap away": {"right": "counter sweep"},
    "kicked": {"S": "power sift", "SS": "toss", "W": "split", "M": "jet", "BS": "counter sweep"},
    "cracked": {"S": "toss"},
    "doubled": {
        "N, right E": "power split jet option over orbit",
        "N": "iso toss counter",
        "N, left E": "rpo across dart",
        "left E, right E": "draw",
        "N, left E, right E": "sift",
        "right E": "empty",
    },
    "unblocked": {
        "MS, SS": "power counter",
        "MS, SS, BS": "iso jet sift",
        "W, BS": "toss",
        "W, MS, BS": "orbit",
        "MS, BS, SS": "split",
        "S, MS, BS, SS": "rpo",
        "W, MS, BS, SS": "draw",
        "right E, S, SS": "across",
        "S, MS": "option",
        "S, SS": "dart",
        "M, MS": "sweep",
        "MS, BS": "empty",
        "BS, MS": "over",
    },
    "run to my side": {
        "right": "power toss split jet draw option empty over orbit",
        "left": "iso rpo across counter dart sift sweep",
    },
    "run away": {
        "left": "power toss split jet draw option empty over orbit",
        "right": "iso rpo across counter dart sift sweep",
    },
    "run-pass option": {"all": "rpo"},
    "run-pass option on my side": {"right": "rpo"},
    "run-pass option away": {"left": "rpo"},
    "quarterback read": {"all": "across option"},
    "quarterback read on my side": {"right": "across option"},
    "quarterback read away": {"left": "across option"},
    "quarterback run": {"all": "option empty"},
    "pitch": {"all": "option"},
    "pitch on my side": {"right": "option"},
    "pass set": {"all": "draw empty"},
    "option": {"all": "rpo across option"},
    "option away": {"left": "rpo across option"},
    "my gap is open": {
        "left E, right E, W, M, S": "power iso jet option counter dart sift sweep over",
        "left E, right E": "toss split rpo draw empty orbit",
        "left E, right E, W, M": "across",
    },
    "my gap is owned": {},
    "open beside the puller": {"all": "power toss counter sweep"},
    "open beside the lead": {"all": "iso jet draw dart"},
    "quarterback is open": {"all": "rpo across option"},
    "quarterback is owned": {},
    "tight end on the play side": {"all": "power jet option dart over"},
    "tight end on the back side": {"all": "iso across counter dart sift sweep"},
    "tight end on the eyes side": {"all": "across option"},
    "I am the force": {
        "S, BS": "power option dart",
        "S, BS, left CB": "iso jet counter sift sweep",
        "W, S, left CB": "toss split",
        "W, S": "rpo empty",
        "S, W, left CB": "draw orbit",
        "S, MS, BS, left CB": "across",
        "S, left CB": "over",
    },
}


def spec(name):
    formation, concept, to, more = LOOKS[name]
    more = more | ({"motion": LIB.motions[more["motion"]]} if "motion" in more else {})
    return fits.LookSpec(
        call=LIB.call("odd-three-safety"), formation=LIB.formation(formation), concept=LIB.concept(concept), to=to,
        **more,
    )  # fmt: skip


def men(alignment, words):
    """The names that the words of the table mean."""
    side = {d.name: d.side for d in alignment.men}
    groups = {
        "all": set(side),
        "sides": {name for name, its in side.items() if its is not None},
        "right": {name for name, its in side.items() if its is RIGHT},
        "left": {name for name, its in side.items() if its is LEFT},
        "middle": {name for name, its in side.items() if its is None},
    }
    found = groups.get(words) or set(words.split(", "))
    assert found <= set(side), words
    return found


def those(alignment, after, conditions, yard_line):
    """The men for whom all the conditions hold."""
    before = BeforeSnap(alignment.offense, alignment.strength, yard_line)
    return {
        d.name for d in alignment.men if all(c.test(before if isinstance(c, Before) else after, d) for c in conditions)
    }


@pytest.mark.parametrize("when", HOLDS)
def test_for_whom_it_holds(when):
    wanted = {look: words for words, looks in HOLDS[when].items() for look in looks.split()}
    for name in LOOKS:
        one = spec(name)
        alignment, after = DERIVER.alignment(one), DERIVER.after_snap(one)
        holds = those(alignment, after, compile_when(when), one.yard_line)
        assert holds == (men(alignment, wanted[name]) if name in wanted else set()), name
        everybody = {d.name for d in alignment.men}
        assert those(alignment, after, compile_when(f"not {when}"), one.yard_line) == everybody - holds, name


def test_every_condition_is_in_the_table():
    """`option box chosen` asks for a staff's choice that no look here has."""
    for entry in CONDITIONS.entries:
        asked = [when for when in HOLDS if re.fullmatch(entry.pattern, when)]
        assert asked or entry.example == "option box chosen", entry.example
