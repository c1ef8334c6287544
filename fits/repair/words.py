"""A repair in words: what changes, who has the place he leaves, who moves because of it, and the coach's sentence.

Texts name lanes, men and sides as the engine does; `Words.retell` says them in the staff's frame. The coach's sentence
is kept in a rule that fires on both sides of the ball, so it says sides by the man himself: to you, away.
"""

from __future__ import annotations

from fits.audit.finding import listed
from fits.defense.roles import Group
from fits.derive.look import Defender, Look
from fits.repair.plausible import Change
from fits.repair.sight import atoms
from fits.rules.snap import Aligned
from fits.terms import Duty, Leverage
from fits.values import value
from fits.words import called

COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")
STEPS = {
    "in": "blocks down", "out": "reaches outside", "straight": "comes straight", "pull": "pulls", "cross": "crosses",
    "arc": "releases", "crack": "cracks", "set": "shows pass",
}  # fmt: skip
FACTS = {
    "tight end on my side": "tight end to your side", "not tight end on my side": "no tight end to your side",
    "two tight ends": "two tight ends", "tight end": "one tight end", "not tight end": "no tight end",
    "2 or more backs": "two backs", "1 or fewer backs": "one back",
}  # fmt: skip
SEEN = {
    "flow to my side": "flow to you", "flow away": "flow away", "split flow": "split flow", "no flow": "no flow",
    "puller": "a man pulls", "puller to my side": "a man pulls to you", "lead": "a back leads",
    "lead to my side": "a back leads to you", "crosser": "a man crosses", "crosser to my side": "a man crosses to you",
    "crack": "a wide man cracks", "crack to my side": "a wide man cracks on you",
}  # fmt: skip
NO_PLACE = {
    Duty.FREE: "was the extra man", Duty.SCRAPE: "was the extra man", Duty.ALLEY: "was in the alley",
    Duty.OVERLAP: "was outside everything", Duty.CONFLICT: "was between run and pass",
    Duty.PASS: "was with the pass", Duty.MAN: "was with his receiver",
}  # fmt: skip


@value
class Vacancy:
    """The place a man leaves: what it was, its lane if it had one, who is there now, and how it stands.

    `from_ball` counts lanes between it and the ball when nobody is there now (0: the ball's own), else None.
    """

    role: str
    was: str
    lane: int | None
    by: tuple[str, ...]
    from_ball: int | None
    text: str


def vacancy(role: str, before: Look, after: Look) -> Vacancy:
    """Who fills the place that this man leaves."""
    was = before.defender(role)
    assert was is not None
    if was.lane is None:
        return Vacancy(role, was.fit, None, (), None, _left_nothing(was, before, after))
    lane = after.lanes[was.lane]
    by = tuple([r for r in lane.owners if r != role])
    if not by:
        aim = after.threats[0].lane if after.threats else None
        away = None if aim is None else abs(aim - was.lane)
        where = "" if away is None else ", where the ball goes" if not away else f", {_lanes(away)} from the ball"
        return Vacancy(role, was.fit, was.lane, (), away, f"{role}'s place ({lane.name}) stays open{where}.")
    with_him = [r for r in by if r in before.lanes[was.lane].owners]
    new = [r for r in by if r not in with_him]
    told = [f"{listed(with_him)} {'was' if len(with_him) == 1 else 'were'} there with him"] if with_him else []
    told += [_comes(r, before) for r in new]
    return Vacancy(role, was.fit, was.lane, by, None, f"{role}'s place ({lane.name}): {', '.join(told)}.")


def _comes(role: str, before: Look) -> str:
    was = before.defender(role)
    assert was is not None
    return f"{role} fills it, who {NO_PLACE.get(was.duty, 'had no gap')}" if was.lane is None else f"{role} fills it"


def _left_nothing(was: Defender, before: Look, after: Look) -> str:
    text = f"{was.role} {NO_PLACE.get(was.duty, 'had no gap')}"
    for a, b in zip(before.passes, after.passes, strict=True):
        if was.role in a.defenders and was.role not in b.defenders:
            if not a.receivers:
                return f"{text}: {a.side.word} side, no receiver goes out."
            n, m, wide = len(a.defenders), len(b.defenders), len(a.receivers)
            became = f"{COUNTS[n]} for {COUNTS[wide]} becomes {COUNTS[m]} for {COUNTS[wide]}"
            return f"{text}: against the pass, {a.side.word} side, {became}."
    return f"{text}: no gap is left by him."


def _lanes(n: int) -> str:
    return f"{COUNTS[n]} lane{'' if n == 1 else 's'}"


