"""two-duties: a man has a lane and a receiver, or two ball carriers, and nothing he reads settles it in time."""

from fits.audit.danger import danger
from fits.audit.evidence import Evidence
from fits.audit.finding import UNSOUND, Finding
from fits.defense.duties import is_deep, is_underneath
from fits.field import LEFT, RIGHT, Side


def check(e: Evidence) -> list[Finding]:
    """Two carriers of one man, a receiver who gets the ball now, or a receiver whose route takes him off a draw."""
    found: list[Finding] = []
    if len(e.threats) > 1:
        found += _two_carriers(e)
        if "rpo" in e.flags and e.eyes is not None:
            found += _lane_and_receiver(e, e.eyes)
    if "draw" in e.flags:
        found += _corner_on_a_draw(e)
    return found


def _two_carriers(e: Evidence) -> list[Finding]:
    had: dict[str, str] = {}
    found = []
    for t in e.threats:
        if t.kind == "route" or len(t.owners) != 1:
            continue
        man = t.owners[0]
        if man in had and had[man] != t.role:
            text = f"{man} alone has {had[man]} and {t.role}: whichever he takes, the other has the ball."
            found.append(Finding("two-duties", UNSOUND, t.lane, (man,), text))
        had.setdefault(man, t.role)
    return found


def _lane_and_receiver(e: Evidence, side: Side) -> list[Finding]:
    numbers = next(p for p in e.passes if p.side is side)
    if len(numbers.defenders) < len(numbers.receivers):
        return []  # `conflict` and `outnumbered` say it
    found = []
    for route in e.threats:
        if route.kind != "route" or route.side is not side:
            continue
        n = next((i for i, p in enumerate(e.offense.view(side).receivers, 1) if p.role == route.role), 0)
        if any(_covers(e.takes.get(role, ""), n) for role in numbers.defenders):
            continue
        for d in e.defenders:
            takes = e.takes.get(d.role, "")
            if d.side is side and d.lane is not None and _covers(takes, n) and e.lanes[d.lane].owners == (d.role,):
                lane = e.lanes[d.lane]
                text = (
                    f"{d.role} has {takes} and {lane.name}: the throw to {route.role} goes off while he fits the run."
                )
                found.append(Finding("two-duties", danger(e, lane.index), lane.index, (d.role,), text))
    return found


def _covers(takes: str, n: int) -> bool:
    """Whether that duty takes the n-th receiver on a throw that is out at once."""
    return takes == f"#{n}" or is_underneath(takes) or (n == 1 and is_deep(takes))


def _corner_on_a_draw(e: Evidence) -> list[Finding]:
    found = []
    for side in (LEFT, RIGHT):
        view = e.offense.view(side)
        men = [d for d in e.defenders if d.side is side and d.group == "secondary"]
        if not men or not view.receivers or view.receivers[0] in view.attached:
            continue
        corner = max(men, key=lambda d: d.x * side)
        if corner.lane is not None and e.takes.get(corner.role):
            lane, wide = e.lanes[corner.lane], view.receivers[0].role
            text = f"{corner.role} has {lane.name} and the {e.takes[corner.role]}: on a draw {wide} runs his route and takes him off."  # noqa: E501
            found.append(Finding("two-duties", danger(e, lane.index), lane.index, (corner.role,), text))
    return found
