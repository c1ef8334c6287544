"""The plan weighed by what really happens: calls against a week's looks, what to fix first, two plans, a menu."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import fits
from playbook import convert
from playbook.charts.plays import CountedSnap
from playbook.looks.specs import asks_of, expected_looks, specs_of, surroundings
from playbook.models import Call, Concept, ExpectedLook, Formation, MenuCall, System, Week
from playbook.proof.expected import charted_keys, row_keys, week_plays
from playbook.proof.expecting import LookKey, look_key, nearest_look, situation_weights
from playbook.proof.results import StoredVerdict, set_results
from playbook.tendencies.counting import BY_NAME, ZONE_BUCKETS, group_plays

FIXES = 12
SITUATION_MINIMUM = 5
FEWEST_RUNS = 8  # in a situation, below which no call is told from another
PASSING = 0.7  # of the plays; from there a situation is a passing down


@dataclass(frozen=True, slots=True)
class Weighed:
    """An expected look and its weight; the weights of a week add up to one."""

    row: ExpectedLook
    weight: float

    @property
    def title(self) -> str:
        """Formation, concept, direction."""
        to = "middle" if self.row.middle else self.row.to
        row = self.row
        more = [f"{row.motion} motion" if row.motion else "", row.back_words, row.zone]
        return ", ".join(filter(None, [f"{row.formation} {row.concept} {to}".strip(), *more]))

    @property
    def percent(self) -> float:
        """Its share of their runs as it was counted, the same on every page; its weight where nothing was."""
        return round(100 * (self.weight if self.row.share is None else self.row.share), 1)


@dataclass(frozen=True, slots=True)
class CallProof:
    """One call against all expected looks. `against` has each look with its result."""

    call: str
    against: tuple[tuple[Weighed, StoredVerdict], ...]

    def _part(self, *states: str) -> float:
        return sum(look.weight for look, result in self.against if result.state in states)

    @property
    def answered(self) -> float:
        """The weight of the looks that there are: those that cannot be run count nowhere."""
        return self._part("sound", "warning", "on-time", "unsound")

    @property
    def sound(self) -> float:
        """The share of the expected runs that the call is sound against."""
        return self._part("sound", "warning") / self.answered if self.answered else 0.0

    @property
    def warned(self) -> float:
        """The share that is sound with a warning."""
        return self._part("warning") / self.answered if self.answered else 0.0

    @property
    def on_time(self) -> float:
        """The share that is sound if everybody reacts on time."""
        return self._part("on-time") / self.answered if self.answered else 0.0

    @property
    def percent(self) -> int:
        """The sound share in whole percent."""
        return round(100 * self.sound)

    @property
    def unsound_looks(self) -> list[tuple[Weighed, StoredVerdict]]:
        """What it is not sound against, the heaviest first."""
        found = [(look, result) for look, result in self.against if result.state == "unsound"]
        return sorted(found, key=lambda item: -item[0].weight)


@dataclass(frozen=True, slots=True)
class Fix:
    """One call against one look that needs mending, ordered by share x severity."""

    call: str
    look: Weighed
    result: StoredVerdict

    @property
    def worth(self) -> float:
        """The share of the expected runs, times the severity of the worst finding."""
        return self.look.weight * self.result.severity

    @property
    def percent(self) -> float:
        """The look's share of the expected runs, in percent."""
        return self.look.percent


def weigh_looks(week: Week) -> list[Weighed]:
    """Returns the week's looks with weights that add up to one. A look without a share weighs as the average one."""
    rows = expected_looks(week)
    shares = [row.share for row in rows if row.share is not None]
    usual = sum(shares) / len(shares) if shares else 1.0
    raw = [usual if row.share is None else row.share for row in rows]
    total = sum(raw)
    return [Weighed(row, share / total if total else 1 / len(rows)) for row, share in zip(rows, raw, strict=True)]


def prove_calls(
    week: Week, system: System, calls: Mapping[str, fits.Call], looks: Sequence[Weighed]
) -> list[CallProof]:
    """Returns calls of a system weighed against looks of the week, the best first."""
    around, asks = surroundings(system.pk, week), asks_of(week, [look.row for look in looks])
    results = set_results([asked for call in calls.values() for asked in specs_of(asks, around, call)]).results
    proofs = []
    for number, name in enumerate(calls):
        mine = results[number * len(looks) : (number + 1) * len(looks)]
        proofs.append(CallProof(name, tuple(zip(looks, mine, strict=True))))
    return sorted(proofs, key=lambda proof: (-proof.sound, proof.call))


def prove_week(week: Week, system: System | None = None) -> list[CallProof]:
    """Returns every call of the week's system (or of another) weighed against the week's looks."""
    system = system or week.system
    return prove_calls(week, system, convert.calls_of(system), weigh_looks(week))


