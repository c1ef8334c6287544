"""Looks worked on paper: the men and blocks that a check looks at, without the rules that would put them there.

The five linemen stand 1.6 yards apart; blockers who stay end where they stand. Everything else is said by the test.
"""

from types import SimpleNamespace

from fits.audit.evidence import Evidence
from fits.audit.registry import fill_in
from fits.derive.pipeline import snap_offense
from fits.field import LEFT, RIGHT
from fits.terms import Duty, Leverage, Step
from tests.fits.plays import LIB

LINE_X = {"LT": -3.2, "LG": -1.6, "C": 0.0, "RG": 1.6, "RT": 3.2}


def paper(
    men,
    *,
    blocks=None,
    kicks=None,
    threats=(("run", "T", "right A"),),
    flags=(),
    eyes=None,
    passes=None,
    force=(),
    takes=None,
    cracked=(),
    duty_gaps=(),
    moved=None,
    formation="10-doubles",
    play=RIGHT,
    climbs=(),
):
    """The evidence of a look on paper.

    men: role -> (x, y, lane name or None, leverage, duty) and perhaps a margin in seconds; men deeper than 6 yards are
    the secondary, than 3 linebackers. blocks: defender -> the blockers on him. kicks: mover -> (the defender he kicks,
    where he ends). threats: (kind, man, lane name) and perhaps who has him. passes: side -> (defenders, receivers).
    moved: role -> where the movement called for him takes him. climbs: blockers who leave their double for the second
    level.
    """  # fmt: skip
    kicks, blocks, moved = kicks or {}, {k: list(v) for k, v in (blocks or {}).items()}, moved or {}
    offense = snap_offense(LIB.formation(formation)).offense
    ends = LINE_X | {p.role: p.x for s in (offense.left, offense.right) for p in s.attached}
    ends |= {mover: x for mover, (_, x) in kicks.items()}
    line = sorted(ends, key=ends.__getitem__)
    names = _names(line, ends, kicks)
    owners = {n: tuple(sorted(r for r, man in men.items() if man[2] == n)) for n in names}
    xs = [-99.0, *(ends[r] for r in line), 99.0]
    lanes = tuple(
        SimpleNamespace(
            index=i, name=n, left=line[i - 1] if i else None, right=line[i] if i < len(line) else None,
            x=xs[1] - 1.2 if i == 0 else xs[-2] + 1.2 if i == len(line) else (xs[i] + xs[i + 1]) / 2,
            owners=owners[n], ball_s=1.5,
        )
        for i, n in enumerate(names)
    )  # fmt: skip
    defenders = tuple(_man(role, man, names) for role, man in men.items())
    for mover, (who, _) in kicks.items():
        blocks.setdefault(who, []).append(mover)
    jobs = {
        p.role: _job(p, ends.get(p.role, p.x), p.role in ends, p.role in kicks, p.role in climbs)
        for p in offense.formation.players
    }
    by_role = {d.role: d for d in defenders}
    evidence = Evidence(
        play, eyes, frozenset(flags), lanes,
        tuple(
            SimpleNamespace(
                kind=kind, role=man, lane=None if where is None else names.index(where),
                side=eyes if kind == "route" else play, time_s=1.5, owners=whose[0] if whose else owners.get(where, ()),
                range=_range(None if where is None else names.index(where), kind, len(names)), inside=kind == "dive",
            )
            for kind, man, where, *whose in threats
        ),
        defenders, by_role, lambda role: by_role[role].margin_s,
        tuple(_numbers(s, *(passes or {}).get(s, ((), ()))) for s in (LEFT, RIGHT)),
        frozenset(force), takes or {}, list(cracked), {who: mover for mover, (who, _) in kicks.items()},
        [lane.index for lane in lanes if not lane.owners], offense, jobs, blocks,
        {d.role: moved.get(d.role, d.x) for d in defenders}, tuple(duty_gaps),
    )  # fmt: skip
    fill_in(evidence)
    return evidence


def _range(lane, kind, lanes):
    """Where the ball can get to: every run bends but a sweep."""
    if lane is None:
        return 0, -1
    return (lane - 1, lane + 1) if kind == "sweep" else (0, lanes - 1)


def _numbers(side, defenders, receivers):
    return SimpleNamespace(side=side, defenders=defenders, receivers=receivers)


def _names(line, ends, kicks):
    gaps = iter(["left D", "left C", "left B", "left A", "right A", "right B", "right C", "right D"])
    wide = sum(1 for r in line if ends[r] < -3.3 and r not in kicks)
    plain = list(gaps)[1 - min(wide, 1) :]
    out = []
    stay = [r for r in line if r not in kicks]
    for i in range(len(line) + 1):
        left, right = line[i - 1] if i else None, line[i] if i < len(line) else None
        if left in kicks or right in kicks:
            mover = left if left in kicks else right
            out.append(f"{'outside' if (mover == left) == (ends[mover] > 0) else 'inside'} {mover}")
        else:
            out.append(plain[stay.index(right)] if right else plain[len(stay)])
    return out


def _man(role, man, names):
    x, y, lane, leverage, duty, *margin = man
    group = "secondary" if y > 6 else "linebacker" if y > 3 else "line"
    index = None if lane is None else names.index(lane)
    side = RIGHT if x > 0.25 else LEFT if x < -0.25 else None
    spare = margin[0] if margin else None if lane is None else 0.5
    return SimpleNamespace(
        role=role, position=role, group=group, side=side, x=x, y=y, lane=index, leverage=Leverage(leverage),
        duty=Duty(duty), margin_s=spare,
    )  # fmt: skip


def _job(player, end_x, counts, moves, climbs):
    verb = SimpleNamespace(moves=moves, turns_out=moves, step=Step.OUT, text="")
    return SimpleNamespace(
        man=player, verb=verb, end_x=end_x, counts=counts, on=None, climbs_to="a backer" if climbs else None
    )
