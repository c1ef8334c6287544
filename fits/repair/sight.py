"""What a repair may ask of a man: facts he sees before he decides, put as the `when` of his new rule."""

from __future__ import annotations

from fits.defense.roles import Group
from fits.defense.system import FitRule
from fits.offense.formation import is_back
from fits.rules.conditions import CONDITIONS, flow_of, moving, way_of
from fits.rules.snap import AfterSnap, Aligned
from fits.rules.targets import Alternative
from fits.sights import AT_THE_LINE_Y, FAR
from fits.terms import Duty, Sight
from fits.values import value

WAITS = (Duty.QUARTERBACK, Duty.PITCH, Duty.CONFLICT)  # he holds his place until the ball shows: late is soon enough
MOVERS = ("puller", "lead", "crosser", "crack")


@value
class Asked:
    """The `when` of a new rule, and the men it has him read whom he does not read now (offensive roles)."""

    when: str
    reads: tuple[str, ...]


def sees(sight: Sight | None, d: Aligned) -> bool:
    """True when that man has such a sight before he decides. Linemen see no flow; a block is felt at the line only."""
    if sight is Sight.FLOW:
        return d.group is not Group.LINE
    if sight is Sight.FELT:
        return d.group is Group.LINE or d.y <= AT_THE_LINE_Y
    return sight is not None and sight is not Sight.LATE


def knows_where(target: Alternative, d: Aligned) -> bool:
    """True when he can know where that target is by the time he must go."""
    return target.duty in WAITS or sees(target.sight, d)


def atoms(when: str) -> list[str]:
    """The conditions of a `when`, one by one, `not` kept."""
    return [atom.strip() for atom in when.split(" and ") if atom.strip()]


def unseen(rule: FitRule, d: Aligned) -> list[str]:
    """What a rule asks that this man cannot see before he decides."""
    return [a for a in atoms(rule.when) if not sees(CONDITIONS.compile(a.removeprefix("not ")).sight, d)]


def ask(d: Aligned, s: AfterSnap, phrase: str) -> Asked:
    """What holds here and he can see: his technique, the formation, his keys, flow, and the mover he goes by."""
    found = [*_formation(d, s), *_keys(d, s)]
    if d.group is not Group.LINE:
        found += _flow(d, s)
    reads: tuple[str, ...] = ()
    kind = next((k for k in MOVERS if phrase.endswith(f"the {k}")), "")
    if kind:
        movers = moving(s, kind, d, None)
        to_me = d.side is not None and bool(moving(s, kind, d, " to my side"))
        found.append(f"{kind} to my side" if to_me else kind)
        seen = {*d.keys, *[p.role for p in s.offense.backfield if is_back(p)]}  # the ways of backs are the flow
        reads = tuple([j.man.role for j in movers if j.man.role not in seen])
    return Asked(" and ".join(found), reads)


def too_far(d: Aligned, s: AfterSnap, reads: tuple[str, ...]) -> list[str]:
    """Those of the men he should read who stand too far from him to be read."""
    backs = {p.role for p in s.offense.backfield}
    jobs = s.blocks.jobs
    return [r for r in reads if r not in backs and abs(jobs[r].man.x - d.x) > FAR[d.group.value]]


def _formation(d: Aligned, s: AfterSnap) -> list[str]:
    found = [f"I play {d.technique}"] if d.gap is not None and " " not in d.technique else []
    if d.side is not None:
        found.append("tight end on my side" if s.offense.view(d.side).attached else "not tight end on my side")
    else:
        ends = len(s.offense.left.attached) + len(s.offense.right.attached)
        found.append("two tight ends" if ends > 1 else "tight end" if ends else "not tight end")
    if d.group is not Group.LINE:
        found.append("2 or more backs" if len(s.offense.backfield) > 1 else "1 or fewer backs")
    return found


def _keys(d: Aligned, s: AfterSnap) -> list[str]:
    found = []
    for nth, key in zip(("", "second "), d.keys, strict=False):
        if key in s.steps:
            found.append(f"{nth}key steps {s.steps[key]}")
            way = way_of(s, key)
            if way is not None and d.side is not None:
                found.append(f"{nth}key goes {'to my side' if way is d.side else 'away'}")
    return found


def _flow(d: Aligned, s: AfterSnap) -> list[str]:
    flow = flow_of(s)
    if flow.deep is None:
        return ["no flow"]
    found = ["split flow"] if flow.split else []
    if d.side is not None:
        found.append("flow to my side" if flow.deep is d.side else "flow away")
    return found
