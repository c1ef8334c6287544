"""The strongest tells: what an opponent leans to where, beyond what chance alone would show."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, repeat

from playbook.charts.plays import CountedSnap

from .counting import BACK_SIDE, GROUPINGS, Share, count_calls
from .stats import binomial_p_value, count_testable, least_p_value, telling_p_value

TELL_MINIMUM = 8
TELL_LIMIT = 0.05  # the chance that any tell of a sample is none
TELLS_SHOWN = 5  # of each topic: run or pass, direction, concept


@dataclass(frozen=True, slots=True)
class Beside:
    """What a tell was compared with: other plays, and how they lean."""

    label: str
    share: Share


@dataclass(frozen=True, slots=True)
class Tell:
    """A lean that stands out. `adjusted` is its p-value corrected for all `tried`.

    `beside` has all other plays, or for a tell of two things the other plays of each of them.
    """

    condition: str
    outcome: str
    share: Share
    beside: tuple[Beside, ...]
    p_value: float
    adjusted: float
    tried: int

    @property
    def text(self) -> str:
        """One sentence for coaches, of what was compared and no more."""
        said = "; ".join(f"{one.label}: {one.share.percent} of {one.share.n}" for one in self.beside)
        numbers = f"{self.share.hits} of {self.share.n} {self.outcome}, {self.share.interval.text}"
        return f"{self.condition}: {numbers}" + (f" ({said})" if said else "")


@dataclass(frozen=True, slots=True)
class Question:
    """Something with two answers that plays may lean to; `yes` and `no` are said in a sentence, "" never.

    `even`: half and half is what one would expect of anybody. `apart`: groupings that it is not asked by.
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