@dataclass(frozen=True, slots=True)
class Covered:
    """How many of the charted runs the week's looks stand for."""

    runs: int
    listed: int
    loose: int = 0  # of them with a motion or a back's side that the week does not list apart

    @property
    def percent(self) -> int:
        """The share of all charted runs that the proof speaks of, in whole percent."""
        return round(100 * self.listed / self.runs) if self.runs else 0


def count_covered(looks: Iterable[Weighed], plays: Sequence[CountedSnap]) -> Covered:
    """Returns how many of the runs in `plays` are of these looks."""
    runs = [play for play in plays if play.run]
    keys = row_keys([look.row for look in looks], charted_keys(runs))
    known = set(keys)
    found = [(key, nearest_look(key, known)) for key in map(look_key, runs)]
    stood = [(key, near) for key, near in found if near]
    loose = sum((key.motion, key.back) != (near.motion, near.back) for key, near in stood)
    return Covered(len(runs), len(stood), loose)


def week_covered(week: Week, proofs: Sequence[CallProof]) -> Covered | None:
    """Returns how many of the opponent's charted runs a week's proof speaks of; None where none is charted."""
    looks = [look for look, _ in proofs[0].against] if proofs else []
    return looks_covered(week, looks)


def looks_covered(week: Week, looks: Sequence[Weighed]) -> Covered | None:
    """Returns how many of the opponent's charted runs these looks of a week stand for; None where none is charted."""
    found = count_covered(looks, week_plays(week))
    return found if found.runs else None


def menu_covered(week: Week, formations: Iterable[Formation], concepts: Iterable[Concept]) -> Covered | None:
    """Returns how many of the charted runs are of a menu's formations and runs; None where none is charted."""
    places, ways = {row.name for row in formations}, {row.name for row in concepts}
    runs = [play for play in week_plays(week) if play.run]
    listed = sum(play.formation in places and play.concept in ways for play in runs)
    return Covered(len(runs), listed) if runs else None


def fix_first(proofs: Iterable[CallProof], calls: Iterable[str] = (), most: int = FIXES) -> list[Fix]:
    """Returns what to mend first: findings by share x severity, of these calls or of all."""
    wanted = set(calls)
    fixes = [
        Fix(proof.call, look, result)
        for proof in proofs
        if not wanted or proof.call in wanted
        for look, result in proof.against
        if result.severity
    ]
    return sorted(fixes, key=lambda fix: (-fix.worth, fix.call, fix.look.row.pk))[:most]


# --- two plans ----------------------------------------


@dataclass(frozen=True, slots=True)
class Pair:
    """One call in two systems."""

    call: str
    left: CallProof | None
    right: CallProof | None
    differs: tuple[tuple[Weighed, StoredVerdict, StoredVerdict], ...]

    @property
    def gain(self) -> float:
        """How much more is sound on the right; 0 when the call is only in one."""
        return self.right.sound - self.left.sound if self.left and self.right else 0.0

    @property
    def points(self) -> int:
        """The gain in percentage points."""
        return round(100 * self.gain)


def compare_plans(week: Week, left: System, right: System) -> list[Pair]:
    """Returns every call of two systems against the same looks, those in both first."""
    ours = {proof.call: proof for proof in prove_week(week, left)}
    theirs = {proof.call: proof for proof in prove_week(week, right)}
    sides = []
    for name in dict.fromkeys([*ours, *theirs]):
        a, b = ours.get(name), theirs.get(name)
        pairs = zip(a.against, b.against, strict=True) if a and b else ()
        differs = tuple((x[0], x[1], y[1]) for x, y in pairs if x[1] != y[1])
        sides.append(Pair(name, a, b, differs))
    return sorted(sides, key=lambda side: (side.left is None or side.right is None, -abs(side.gain), side.call))


# --- a call menu --------------------------------------


