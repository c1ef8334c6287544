"""Every check of the audit, in the order its findings are listed."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from fits.audit.band import first_margins
from fits.audit.checks import (
    conflict,
    crossed_neighbours,
    crosses_face,
    doubled_lane,
    driven,
    force_leverage,
    idle,
    late,
    no_cutback,
    no_force,
    no_overlap,
    no_pitch_player,
    no_qb_player,
    nobody_home,
    open_lane,
    outnumbered,
    post_vacated,
    two_duties,
    vacant_duty,
)
from fits.audit.evidence import Evidence
from fits.audit.finding import Finding
from fits.audit.force import all_forcers
from fits.terms import Severity

Check = Callable[[Evidence], list[Finding]]

CHECKS: dict[str, Check] = {
    "open-lane": open_lane.check,
    "no-force": no_force.check,
    "no-cutback": no_cutback.check,
    "no-qb-player": no_qb_player.check,
    "no-pitch-player": no_pitch_player.check,
    "outnumbered": outnumbered.check,
    "conflict": conflict.check,
    "no-overlap": no_overlap.check,
    "doubled-lane": doubled_lane.check,
    "late": late.check,
    "two-duties": two_duties.check,
    "post-vacated": post_vacated.check,
    "driven": driven.check,
    "crosses-face": crosses_face.check,
    "force-leverage": force_leverage.check,
    "crossed-neighbours": crossed_neighbours.check,
    "nobody-home": nobody_home.check,
    "vacant-duty": vacant_duty.check,
    "idle": idle.check,
}

_ALL = tuple(CHECKS.values())
_WORST_FIRST = {severity: i for i, severity in enumerate(Severity)}

# Raised while a look is made, not found in one: kept here so that the list of codes is whole.
ILLEGAL_FORMATION = "illegal-formation"
CANNOT_KNOW = "cannot-know"  # found in a study of many looks (fits.know), not in one
CODES = (*CHECKS, CANNOT_KNOW, ILLEGAL_FORMATION)


def audit(evidence: Evidence) -> tuple[Finding, ...]:
    """All findings of a look, the worst first."""
    fill_in(evidence)
    found: list[Finding] = []
    for check in _ALL:
        found += check(evidence)
    return worst_first(found)


def fill_in(evidence: Evidence) -> None:
    """What more than one check asks, worked out once."""
    evidence.free = [d for d in evidence.defenders if d.lane is None]
    evidence.spare = first_margins(evidence)
    evidence.forcers = all_forcers(evidence)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings by severity, else in the order they come."""
    return tuple(sorted(findings, key=_rank))


def _rank(finding: Finding) -> int:
    return _WORST_FIRST[finding.severity]
