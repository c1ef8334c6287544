"""no-qb-player: the quarterback may keep the ball and nobody has him."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding


def check(e: Evidence) -> list[Finding]:
    """One finding per quarterback threat without an owner."""
    return [
        Finding("no-qb-player", UNSOUND, t.lane, (), f"Nobody has the quarterback if he keeps it {_where(e, t.lane)}.")
        for t in e.threats if t.kind == "keep" and not t.owners
    ]  # fmt: skip


def _where(e: Evidence, lane: int | None) -> str:
    return "in space" if lane is None else f"in {e.lanes[lane].name}"
