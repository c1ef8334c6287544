"""When a blocking rule applies: the phrases of a concept's `when`, seen from the blocker."""

from __future__ import annotations

from fits.blocking.levels import HEAD_X, Levels, Man
from fits.blocking.plan import BlockCondition, BlockingPlan
from fits.blocking.seek import inside_him
from fits.field import LEFT, RIGHT, Side
from fits.notation.phrase import Vocabulary
from fits.offense.formation import OffensiveMan

GUARD_X = 0.25  # yards: still head up on the guard
INSIDE_X = 0.3  # yards inside the tackle: no longer his own man

BLOCK_CONDITIONS: Vocabulary[BlockCondition] = Vocabulary("a blocking condition")
_say = BLOCK_CONDITIONS.phrase


def compile_block_when(text: str) -> tuple[BlockCondition, ...]:
    """The conditions of a `when`, all of which must hold; empty text always holds. Raises PhraseError."""
    out = []
    for atom in filter(None, (a.strip() for a in text.split(" and "))):
        negate = atom.startswith("not ")
        test = BLOCK_CONDITIONS.compile(atom.removeprefix("not "))
        out.append(_not(test) if negate else test)
    return tuple(out)


def _not(test: BlockCondition) -> BlockCondition:
    return lambda plan, front, man: not test(plan, front, man)


@_say("covered", "covered", "a man at the line within a man's width of me")
def _covered() -> BlockCondition:
    return lambda plan, front, man: man.role in front.cover


@_say("covered (?P<shade>inside|outside|head up)", "covered inside", "the man over me is shaded that way")
def _shaded(shade: str) -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        over = front.cover.get(man.role)
        if over is None:
            return False
        if shade == "head up":
            return abs(over[1]) <= HEAD_X
        return over[1] < -HEAD_X if shade == "inside" else over[1] > HEAD_X

    return test


@_say("man inside", "man inside", "a man at the line inside me, up to head up on the next blocker (the nose is not)")
def _man_inside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side = 1 if man.x > 0 else -1
        return any(0.15 < (man.x - m.to_x) * side < 1.65 and abs(m.to_x) > 0.3 for m in front.first)

    return test


@_say(
    "man well inside",
    "man well inside",
    "a man at the line inside me whom the next blocker inside cannot reach, and another one outside him",
)
def _man_well_inside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side = 1 if man.x > 0 else -1
        xs = [m.to_x * side for m in front.first]
        return any(0.1 < man.x * side - x < 0.9 and max(xs) > x + 0.3 for x in xs)

    return test


@_say("man outside", "man outside", "a man at the line from my outside shoulder to a yard and a half outside")
def _man_outside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side = 1 if man.x > 0 else -1
        return any(0.15 < (m.to_x - man.x) * side < 1.65 for m in front.first)

    return test


@_say("pinned", "pinned", "the man over me stands inside the blocker outside me, who pins him")
def _pinned() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        over = front.cover.get(man.role)
        side = 1 if man.x > 0 else -1
        surface = plan.offense.view(RIGHT if side > 0 else LEFT).surface
        beyond = [p.x * side for p in surface if p.x * side > man.x * side]
        return over is not None and bool(beyond) and 0.1 < min(beyond) - over[0].to_x * side < 1.65

    return test


@_say(
    "covered or reached",
    "covered or reached",
    "a man over me, or one up to the inside of the tackle outside me whom nobody else can have when he pulls",
)
def _reached() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side = 1 if man.x > 0 else -1
        return any(-0.9 <= (m.to_x - man.x) * side <= 1.75 for m in front.first)

    return test


@_say(
    "end man inside the tight end",
    "end man inside the tight end",
    "play side: an attached man with no end man outside him",
)
def _end_inside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        attached, end = plan.offense.view(plan.play).attached, front.end[plan.play]
        return bool(attached) and (end is None or (end.x - attached[-1].x) * plan.play < 0)

    return test


def _own_end(front: Levels, man: OffensiveMan) -> tuple[Side, Man | None]:
    """His side of the ball, and the last man at the line there."""
    side = RIGHT if man.x > 0 else LEFT
    return side, front.end[side]


