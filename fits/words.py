"""Lanes, men and sentences in the staff's own frame: every page, drawing, sheet and quiz takes its words from here.

The engine names lanes in the offense's left and right (`left A+B`, `inside LG`), and JSON keeps those names. For
people they are said in the frame of the look's system. A side that is known before the snap (who stands where) is
never said by the side of the play: in that frame men are named by strong and weak.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from fits.derive.look import Block, Defender, Lane, Look, PassSide
from fits.field import LEFT, RIGHT, SIDES, Hash, Side, field_side
from fits.offense.formation import Offense, is_back
from fits.terms import Frame
from fits.values import value

SIDE_WORDS = {
    Frame.STRONG: ("strong", "weak"),
    Frame.FIELD: ("field", "boundary"),
    Frame.OWN: ("left", "right"),
    Frame.PLAY: ("play side", "back side"),
}
FRAME_NOTES = {
    Frame.STRONG: "Strong is the side the call is set to, weak the other.",
    Frame.FIELD: "Field is the wide side; with the ball in the middle, the side the call is set to.",
    Frame.OWN: "Left and right are your own, as you face the offense.",
    Frame.PLAY: "Play side is where the run goes, back side where it comes from; men are named by strong and weak.",
}
EXTRA = "extra: no gap, to the ball inside out"
NO_LANE = {  # by the engine's word for the fit, else by the duty
    "free": EXTRA,
    "scrape": EXTRA,
    "in conflict": "in conflict: pass first, feet still",
    "conflict": "in conflict: pass first, feet still",
    "alley": "alley: no gap, inside out off the force",
    "overlap": "overlap: no gap, outside everything on his side",
    "pass first": "pass first, no gap",
}
PLACES = {"G": "guard", "T": "tackle", "C": "centre"}
Claim = Callable[["Words", Defender, "re.Match[str]"], bool]


@value
class Words:
    """What a look is called in a frame. Sides go in as the offense's and come out as the reader's."""

    look: Look
    frame: Frame

    def side(self, side: Side, before: bool = False) -> str:
        """`strong`, `boundary`, `left` or `back side`; `before` for what is known before the snap."""
        frame = Frame.STRONG if before and self.frame is Frame.PLAY else self.frame
        first = {
            Frame.STRONG: self.look.strength,
            Frame.FIELD: field_side(self.look.hash) or self.look.strength,
            Frame.OWN: RIGHT,  # the defense's left
            Frame.PLAY: self.look.to,
        }[frame]
        return SIDE_WORDS[frame][side is not first]

    def toward(self, side: Side) -> str:
        """`to the strong side`, `to the field`, `to the defense's left`, `to the play side`."""
        word = self.side(side)
        if self.frame is Frame.OWN:
            return f"to the defense's {word}"
        return f"to the {word}" + (" side" if self.frame is Frame.STRONG else "")

    @property
    def direction(self) -> str:
        """Where the run goes; by the side of the play nothing is said, so the offense's side is named."""
        return self.going(self.look.to)

    def going(self, side: Side) -> str:
        """What `direction` says of a run to that side."""
        return f"to the offense's {side.word}" if self.frame is Frame.PLAY else self.toward(side)

    @property
    def note(self) -> str:
        """What the words for sides mean."""
        return FRAME_NOTES[self.frame]

    @property
    def ball(self) -> str:
        """Where the ball is spotted."""
        return self.ball_on(self.look.hash)

    def ball_on(self, hash_: Hash) -> str:
        """What `ball` says of that spot."""
        if hash_ is Hash.MIDDLE:
            return "in the middle"
        own = self.frame is Frame.OWN
        return f"on the {'defense' if own else 'offense'}'s {(hash_.mirrored if own else hash_).value} hash"

    @property
    def strength(self) -> str:
        """Which side the call is set to."""
        side, own = self.look.strength, self.frame is Frame.OWN
        return f"the {'defense' if own else 'offense'}'s {(side.other if own else side).word}"

    def man(self, role: str) -> str:
        """`strong E` for `left E`: a man of a pair by his side, any other by his name."""
        word, _, position = role.partition(" ")
        return f"{self.side(SIDES[word], before=True)} {position}" if position and word in SIDES else role

    def men(self, roles: tuple[str, ...]) -> tuple[str, ...]:
        """Several men, in the same order."""
        return tuple([self.man(r) for r in roles])

    def gap(self, gap: str) -> str:
        """A static gap: `strong B` for `right B`."""
        word, _, letter = gap.partition(" ")
        return f"{self.side(SIDES[word])} {letter}"

    def lane(self, lane: Lane) -> str:
        """A lane by its gaps, or by what the man does who made it."""
        word, _, role = lane.name.partition(" ")
        if word in ("inside", "outside"):
            return f"{word} {self.mover(role)}"
        if not lane.gaps:
            return lane.name
        by_side: dict[str, list[str]] = {}
        for gap in lane.gaps:
            side, _, letter = gap.partition(" ")
            by_side.setdefault(side, []).append(letter)
        if len(by_side) == 2 and all(letters == ["A"] for letters in by_side.values()):
            return "both A gaps"
        sides = sorted(by_side, key=lambda side: SIDE_WORDS[self.frame].index(self.side(SIDES[side])))
        return " and ".join(f"{self.side(SIDES[side])} {'+'.join(sorted(by_side[side]))}" for side in sides)

    def lane_of(self, index: int | None) -> str:
        """The lane of that index, or nothing."""
        return "" if index is None else next((self.lane(x) for x in self.look.lanes if x.index == index), "")

    def mover(self, role: str) -> str:
        """A blocker who leaves his place, by what he does: `the pulling guard`, `the lead back F`."""
        blocks = [b for b in self.look.blocks if b.mover]
        his = next((b for b in blocks if b.role == role), None)
        if his is None:
            return role
        said = _does(his, _trade(role))
        alike = sum(_does(b, _trade(b.role)) == said for b in blocks)
        return _does(his, role) if alike > 1 else said

    def fit(self, d: Defender) -> str:
        """Where he fits, in one phrase."""
        lane = next((x for x in self.look.lanes if x.index == d.lane), None)
        if lane is None:
            return NO_LANE.get(d.fit) or self.retell(d.fit) if d.fit else NO_LANE.get(d.duty, EXTRA)
        return d.fit.removesuffix(lane.name) + self.lane(lane) if d.fit.endswith(lane.name) else self.lane(lane)

    def says(self, d: Defender) -> str:
        """The coach's own sentence of the rule that fired; nothing when this look makes it untrue of where he goes."""
        said = d.rule.rule.say
        if not said or (d.lane is None and self.fit(d) == EXTRA):
            return ""
        holds = all(test(self, d, m) for pattern, test in CLAIMS for m in re.finditer(pattern, said))
        return said if holds else ""

    def saw(self, d: Defender) -> str:
        """What he saw, with its directions in this frame: `LG pulls to the weak side`."""
        return self._sided(d.saw)

    def sights(self, d: Defender) -> tuple[str, ...]:
        """What he saw, one thing by one."""
        return tuple([self._sided(seen) for seen in d.sights])

    def _sided(self, text: str) -> str:
        def said(m: re.Match[str]) -> str:
            way = self.toward(SIDES[m[2]])
            return f" from {way.removeprefix('to ')}" if m[1] else f" {way}"

        return re.sub(r" (from )?(left|right)(?=[,.;]|$)", said, self.retell(text))

    def why(self, d: Defender) -> str:
        """What he saw and what he does for it, in one sentence; without the rule, which is the staff's."""
        does = self.says(d) or self.fit(d)
        return f"Saw: {self.saw(d)}. {does[:1].upper()}{does[1:].rstrip('.')}."

    def passes(self, side: PassSide) -> str:
        """The pass numbers of one side."""
        words = f"{self.side(side.side, before=True)} {side.text}"
        return f"{words}, {' and '.join(self.men(side.conflict))} in conflict" if side.conflict else words

    def spot(self, x: float) -> str:
        """Which side of the ball a place is on: `3 yd` is said by the caller, `to the field side of the ball` here."""
        side = RIGHT if x > 0 else LEFT
        word = self.side(side, before=True)
        return f"{word} of the ball" if self.frame is Frame.OWN else f"to the {word} side of the ball"

    def beside(self, noun: str, x: float) -> str:
        """A man of the offense by his side: `strong tackle`, in the defender's own frame `tackle on your left`."""
        word = self.side(RIGHT if x > 0 else LEFT, before=True)
        return f"{noun} on your {word}" if self.frame is Frame.OWN else f"{word} {noun}"

    def retell(self, text: str) -> str:
        """A sentence of the engine with its lanes, men and sides said in this frame."""
        names = {lane.name: self.lane(lane) for lane in self.look.lanes}
        names |= {d.role: self.man(d.role) for d in self.look.defenders}
        names |= {f"{word} {g}": self.gap(f"{word} {g}") for word in SIDES for g in "ABCDEF"}
        listed = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
        pattern = rf"(?<![\w+])(?:({listed})(?![\w+])|(on|to) the (left|right)\b|(left|right) (side|edge|hash)\b)"

        def said(m: re.Match[str]) -> str:
            if m[1]:
                return names[m[1]]
            if m[2]:
                way = self.toward(SIDES[m[3]])
                return f"on{way.removeprefix('to')}" if m[2] == "on" else way
            return f"{self.side(SIDES[m[4]]).removesuffix(' side')} {m[5]}"

        return re.sub(pattern, said, text)