@dataclass(frozen=True, slots=True)
class Suggestion:
    """The call that is sound against most of what comes in a situation, and why. Staff decide."""

    situation: str
    runs: int
    plays: int
    best: tuple[tuple[str, float], ...]  # names of calls
    menu: dict[str, object]
    passes: int = 0
    told: int = 0
    labels: Mapping[str, str] = field(default_factory=dict)

    @property
    def tied(self) -> tuple[str, ...]:
        """The calls that are sound against as much as the best one, in whole percent; none when it stands alone."""
        most = round(100 * self.best[0][1])
        names = tuple(name for name, share in self.best if round(100 * share) == most)
        return names if len(names) > 1 else ()

    @property
    def silent(self) -> str:
        """Why nothing is suggested here; "" when something is."""
        if self.told and self.passes >= PASSING * self.told:
            return (
                f"A passing down: {self.passes} of {self.told} were passes. What is sound against runs does not choose "
                "this call."
            )
        if self.runs < FEWEST_RUNS:
            runs = f"{self.runs} run{'' if self.runs == 1 else 's'}"
            return f"{runs} charted here: too few to tell one call from another. It takes {FEWEST_RUNS}."
        return ""

    @property
    def offered(self) -> tuple[str, ...]:
        """The calls that may be put on the menu from here."""
        return () if self.silent else self.tied or (self.best[0][0],)

    def called(self, name: str) -> str:
        """What a call is called."""
        return self.labels.get(name, name)

    @property
    def suggested(self) -> str:
        """The best call, or those that are alike, as they are called."""
        return ", ".join(map(self.called, self.tied or self.best[0][:1]))

    @property
    def offers(self) -> list[tuple[str, str]]:
        """The same as `offered`, each with what it is called."""
        return [(name, self.called(name)) for name in self.offered]

    @property
    def reason(self) -> str:
        """One sentence."""
        if self.silent:
            return self.silent
        name, share = self.best[0]
        if self.tied:
            first, last = ", ".join(map(self.called, self.tied[:-1])), self.called(self.tied[-1])
            return (
                f"{first} and {last} are sound against {round(100 * share)} % alike: the proof does not choose between "
                f"them. {self.runs} runs were charted in this situation."
            )
        text = f"{self.called(name)} is sound against {round(100 * share)} % of the runs expected here"
        if len(self.best) > 1:
            other, less = self.best[1]
            text += f"; next is {self.called(other)} with {round(100 * less)} %"
        return (
            f"{text}. {self.runs} runs were charted in this situation; the rest of the weight is how they run overall."
        )


# The call menu's own words for our field zones.
MENU_ZONES = dict(
    zip(
        (bucket.label for bucket in ZONE_BUCKETS),
        ("backed up", "coming out", "open field", "scoring range", "red zone", "goal line"),
        strict=True,
    )
)
_DOWNS = {"1st": 1, "2nd": 2, "3rd": 3, "4th": 4}


def suggest_menu(
    week: Week, proofs: Sequence[CallProof], plays: Sequence[CountedSnap] | None = None
) -> list[Suggestion]:
    """Returns a suggestion for each situation that was charted often enough, by down and distance, then field zone."""
    plays = week_plays(week) if plays is None else plays
    if not proofs or not proofs[0].against:
        return []
    keys = row_keys([look.row for look, _ in proofs[0].against], charted_keys(plays))
    labels = dict(week.system.calls.values_list("name", "label"))
    found = []
    for grouping in ("down-distance", "field-zone", "personnel"):
        for label, members, merged in group_plays(plays, BY_NAME[grouping]):
            if len(members) < SITUATION_MINIMUM or label.startswith("other ("):
                continue
            found.append(_suggest(grouping, label, merged, members, proofs, keys, labels))
    return found


def _suggest(
    grouping: str,
    label: str,
    merged: Sequence[str],
    members: Sequence[CountedSnap],
    proofs: Sequence[CallProof],
    keys: Sequence[LookKey],
    labels: Mapping[str, str],
) -> Suggestion:
    weights, runs = situation_weights(keys, [look.weight for look, _ in proofs[0].against], members)
    ranked = []
    for proof in proofs:
        pairs = zip(proof.against, weights, strict=True)
        again = tuple((replace(look, weight=weight), result) for (look, result), weight in pairs)
        ranked.append((proof.call, CallProof(proof.call, again).sound))
    ranked.sort(key=lambda item: (-item[1], item[0]))
    fields = _menu_fields(grouping, label, members)
    told = [play for play in members if play.kind]
    passes = sum(not play.run for play in told)
    title = f"{BY_NAME[grouping].label}: {label}"
    return Suggestion(title, runs, len(members), _first_ones(ranked), fields, passes, len(told), labels)


def _first_ones(ranked: Sequence[tuple[str, float]]) -> tuple[tuple[str, float], ...]:
    """Returns the first three, and as many as are as good as the first."""
    level = sum(round(100 * share) == round(100 * ranked[0][1]) for _, share in ranked)
    return tuple(ranked[: max(3, level)])


def _menu_fields(grouping: str, label: str, members: Sequence[CountedSnap]) -> dict[str, object]:
    """Returns the situation as the week's call menu has it."""
    if grouping == "down-distance":
        distances = [play.snap.distance for play in members if play.snap.distance]
        open_end = label.endswith(("+", "any"))
        low = 1 if label.endswith("any") else min(distances)
        return {
            "down": _DOWNS[label[:3]],
            "distance_from": low,
            "distance_to": None if open_end else max(distances),
        }
    if grouping == "field-zone":
        return {"zone": MENU_ZONES[label]} if label in MENU_ZONES else {}
    return {"personnel": label[:10]}


def menu_names(week: Week) -> list[str]:
    """Returns the calls that are on the week's menu, each once."""
    return list(
        dict.fromkeys(MenuCall.objects.filter(week=week).order_by("order").values_list("call__name", flat=True))
    )


def call_row(week: Week, name: str) -> Call | None:
    """Returns a call of the week's system by name."""
    return Call.objects.filter(system=week.system, name=name).select_related("front", "coverage").first()