def _stands_outside(end: Man | None, man: OffensiveMan, side: Side) -> bool:
    return end is not None and (end.to_x - man.x) * side > HEAD_X


@_say("end man well inside me", "end man well inside me", "the last man at the line of my side is a yard inside me")
def _end_well_inside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side, end = _own_end(front, man)
        return end is not None and (man.x - end.to_x) * side >= 0.9

    return test


@_say(
    "end man between two tight ends",
    "end man between two tight ends",
    "the last man at the line of my side stands between me and the attached man inside me",
)
def _end_between() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side, end = _own_end(front, man)
        inner = [p.x * side for p in plan.offense.view(side).attached if p.x * side < man.x * side]
        return end is not None and bool(inner) and max(inner) < end.to_x * side < man.x * side

    return test


@_say(
    "end man outside me",
    "end man outside me",
    "I am at the line, the last man there stands over my outside half: when I leave, nobody has him",
)
def _end_outside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        side, end = _own_end(front, man)
        return man.on_line and _stands_outside(end, man, side)

    return test


@_say(
    "end man outside the (?P<part>[a-z]+)",
    "end man outside the trapper",
    "that part is on the line of the play side, the last man there, and a man at the line stands outside him",
)
def _outside_part(part: str) -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        role, end = plan.parts.get(part), front.end[plan.play]
        he = plan.offense.view(plan.play).surface[-1]
        return he.role == role and he.on_line and _stands_outside(end, he, plan.play)

    return test


@_say(
    "man on the play guard",
    "man on the play guard",
    "a man at the line head up on the guard or wider, and inside the tackle",
)
def _on_the_guard() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        guard, tackle = [p.x * plan.play for p in plan.offense.view(plan.play).surface[:2]]
        return any(guard - GUARD_X <= m.to_x * plan.play < tackle - INSIDE_X for m in front.first)

    return test


@_say(
    "two men on or outside the last blocker",
    "two men on or outside the last blocker",
    "at the line of the play side, the last blocker being one who has no part that takes him away",
)
def _two_outside() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        gone = set(plan.parts.values())
        last = [p.x * plan.play for p in plan.offense.view(plan.play).surface if p.role not in gone][-1]
        return sum(m.to_x * plan.play >= last - HEAD_X for m in front.first) > 1

    return test


@_say(
    "first to crack",
    "first to crack",
    "the inmost receiver of the play side who has a man inside him to crack; when none has, the inmost",
)
def _first_to_crack() -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        view = plan.offense.view(plan.play)
        wide = [p for p in reversed(view.receivers) if p not in view.surface]
        return man == next((p for p in wide if inside_him(plan, front, p, plan.play)), wide[0])

    return test


@_say("(?P<kind>odd|even) front", "odd front", "a man at the line over the centre, or none")
def _odd(kind: str) -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        return any(abs(m.x) < 0.6 for m in front.first) == (kind == "odd")

    return test


@_say("(?P<has>with|without) (?P<part>[a-z ]+)", "with kicker", "that part of the concept has somebody, or nobody")
def _has(has: str, part: str) -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        return (part in plan.parts) == (has == "with")

    return test


@_say("tight end on the (?P<where>play|back) side", "tight end on the play side", "an attached or wing man there")
def _tight_end(where: str) -> BlockCondition:
    def test(plan: BlockingPlan, front: Levels, man: OffensiveMan) -> bool:
        return bool(plan.offense.view(plan.play if where == "play" else plan.play.other).attached)

    return test


@_say("(?P<where>play|back) side", "play side", "I stand on that side of the ball")
def _where(where: str) -> BlockCondition:
    return lambda plan, front, man: man.x * plan.play > 0 if where == "play" else man.x * plan.play < 0


@_say("flag (?P<flag>[a-z-]+)", "flag read", "the concept or one of its options carries that word")
def _flag(flag: str) -> BlockCondition:
    return lambda plan, front, man: flag in plan.concept.flags
