"""The strongest tells: what an opponent leans to where, beyond what chance alone would show."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from playbook.charts.plays import CountedSnap

from .counting import BACK_SIDE, GROUPINGS, Share, count_calls
from .stats import adjust_p_values, binomial_p_value, two_share_p_value

TELL_MINIMUM = 8
TELL_LIMIT = 0.05
TELLS_SHOWN = 5  # of each topic: run or pass, direction, concept


@dataclass(frozen=True, slots=True)
class Tell:
    """A lean that stands out. `adjusted` is its p-value corrected for all `tried`."""

    condition: str
    outcome: str
    share: Share
    otherwise: Share
    p_value: float
    adjusted: float
    tried: int

    @property
    def text(self) -> str:
        """One sentence for coaches."""
        low_high = self.share.interval.text
        usual = f" (otherwise {self.otherwise.percent} of {self.otherwise.n})" if self.otherwise.n else ""
        return f"{self.condition}: {self.share.hits} of {self.share.n} {self.outcome}, {low_high}{usual}"


@dataclass(frozen=True, slots=True)
class Question:
    """Something with two answers that plays may lean to; `yes` and `no` are said in a sentence, "" never.

    `even`: half and half is what one would expect of anybody. `apart`: groupings where another question says the same.
    """

    yes: str
    no: str
    answer: Callable[[CountedSnap], bool | None]
    even: bool = False
    apart: frozenset[str] = frozenset()
    topic: str = "direction"


def _two(of: Callable[[CountedSnap], str], hit: str) -> Callable[[CountedSnap], bool | None]:
    def answer(play: CountedSnap) -> bool | None:
        value = of(play) if play.run else ""
        return None if value in ("", "middle") else value == hit

    return answer


_STRENGTH = Question(
    "runs to strength",
    "runs away from strength",
    _two(lambda p: p.to_strength, "strong"),
    True,
    frozenset({"backfield"}),
)
_BACK = Question("runs to the back's side", "runs away from the back", _two(lambda p: p.to_back, "to back"), True)
_FIELD = Question(
    "runs to the field", "runs to the boundary", _two(lambda p: p.to_field, "field"), True, frozenset({"back-side"})
)
_RIGHT = Question(
    "runs right", "runs left", _two(lambda p: p.side, "right"), True, frozenset({"backfield", "back-side", "hash"})
)
_RUN = Question("plays are runs", "plays are passes", lambda play: play.run if play.kind else None, topic="run or pass")


def _questions(plays: Sequence[CountedSnap]) -> list[Question]:
    concepts = Counter(play.concept for play in plays if play.run and play.concept)
    asked = [_RUN, _STRENGTH, _BACK, _FIELD, _RIGHT]
    for name, count in concepts.most_common(12):
        if count >= TELL_MINIMUM:
            asked.append(Question(f"runs are {name}", "", _is_concept(name), topic="concept"))
    return asked


def _is_concept(name: str) -> Callable[[CountedSnap], bool | None]:
    return lambda play: play.concept == name if play.run and play.concept else None


@dataclass(frozen=True, slots=True)
class _Group:
    """Plays that share one or two group values; `members` has the bit of each play set."""

    keys: tuple[tuple[str, str], ...]
    condition: str
    members: int


@dataclass(frozen=True, slots=True)
class _Finding:
    keys: tuple[tuple[str, str], ...]
    condition: str
    outcome: str
    share: Share
    otherwise: Share
    p_value: float
    topic: str

    @property
    def strength(self) -> float:
        """How far the share surely lies above what is usual."""
        return self.share.interval.low - (self.otherwise.value if self.otherwise.n else 0.5)


def find_tells(
    plays: Sequence[CountedSnap], limit: float = TELL_LIMIT, questions: Sequence[Question] | None = None
) -> list[Tell]:
    """Returns the strongest tells, corrected for how many were tried (Benjamini-Hochberg at `limit`).

    Every group of one grouping and of two is asked every question with at least TELL_MINIMUM answers; its share is
    compared with all other plays (Fisher's exact test), all plays together with half and half (binomial).
    A group of two is kept only where it surely says more than each of its parts.
    """
    findings = _all_findings(plays, questions or _questions(plays))
    adjusted = adjust_p_values([finding.p_value for finding in findings])
    kept = [
        (found, q)
        for found, q in zip(findings, adjusted, strict=True)
        if q <= limit and found.outcome and found.strength > 0
    ]
    kept.sort(key=lambda item: (len(item[0].keys), -item[0].strength, item[0].condition))
    chosen: dict[str, list[_Finding]] = {}
    tells: list[tuple[float, str, Tell]] = []
    for found, q in kept:
        parts = [part for part in chosen.get(found.outcome, ()) if set(part.keys) < set(found.keys)]
        if any(found.share.interval.low <= part.share.value for part in parts):
            continue
        chosen.setdefault(found.outcome, []).append(found)
        tell = Tell(found.condition, found.outcome, found.share, found.otherwise, found.p_value, q, len(findings))
        tells.append((-found.strength, found.topic, tell))
    tells.sort(key=lambda item: (item[0], item[2].condition))
    shown: Counter[str] = Counter()
    picked = []
    for _, topic, tell in tells:
        shown[topic] += 1
        if shown[topic] <= TELLS_SHOWN:
            picked.append(tell)
    return picked


def _all_findings(plays: Sequence[CountedSnap], questions: Sequence[Question]) -> list[_Finding]:
    groups = list(_groups(plays))
    findings = []
    for question in questions:
        known, yes = _bits(plays, question.answer)
        total = Share(yes.bit_count(), known.bit_count())
        if question.even and total.n >= TELL_MINIMUM:
            p = binomial_p_value(total.hits, total.n, 0.5)
            findings.append(_finding((), "overall", question, total, Share(0, 0), p))
        for group in groups:
            if any(name in question.apart for name, _ in group.keys):
                continue
            share = Share((group.members & yes).bit_count(), (group.members & known).bit_count())
            rest = Share(total.hits - share.hits, total.n - share.n)
            if share.n >= TELL_MINIMUM and rest.n:
                p = two_share_p_value(share.hits, share.n, rest.hits, rest.n)
                findings.append(_finding(group.keys, group.condition, question, share, rest, p))
    return findings


def _bits(plays: Sequence[CountedSnap], answer: Callable[[CountedSnap], bool | None]) -> tuple[int, int]:
    answers = [answer(play) for play in plays]
    known = "".join("0" if value is None else "1" for value in reversed(answers))
    yes = "".join("1" if value else "0" for value in reversed(answers))
    return int(known or "0", 2), int(yes or "0", 2)


def _finding(
    keys: tuple[tuple[str, str], ...], condition: str, question: Question, share: Share, rest: Share, p: float
) -> _Finding:
    if share.value >= (rest.value if rest.n else 0.5):
        return _Finding(keys, condition, question.yes, share, rest, p, question.topic)
    flipped, others = Share(share.n - share.hits, share.n), Share(rest.n - rest.hits, rest.n)
    told = "back offset" in condition  # then "away" says from whom
    outcome = "runs away" if told and question is _BACK else question.no
    return _Finding(keys, condition, outcome, flipped, others, p, question.topic)


def _groups(plays: Sequence[CountedSnap]) -> Iterator[_Group]:
    """Yields every group worth asking; of groups with the very same plays only the first."""
    singles: dict[tuple[str, str], _Group] = {}
    seen = {(1 << len(plays)) - 1}
    for grouping in (*GROUPINGS, BACK_SIDE):
        values = [grouping.of(play) for play in plays]
        for value in sorted({value for value in values if value is not None}):
            members = int("".join("1" if v == value else "0" for v in reversed(values)), 2)
            if members.bit_count() >= TELL_MINIMUM and members not in seen:
                seen.add(members)
                key = (grouping.name, value)
                singles[key] = _Group((key,), grouping.say(value), members)
    yield from singles.values()
    for first, second in combinations(singles.values(), 2):
        if {first.keys[0][0], second.keys[0][0]} in ({"backfield", "back-side"}, {first.keys[0][0]}):
            continue
        members = first.members & second.members
        if members.bit_count() >= TELL_MINIMUM and members not in seen:
            seen.add(members)
            yield _Group(first.keys + second.keys, f"{first.condition}, {second.condition}", members)


def find_own_tells(plays: Sequence[CountedSnap]) -> list[Tell]:
    """Returns the situations that give our call away, corrected like `find_tells`."""
    called = [play for play in plays if play.snap.our_call]
    questions = [
        Question(f"snaps in {line.call}", "", _is_call(line.call), topic=line.call)
        for line in count_calls(called)
        if line.share.hits >= TELL_MINIMUM
    ]
    return find_tells(called, questions=questions) if questions else []


def _is_call(name: str) -> Callable[[CountedSnap], bool | None]:
    return lambda play: play.snap.our_call == name
