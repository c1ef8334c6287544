"""outnumbered: fewer pass defenders than receivers on the eyes side of an option with a throw."""

from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, WARNING, Finding, listed
from fits.derive.numbers import WORDS


def check(e: Evidence) -> list[Finding]:
    """Unsound on the eyes side of a run-pass option; a warning on the other side."""
    if "rpo" not in e.flags or e.eyes is None:
        return []
    found = []
    for side in e.passes:
        have, need = len(side.defenders), len(side.receivers)
        if have < need:
            severity = UNSOUND if side.side is e.eyes else WARNING
            who = listed(side.receivers, "or")
            numbers = f"{WORDS[have].capitalize()} for {WORDS[need]} on the {side.side.word}"
            text = f"{numbers}: the throw to {who} is open."
            found.append(Finding("outnumbered", severity, None, side.defenders, text))
    return found