# Runs to the back's side, asked by where the back is, would say of the back what is a lean to strength or to the right;
# so would runs to the field, asked by the hash. Those are asked overall, and the hash is asked about left and right.
_STRENGTH = Question(
    "runs to strength",
    "runs away from strength",
    _two(lambda p: p.to_strength, "strong"),
    True,
    frozenset({"backfield", "back-side"}),
)
_BACK = Question(
    "runs to the back's side",
    "runs away from the back",
    _two(lambda p: p.to_back, "to back"),
    True,
    frozenset({"backfield", "back-side"}),
)
_FIELD = Question(
    "runs to the field",
    "runs to the boundary",
    _two(lambda p: p.to_field, "field"),
    True,
    frozenset({"back-side", "hash"}),
)
_RIGHT = Question(
    "runs right", "runs left", _two(lambda p: p.side, "right"), True, frozenset({"backfield", "back-side"})
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
    """Plays that share one group value; `members` has the bit of each play set."""

    name: str
    condition: str
    members: int


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question as plays answer it: the bits of those that do, and of those that say yes."""

    question: Question
    known: int
    yes: int

    def share(self, members: int) -> Share:
        """Returns how these plays lean."""
        return Share((members & self.yes).bit_count(), (members & self.known).bit_count())


@dataclass(frozen=True, slots=True)
class _Finding:
    """One comparison. `least` is the smallest p-value that its numbers of plays and answers could give at all."""

    condition: str
    asked: _Asked
    share: Share
    beside: tuple[Beside, ...]
    p_value: float
    least: float

    @property
    def outcome(self) -> str:
        """What these plays lean to; "" when that is nothing to say."""
        question = self.asked.question
        if self.share.value >= self._usual:
            return question.yes
        return question.no

    @property
    def _usual(self) -> float:
        return self.beside[0].share.value if self.beside else 0.5

    def tell(self, adjusted: float, tried: int) -> Tell:
        """Returns it as a tell, its shares those of the outcome."""
        share, beside = self.share, self.beside
        if self.outcome != self.asked.question.yes:
            share = _other(share)
            beside = tuple(Beside(one.label, _other(one.share)) for one in beside)
        return Tell(self.condition, self.outcome, share, beside, self.p_value, adjusted, tried)


def _other(share: Share) -> Share:
    return Share(share.n - share.hits, share.n)


def find_tells(
    plays: Sequence[CountedSnap], limit: float = TELL_LIMIT, questions: Sequence[Question] | None = None
) -> list[Tell]:
    """Returns the strongest tells, those of one thing first; `limit` is the chance that any of them is none.

    Every group of one grouping is asked every question that at least TELL_MINIMUM of its plays answer, and compared
    with all other plays (Fisher's exact test), all plays together with half and half (binomial). A group of two is
    compared with the other plays of each of the two, and has to differ from both: so it says nothing that one of them
    alone says. Half of `limit` is spent on either kind (Bonferroni-Tarone).
    """
    asked = [_Asked(question, *_bits(plays, question.answer)) for question in questions or _questions(plays)]
    groups = list(_groups(plays))
    tells = _kept(_single_findings(asked, groups, (1 << len(plays)) - 1), limit / 2)
    return tells + _kept(_pair_findings(asked, groups), limit / 2)


def _kept(findings: list[_Finding], limit: float) -> list[Tell]:
    tests = count_testable([finding.least for finding in findings], limit)
    found = []
    for finding in findings:
        adjusted = min(1.0, finding.p_value * tests)
        if adjusted <= limit and finding.outcome:
            tell = finding.tell(adjusted, len(findings))
            usual = max((one.share.value for one in tell.beside), default=0.5)
            found.append((usual - tell.share.interval.low, tell.condition, finding.asked.question.topic, tell))
    found.sort(key=lambda item: item[:3])
    shown: Counter[str] = Counter()
    picked = []
    for _, _, topic, tell in found:
        shown[topic] += 1
        if shown[topic] <= TELLS_SHOWN:
            picked.append(tell)
    return picked


def _single_findings(asked: Sequence[_Asked], groups: Sequence[_Group], everybody: int) -> list[_Finding]:
    findings = []
    for one in asked:
        total = one.share(everybody)
        if one.question.even and total.n >= TELL_MINIMUM:
            p = binomial_p_value(total.hits, total.n, 0.5)
            findings.append(_Finding("overall", one, total, (), p, 0.0))
        for group in groups:
            share = one.share(group.members)
            rest = Share(total.hits - share.hits, total.n - share.n)
            if group.name not in one.question.apart and share.n >= TELL_MINIMUM and rest.n:
                p = telling_p_value(share.hits, share.n, rest.hits, rest.n)
                least = least_p_value(share.hits, share.n, rest.hits, rest.n)
                findings.append(_Finding(group.condition, one, share, (Beside("otherwise", rest),), p, least))
    return findings


def _pair_findings(asked: Sequence[_Asked], groups: Sequence[_Group]) -> list[_Finding]:
    alone = [[one.share(group.members) for one in asked] for group in groups]
    findings = []
    for (first, firsts), (second, seconds) in combinations(zip(groups, alone, strict=True), 2):
        if first.name == second.name or {first.name, second.name} == {"backfield", "back-side"}:
            continue
        both = first.members & second.members
        if both.bit_count() < TELL_MINIMUM:
            continue
        names = {first.name, second.name}
        for place, one in enumerate(asked):
            n = (both & one.known).bit_count()
            others = firsts[place].n - n, seconds[place].n - n
            if n < TELL_MINIMUM or not all(others) or one.question.apart & names:
                continue
            share = Share((both & one.yes).bit_count(), n)
            rests = [
                Share(whole.hits - share.hits, other)
                for whole, other in zip((firsts[place], seconds[place]), others, strict=True)
            ]
            beside = tuple(
                Beside(f"{group.condition} otherwise", rest) for group, rest in zip((first, second), rests, strict=True)
            )
            p, least = _two_ways(share, rests)
            findings.append(_Finding(f"{first.condition}, {second.condition}", one, share, beside, p, least))
    return findings


def _two_ways(share: Share, rests: Sequence[Share]) -> tuple[float, float]:
    """Returns the p-value that a share differs from both others, to the same side, and the least it could be."""
    least = max(least_p_value(share.hits, share.n, rest.hits, rest.n) for rest in rests)
    more = {share.value > rest.value for rest in rests}
    if len(more) == 2 or any(share.value == rest.value for rest in rests):
        return 1.0, least
    first = telling_p_value(share.hits, share.n, rests[0].hits, rests[0].n)
    if first > TELL_LIMIT:
        return first, least
    return max(first, telling_p_value(share.hits, share.n, rests[1].hits, rests[1].n)), least


def _bits(plays: Sequence[CountedSnap], answer: Callable[[CountedSnap], bool | None]) -> tuple[int, int]:
    answers = list(map(answer, reversed(plays)))
    return _number(answers, {True: "1", False: "1"}), _number(answers, {True: "1"})


def _number(values: Iterable[object], ones: Mapping[object, str]) -> int:
    """Returns the number whose bits are set where a value is one of `ones`; the last value is the lowest bit."""
    return int("".join(map(ones.get, values, repeat("0"))) or "0", 2)  # type: ignore[arg-type]


def _groups(plays: Sequence[CountedSnap]) -> Iterator[_Group]:
    """Yields every group of one grouping worth asking; of groups with the very same plays only the first."""
    seen = {(1 << len(plays)) - 1}
    for grouping in (*GROUPINGS, BACK_SIDE):
        values = list(map(grouping.of, reversed(plays)))
        for value in sorted({value for value in values if value is not None}):
            members = _number(values, {value: "1"})
            if members.bit_count() >= TELL_MINIMUM and members not in seen:
                seen.add(members)
                yield _Group(grouping.name, grouping.say(value), members)


# --- what is always asked -----------------------------


WATCHED: tuple[tuple[str, Callable[[CountedSnap], bool]], ...] = (
    ("Third and long (7 or more)", lambda play: play.snap.down == 3 and (play.snap.distance or 0) >= 7),
    ("Second and long (7 or more)", lambda play: play.snap.down == 2 and (play.snap.distance or 0) >= 7),
    ("Goal line (their last 5 yards)", lambda play: (play.snap.yard_line or 0) >= 95),
)


def find_own_tells(plays: Sequence[CountedSnap]) -> list[Tell]:
    """Returns the situations that give our call away, corrected like `find_tells`."""
    called = [play for play in plays if play.snap.our_call]
    questions = [
        Question(f"snaps in {call}", "", _is_call(call), topic=call)
        for call, share in count_calls(called)
        if share.hits >= TELL_MINIMUM
    ]
    return find_tells(called, questions=questions) if questions else []


def _is_call(name: str) -> Callable[[CountedSnap], bool | None]:
    return lambda play: play.snap.our_call == name
