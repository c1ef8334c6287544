"""The plain sentences: what a defender saw, and why he fits where he does."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

STEP_WORDS = {
    "in": "steps in", "out": "steps out", "straight": "comes straight", "pull": "pulls", "cross": "crosses",
    "arc": "releases", "crack": "cracks", "set": "pass sets",
}  # fmt: skip


@lru_cache(maxsize=4096)
def saw_step(role: str, step: str) -> str:
    """`RG steps out`."""
    return f"{role} {STEP_WORDS[step]}"


def what_he_saw(keys: tuple[str, ...], steps: Mapping[str, str]) -> str:
    """What the men he reads showed first, in reading order."""
    if len(keys) == 1:
        return saw_step(keys[0], steps[keys[0]])
    if not keys:
        return "the ball"
    return ", ".join([saw_step(k, steps[k]) for k in keys])


def why(rule: str, when: str, fit: str, say: str, saw: str) -> str:
    """The rule that fired and what it saw, in one sentence."""
    because = f"when {when}" if when else "always"
    return f"Saw: {saw}. Rule {rule} ({because}): {say or fit}."
