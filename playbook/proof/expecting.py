"""The looks to expect, counted: formation x concept x direction with smoothed shares, and likely ones not seen yet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from playbook.charts.plays import CountedSnap
from playbook.tendencies.stats import Interval, smooth_shares, wilson_interval

PRIOR = 0.5  # how often every listed look is taken as seen before counting (Jeffreys)
GUESSES = 6
GUESS_FROM = 3  # runs that must speak for a look before it is offered
PRIOR_WORDS = (
    "Shares are smoothed: every look on this list is taken as seen half a time before the count "
    "(a symmetric Dirichlet prior of 0.5), so none is certain and none impossible."
)


@dataclass(frozen=True, slots=True, order=True)
class LookKey:
    """A formation drawn strong to the right, a concept, and the side that was charted.

    `to` is right (to strength), left (away from it), middle, or "" where no side was charted.
    """

    formation: str
    concept: str
    to: str


@dataclass(frozen=True, slots=True)
class Shape:
    """What makes formations alike: personnel, and eligible men outside the tackles to and away from strength."""

    personnel: str
    strong: int
    weak: int

    def like(self, other: Shape) -> bool:
        """Whether the two are alike: the same personnel, or the same men on each side."""
        return self.personnel == other.personnel or (self.strong, self.weak) == (other.strong, other.weak)


@dataclass(frozen=True, slots=True)
class Expected:
    """One look to expect: how often it was seen, its smoothed share, and for a guess what speaks for it."""

    key: LookKey
    count: int
    share: float
    interval: Interval
    hash: str = "middle"
    guess: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True)
class Expectation:
    """All looks to expect, the most likely first; `runs` were counted, `left_out` had words without a meaning."""

    looks: tuple[Expected, ...]
    runs: int
    left_out: int


def look_key(play: CountedSnap) -> LookKey:
    """Returns the look of a run, drawn strong to the right."""
    middle = "middle" if play.side == "middle" else ""
    to = {"strong": "right", "weak": "left"}.get(play.to_strength, middle)
    return LookKey(play.formation, play.concept, to)


def expect_looks(
    plays: Iterable[CountedSnap],
    shapes: Mapping[str, Shape],
    families: Mapping[str, str],
    also: Iterable[LookKey] = (),
    without: Iterable[LookKey] = (),
    guesses: int = GUESSES,
) -> Expectation:
    """Returns the looks to expect of the runs in `plays`.

    `shapes` and `families` name the formations and concepts that can be drawn; other runs are left out and counted.
    `also` are looks the staff wants listed, `without` those it took out.
    """
    dropped = set(without)
    runs = [play for play in plays if play.run]
    drawn = [play for play in runs if play.formation in shapes and play.concept in families]
    counts = Counter(key for play in drawn if (key := look_key(play)) not in dropped)
    hashes: dict[LookKey, Counter[str]] = {}
    for play in drawn:
        hashes.setdefault(look_key(play), Counter())[_hash_of(play)] += 1
    offered = _offer(counts, shapes, families, dropped, guesses)
    listed = list(dict.fromkeys([*counts, *(key for key in also if key not in dropped), *offered]))
    shares = smooth_shares([counts[key] for key in listed], PRIOR)
    total = sum(counts.values())
    looks = [
        Expected(
            key,
            counts[key],
            share,
            wilson_interval(counts[key], total),
            hashes[key].most_common(1)[0][0] if key in hashes else "middle",
            key in offered,
            offered.get(key, ""),
        )
        for key, share in zip(listed, shares, strict=True)
    ]
    looks.sort(key=lambda look: (-look.share, look.guess, look.key))
    return Expectation(tuple(looks), total, len(runs) - len(drawn))


def _hash_of(play: CountedSnap) -> str:
    """The hash as it is with the formation drawn strong to the right."""
    if play.snap.strength == "left":
        return {"left": "right", "right": "left"}.get(play.snap.hash, "middle")
    return play.snap.hash or "middle"


def _offer(
    counts: Counter[LookKey],
    shapes: Mapping[str, Shape],
    families: Mapping[str, str],
    dropped: set[LookKey],
    most: int,
) -> dict[LookKey, str]:
    """Returns looks not seen but likely: a seen concept of the same family from a like formation, and why."""
    formations, concepts = Counter[str](), Counter[str]()
    for key, count in counts.items():
        formations[key.formation] += count
        concepts[key.concept] += count
    total = max(1, formations.total())
    score: dict[LookKey, float] = {}
    witness: dict[LookKey, tuple[int, LookKey]] = {}
    for seen, count in counts.items():
        if count < GUESS_FROM:
            continue
        for formation in formations:
            if not shapes[formation].like(shapes[seen.formation]):
                continue
            for concept in concepts:
                key = LookKey(formation, concept, seen.to)
                if key in counts or key in dropped or families[concept] != families[seen.concept]:
                    continue
                score[key] = score.get(key, 0.0) + count * formations[formation] * concepts[concept] / total**2
                witness[key] = max(witness.get(key, (0, seen)), (count, seen))
    best = sorted(score, key=lambda key: (-score[key], key))[:most]
    return {key: _why(key, *witness[key]) for key in best}


def _why(key: LookKey, count: int, seen: LookKey) -> str:
    same_run = seen.concept == key.concept
    run = "the same run" if same_run else f"{seen.concept}, of the same family,"
    place = "here" if seen.formation == key.formation else f"from {seen.formation}, a like formation"
    return f"{run} came {count} times {place}"


def situation_weights(
    looks: Sequence[LookKey], shares: Sequence[float], plays: Iterable[CountedSnap], strength: float = 8.0
) -> tuple[list[float], int]:
    """Returns the looks' shares in one situation, and how many runs were seen in it.

    The looks' overall shares are the Dirichlet prior, worth `strength` runs; the situation's own runs are added.
    """
    counts = Counter(look_key(play) for play in plays if play.run)
    seen = [counts[key] for key in looks]
    whole = sum(shares) or 1.0
    return smooth_shares(seen, [strength * share / whole for share in shares]), sum(seen)
