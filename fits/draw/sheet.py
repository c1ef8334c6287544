"""Contact sheets: many looks of one call and concept on one page, made for reading who blocks whom."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape, quoteattr

from fits.derive.look import Block, Look
from fits.draw.marks import INK, PAPER, QUIET
from fits.draw.picture import lay_out
from fits.draw.scale import WIDTH
from fits.draw.scene import look_scene
from fits.draw.svg import FONT, write_picture
from fits.words import Words, words_of

SHEET_WIDTH = 1600  # pixels at which a sheet is meant to be read
HEAD, GAP = 44.0, 10.0
COLUMNS = 4


@dataclass(frozen=True, slots=True)
class Missing:
    """A formation that gives no look, and why."""

    formation: str
    reason: str


@dataclass(frozen=True, slots=True)
class Cell:
    """One look drawn, with its height in pixels at the width of a column."""

    svg: str
    height: float


def draw_sheet(title: str, made: Sequence[Look | Missing], columns: int = COLUMNS) -> str:
    """One SVG of all those looks, `columns` beside each other, in order; a refused one says why."""
    width = (SHEET_WIDTH - GAP * (columns + 1)) / columns
    cells = [_look_cell(one, width) if isinstance(one, Look) else _refused_cell(one, width) for one in made]
    y, parts = HEAD, []
    for start in range(0, len(cells), columns):
        row = cells[start : start + columns]
        for n, cell in enumerate(row):
            x = GAP + n * (width + GAP)
            place = f'<svg x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{cell.height:.1f}" '
            parts.append(place + cell.svg.removeprefix("<svg "))
        y += max(cell.height for cell in row) + GAP
    height = math.ceil(y)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{SHEET_WIDTH}" height="{height}" '
        f'viewBox="0 0 {SHEET_WIDTH} {height}" font-family={quoteattr(FONT)}>'
        f'<rect width="{SHEET_WIDTH}" height="{height}" fill="#E4E4DE"/>'
        f'<text x="{GAP}" y="30" font-size="22" font-weight="bold" fill="{INK}">{escape(title)}</text>'
        f"{''.join(parts)}</svg>"
    )


def _look_cell(look: Look, width: float) -> Cell:
    scene = replace(
        look_scene(look),
        title=f"{look.labels.formation}, {words_of(look).direction}",
        caption=(),
        notes=sheet_lines(look),
    )
    picture = lay_out(scene)
    return Cell(write_picture(picture), picture.height * width / WIDTH)


def _refused_cell(one: Missing, width: float) -> Cell:
    text = f"{one.formation}: {one.reason}"
    words, lines = text.split(), [""]
    for word in words:
        if len(lines[-1]) + len(word) > 52:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    said = "".join(
        f'<text x="10" y="{20 + n * 15}" font-size="11" fill="{QUIET}">{escape(line)}</text>'
        for n, line in enumerate(lines)
    )
    high = 20 + 15 * len(lines)
    return Cell(
        f'<svg viewBox="0 0 {WIDTH:g} {high}"><rect width="{WIDTH:g}" height="{high}" fill="{PAPER}"/>{said}</svg>',
        high * width / WIDTH,
    )


def sheet_lines(look: Look) -> tuple[str, ...]:
    """Who is left alone, who blocks whom, who is free in the box, and the verdict, in short lines."""
    words, lines = words_of(look), []
    left = look.left_alone
    if left:
        lines.append("Left alone: " + "; ".join(f"{words.man(one.name)} ({one.why})" for one in left) + ".")
    lines.append("Blocks: " + "; ".join(_block_lines(words, look.blocks)) + ".")
    met = {b.on for b in look.blocks} | {b.climbs_to for b in look.blocks}
    met |= {one.name for one in left}
    free = [d.role for d in look.defenders if d.role not in met and d.group != "secondary"]
    lines.append("Unblocked in the front: " + (", ".join(words.men(tuple(free))) or "nobody") + ".")
    found = "; ".join(f"{f.code}: {words.retell(f.text)}" for f in look.findings)
    lines.append(f"{look.band.capitalize()}." + (f" {found}" if found else ""))
    return tuple(lines)


def _block_lines(words: Words, blocks: Sequence[Block]) -> list[str]:
    """One phrase for each man with a block; the two of a double together."""
    out: list[str] = []
    said: set[str] = set()
    for b in blocks:
        if b.role in said or (b.on is None and not b.mover):
            continue
        pair = [o for o in blocks if b.on is not None and o.on == b.on and o.counts and not o.mover]
        if b in pair and len(pair) > 1:
            climbs = [(o.role, o.climbs_to) for o in pair if o.climbs_to]
            gone = "".join(f", {role} climbs to {words.man(to)}" for role, to in climbs)
            out.append(f"{'+'.join(o.role for o in pair)} double {words.man(str(b.on))}{gone}")
            said |= {o.role for o in pair}
        else:
            up = b.climbs_to
            on = words.man(b.on) if b.on else "nobody"
            out.append(f"{b.role} ({b.does}) {on}" + (f", climbs to {words.man(up)}" if up else ""))
    return out
