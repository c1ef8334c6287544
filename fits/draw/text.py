"""A look in characters and in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from fits.derive.look import Band, Block, Defender, Lane, Look, PassSide
from fits.field import Hash
from fits.offense.formation import Player

if TYPE_CHECKING:
    from fits.draw.scene import Aligned

COLUMNS = 77  # characters across a drawn look
CELLS_PER_YARD = 3.0
VERDICTS = {
    Band.SOUND: "Sound: every lane and threat has an owner, even with slow reactions.",
    Band.IF_ON_TIME: "Sound if on time: it holds only if everybody reacts on time.",
    Band.NOT_SOUND: "Not sound.",
}
GROUPS = {"line": "Line", "linebacker": "Linebackers", "secondary": "Secondary"}
TABLE_HEAD = ("role", "tech", "key", "saw", "fit", "lane", "leverage", "margin")


def look_title(look: Look) -> str:
    """The name of a look in one line."""
    return f"{look.concept} to the {look.to.word} from {look.formation}{' flipped' if look.flip else ''}"


def describe_look(look: Look, role: str | None = None) -> str:
    """The look in words, for people who do not see the drawing; with a role, that man and his key come first."""
    parts = [_setting(look)]
    first = None
    if role is not None:
        first = look.defender(role)
        blocker = next((b for b in look.blocks if b.role == role), None)
        if first is not None:
            parts.insert(0, f"{_man_words(look, first)} {first.why}")
        elif blocker is not None:
            parts.insert(0, _block_words(blocker))
    parts.append("Lanes from left to right: " + "; ".join(_lane_words(lane) for lane in look.lanes) + ".")
    parts.append("Defense: " + " ".join(_man_words(look, d) for d in look.defenders if d is not first))
    parts.append("Blocks: " + " ".join(_block_words(b) for b in look.blocks))
    parts.extend(f"{m.name} is left: {m.why}." for m in look.left_alone)
    parts.extend(paragraph_lines(look, None))
    return " ".join(parts)


def paragraph_lines(look: Look, role: str | None) -> tuple[str, ...]:
    """What stands under a drawing: one man's assignment if asked, the verdict with its reasons, the pass numbers."""
    lines: list[str] = []
    man = look.defender(role) if role else None
    if man is not None:
        lines.append(f"{man.role} ({man.technique}), key {man.key or 'none'}. Fit: {_fit_words(look, man)}")
        lines.append(man.why)
    blocks = [_block_words(b) for b in look.blocks if man is None and b.role == role]
    lines.extend(blocks)
    if role is None:
        found = [f.text for f in look.findings]
        lines.append(VERDICTS[look.band])
        lines.extend(found)
        if look.passes:
            lines.append("Pass: " + "; ".join(_pass_words(p) for p in look.passes) + ".")
    return tuple(lines)


def describe_offense(players: Iterable[Player], hash_: Hash) -> str:
    """Where an offense stands, from left to right, in words."""
    ordered = sorted(players, key=lambda p: (p.x, -p.y))
    where = "in the middle" if hash_ is Hash.MIDDLE else f"on the {hash_.value} hash"
    return (
        f"Ball {where}. Offense from left to right: " + ", ".join(f"{p.role} {_spot(p.x, p.y)}" for p in ordered) + "."
    )


def describe_front(defenders: Iterable[Aligned]) -> str:
    """Where a defense stands, from left to right, in words."""
    ordered = sorted(defenders, key=lambda d: (d.x, d.y))
    return (
        "Defense from left to right: " + ", ".join(f"{d.role} ({d.technique}) {_spot(d.x, d.y)}" for d in ordered) + "."
    )


def text_look(look: Look) -> str:
    """A look for a terminal: heading, drawn field, table by position, lanes, verdict."""
    blocks = [look_title(look), _setting(look), "", *drawn_field(look), ""]
    for group, heading in _groups(look):
        blocks += [heading, *_table([TABLE_HEAD, *(_row(look, d) for d in group)]), ""]
    lanes = [
        ("lane", "owner", "threat"),
        *((n.name, ", ".join(n.owners) or "OPEN", ", ".join(n.threats) or "-") for n in look.lanes),
    ]
    blocks += ["Lanes, left to right", *_table(lanes), ""]
    blocks += ["Blocks, left to right", *block_lines(look), ""]
    blocks += paragraph_lines(look, None)
    return "\n".join(line.rstrip() for line in blocks) + "\n"


