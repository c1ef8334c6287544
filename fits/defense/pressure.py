"""A pressure laid over a call: who is sent, and who takes the gap, the pass duty and the force they leave."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

from fits.defense.movement import gap_x, go_to
from fits.defense.roles import Group, label_list
from fits.defense.system import Call, Pressure, Replacement
from fits.defense.techniques import GAPS
from fits.errors import BadRequest, UnknownName
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import Offense
from fits.rules.snap import Aligned
from fits.values import replace

DUTIES = ("pass", "gap", "force")
Gaps = frozenset[tuple[Side, str]]
ROUNDS = 6  # a chain of men who each take the next one's gap is never longer


@lru_cache(maxsize=256)
def press(call: Call, pressure: Pressure | None) -> Call:
    """The call with that pressure laid over it (None: the call itself); the same two give the same call."""
    return call if pressure is None else replace(call, pressure=pressure)


def find_pressure(call: Call, name: str | None) -> Pressure | None:
    """The pressure of that name in the call's system; None finds none. Raises UnknownName."""
    if name is None:
        return None
    if name not in call.pressures:
        raise UnknownName(f"pressure of {call.system}", name, call.pressures)
    return call.pressures[name]


def gaps_of(call: Call, d: Aligned) -> Gaps:
    """The static gaps a man has: where movement takes him, or by his technique.

    That is one gap, or for a lineman head up on his man the one on either side of him.
    """
    if (d.path or d.in_pressure) and d.gap and d.gap_side is not None:
        return frozenset({(d.gap_side, d.gap)})
    found = call.scheme.look_up(d.technique)
    if found is None:
        return frozenset()
    technique, backer = found
    side = d.side or (LEFT if d.x < 0 else RIGHT)
    if technique.shade == 0 and not backer and d.group is Group.LINE:
        if technique.man < 0:
            return frozenset({(LEFT, "A"), (RIGHT, "A")})
        return frozenset({(side, GAPS[technique.man]), (side, GAPS[technique.man + 1])})
    return frozenset() if technique.gap is None else frozenset({(side, technique.gap)})


def settle(call: Call, offense: Offense, men: Mapping[str, Aligned], before: Mapping[str, Gaps]) -> tuple[str, ...]:
    """Hands every duty that a man sent by the pressure leaves to the man who takes it; says so, a sentence each.

    `before` are the gaps each man had without the pressure.

    Raises BadRequest for a duty that nobody is named for, or a pressure with nobody to send.
    """
    pressure = call.pressure
    assert pressure is not None
    sent = [d for d in men.values() if d.in_pressure]
    if not sent:
        raise BadRequest(f"{_over(call)}: against {offense.formation.called} it sends nobody")
    said = [*_hand_over_gaps(call, pressure, offense, men, before)]
    for d in sent:
        said += _hand_over(call, pressure, d, men)
    return tuple(said)


def _over(call: Call) -> str:
    assert call.pressure is not None
    return f"pressure {call.pressure.label!r} over {call.called}"


def _row(pressure: Pressure, duty: str, d: Aligned) -> Iterable[Replacement]:
    return (r for r in pressure.replaces if r.duty == duty and {d.name, d.position} & set(label_list(r.of)))


def _successor(row: Replacement, d: Aligned, men: Mapping[str, Aligned]) -> Aligned | None:
    """The man who takes it: himself when named, else the nearest man so named, his own side first."""
    labels = set(label_list(row.by))
    if {d.name, d.position} & labels:
        return d
    found = [m for m in men.values() if {m.name, m.position} & labels]
    return min(found, key=lambda m: (m.side is not d.side, abs(m.x - d.x), m.name), default=None)


def _hand_over(call: Call, pressure: Pressure, d: Aligned, men: Mapping[str, Aligned]) -> list[str]:
    said: list[str] = []
    if d.takes and d.group is not Group.LINE:
        said += _hand_pass(call, pressure, d, d.takes, men, {d.name})
        d.takes = ""
    if d.force:
        for row in _row(pressure, "force", d):
            man = _successor(row, d, men)
            if man is not None:
                d.force = False
                man.force = True
                said.append(f"{man.name} is the force" + ("" if man is d else f" for {d.name}") + ".")
                return said
        raise BadRequest(f"{_over(call)}: {d.name} leaves the force, and no replacement is named for it")
    return said


def _hand_pass(
    call: Call, pressure: Pressure, d: Aligned, left: str, men: Mapping[str, Aligned], busy: set[str]
) -> list[str]:
    """The pass duty `left` by that man goes to the man named for it, and what that one then leaves to the next."""
    for row in _row(pressure, "pass", d):
        man = _successor(row, d, men)
        if man is None or man.in_pressure or man.name in busy:
            continue
        own = man.takes
        man.takes = row.takes or (f"{own} and {left}" if own else left)
        said = [f"{man.name} takes {d.name}'s {left}" + (f": {man.takes}." if man.takes != left else ".")]
        if own and own not in man.takes:
            said += _hand_pass(call, pressure, man, own, men, busy | {man.name})
        return said
    raise BadRequest(f"{_over(call)}: {d.name} leaves his pass duty ({left}), and no replacement is named for it")


def _hand_over_gaps(
    call: Call, pressure: Pressure, offense: Offense, men: Mapping[str, Aligned], before: Mapping[str, Gaps]
) -> list[str]:
    """Every gap that somebody had before is somebody's again."""
    now = {d.name: gaps_of(call, d) for d in men.values()}
    wanted = frozenset().union(*before.values())
    said: list[str] = []
    for _ in range(ROUNDS):
        held = frozenset().union(*now.values())
        open_gaps = sorted(wanted - held)
        if not open_gaps:
            return said
        side, letter = open_gaps[0]
        leavers = [d for d in men.values() if (side, letter) in before[d.name]]
        for left, row in ((d, row) for d in leavers for row in _row(pressure, "gap", d)):
            man = _successor(row, left, men)
            if man is None or man is left or (man.path and man.gap and now[man.name] != before[man.name]):
                continue
            _take_gap(man, side, letter, offense)
            now[man.name] = frozenset({(side, letter)})
            said.append(f"{man.name} takes {left.name}'s {letter} gap.")
            break
        else:
            who = " and ".join(d.name for d in leavers)
            raise BadRequest(
                f"{_over(call)}: against {offense.formation.called} {who} leaves the {side.word} {letter} gap, "
                f"and no replacement is named for it"
            )
    raise BadRequest(f"{_over(call)}: the men named for the gaps leave others open")


def _take_gap(man: Aligned, side: Side, letter: str, offense: Offense) -> None:
    man.in_pressure = True
    if man.group is Group.LINE:
        go_to(man, letter, gap_x(offense, side, letter))
    else:
        man.gap, man.side = letter, man.side or side