def words_of(look: Look, frame: Frame | None = None) -> Words:
    """The words of a look, in its system's own frame or in another."""
    return Words(look, look.frame if frame is None else frame)


def lane_words(look: Look, lane: Lane, frame: Frame | None = None) -> str:
    """What a lane is called in a frame."""
    return words_of(look, frame).lane(lane)


def seat(role: str, frame: Frame) -> str:
    """A man of a pair without a look: in the defender's own frame his side is his own, else he keeps his name."""
    word, _, position = role.partition(" ")
    return f"{SIDES[word].other.word} {position}" if frame is Frame.OWN and position and word in SIDES else role


def called(offense: Offense, role: str, side: Side | None) -> str:
    """An offensive man as a coach says it to a defender of that side: `guard`, `far tackle`, `#2`, `back`."""
    man = offense.by_role[role]
    if role == "C":
        return "centre"
    if is_back(man):
        backs = sorted([p for p in offense.backfield if is_back(p)], key=lambda p: (p.y, p.role))
        return "back" if len(backs) < 2 or man is backs[0] else "front back"
    if man.side is None:
        return role
    view = offense.view(man.side)
    if man in view.surface[:2]:
        noun = "guard" if man is view.surface[0] else "tackle"
    elif man in view.attached:
        noun = "tight end"
    else:
        return f"#{view.receivers.index(man) + 1}" if man in view.receivers else role
    return noun if side is None or side is man.side else f"far {noun}"


