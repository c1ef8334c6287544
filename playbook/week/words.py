"""The plain words of a player's sheet: where a man stands, and what a leverage word asks of him."""

from __future__ import annotations

import re

import fits
from fits.defense.techniques import MEN, SHADES
from fits.terms import Frame
from fits.words import FRAME_NOTES, Words
from playbook.models import System

MAN_WORDS = {number: word for word, number in MEN.items()}
SHADE_WORDS = {
    SHADES["inside"]: "inside shoulder of the {}",
    SHADES["head up"]: "head up on the {}",
    SHADES["outside"]: "outside shoulder of the {}",
    SHADES["wide"]: "wide of the {}",
}

# Common practice, in our own words.
LEVERAGE_WORDS = {
    "inside": "Stay inside it.",
    "outside": "Stay outside it.",
    "head up": "Square up on him.",
    "gap": "Hold your gap.",
    "spill": "Take on the block from inside, with your outside shoulder: make the ball bounce.",
    "box": "Stay outside the block: keep the ball in.",
    "force": "You are the outermost man: nothing crosses your face outside.",
    "alley": "Run the alley, inside out, off the force.",
    "cutback": "Stay behind the ball and take the cutback.",
    "overlap": "Be the man outside the spill.",
    "hip": "Near hip of the ball carrier, inside out.",
    "pass": "Pass first; come up late.",
    "squeeze": "Squeeze the man inside you, then take the quarterback.",
}

CAUTION = "Eyes up. See what you hit. Never lead with the crown of the helmet."
CAUTIONS = (
    CAUTION,
    "Take on blocks with your hands and near shoulder; tackle with your shoulder, head to the side and up.",
    "Drill new techniques against air and bags first, then at control speed, before any full contact.",
    "The governing body's current rules, the athletic trainer and the physician decide who practises and how hard. "
    "Nothing here is medical advice.",
)


def sides_note(system: System) -> str:
    """Returns what the system's words for sides mean."""
    return FRAME_NOTES[Frame(system.frame)]


def yards(value: float) -> str:
    """Returns a length in words, to the half yard.

    >>> yards(9.5), yards(1.0)
    ('9.5 yards', '1 yard')
    """
    rounded = round(value * 2) / 2
    return f"{rounded:g} yard" + ("" if rounded == 1 else "s")


def at_words(at: str) -> str:
    """Returns a rule's place as a coach says it.

    >>> at_words("over tight end outside by 1.5, 5 deep")
    '1.5 outside the tight end, 5 deep'
    >>> at_words("over #2 inside by 1, 9 deep")
    '1 inside #2, 9 deep'
    """
    beside = re.fullmatch(r"over (#?)(.+?) (inside|outside) by ([\d.]+)(.*)", at)
    return f"{beside[4]} {beside[3]} {beside[1] or 'the '}{beside[2]}{beside[5]}" if beside else at


def depth_words(man: fits.Defender) -> str:
    """Returns how deep he stands."""
    return "on the line" if man.y <= 1.25 else f"{yards(man.y)} deep"


def leverage_words(man: fits.Defender) -> str:
    """Returns what his leverage asks of him; a man without a lane has nothing to stay inside or outside of."""
    held = man.lane is None and man.leverage in ("inside", "outside", "gap", "spill", "box", "squeeze")
    return "" if held else LEVERAGE_WORDS.get(man.leverage, "")


def place_words(man: fits.Defender, call: fits.Call, said: Words) -> str:
    """Returns where he stands, in words: on whom, on which side of the ball, how deep."""
    known = call.scheme.look_up(man.technique)
    if known:
        technique, _ = known
        whom = MAN_WORDS[technique.man]
        if whom != "centre" and abs(man.x) > 0.25:
            whom = said.beside(whom, man.x)
        return f"{SHADE_WORDS[technique.shade].format(whom)}, {depth_words(man)}"
    across = "over the ball" if abs(man.x) < 0.5 else f"{yards(abs(man.x))} {said.spot(man.x)}"
    spot = "half-way between the last man on the line and #2: " if man.technique == "apex" else ""
    return f"{spot}{across}, {depth_words(man)}"


def share_words(share: float | None) -> str:
    """Returns a share of their runs in whole per cent, and nothing where nobody counted.

    >>> share_words(0.22), share_words(0.004), share_words(None)
    ('22 %', '<1 %', '')
    """
    if share is None:
        return ""
    return "<1 %" if 0 < share < 0.005 else f"{100 * share:.0f} %"


def sentence(text: str) -> str:
    """Returns the text with a capital letter at its start."""
    return text[:1].upper() + text[1:]
