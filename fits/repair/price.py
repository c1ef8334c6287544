"""What a repair does to every other look of its call: better, worse, same, and the worst of them by name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from fits.blocking.concepts import Concept
from fits.defense.roles import concerns
from fits.defense.system import Call, FitRule
from fits.derive.look import Look, Verdict
from fits.deriver import Deriver
from fits.errors import FitsError
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Formation
from fits.repair.search import RANK, Repair, with_rules
from fits.rules.conditions import AfterTest, after_tests, compile_when
from fits.spec import LookSpec
from fits.terms import Band, Severity
from fits.values import replace, value
from fits.words import words_of

WORST = 3  # looks that get worse, named


@value
class Effect:
    """One look that gets better or worse. `share` is what it weighs among the looks that were asked."""

    spec: LookSpec
    to: Side
    before: Band
    after: Band
    share: float


@value
class Price:
    """A change over other looks of the call: how many, how many of each kind, and the looks that change their band.

    `bands` has (before, after, looks), the most first; `changed` the looks that are worse first, the heaviest first.
    """

    looks: int
    better: int
    worse: int
    same: int
    bands: tuple[tuple[Band, Band, int], ...]
    changed: tuple[Effect, ...]

    @property
    def worst(self) -> tuple[Effect, ...]:
        """The three looks that fall deepest and weigh most."""
        return tuple([e for e in self.changed if RANK[e.after] > RANK[e.before]][:WORST])

    @property
    def text(self) -> str:
        """`Of 812 other looks 9 get better, 2 worse, 801 stay as they are.`"""
        if not self.looks:
            return "There is no other look to compare."
        others = f"Of {self.looks} other look{'' if self.looks == 1 else 's'}"
        if not (self.better or self.worse):
            return f"{others} none gets better or worse."
        gets, stays = "gets" if self.better == 1 else "get", "stays as it is" if self.same == 1 else "stay as they are"
        return f"{others} {self.better} {gets} better, {self.worse} worse, {self.same} {stays}."


class PriceList:
    """Other looks of a call with what they are worth now, to price several repairs of it.

    `specs` are looks of that call, `shares` what each weighs (all alike without). What cannot be run is left out.
    """

    def __init__(
        self, call: Call, specs: Iterable[LookSpec], deriver: Deriver | None = None, shares: Sequence[float] = ()
    ) -> None:
        self.call, self.deriver = call, deriver or Deriver()
        self._looks: list[tuple[LookSpec, float, Verdict]] = []
        for i, spec in enumerate(specs):
            asked = replace(spec, call=call)
            try:
                verdict = self.deriver.verdict(asked)
            except FitsError:
                continue
            self._looks.append((asked, shares[i] if shares else 1.0, verdict))

    def of(self, repair: Repair, other: Call | None = None) -> Price:
        """The price of a repair; for one that is another call, `other` is that call."""
        changed, looks, counts = [], 0, Counter[tuple[Band, Band]]()
        call = other or with_rules(self.call, repair.rules)
        tests = () if other else tuple([(rule, after_tests(compile_when(rule.when))) for rule in repair.rules])
        for spec, share, verdict in self._looks:
            after = verdict.band
            new = replace(spec, call=call)
            if other is not None or self._fires(new, tests):
                try:
                    after = self.deriver.verdict(new).band
                except FitsError:
                    continue
            looks += 1
            counts[verdict.band, after] += 1
            if after is not verdict.band:
                to = spec.to or self.deriver.plan(spec).play
                changed.append(Effect(spec, to, verdict.band, after, share))
        better = sum([n for (was, now), n in counts.items() if RANK[now] < RANK[was]])
        worse = sum([n for (was, now), n in counts.items() if RANK[now] > RANK[was]])
        changed.sort(key=lambda e: (RANK[e.before] - RANK[e.after], -e.share))
        bands = tuple([(was, now, n) for (was, now), n in sorted(counts.items(), key=lambda x: -x[1])])
        return Price(looks, better, worse, looks - better - worse, bands, tuple(changed))

    def _fires(self, spec: LookSpec, rules: Sequence[tuple[FitRule, tuple[AfterTest, ...]]]) -> bool:
        """True when one of the new rules holds for somebody in that look; else the look stays what it is."""
        alignment = self.deriver.alignment(spec)
        asked = [
            (d, tests) for rule, tests in rules for d in alignment.men
            if concerns(rule.who, d.name, d.position)
            and any(live.fired.id == rule.id for live in alignment.rules[d.name])
        ]  # fmt: skip
        if not asked:
            return False
        s = self.deriver.after_snap(spec)
        return any(all(test(s, d) for test in tests) for d, tests in asked)


def library_looks(
    spec: LookSpec, formations: Iterable[Formation], concepts: Iterable[Concept], deriver: Deriver
) -> Iterator[LookSpec]:
    """The call against every concept from every formation, both ways, in the same setting, without the look itself."""
    concepts = tuple(concepts)
    own = deriver.plan(spec).play
    for formation in formations:
        for concept in concepts:
            for to in (LEFT, RIGHT):
                if (formation.name, concept.name, to) != (spec.formation.name, spec.concept.name, own):
                    yield replace(spec, formation=formation, concept=concept, to=to)


def effect_words(effect: Effect, deriver: Deriver, call: Call) -> str:
    """`counter from 12-two-tight to the strong side: sound becomes not sound. Nobody fits strong C: ...`."""
    look = deriver.look(replace(effect.spec, call=call))
    said = words_of(look)
    first = next((f for f in look.findings if f.severity is Severity.UNSOUND or f.code == "late"), None)
    why = f" {said.retell(first.text)}" if first and RANK[effect.after] > RANK[effect.before] else ""
    return f"{look_words(look)}: {effect.before} becomes {effect.after}.{why}"


def look_words(look: Look) -> str:
    """`counter from 12-two-tight to the strong side`."""
    return f"{look.labels.concept} from {look.labels.formation} {words_of(look).direction}"
