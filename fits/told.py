"""A condition of a rule, told to the man whose rule it is: `key steps in` is "your key steps in"."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from fits.explain import STEP_WORDS
from fits.terms import words_of_name

Tell = Callable[[re.Match[str]], str]
COUNTS = {"1": "one", "2": "two", "3": "three", "4": "four", "5": "five"}
AS_A_WHOLE = {
    "goal line": "on the goal line", "tight end": "there is a tight end", "cracked": "a wide man cracks on you",
    "kicked": "somebody kicks you out", "unblocked": "nobody blocks you", "lead": "a back leads",
    "pass set": "they pass set", "option": "it is an option", "pitch": "there is a pitch", "puller": "a man pulls",
    "crosser": "a man crosses", "crack": "a wide man cracks", "I am the force": "you are the force",
    "to the strength": "you are to the strength", "to the run strength": "you are to the run strength",
    "guards flow together": "both guards go the same way", "not no flow": "there is flow",
    "not to the strength": "you are away from the strength",
    "not to the run strength": "you are away from the run strength", "not tight end": "there is no tight end",
    "not two tight ends": "there are no two tight ends", "not key arcs": "your key does not arc",
    "not crosser away": "nobody crosses away",
}  # fmt: skip
KEY = r"(key|second key|third key|a key)"
PATTERNS: tuple[tuple[str, Tell], ...] = (
    (r"I play (.+)", lambda m: f"you line up in {m[1]}"),
    (r"not (#\d) attached(.*)", lambda m: f"{m[1]} is not attached{m[2]}"),
    (r"(#\d) attached(.*)", lambda m: f"{m[1]} is attached{m[2]}"),
    (r"not (\d) or fewer (\w+?)s(.*)", lambda m: f"more than {COUNTS.get(m[1], m[1])} {m[2]}{_s(m[1])}{m[3]}"),
    (r"not (\d) or more (\w+)(.*)", lambda m: f"fewer than {COUNTS.get(m[1], m[1])} {m[2]}{m[3]}"),
    (rf"{KEY} steps (.+)", lambda m: f"{_key(m[1])} {_steps(m[2])}"),
    (rf"not {KEY} steps (.+)", lambda m: f"it is not so that {_key(m[1])} {_steps(m[2])}"),
    (rf"{KEY} (.+)", lambda m: f"{_key(m[1])} {m[2]}"),
    (r"(guard|tackle|centre|tight end) steps (.+)", lambda m: f"the {m[1]} {_steps(m[2])}"),
    (r"pitch (on|to) my side", lambda m: "the pitch can come to you"),
    (r"quarterback read(.*)", lambda m: f"the quarterback reads somebody{m[1]}"),
    (r"run-pass option(.*)", lambda m: f"a run-pass option{m[1]}"),
    (r"wrap(.*)", lambda m: f"the wrap goes{m[1]}"),
    (r"(puller|crosser|lead|crack) (.+)", lambda m: f"{AS_A_WHOLE[m[1]]} {m[2]}"),
    (r"not (tight end|wing|two tight ends)( .*)", lambda m: f"no {m[1]}{m[2]}"),
    (r"not (.+)", lambda m: f"it is not so that {m[1]}"),
)
SIDES = (
    (r"\bon my side\b", "on your side"), (r"\bto my side\b", "to you"), (r"\bmy\b", "your"),
    (r"\bon the eyes side\b", "where the quarterback looks"),
)  # fmt: skip


def told(when: str, options: Mapping[str, str] = {}) -> str:
    """The condition in the second person; nothing for one that always holds. `options` are what options are called.

    >>> told("tight end on my side and not key steps in or out")
    'tight end on your side and it is not so that your key steps in or steps out'
    """
    return " and ".join([_told(part.strip(), options) for part in when.split(" and ")]) if when.strip() else ""


def _told(atom: str, options: Mapping[str, str]) -> str:
    if atom in AS_A_WHOLE:
        return AS_A_WHOLE[atom]
    if chosen := re.fullmatch(r"(not )?option (.+) chosen", atom):
        return f"“{options.get(chosen[2]) or words_of_name(chosen[2])}” is {'off' if chosen[1] else 'on'}"
    for pattern, tell in PATTERNS:
        if found := re.fullmatch(pattern, atom):
            atom = tell(found)
            break
    for pattern, words in SIDES:
        atom = re.sub(pattern, words, atom)
    return atom


def _s(count: str) -> str:
    return "" if count == "1" else "s"


def _key(word: str) -> str:
    return "one of your keys" if word == "a key" else f"your {word}"


def _steps(words: str) -> str:
    return " or ".join([STEP_WORDS.get(word, f"steps {word}") for word in words.split(" or ")])
