"""What a man sees in his own words: offensive men and directions named from where he stands."""

from __future__ import annotations

from collections.abc import Iterable

from fits.explain import STEP_WORDS
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense, is_back
from fits.sights import Felt, Flow, Shown
from fits.terms import Frame
from fits.words import SIDE_WORDS


class Eyes:
    """One man's eyes in one formation: on his side a guard is `guard`, on the other `far guard`.

    A man of the middle who has no side says `strong` and `weak`, by the side the front is called to, or what his
    system's frame says for sides; by the side of the play nothing is said before the snap.
    """

    def __init__(self, offense: Offense, strength: Side, side: Side | None, frame: Frame = Frame.STRONG) -> None:
        self.offense, self.strength, self.side = offense, strength, side
        self.frame = Frame.STRONG if frame is Frame.PLAY else frame
        first = {Frame.FIELD: offense.field or strength, Frame.OWN: RIGHT}.get(frame, strength)
        self._sides = dict(zip((first, first.other), SIDE_WORDS[self.frame], strict=True))
        self._men: dict[str, str] = {}

    def man(self, role: str) -> str:
        """`guard`, `far tackle`, `tight end`, `#2`, `back`."""
        found = self._men.get(role)
        if found is None:
            found = self._men[role] = self._name(role)
        return found

    def _name(self, role: str) -> str:
        player = self.offense.by_role[role]
        if role == "C":
            return "centre"
        if role == "QB":
            return "quarterback"
        if is_back(player):
            backs = sorted([p for p in self.offense.backfield if is_back(p)], key=lambda p: (p.y, p.role))
            return "back" if len(backs) < 2 or player is backs[0] else "front back"
        if player.side is None:
            return "man behind the ball"
        view = self.offense.view(player.side)
        if player in view.surface[:2]:
            return self._on(player.side, "guard" if player is view.surface[0] else "tackle")
        if player in view.attached:
            place = view.attached.index(player)
            return self._on(player.side, "tight end" if place == 0 else "second tight end")
        if player in view.receivers:
            return self._on(player.side, f"#{view.receivers.index(player) + 1}")
        return self._on(player.side, "man in the backfield")

    def _on(self, side: Side, noun: str) -> str:
        if self.side is None:
            return f"{self._sides[side]} {noun}"
        return noun if side is self.side else f"far {noun}"

    def way(self, side: Side) -> str:
        """`to my side`, `away`; `to the strong side` for a man of the middle."""
        if self.side is None:
            return f"to {self._toward(side)}"
        return "to my side" if side is self.side else "away"

    def _toward(self, side: Side) -> str:
        """`the strong side`, `the field`, `my left`."""
        word = self._sides[side]
        return {Frame.OWN: f"my {word}", Frame.FIELD: f"the {word}"}.get(self.frame, f"the {word} side")

    def shown(self, shown: Shown) -> str:
        """`guard pulls away`."""
        man, step = self.man(shown.role), shown.step
        if shown.way is None:
            return f"{man} {STEP_WORDS[step]}"
        verb = "goes" if step == "straight" else "steps" if step in ("in", "out") else STEP_WORDS[step]
        return f"{man} {verb} {self.way(shown.way)}"

    def flow(self, flow: Flow) -> str:
        """`flow away`, `split flow, the deep back to my side`, `no flow`."""
        if flow.deep is None:
            return "no flow"
        return f"split flow, the deep back {self.way(flow.deep)}" if flow.split else f"flow {self.way(flow.deep)}"

    def felt(self, felt: tuple[Felt, ...]) -> str:
        """`guard blocks me from inside`, `guard and tackle double me`, `nobody blocks me`."""
        if not felt:
            return "nobody blocks me"
        if len(felt) > 1:
            return f"{' and '.join([self.man(f.role) for f in felt])} double me"
        (one,) = felt
        from_ = one.from_
        if from_ in (LEFT.word, RIGHT.word):
            side = LEFT if from_ == LEFT.word else RIGHT
            return f"{self.man(one.role)} blocks me from {self._toward(side)}"
        return f"{self.man(one.role)} blocks me {from_ if from_ == 'head up' else 'from ' + from_}"

    def gaps(self, gaps: Iterable[str]) -> str:
        """Static gaps (`left A`) from where he stands: `A gap`, `A and B gap away`, `strong A gap`."""
        by_side: dict[Side, list[str]] = {}
        for gap in gaps:
            word, letter = gap.split(" ")
            by_side.setdefault(LEFT if word == "left" else RIGHT, []).append(letter)
        out = []
        for side, letters in by_side.items():
            text = f"{' and '.join(sorted(letters))} gap"
            if self.side is None:
                out.append(f"{self._sides[side]} {text}")
            else:
                out.append(text if side is self.side else f"{text} away")
        return ", ".join(sorted(out))
