"""The men of a run as it is written: who does what from a formation, who has no job yet, and one man given another.

A run names men by what they are on the play (`back guard`, `fullback`), so that it works to either side and from other
formations; what is chosen on a drawing for LG is written for whatever LG is there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import fits
from fits.blocking.cast import cast_men, choose_direction
from fits.offense.formation import Kind, Offense

# By which of his names a man is written, the most telling first; only one that is his alone is taken, if there is one.
TELLING = (
    "centre", "quarterback", "tailback", "fullback", "offset", "play guard", "back guard", "play tackle", "back tackle",
    "play wing", "back wing", "play tight end", "back tight end", "play attached", "back attached", "play slot",
    "back slot", "play #1", "back #1", "play #2", "back #2", "play #3", "back #3", "motion man",
)  # fmt: skip
IDLE = "fake"  # what a man without a job is drawn with: nothing


@dataclass(frozen=True, slots=True)
class RunMan:
    """One man of a run from a formation: what he is called there, and what he does (nothing yet where that is empty).

    `rules` are his, as (condition, what he does), in order; `kind` is what he is in the formation.
    """

    role: str
    kind: Kind
    who: str
    names: frozenset[str]
    does: str
    rules: tuple[tuple[str, str], ...]

    @property
    def idle(self) -> bool:
        """Whether he has no job yet."""
        return not self.does


def run_men(concept: fits.Concept, offense: Offense) -> tuple[RunMan, ...]:
    """Returns the eleven, left to right and front to back. Raises fits.NotRunnable when a part has nobody."""
    names, _ = cast_men(concept, offense, choose_direction(concept, offense))
    found = []
    for player in sorted(offense.formation.players, key=lambda man: (man.y < -1.5, man.x)):
        his = names[player.role]
        rules = tuple((rule.when, rule.does) for rule in concept.rules if rule.who in his)
        always = next((place for place, (when, _) in enumerate(rules) if not when), None)
        found.append(
            RunMan(
                player.role,
                player.kind,
                _called(his, [other for role, other in names.items() if role != player.role]),
                his,
                "" if always is None else rules[0][1],
                rules if always is None else rules[: always + 1],
            )
        )
    return tuple(found)


def as_drawn(men: Iterable[RunMan], look: fits.Look) -> tuple[RunMan, ...]:
    """Returns the men with what each does in that look: which of his rules holds is known only against a call."""
    does = {block.role: block.does for block in look.blocks}
    return tuple(man if man.idle else replace(man, does=does.get(man.role, man.does)) for man in men)


def first_man(men: Sequence[RunMan]) -> RunMan:
    """Returns who is looked at first: somebody without a job, else the first of the line."""
    return next((man for man in men if man.idle), next((man for man in men if man.kind is Kind.LINE), men[0]))


def _called(his: frozenset[str], others: Sequence[frozenset[str]]) -> str:
    alone = [name for name in TELLING if name in his and not any(name in names for names in others)]
    return next(iter(alone), next((name for name in TELLING if name in his), min(his)))


def finished(data: Mapping[str, Any], men: Iterable[RunMan]) -> dict[str, Any]:
    """Returns a run's file entry in which every man has something to do, so that it can be drawn before it is whole."""
    idle = [{"who": man.who, "when": "", "does": IDLE} for man in men if man.idle]
    return {**data, "rules": [*data["rules"], *idle]}


def give_job(
    rules: Sequence[Mapping[str, Any]], who: str, names: Iterable[str], does: str, when: str = ""
) -> list[dict[str, Any]]:
    """Returns a run's rules with another job for one man.

    Without a condition it is what he always does: rules for just him go, and the new one stands before those that he
    shares with others. With one it stands before all of his.

    >>> give_job([{"who": "line", "when": "", "does": "zone"}], "centre", ["centre", "line"], "reach")[0]["does"]
    'reach'
    """
    kept = [dict(rule) for rule in rules if when or rule.get("who") != who]
    if when:
        kept = [rule for rule in kept if (rule.get("who"), rule.get("when")) != (who, when)]
    mine = {who, *names}
    first = next((place for place, rule in enumerate(kept) if rule.get("who") in mine), len(kept))
    return [*kept[:first], {"who": who, "when": when, "does": does, "step": ""}, *kept[first:]]