def others_move(before: Look, after: Look, changed: frozenset[str]) -> tuple[str, ...]:
    """Who fits elsewhere because of the change, though no rule of his is new."""
    out = []
    for a, b in zip(before.defenders, after.defenders, strict=True):
        if a.role not in changed and a.lane != b.lane:
            if b.lane is None:
                now = NO_PLACE.get(b.duty, "was without a gap").replace("was ", "is ", 1)
                out.append(f"{a.role} leaves {a.fit} and {now}.")
            else:
                out.append(f"{a.role} goes from {a.fit} to {b.fit}.")
    return tuple(out)


def kind_of(was: Defender, now: Defender, before: Look) -> str:
    """`slant`, `fold`, `swap`, `move`, `force`, `release`: what a coach calls such a change."""
    if now.lane is not None and now.lane == was.lane:
        return "force"
    if now.lane is None:
        return "release"
    if was.group == Group.LINE.value:
        return "slant"
    if was.lane is None:
        return "fold"
    return "swap" if before.lanes[now.lane].owners else "move"


def headline(was: Defender, now: Defender, before: Look) -> str:
    """The change in one sentence, in the engine's sides."""
    kind = kind_of(was, now, before)
    if kind == "force":
        return f"{was.role} becomes the force in {now.fit}."
    if kind == "release":
        return f"{was.role} stays out of {was.fit}: {now.fit}."
    if kind == "slant":
        return f"{was.role} goes one gap over, to {now.fit}."
    if kind == "fold":
        return f"{was.role} folds into {now.fit}."
    return f"{was.role} goes from {was.fit} to {now.fit}."


def coach_says(c: Change) -> str:
    """The sentence of the new rule: what he sees, then what he does, then in which formation."""
    keys = [called(c.s.offense, role, c.d.side) for role in c.d.keys]
    facts, seen = [], []
    for atom in atoms(c.rule.when):
        label = atom.removeprefix("I play ")
        nth = 1 if atom.startswith("second ") else 0
        rest = atom.removeprefix("second ")
        if label != atom:
            facts.append(f"as a {label}")
        elif atom in FACTS:
            facts.append(FACTS[atom])
        elif atom in SEEN:
            seen.append(SEEN[atom])
        elif rest.startswith("key steps "):
            seen.append(f"{keys[nth]} {STEPS[rest.removeprefix('key steps ')]}")
        elif rest.startswith("key goes "):
            seen[-1] = _with_way(seen[-1], rest.endswith("to my side"))
    tail = f" ({', '.join(facts)})" if facts else ""
    return f"{', '.join(seen) or 'at the snap'}: {_does(c, keys)}{tail}"


def _with_way(seen: str, to_him: bool) -> str:
    for plain in ("reaches outside", "blocks down", "comes straight"):
        seen = seen.replace(plain, "goes")
    return f"{seen} {'to you' if to_him else 'away'}"


def _does(c: Change, keys: list[str]) -> str:
    """What he does, as he is told: by the gap, or by the man he goes inside or outside of."""
    phrase = c.rule.fit.split(" else ")[0]
    way, _, what = phrase.partition(" the " if " the " in phrase else " ")
    if c.rule.leverage == Leverage.FORCE and phrase != "force":
        return f"{_gap(c.d, phrase)}, nothing outside you" if " gap" in phrase else "set the edge, nothing outside you"
    if phrase in FITS:
        return FITS[phrase]
    if way in ("inside", "outside"):
        man = keys[0] if what == "key" else MEN[what]
        to_run = (c.now.fit_x - c.d.x) * c.s.play > 0.3
        if way == "outside":
            over = to_run and c.d.group is Group.LINEBACKER
            return f"{'go over the top of' if over else 'fit outside'} {_the(man)}"
        return f"fit inside {_the(man)}"
    return _gap(c.d, phrase)


FITS = {
    "force": "set the edge, nothing outside you", "cutback": "stay behind the ball for the cutback",
    "quarterback": "the quarterback is yours", "pitch": "the pitch is yours", "pass first": "stay with the pass",
    "stay in conflict": "pass first, feet still", "spill": "spill him: get inside the man who blocks you",
    "box": "box him: stay outside the man who blocks you",
}  # fmt: skip
MEN = {"puller": "puller", "lead": "lead back", "crosser": "man who crosses", "crack": "crack"}


def _the(man: str) -> str:
    return man if man.startswith("#") else f"the {man}"


def _gap(d: Aligned, phrase: str) -> str:
    words = phrase.split()
    if words[0] in ("frontside", "backside"):
        return f"fill {'play side' if words[0] == 'frontside' else 'back side'} {words[1]}"
    letter = next(w for w in words if len(w) == 1)
    if words[-1] == "away":
        return f"cross to the far {letter} gap"
    if d.group is Group.LINE:
        if d.gap is None or d.gap == letter:
            return f"stay in {letter} gap"
        return f"slant {'out' if letter > d.gap else 'in'} to {letter} gap"
    return f"fill {letter} gap{', its outer half' if words[0] == 'outer' else ''}"
