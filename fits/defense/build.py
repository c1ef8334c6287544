"""A system built from its file shape, every label and phrase checked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fits.defense.align import KEYS, compile_at
from fits.defense.checks import compile_check
from fits.defense.movement import compile_move
from fits.defense.pressure import DUTIES
from fits.defense.roles import SIDES, Group, Position, expand
from fits.defense.system import (
    LEVERAGES,
    STRENGTHS,
    AlignRule,
    CallRow,
    CheckRule,
    Coverage,
    FitRule,
    ForceRule,
    Front,
    KeyRule,
    MoveRule,
    Pressure,
    Replacement,
    System,
    TakeRule,
    free_rule_id,
)
from fits.defense.techniques import Scheme, build_scheme
from fits.errors import FileError
from fits.notation.phrase import PhraseError
from fits.offense.entry import Entry
from fits.rules.conditions import after_tests, compile_when
from fits.rules.targets import compile_fit
from fits.terms import Frame, Leverage

MEN = 11
MOST_PARTS = 300  # fronts, coverages, calls of one system
MOST_RULES = 500  # in one list


def build_system(data: object, where: str = "system", schemes: Mapping[str, Scheme] | None = None) -> System:
    """A system from its file shape; `schemes` are the technique schemes it may name. Raises FileError."""
    top = Entry(data, where, "", ("system", "techniques", "role", "front", "coverage", "call", "pressure"))
    head = Entry(top.data.get("system"), where, "system", ("name", "label", "source", "techniques", "frame"))
    scheme, inline = _scheme(top, head, schemes or {})
    positions = _positions(top)
    names = {r.name for p in positions for r in expand(p)} | {p.name for p in positions}
    count = sum(len(expand(p)) for p in positions)
    if count != MEN:
        raise FileError(where, "role", "eleven defenders (a role with side 'both' is two)", count)
    check = _Checks(names, scheme)
    fronts = _named(top, "front", lambda e: _front(e, check))
    coverages = _named(top, "coverage", lambda e: _coverage(e, check))
    pressures = _named(top, "pressure", lambda e: _pressure(e, check)) if "pressure" in top else {}
    _unique_ids(where, fronts, coverages, pressures)
    calls: list[CallRow] = []
    short: set[str] = set()
    if len(top.items("call")) > MOST_PARTS:
        raise FileError(where, "call", f"at most {MOST_PARTS} calls", len(top.items("call")))
    for i, item in enumerate(top.items("call")):
        e = Entry(item, where, f"call[{i}]", ("name", "label", "front", "coverage", "note", "short"))
        if e.flag("short"):
            short.add(e.text("name"))
        if e.text("front") not in fronts:
            raise e.wrong("front", f"one of {', '.join(fronts)}")
        if e.text("coverage") not in coverages:
            raise e.wrong("coverage", f"one of {', '.join(coverages)}")
        if e.text("name") in [c.name for c in calls]:
            raise e.wrong("name", "each call once")
        name = e.text("name")
        call = CallRow(name, e.text("front"), e.text("coverage"), e.text("note", ""), e.label())
        _whole(e, positions, fronts[call.front], coverages[call.coverage])
        calls.append(call)
    frame = head.choice("frame", Frame) if "frame" in head else Frame.STRONG
    return System(
        head.text("name"), head.label(), head.text("source", ""), scheme, inline, positions, fronts, coverages,
        tuple(calls), frame, pressures, frozenset(short),
    )  # fmt: skip


def _scheme(top: Entry, head: Entry, schemes: Mapping[str, Scheme]) -> tuple[Scheme, bool]:
    if "techniques" in top:
        return build_scheme(top.data["techniques"], top.where), True
    name = head.text("techniques")
    if name not in schemes:
        raise head.wrong("techniques", f"one of {', '.join(schemes)}, or a [techniques] table")
    return schemes[name], False


def _positions(top: Entry) -> tuple[Position, ...]:
    out: list[Position] = []
    for i, item in enumerate(top.items("role")):
        e = Entry(item, top.where, f"role[{i}]", ("name", "group", "side", "label", "v_yd_s", "tau_s"))
        name, side = e.text("name"), e.text("side")
        if name in [p.name for p in out]:
            raise e.wrong("name", "each position once")
        if side not in SIDES:
            raise e.wrong("side", f"one of {', '.join(SIDES)}")
        v = e.number("v_yd_s", 3, 14) if "v_yd_s" in e else None
        tau = e.number("tau_s", 0.2, 2) if "tau_s" in e else None
        out.append(Position(name, e.choice("group", Group), side, e.text("label", name), v, tau))
    return tuple(out)


class _Checks:
    """Checks of rows against the labels and phrases this system may use."""

    def __init__(self, names: set[str], scheme: Scheme) -> None:
        self.names, self.scheme = names, scheme

    def row(self, item: object, e: Entry, key: str, columns: tuple[str, ...]) -> Entry:
        """One rule row with a known `who` and a `when` that compiles."""
        row = Entry(item, e.where, f"{e.path}.{key}", columns)
        for who in row.text("who").split(","):
            if who.strip() not in self.names:
                raise row.wrong("who", f"a position of this system: {', '.join(sorted(self.names))}")
        self.phrase(row, "when", row.text("when", ""), compile_when)
        return row

    def before(self, item: object, e: Entry, key: str, columns: tuple[str, ...]) -> Entry:
        """The same for a rule that must be settled before the snap."""
        row = self.row(item, e, key, columns)
        if after_tests(compile_when(row.text("when", ""))):
            raise row.wrong("when", "what can be seen before the snap: nothing of the play")
        return row

    def phrase(self, row: Entry, key: str, value: str, compiler: Callable[[str], Any]) -> Any:
        """What the phrase compiles to; a FileError that names the key otherwise."""
        try:
            return compiler(value)
        except PhraseError as error:
            raise row.wrong(key, str(error)) from None

    def align(self, item: object, e: Entry, key: str) -> AlignRule:
        row = self.before(item, e, key, ("who", "when", "at"))
        self._at(row, "at", row.text("at"))
        return AlignRule(row.text("who"), row.text("when", ""), row.text("at"))

    def _at(self, row: Entry, key: str, text: str) -> None:
        at = self.phrase(row, key, text, compile_at)
        if at.technique is not None and self.scheme.look_up(at.technique) is None:
            raise row.wrong(key, f"a technique of the scheme {self.scheme.name}: {', '.join(self.scheme.techniques)}")

    def key(self, item: object, e: Entry, key: str) -> KeyRule:
        row = self.before(item, e, key, ("who", "when", "reads"))
        self.phrase(row, "reads", row.text("reads"), KEYS.compile)
        return KeyRule(row.text("who"), row.text("when", ""), row.text("reads"))

    def fit(self, item: object, e: Entry, key: str) -> FitRule:
        row = self.row(item, e, key, ("id", "who", "when", "fit", "leverage", "say"))
        self.phrase(row, "fit", row.text("fit"), compile_fit)
        if row.text("leverage", "") not in LEVERAGES:
            raise row.wrong("leverage", f"one of {', '.join(filter(None, LEVERAGES))}")
        t = row.text
        leverage = t("leverage", "")
        return FitRule(t("id"), t("who"), t("when", ""), t("fit"), Leverage(leverage) if leverage else "", t("say", ""))

    def take(self, item: object, e: Entry, key: str) -> TakeRule:
        row = self.before(item, e, key, ("who", "when", "takes"))
        return TakeRule(row.text("who"), row.text("when", ""), row.text("takes"))

    def move(self, item: object, e: Entry, key: str) -> MoveRule:
        row = self.before(item, e, key, ("who", "when", "to", "say", "first"))
        movement = self.phrase(row, "to", row.text("to"), compile_move)
        if movement.behind and movement.behind not in self.names:
            raise row.wrong("to", f"behind a position of this system: {', '.join(sorted(self.names))}")
        t = row.text
        return MoveRule(t("who"), t("when", ""), t("to"), t("say", ""), row.flag("first"))

    def check(self, item: object, e: Entry, key: str) -> CheckRule:
        row = self.before(item, e, key, ("who", "when", "does", "say", "takes"))
        check = self.phrase(row, "does", row.text("does"), compile_check)
        if check.at:
            self._at(row, "does", check.at)
        if check.plays and check.plays not in self.names:
            raise row.wrong("does", f"as a position of this system: {', '.join(sorted(self.names))}")
        t = row.text
        return CheckRule(t("who"), t("when", ""), t("does"), t("say", ""), t("takes", ""))

    def replacement(self, item: object, e: Entry, key: str) -> Replacement:
        row = Entry(item, e.where, f"{e.path}.{key}", ("of", "duty", "by", "takes", "say"))
        for column in ("of", "by"):
            for who in row.text(column).split(","):
                if who.strip() not in self.names:
                    raise row.wrong(column, f"a position of this system: {', '.join(sorted(self.names))}")
        if row.text("duty") not in DUTIES:
            raise row.wrong("duty", f"one of {', '.join(DUTIES)}")
        t = row.text
        return Replacement(t("of"), t("duty"), t("by"), t("takes", ""), t("say", ""))

    def force(self, item: object, e: Entry, key: str) -> ForceRule:
        row = self.before(item, e, key, ("who", "when"))
        return ForceRule(row.text("who"), row.text("when", ""))


def _rows(e: Entry, key: str, build: Callable[[object, Entry, str], Any]) -> tuple[Any, ...]:
    items = e.data.get(key) or ()
    if not isinstance(items, list | tuple):
        raise e.wrong(key, "a list of rules")
    if len(items) > MOST_RULES:
        raise FileError(e.where, f"{e.path}.{key}", f"at most {MOST_RULES} rules", len(items))
    return tuple(build(item, e, f"{key}[{i}]") for i, item in enumerate(items))


def _named(top: Entry, noun: str, build: Callable[[Entry], Any]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    if len(top.items(noun)) > MOST_PARTS:
        raise FileError(top.where, noun, f"at most {MOST_PARTS} of them", len(top.items(noun)))
    columns = {
        "front": ("name", "label", "strength", "align", "keys", "fits", "move", "checks"),
        "coverage": ("name", "label", "align", "keys", "fits", "takes", "force", "checks"),
        "pressure": ("name", "label", "note", "source", "align", "move", "replaces", "fits"),
    }[noun]
    for item in top.items(noun):
        e = Entry.named(item, top.where, noun, columns)
        if e.text("name") in out:
            raise e.wrong("name", f"each {noun} once")
        out[e.text("name")] = build(e)
    return out


def _unique_ids(
    where: str,
    fronts: Mapping[str, Front],
    coverages: Mapping[str, Coverage],
    pressures: Mapping[str, Pressure],
) -> None:
    """A rule id stands for one rule in the whole system: a player's sheet and a grade name a rule by it."""
    owner: dict[str, str] = {}
    parts: list[tuple[str, Front | Coverage | Pressure]] = [("front", f) for f in fronts.values()]
    parts += [("coverage", c) for c in coverages.values()]
    parts += [("pressure", p) for p in pressures.values()]
    for noun, part in parts:
        path = f"{noun} {part.name!r}"
        for i, rule in enumerate(part.fits):
            if rule.id in owner:
                free = free_rule_id(rule.id, part.name, {r.id for _, p in parts for r in p.fits})
                expected = f"an id of its own ({owner[rule.id]} has this one; {free!r} is free)"
                raise FileError(where, f"{path}.fits[{i}].id", expected, rule.id)
            owner[rule.id] = path


