"""A concept laid on a formation: what each man is called on this play, who gets which job."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from fits.blocking.concepts import BlockRule, Concept, labels_of
from fits.blocking.conditions import compile_block_when
from fits.blocking.plan import BlockingPlan, Choice, PlannedLeft, PlannedThreat
from fits.blocking.seek import LEFT_MEN
from fits.blocking.verbs import VERBS
from fits.errors import NotRunnable
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Kind, Offense, OffensiveMan

ROUTE = Choice((), VERBS.compile("route"), None)  # the man who may be thrown to blocks nobody
FAKE = Choice((), VERBS.compile("fake"), None)  # nor who runs through the backfield and does not get the ball


def plan_concept(
    concept: Concept, offense: Offense, to: Side | None, shared: dict[Any, Any] | None = None
) -> BlockingPlan:
    """The concept on this offense to that side (None: its own rule decides).

    `shared` is a table that plans of this offense have together. Raises NotRunnable when a required part has nobody.
    """
    play = choose_direction(concept, offense) if to is None else to
    table, parts = cast_men(concept, offense, play)
    rules = tuple(
        (offense.by_role[role], _choices(concept, names) or ((FAKE,) if names == {"motion man"} else ()))
        for role, names in table.items()
    )
    for player, found in rules:
        if not found:
            raise NotRunnable(f"{concept.called} has no rule for {player.role} in {offense.formation.called}")
    casting = {part.name for part in concept.cast}
    threats = []
    for threat in concept.threats:
        who = threat.who
        if who.startswith("eyes ") and (side := eyes_side(concept, offense, play)):
            who = ("play" if side is play else "back") + who[4:]
        men = labels_of(table, who)
        if not men and who in casting:
            continue  # a part that nobody had to take
        if not men:
            raise NotRunnable(
                f"{concept.called} cannot be run from {offense.formation.called}: nobody is the {threat.who}"
            )
        threats.append(PlannedThreat(threat, men[0]))
    routes = {t.role for t in threats if t.rule.kind == "route"}
    rules = tuple((man, (ROUTE,) if man.role in routes else found) for man, found in rules)
    pitched = any(t.rule.kind == "pitch" for t in threats)  # nobody is left for a pitch that nobody has
    leaves = tuple(
        PlannedLeft(LEFT_MEN.compile(left.man), left.why) for left in concept.leaves if pitched or left.why != "pitch"
    )
    eyes = eyes_side(concept, offense, play)
    kept = {} if shared is None else shared
    return BlockingPlan(concept, offense, play, eyes, table, parts, rules, tuple(threats), leaves, shared=kept)


def cast_men(concept: Concept, offense: Offense, play: Side) -> tuple[dict[str, frozenset[str]], dict[str, str]]:
    """What each man is called on that run, parts of the cast included, and who has each part.

    Raises NotRunnable when a required part has nobody.
    """
    labels = {role: set(names) for role, names in label_men(offense, play).items()}
    parts: dict[str, str] = {}
    for part in concept.cast:
        if part.name in parts:
            continue
        for candidate in part.candidates:
            free = [r for r, names in labels.items() if candidate in names and r not in parts.values()]
            if free:
                parts[part.name] = free[0]
                labels[free[0]].add(part.name)
                break
        else:
            if part.required:
                raise NotRunnable(
                    f"{concept.called} to the {play.word} cannot be run from {offense.formation.called}: "
                    f"nobody for the {part.name} (wanted {' or '.join(part.candidates)})"
                )
    return {role: frozenset(names) for role, names in labels.items()}, parts


def _choices(concept: Concept, names: frozenset[str]) -> tuple[Choice, ...]:
    """The rules for a man with those labels, up to the first that always holds."""
    found = []
    for rule in concept.rules:
        if rule.who in names:
            choice = compile_rule(rule)
            found.append(choice)
            if not choice.tests:
                break
    return tuple(found)


@lru_cache(maxsize=4096)
def compile_rule(rule: BlockRule) -> Choice:
    """A blocking rule, compiled once. Raises PhraseError."""
    return Choice(compile_block_when(rule.when), VERBS.compile(rule.does), rule.step, rule.when)


def eyes_side(concept: Concept, offense: Offense, play: Side) -> Side | None:
    """The side the quarterback looks to on an option, None without one. Default: where the back lines up."""
    if not concept.flags & {"rpo", "read"}:
        return None
    if concept.eyes == "play":
        return play
    if concept.eyes == "backside":
        return play.other
    back = back_side(offense)
    if back is None:
        return play.other
    return back if concept.eyes == "back" else back.other


def back_side(offense: Offense) -> Side | None:
    """The side the deepest back lines up on, None behind the quarterback or with no back."""
    backs = [p for p in offense.backfield if p.kind is Kind.BACK]
    sides = {p.side for p in backs}
    if len(backs) == 1 or len(sides) == 1:
        return backs[0].side
    if not backs:
        return None
    deepest = min(backs, key=lambda p: p.y)
    return deepest.side if sum(p.y == deepest.y for p in backs) == 1 else None


def choose_direction(concept: Concept, offense: Offense) -> Side:
    """The side the concept goes to by its own rule."""
    back, mover = back_side(offense), offense.motion and offense.by_role[offense.motion].side
    table: dict[str, Side | None] = {
        "run strength": offense.run, "run weak": offense.run.other,
        "pass strength": offense.passing, "pass weak": offense.passing.other,
        "to back": back, "away from back": back and back.other,
        "field": offense.field, "boundary": offense.field and offense.field.other,
        "to motion": mover or None, "away from motion": mover.other if mover else None, "left": LEFT, "right": RIGHT,
    }  # fmt: skip
    return next((side for rule in concept.to if (side := table[rule]) is not None), offense.run)


def label_men(offense: Offense, play: Side) -> dict[str, list[str]]:
    """What each man is called on a play to that side; play side first, inside out, so order never depends on a file."""
    out: dict[str, list[str]] = {"C": ["centre", "line"]}
    for side in (play, play.other):
        word = "play" if side is play else "back"
        view = offense.view(side)
        for man, name in zip(view.surface[:2], ("guard", "tackle"), strict=True):  # an end may stand in for the tackle
            out[man.role] = ["line", name, f"{word} {name}"]
        for i, man in enumerate(view.attached):
            name = "tight end" if man.on_line else "wing"
            out[man.role] = ["attached", f"{word} attached", name, f"{word} {name}"]
            if i == len(view.attached) - 1:
                out[man.role].append(f"{word} end man")
        wide = None
        for i, man in enumerate(view.receivers):
            if man.role not in out:
                out[man.role] = ["receiver", f"{word} receiver"] + (["slot", f"{word} slot"] if i else [])
                wide = man.role
            out[man.role].append(f"{word} #{i + 1}")
        if wide is not None:
            out[wide].append(f"{word} inside receiver")
    backs = [p for p in offense.backfield if p.kind is Kind.BACK]
    deep = sorted(backs, key=lambda p: (p.y, p.x * play))
    for i, man in enumerate(deep):
        out[man.role] = ["back", "tailback" if i == 0 else "fullback", *_sided("back man", man, play)]
    for man in sorted(offense.backfield, key=lambda p: (-p.x * play, p.y)):
        if man.role not in out:
            attached = man.kind is Kind.TIGHT_END
            plain = [] if man.role == offense.motion else ["receiver"]  # who runs through the backfield is over nobody
            out[man.role] = ["offset", *_sided("offset", man, play)] if attached else plain
    for man in offense.formation.players:
        if man.kind is Kind.QUARTERBACK:
            out[man.role] = ["quarterback"]
    if offense.motion:
        out[offense.motion].append("motion man")
    return out


def _sided(name: str, man: OffensiveMan, play: Side) -> list[str]:
    if man.side is None:
        return []
    return [f"{'play' if man.side is play else 'back'} {name}"]
