"""no-pitch-player: the ball may be pitched and nobody has the pitch."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding


def check(e: Evidence) -> list[Finding]:
    """One finding per pitch without an owner of its own (the quarterback's man cannot have both)."""
    return [
        Finding(
            "no-pitch-player",
            UNSOUND,
            t.lane,
            (),
            f"Nobody has the pitch to {t.role}: the man on the quarterback cannot have both.",
        )
        for t in e.threats
        if t.kind == "pitch" and not t.owners
    ]