@lru_cache(maxsize=256)
def _trade(role: str) -> str:
    """`guard` for LG; a back, a tight end or a receiver is his own letter."""
    return PLACES.get(role[-1], role) if role in ("LT", "LG", "C", "RG", "RT") else role


def _does(b: Block, man: str) -> str:
    """`the pulling guard`, `the crossing H`, `the kick by F`, `the lead by F`, `the crack by Z`."""
    if b.step == "crack":
        return f"the crack by {man}"
    if b.step == "pull":
        return f"the {'trapping' if 'trap' in b.does else 'pulling'} {man}"
    if "cross" in b.does:
        return f"the crossing {man}"
    return f"the {'kick' if 'kick' in b.does else 'lead' if 'lead' in b.does else 'block'} by {man}"


# What a coach's sentence claims about a side, and whether the look bears it out.


def _lane(w: Words, d: Defender) -> Lane | None:
    return next((x for x in w.look.lanes if x.index == d.lane), None)


def _in_gap(side: Side) -> Callable[[Words, Defender, str], bool]:
    def test(w: Words, d: Defender, letter: str) -> bool:
        lane = _lane(w, d)
        return lane is not None and f"{side.word} {letter}" in lane.gaps

    return test


def _moves(d: Defender, side: Side) -> bool:
    """True when he ends on that side of where he stood, or is on that side already."""
    return (d.fit_x - d.x) * side > -0.3 or d.fit_x * side > 0.3


def _pull_side(w: Words, d: Defender, m: re.Match[str]) -> bool:
    pulls = [b for b in w.look.blocks if b.step in ("pull", "cross") and b.mover]
    ends = [RIGHT if b.x > b.start_x else LEFT for b in pulls]
    return d.lane is not None and any((d.fit_x - d.x) * side > -0.1 for side in ends)


def _gap_claim(w: Words, d: Defender, m: re.Match[str]) -> bool:
    look = w.look
    sides = {
        "front": look.to, "play": look.to, "back": look.to.other, "strong": look.strength, "weak": look.strength.other
    }  # fmt: skip
    return _in_gap(sides[m[1]])(w, d, m[2])


def _own_side(w: Words, d: Defender, m: re.Match[str]) -> bool:
    side = d.side or (RIGHT if d.x > 0 else LEFT)
    return d.lane is None or d.fit_x * side > -0.3


def _over_the_top(w: Words, d: Defender, m: re.Match[str]) -> bool:
    then_back = "cutback" in d.rule.rule.say
    return d.lane is not None and (_moves(d, w.look.to) or then_back)


CLAIMS: tuple[tuple[str, Claim], ...] = (
    (r"pull side", _pull_side),
    (r"\b(front|back|play|strong|weak) ?(?:side)? ([A-E])\b", _gap_claim),
    (r"on my side", _own_side),
    (r"over the top", _over_the_top),
)
