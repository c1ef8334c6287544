"""The plain sentences: what a defender saw, and why he fits where he does."""

from __future__ import annotations

STEP_WORDS = {
    "in": "steps in", "out": "steps out", "straight": "comes straight", "pull": "pulls", "cross": "crosses",
    "arc": "releases", "crack": "cracks", "set": "pass sets",
}  # fmt: skip


def why(rule: str, when: str, fit: str, say: str, saw: str) -> str:
    """The rule that fired and what it saw, in one sentence."""
    because = f"when {when}" if when else "always"
    return f"Saw: {saw}. Rule {rule} ({because}): {say or fit}."