def drawn_field(look: Look) -> list[str]:
    """The field in characters, offense at the bottom; wide men are pulled in behind a `:`."""
    xs = [*(p.x for p in look.offense), *(d.x for d in look.defenders)]
    core = (COLUMNS - 16) / 2 / CELLS_PER_YARD
    wide = max(1.0, *(abs(x) - core for x in xs))

    def column(x: float) -> int:
        near = min(abs(x), core) * CELLS_PER_YARD
        far = max(abs(x) - core, 0.0) / wide * 7
        return round(COLUMNS // 2 + (near + far) * (1 if x >= 0 else -1))

    rows: dict[int, list[tuple[str, int]]] = {}
    for d in look.defenders:
        rows.setdefault(_row_of(d.y), []).append((_short(d), column(d.x)))
    for p in look.offense:
        rows.setdefault(_row_of(p.y), []).append((p.role, column(p.x)))
    top, bottom = max(rows), min(rows)
    return [
        _line(rows.get(n, []), "." if n == 0 else " ", column(core), column(-core)) for n in range(top, bottom - 1, -1)
    ]


def _row_of(y: float) -> int:
    """Rows of about a yard near the line, coarser behind it; row 0 is the line of scrimmage itself."""
    if -1.2 < y < 0:
        return -1
    size = max(1, round(abs(y))) if abs(y) < 6 else 6 + round((abs(y) - 6) / 2)
    return size if y >= 0 else -size


def _line(men: Sequence[tuple[str, int]], fill: str, right: int, left: int) -> str:
    cells = [fill] * COLUMNS
    for edge in (left, right):
        cells[edge] = ":"
    taken = 0
    for name, middle in sorted(men, key=lambda m: m[1]):
        start = max(middle - len(name) // 2, taken)
        for i, char in enumerate(name):
            if start + i >= len(cells):
                cells.append(" ")
            cells[start + i] = char
        taken = start + len(name) + 1
    return "".join(cells)


def _short(d: Defender) -> str:
    return f"{d.position}/{d.technique}" if len(d.technique) <= 3 and d.technique else d.position


def _groups(look: Look) -> Iterable[tuple[list[Defender], str]]:
    known = {d.group for d in look.defenders}
    for group in (*GROUPS, *sorted(known - set(GROUPS))):
        men = sorted((d for d in look.defenders if d.group == group), key=lambda d: (d.x, d.y))
        if men:
            yield men, GROUPS.get(group, group)


def _row(look: Look, d: Defender) -> tuple[str, ...]:
    margin = "-" if d.margin_s is None else f"{d.margin_s:+.2f} s"
    return (d.role, d.technique, d.key, d.saw, d.fit, _lane_name(look, d.lane), d.leverage, margin)


def _table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return ["  " + "  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows]


def _setting(look: Look) -> str:
    where = "in the middle" if look.hash is Hash.MIDDLE else f"on the {look.hash.value} hash"
    said = [f"Call {look.call}", f"ball {where}", f"strength {look.strength.word}"]
    if look.eyes is not None:
        said.append(f"quarterback's eyes {look.eyes.word}")
    if look.motion:
        said.append(f"{look.motion} motion")
    if look.options:
        said.append("with " + ", ".join(look.options))
    said += [f"{role} steps {step} (what if)" for role, step in look.first_steps]
    return ", ".join(said) + "."


def _man_words(look: Look, d: Defender) -> str:
    words = f"{d.role} ({d.technique}) keys {d.key}" if d.key else f"{d.role} ({d.technique})"
    words += f", saw {d.saw}" if d.saw else ""
    return f"{words}: {_fit_words(look, d)}"


def _fit_words(look: Look, d: Defender) -> str:
    lane = _lane_name(look, d.lane)
    words = d.fit if d.lane is None or d.fit == lane else f"{d.fit}, lane {lane}"
    words += f", {d.leverage}" if d.leverage and d.leverage != d.fit else ""
    if d.margin_s is None:
        return words + "."
    return words + (f", {d.margin_s:.2f} s to spare." if d.margin_s >= 0 else f", {-d.margin_s:.2f} s late.")


def _block_words(b: Block) -> str:
    up = f", then up to {b.climbs_to}" if b.climbs_to else ""
    return f"{b.role} steps {b.step}: {b.does}{f' on {b.on}' if b.on else ''}{up}."


def block_lines(look: Look) -> list[str]:
    """Who blocks whom, doubles as one line: `RG+RT on right E, RG goes up to M`; then who is left, and why."""
    lines: list[str] = []
    said: set[str] = set()
    for b in sorted(look.blocks, key=lambda b: b.start_x):
        if b.on is None or b.role in said:
            continue
        men = [o for o in look.blocks if o.on == b.on]
        men.sort(key=lambda o: o.start_x)
        said.update(o.role for o in men)
        up = [f", {o.role} goes up to {o.climbs_to}" for o in men if o.climbs_to]
        lines.append(f"{'+'.join(o.role for o in men)} on {b.on}{''.join(up)} ({men[0].does})")
    lines += [f"{m.name} is left: {m.why}" for m in look.left_alone]
    return lines


def _lane_words(lane: Lane) -> str:
    return f"{lane.name} has {' and '.join(lane.owners)}" if lane.owners else f"{lane.name} is open"


def _lane_name(look: Look, index: int | None) -> str:
    return next((lane.name for lane in look.lanes if lane.index == index), "-") if index is not None else "-"


def _pass_words(side: PassSide) -> str:
    words = f"{side.side.word} {side.text}"
    return f"{words}, {' and '.join(side.conflict)} in conflict" if side.conflict else words


def _spot(x: float, y: float) -> str:
    if abs(x) < 0.25:
        return f"over the ball, {abs(y):.1f} yards {'off' if y > 0 else 'behind'}"
    return f"{abs(x):.1f} yards {'right' if x > 0 else 'left'}, {abs(y):.1f} {'off' if y > 0 else 'behind'}"
