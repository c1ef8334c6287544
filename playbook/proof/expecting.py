"""The looks to expect, counted: formation x concept x direction x part of the field, with smoothed shares."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from playbook.charts.plays import CountedSnap
from playbook.tendencies.stats import Interval, smooth_shares, wilson_interval

# Runs that all listed looks together are taken as seen before counting, at most, and as a part of those counted. On
# held-out games of invented offenses that is better than no smoothing and about as good as half a run for each look,
# which takes far more from a favourite.
PRIOR_RUNS, PRIOR_PART = 8.0, 0.1
GOAL_LINE_FROM = 95  # yards from their own goal: the last five
GUESSES = 6
GUESS_FROM = 3  # runs that must speak for a look before it is offered
PRIOR_WORDS = (
    "Shares are smoothed a little: a tenth is added to the runs counted (at most eight), dealt out to the families of "
    "runs as often as each came and evenly inside a family, so that no look is certain and none impossible."
)


@dataclass(frozen=True, slots=True, order=True)
class LookKey:
    """A formation drawn strong to the right, a concept, and the side that was charted.

    `to` is right (to strength), left (away from it), middle, or "" where no side was charted. `zone` is the goal line,
    or "" for the rest of the field. `motion` is our name of it, "" for none; `back` is strong or weak where the back
    stood on the other side of the quarterback than the formation is drawn.
    """

    formation: str
    concept: str
    to: str
    zone: str = ""
    motion: str = ""
    back: str = ""


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
class Like:
    """What speaks for a look that was not seen: a seen one of the same family from a like formation, and how often."""

    count: int
    seen: LookKey


@dataclass(frozen=True, slots=True)
class Expected:
    """One look to expect: how often it was seen, its smoothed share, and for a guess what speaks for it."""

    key: LookKey
    count: int
    share: float
    interval: Interval
    hash: str = "middle"
    guess: bool = False
    like: Like | None = None


@dataclass(frozen=True, slots=True)
class Expectation:
    """All looks to expect, the most likely first; `runs` were counted, `left_out` had words without a meaning.

    `unmoved` of the counted ones had a motion without a meaning: they count as if nobody had moved.
    """

    looks: tuple[Expected, ...]
    runs: int
    left_out: int
    unmoved: int = 0


def look_key(play: CountedSnap) -> LookKey:
    """Returns the look of a run, drawn strong to the right."""
    middle = "middle" if play.side == "middle" else ""
    to = {"strong": "right", "weak": "left"}.get(play.to_strength, middle)
    zone = "goal line" if (play.snap.yard_line or 0) >= GOAL_LINE_FROM else ""
    return LookKey(play.formation, play.concept, to, zone, play.moves, play.back_off)


def family_priors(counts: Sequence[int], families: Sequence[str]) -> list[float]:
    """Returns how often each look is taken as seen before counting.

    Families share it as often as their looks were seen (each once more than that), looks of a family evenly.

    >>> [round(value, 3) for value in family_priors([38, 0, 0], ["gap", "gap", "zone"])]
    [1.853, 1.853, 0.095]
    """
    looks, seen = Counter(families), Counter[str]()
    for count, family in zip(counts, families, strict=True):
        seen[family] += count
    total = seen.total() + len(looks)
    runs = max(1.0, min(PRIOR_RUNS, PRIOR_PART * seen.total()))
    return [runs * (seen[family] + 1) / total / looks[family] for family in families]


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
    seen = [counts[key] for key in listed]
    shares = smooth_shares(seen, family_priors(seen, [families.get(key.concept, key.concept) for key in listed]))
    total = sum(counts.values())
    looks = [
        Expected(
            key,
            counts[key],
            share,
            wilson_interval(counts[key], total),
            hashes[key].most_common(1)[0][0] if key in hashes else "middle",
            key in offered,
            offered.get(key),
        )
        for key, share in zip(listed, shares, strict=True)
    ]
    looks.sort(key=lambda look: (-look.share, look.guess, look.key))
    unmoved = sum(bool(play.motion) and not play.moves for play in drawn)
    return Expectation(tuple(looks), total, len(runs) - len(drawn), unmoved)


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
) -> dict[LookKey, Like]:
    """Returns looks not seen but likely, and what speaks for each."""
    formations, concepts = Counter[str](), Counter[str]()
    for key, count in counts.items():
        formations[key.formation] += count
        concepts[key.concept] += count
    total = max(1, formations.total())
    known = {replace(key, motion="", back="") for key in counts}  # seen, if only with a motion or the back over
    score: dict[LookKey, float] = {}
    witness: dict[LookKey, tuple[int, LookKey]] = {}
    for seen, count in counts.items():
        if count < GUESS_FROM:
            continue
        for formation in formations:
            if not shapes[formation].like(shapes[seen.formation]):
                continue
            for concept in concepts:
                key = LookKey(formation, concept, seen.to, seen.zone)
                if key in known or key in dropped or families[concept] != families[seen.concept]:
                    continue
                score[key] = score.get(key, 0.0) + count * formations[formation] * concepts[concept] / total**2
                witness[key] = max(witness.get(key, (0, seen)), (count, seen))
    best = sorted(score, key=lambda key: (-score[key], key))[:most]
    return {key: Like(*witness[key]) for key in best}


def count_listed(looks: Iterable[LookKey], plays: Iterable[CountedSnap]) -> Counter[LookKey]:
    """Returns how often each of these looks was run.

    A run counts with the nearest listed look: one of a part of the field, a motion or a back's side that is
    not listed by itself counts with the look that does not say it.
    """
    listed, counts = set(looks), Counter[LookKey]()
    for play in plays:
        if play.run and (key := nearest_look(look_key(play), listed)):
            counts[key] += 1
    return counts


def nearest_look(key: LookKey, listed: Container[LookKey]) -> LookKey | None:
    """Returns the listed look that a run counts with; none where its formation, run and side are not listed."""
    for names in _LESS:
        less = replace(key, **dict.fromkeys(names, ""))
        if less in listed:
            return less
    return None


_LESS = ((), ("zone",), ("back",), ("motion",), ("zone", "back"), ("zone", "motion"), ("back", "motion"),
         ("zone", "back", "motion"))  # fmt: skip


def situation_weights(
    looks: Sequence[LookKey], shares: Sequence[float], plays: Iterable[CountedSnap], strength: float = 8.0
) -> tuple[list[float], int]:
    """Returns the looks' shares in one situation, and how many runs were seen in it.

    The looks' overall shares are the Dirichlet prior, worth `strength` runs; the situation's own runs are added.
    """
    counts = count_listed(looks, plays)
    seen = [counts[key] for key in looks]
    whole = sum(shares) or 1.0
    return smooth_shares(seen, [strength * share / whole for share in shares]), sum(seen)
