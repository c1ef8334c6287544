"""A look in characters and in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from fits.derive.look import Band, Block, Defender, Lane, Look
from fits.field import Hash
from fits.offense.formation import Kind, OffensiveMan
from fits.terms import Frame
from fits.words import FRAME_NOTES, Words, words_of

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
    flipped = " flipped" if look.flip else ""
    return f"{look.labels.concept} {words_of(look).direction} from {look.labels.formation}{flipped}"


def describe_look(look: Look, role: str | None = None) -> str:
    """The look in words, for people who do not see the drawing; with a role, that man and his key come first."""
    words, parts = words_of(look), [_setting(look)]
    first = None
    if role is not None:
        first = look.defender(role)
        blocker = next((b for b in look.blocks if b.role == role), None)
        if first is not None:
            parts.insert(0, f"{_man_words(words, first)} {words.why(first)}")
        elif blocker is not None:
            parts.insert(0, _block_words(words, blocker))
    parts.append(f"Lanes {_order(look)}: " + "; ".join(_lane_words(words, lane) for lane in look.lanes) + ".")
    parts.append("Defense: " + " ".join(_man_words(words, d) for d in look.defenders if d is not first))
    parts.append("Blocks: " + " ".join(_block_words(words, b) for b in look.blocks))
    parts.extend(f"{words.man(m.name)} is left: {m.why}." for m in look.left_alone)
    parts.extend(paragraph_lines(look, None))
    return " ".join(parts)


def paragraph_lines(look: Look, role: str | None) -> tuple[str, ...]:
    """What stands under a drawing: one man's assignment if asked, the verdict with its reasons, the pass numbers."""
    words, lines = words_of(look), []
    man = look.defender(role) if role else None
    if man is not None:
        head = f"{words.man(man.role)} ({man.technique}), key {man.key or 'none'}."
        lines.append(f"{head} Fit: {_fit_words(words, man)}")
        lines.append(words.why(man))
    blocks = [_block_words(words, b) for b in look.blocks if man is None and b.role == role]
    lines.extend(blocks)
    if role is None:
        found = [words.retell(f.text) for f in look.findings]
        lines.append(VERDICTS[look.band])
        lines.extend(found)
        lines += look.replaced
        lines += [f"{d.role}: {d.check}." for d in look.defenders if d.check]
        if look.passes:
            lines.append("Pass: " + "; ".join(words.passes(p) for p in look.passes) + ".")
    return tuple(lines)


def describe_offense(players: Iterable[OffensiveMan], hash_: Hash) -> str:
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
    words = words_of(look)
    lanes = [
        ("lane", "owner", "threat"),
        *((words.lane(n), ", ".join(words.men(n.owners)) or "OPEN", ", ".join(n.threats) or "-") for n in look.lanes),
    ]
    blocks += [f"Lanes {_order(look)}. {FRAME_NOTES[words.frame]}", *_table(lanes), ""]
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
    words = words_of(look)
    return (
        words.man(d.role), d.technique, d.key, words.saw(d), words.fit(d), words.lane_of(d.lane) or "-", d.leverage,
        margin,
    )  # fmt: skip


def _table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return ["  " + "  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows]


def _setting(look: Look) -> str:
    words = words_of(look)
    said = [f"Call {look.labels.call}", f"ball {words.ball}", f"strength to {words.strength}"]
    if look.eyes is not None:
        said.append(f"quarterback's eyes {words.toward(look.eyes)}")
    if look.motion:
        said.append(f"motion: {look.labels.motion}")
    if look.pressure:
        said.append(f"pressure: {look.labels.pressure}")
    if look.yard_line is not None:
        said.append(f"{look.yard_line:g} yards to the goal line")
    if look.options:
        said.append("with " + ", ".join(look.labels.options))
    said += [f"{role} steps {step} (what if)" for role, step in look.first_steps]
    return ", ".join(said) + "."


def _man_words(words: Words, d: Defender) -> str:
    name = f"{words.man(d.role)} ({d.technique})"
    said = f"{name} keys {d.key}" if d.key else name
    said += f", saw {words.saw(d)}" if d.saw else ""
    return f"{said}: {_fit_words(words, d)}"


def _order(look: Look) -> str:
    return "from the defense's right to its left" if look.frame is Frame.OWN else "from the offense's left to its right"


def _fit_words(words: Words, d: Defender) -> str:
    fit = words.fit(d)
    said = f"{fit}, {d.leverage}" if d.lane is not None and d.leverage and d.leverage != d.fit else fit
    if d.margin_s is None:
        return said + "."
    return said + (f", {d.margin_s:.2f} s to spare." if d.margin_s >= 0 else f", {-d.margin_s:.2f} s late.")


def _block_words(words: Words, b: Block) -> str:
    on = f" on {words.man(b.on)}" if b.on else ""
    up = f", then up to {words.man(b.climbs_to)}" if b.climbs_to else ""
    return f"{b.role} steps {b.step}: {b.does}{on}{up}."


def block_lines(look: Look) -> list[str]:
    """Who blocks whom, doubles as one line: `RG+RT on strong E, RG goes up to M`; then who is left, and why.

    Of those who block nobody the men who leave their places or fake are named: a reader looks for them.
    """
    words = words_of(look)
    lines: list[str] = []
    said: set[str] = set()
    backs = [p.role for p in look.offense if p.kind is Kind.BACK]
    for b in sorted(look.blocks, key=lambda b: b.start_x):
        if b.on is None and b.mover:
            lines.append(f"{b.role} on nobody ({b.does})")
        elif b.does == "fake" and b.role in backs:
            lines.append(f"{b.role} fakes")
        if b.on is None or b.role in said:
            continue
        men = [o for o in look.blocks if o.on == b.on]
        men.sort(key=lambda o: o.start_x)
        said.update(o.role for o in men)
        up = [f", {o.role} goes up to {words.man(o.climbs_to)}" for o in men if o.climbs_to]
        lines.append(f"{'+'.join(o.role for o in men)} on {words.man(b.on)}{''.join(up)} ({men[0].does})")
    lines += [f"{words.man(m.name)} is left: {m.why}" for m in look.left_alone]
    return lines


def _lane_words(words: Words, lane: Lane) -> str:
    name = words.lane(lane)
    return f"{name} has {' and '.join(words.men(lane.owners))}" if lane.owners else f"{name} is open"


def _spot(x: float, y: float) -> str:
    if abs(x) < 0.25:
        return f"over the ball, {abs(y):.1f} yards {'off' if y > 0 else 'behind'}"
    return f"{abs(x):.1f} yards {'right' if x > 0 else 'left'}, {abs(y):.1f} {'off' if y > 0 else 'behind'}"