def _front(e: Entry, check: _Checks) -> Front:
    strength = e.text("strength")
    if strength not in STRENGTHS:
        raise e.wrong("strength", f"one of {', '.join(STRENGTHS)}")
    fits = _rows(e, "fits", check.fit)
    return Front(
        e.text("name"),
        e.text("label", e.text("name")),
        strength,
        _rows(e, "align", check.align),
        _rows(e, "keys", check.key),
        fits,
        _rows(e, "move", check.move),
        _rows(e, "checks", check.check),
    )


def _pressure(e: Entry, check: _Checks) -> Pressure:
    """A pressure; what no look can forgive is refused here, the rest when it is laid over a call."""
    fits = _rows(e, "fits", check.fit)
    made = Pressure(
        e.text("name"),
        e.text("label", e.text("name")),
        e.text("note", ""),
        e.text("source", ""),
        _rows(e, "align", check.align),
        _rows(e, "move", check.move),
        _rows(e, "replaces", check.replacement),
        fits,
    )
    if not made.move:
        raise e.wrong("move", "at least one man who moves")
    return made


def _coverage(e: Entry, check: _Checks) -> Coverage:
    fits = _rows(e, "fits", check.fit)
    return Coverage(
        e.text("name"),
        e.text("label", e.text("name")),
        _rows(e, "align", check.align),
        _rows(e, "keys", check.key),
        fits,
        _rows(e, "takes", check.take),
        _rows(e, "force", check.force),
        _rows(e, "checks", check.check),
    )


def _whole(e: Entry, positions: tuple[Position, ...], front: Front, coverage: Coverage) -> None:
    """Every man must have an alignment and a fit rule that always holds, or some look would leave him without."""
    aligned, fitted = front.align + coverage.align, front.fits + coverage.fits
    for what, rules in (("an alignment rule", aligned), ("a fit rule", fitted)):
        served = {who.strip() for rule in rules if not rule.when for who in rule.who.split(",")}
        for p in positions:
            for role in expand(p):
                if not served & {p.name, role.name}:
                    raise FileError(
                        e.where,
                        f"{e.path} ({e.text('name')})",
                        f"{what} for {role.name} with an empty 'when', last in the list",
                    )
