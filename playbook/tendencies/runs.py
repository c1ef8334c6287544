"""The runs used most from each formation, each drawn with where it hit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import fits
from fits.draw.scene import LaneMark
from fits.draw.svg import draw_formation
from playbook import convert
from playbook.charts.plays import OTHER_SIDE, CountedSnap
from playbook.charts.values import HOLES
from playbook.charts.words import vocabulary_of
from playbook.models import Opponent

from .counting import Share

DRAWN = 6  # pictures of the formations that run most
RUNS = 3  # named under each
OUTSIDE_YD = 1.2  # from the last man to the middle of the D gap


@dataclass(frozen=True, slots=True)
class TopRuns:
    """A formation's runs: how many, those used most, its drawing with the runs at each hole, how many had a hole."""

    formation: str
    runs: int
    most: tuple[tuple[str, Share], ...]
    drawing: str
    placed: int


def draw_top_runs(opponent: Opponent, plays: Sequence[CountedSnap]) -> list[TopRuns]:
    """Returns the formations that ran most, those that we can draw. Plays are in people's words."""
    vocabulary = vocabulary_of(opponent)
    rows = {label: vocabulary.formations[name] for name, label in vocabulary.formation_labels.items()}
    by_formation: dict[str, list[CountedSnap]] = {}
    for play in plays:
        if play.run and play.formation in rows:
            by_formation.setdefault(play.formation, []).append(play)
    found = []
    for label, runs in sorted(by_formation.items(), key=lambda item: (-len(item[1]), item[0]))[:DRAWN]:
        concepts = Counter(play.concept for play in runs if play.concept)
        most = tuple((name, Share(n, concepts.total())) for name, n in concepts.most_common(RUNS))
        holes = Counter(hole for play in runs if (hole := _drawn_hole(play)))
        try:
            formation = convert.formation_value(rows[label])
            drawing = draw_formation(formation, lanes=_marks(formation, holes))
        except fits.FitsError:
            continue
        found.append(TopRuns(label, len(runs), most, drawing, holes.total()))
    return found


def _drawn_hole(play: CountedSnap) -> str:
    """The hole with the formation drawn strong to the right; "" where the strength is not known."""
    if play.hole == "middle" or play.snap.strength not in ("left", "right"):
        return play.hole if play.hole == "middle" else ""
    side, _, gap = play.hole.partition(" ")
    return f"{OTHER_SIDE[side]} {gap}" if gap and play.snap.strength == "left" else play.hole


def _marks(formation: fits.Formation, holes: Counter[str]) -> tuple[LaneMark, ...]:
    """Returns a mark under each hole that was hit: the gap, its share and how many."""
    places, total = hole_places(formation), holes.total()
    return tuple(
        LaneMark(hole.split()[-1], places[hole], (f"{round(100 * holes[hole] / total)} %", f"{holes[hole]}"), False)
        for hole in HOLES
        if holes[hole]
    )


def hole_places(formation: fits.Formation) -> dict[str, float]:
    """Returns where the holes of a chart are against a formation, in yards from the ball.

    A to C are inside guard, tackle and the man outside him; D is outside the last man. Source: common practice.

    >>> places = hole_places(fits.load_library().formations["11-trey"])
    >>> places["middle"], places["right A"] < places["right B"] < places["right C"] < places["right D"]
    (0.0, True)
    """
    offense = fits.Deriver().stand(formation).snap.offense
    places = {"middle": 0.0}
    for side, view in (("left", offense.left), ("right", offense.right)):
        line = [0.0, *(abs(man.x) for man in view.surface)]
        edges = [(inner + outer) / 2 for inner, outer in pairwise(line)]
        last = line[-1] + OUTSIDE_YD
        spots = [*edges[:3], *([last] * (3 - len(edges[:3]))), last + (OUTSIDE_YD if len(edges) < 3 else 0.0)]
        sign = -1 if side == "left" else 1
        places |= {f"{side} {gap}": sign * spot for gap, spot in zip("ABCD", spots, strict=True)}
    return places
