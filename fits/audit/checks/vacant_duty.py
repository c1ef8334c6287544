"""vacant-duty: a duty that the coverage itself names has nobody, or two men, in this formation."""

from fits.audit.evidence import Evidence
from fits.audit.finding import WARNING, Finding, listed


def check(e: Evidence) -> list[Finding]:
    """One warning per duty and side, on runs as well: the same formation may throw next time."""
    found = []
    for gap in e.duty_gaps:
        where = "" if gap.side is None else f" on the {gap.side.word}"
        if gap.men:
            text = f"{listed(gap.men)} {'both' if len(gap.men) == 2 else 'all'} have the {gap.duty}{where}."
        else:
            text = f"Nobody has the {gap.duty}{where} if it is a pass: the coverage wants a man there."
        found.append(Finding("vacant-duty", WARNING, None, gap.men, text))
    return found
