"""Tendencies as SVG strings: holes, formations by concepts, down and distance, field zones.

Presentation attributes only, text in the page's own colour. Run and pass are Okabe and Ito's blue and orange, and every
shape carries its number, so nothing is said by colour alone. Each drawing says itself in words (`<title>`, `<desc>`).
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from html import escape

from playbook.charts.values import HOLES

from .counting import MERGE_BELOW, ZONE_BUCKETS, Share, Tally

RUN, PASS = "#0072B2", "#E69F00"
_FAINT = 0.45


def _text(x: float, y: float, words: object, size: float = 12, anchor: str = "start", **more: str) -> str:
    extra = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in more.items())
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size:g}" text-anchor="{anchor}" fill="currentColor"{extra}>'
        f"{escape(str(words))}</text>"
    )


def _rect(x: float, y: float, width: float, height: float, **more: object) -> str:
    extra = "".join(f' {key.replace("_", "-")}="{value}"' for key, value in more.items())
    return f'<rect x="{x:.2f}" y="{y:.2f}" width="{max(0.0, width):.2f}" height="{max(0.0, height):.2f}"{extra}/>'


def _drawing(width: float, height: float, title: str, desc: str, parts: Sequence[str]) -> str:
    mark = f"plot-{zlib.crc32((title + desc).encode()):08x}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-labelledby="{mark}-t {mark}-d" font-family="inherit">'
        f'<title id="{mark}-t">{escape(title)}</title><desc id="{mark}-d">{escape(desc)}</desc>'
        f"{''.join(parts)}</svg>"
    )


def _clip(words: str, length: int) -> str:
    return words if len(words) <= length else words[: length - 1].rstrip() + "…"


def draw_holes(holes: Mapping[str, Share], title: str = "Where the runs hit") -> str:
    """Returns the runs at each hole as bars over the line, seen from behind the offense."""
    step, base, top = 64, 190, 150
    width = step * len(HOLES) + 24
    most = max((share.hits for share in holes.values()), default=0)
    total = next((share.n for share in holes.values()), 0)
    parts, words = [], []
    for place, hole in enumerate(HOLES):
        share = holes.get(hole, Share(0, total))
        x = 12 + step * (place + 0.5)
        height = top * share.hits / most if most else 0
        opacity = _FAINT if share.hits < MERGE_BELOW else 1
        parts.append(_rect(x - 20, base - height, 40, height, fill=RUN, fill_opacity=opacity))
        parts.append(_text(x, base - height - 20, share.percent if share.n else "–", 14, "middle", font_weight="bold"))
        parts.append(_text(x, base - height - 6, f"{share.hits}", 11, "middle"))
        parts.append(_text(x, base + 52, hole, 11, "middle"))
        words.append(f"{hole}: {share.hits}")
    parts += _line_of_men(step, base + 18)
    return _drawing(width, base + 64, title, f"{total} runs, seen from behind the offense. {'; '.join(words)}.", parts)


def _line_of_men(step: float, y: float) -> list[str]:
    """The five linemen and two attached spots, each at the border of the holes beside him."""
    parts = []
    for place, man in ((1, "·"), (2, "LT"), (3, "LG"), (4, "C"), (5, "C"), (6, "RG"), (7, "RT"), (8, "·")):
        x = 12 + step * place
        if man == "C":
            continue
        parts.append(f'<circle cx="{x:g}" cy="{y:g}" r="11" fill="none" stroke="currentColor"/>')
        if man != "·":
            parts.append(_text(x, y + 4, man, 10, "middle"))
    middle = 12 + step * 4.5
    parts.append(_rect(middle - 11, y - 11, 22, 22, fill="none", stroke="currentColor"))
    parts.append(_text(middle, y + 4, "C", 10, "middle"))
    return parts


def draw_heat_map(
    rows: Sequence[str],
    columns: Sequence[str],
    counts: Mapping[tuple[str, str], int],
    title: str = "Formations and concepts",
) -> str:
    """Returns how often each concept came from each formation, as shaded cells with their numbers."""
    left, top, cell, high = 150, 96, 58, 34
    width, height = max(560, left + cell * len(columns) + 40), top + high * len(rows) + 12
    most = max(counts.values(), default=0)
    parts, words = [], []
    for number, concept in enumerate(columns):
        x, y = left + cell * (number + 0.5), top - 8
        parts.append(_text(x, y, _clip(concept, 16), 11, "start", transform=f"rotate(-40 {x:g} {y:g})"))
    for line, formation in enumerate(rows):
        y = top + high * line
        total = sum(counts.get((formation, concept), 0) for concept in columns)
        parts.append(_text(left - 8, y + high / 2 + 4, _clip(f"{formation} ({total})", 22), 12, "end"))
        for number, concept in enumerate(columns):
            count = counts.get((formation, concept), 0)
            x = left + cell * number
            shade = count / most if most else 0
            parts.append(_rect(x + 1, y + 1, cell - 2, high - 2, fill=RUN, fill_opacity=f"{0.04 + 0.86 * shade:.2f}",
                               stroke="currentColor", stroke_opacity=0.25))  # fmt: skip
            if count:
                parts.append(_number(x + cell / 2, y + high / 2 + 5, count, shade))
                words.append(f"{formation} {concept} {count}")
    said = "; ".join(words) or "nothing counted"
    return _drawing(width, height, title, f"Runs by formation and concept. {said}.", parts)


def _number(x: float, y: float, count: int, shade: float) -> str:
    fill = "#ffffff" if shade > 0.85 else "currentColor"
    return f'<text x="{x:g}" y="{y:g}" font-size="14" text-anchor="middle" fill="{fill}">{count}</text>'


def draw_bars(tallies: Sequence[Tally], title: str = "Run and pass by down and distance") -> str:
    """Returns one bar a group, run against pass, with n and the run share's interval."""
    left, bar, high, wide = 150, 300, 34, 760
    parts = [_key(left), _interval_key(left + 130)]
    words = []
    for line, tally in enumerate(tallies):
        y = 34 + high * line
        opacity = _FAINT if tally.small else 1
        run = bar * tally.run.value
        parts.append(_text(left - 8, y + 18, _clip(tally.label, 22), 12, "end"))
        parts.append(_rect(left, y + 4, run, 20, fill=RUN, fill_opacity=opacity))
        parts.append(_rect(left + run, y + 4, bar - run if tally.run.n else 0, 20, fill=PASS, fill_opacity=opacity))
        low, top = tally.run.interval.low, tally.run.interval.high
        if tally.run.n:
            parts.append(_whisker(left + bar * low, left + bar * top, y + 28))
        small = ", few" if tally.small else ""
        told = f"{tally.run.percent} run, {tally.run.interval.text}, {tally.n} plays{small}"
        parts.append(_text(left + bar + 8, y + 18, told, 11))
        words.append(f"{tally.label}: {tally.run.hits} runs of {tally.run.n}, {tally.run.interval.text}")
    return _drawing(wide, 44 + high * len(tallies), title, "; ".join(words) + ".", parts)


def _whisker(start: float, end: float, y: float) -> str:
    return (
        f'<path d="M{start:.1f} {y - 3:.1f}v6M{start:.1f} {y:.1f}H{end:.1f}M{end:.1f} {y - 3:.1f}v6" fill="none" '
        'stroke="currentColor"/>'
    )


def _key(left: float) -> str:
    return (
        _rect(left, 8, 12, 12, fill=RUN)
        + _text(left + 17, 18, "run", 12)
        + _rect(left + 60, 8, 12, 12, fill=PASS)
        + _text(left + 77, 18, "pass", 12)
    )


def _interval_key(left: float) -> str:
    return _whisker(left, left + 30, 14) + _text(left + 36, 18, "where the run share likely lies", 12)


def draw_zones(tallies: Sequence[Tally], title: str = "Run and pass by field zone") -> str:
    """Returns the field from their own goal (left) to ours, each zone with its run share and n.

    The tallies are those of `break_down` by field zone; merged zones keep the room of all they hold.
    """
    width, top, high, scale, left = 664, 34, 120, 6.2, 24
    spans = {bucket.label: (bucket.low, bucket.high) for bucket in ZONE_BUCKETS}
    parts, words = [_key(left)], []
    for place, tally in enumerate(tallies):
        names = tally.merged or (tally.label,)
        low, last = spans[names[0]][0], spans[names[-1]][1]
        x, room = left + (low - 1) * scale, (last - low + 1) * scale
        opacity = _FAINT if tally.small else 1
        run = high * tally.run.value
        parts.append(_rect(x, top, room, high - run, fill=PASS, fill_opacity=opacity, stroke="currentColor"))
        parts.append(_rect(x, top + high - run, room, run, fill=RUN, fill_opacity=opacity, stroke="currentColor"))
        middle, drop = x + room / 2, 18 if place % 2 == 0 or room > 90 else 62
        few = " few" if tally.small else ""
        parts.append(_text(middle, top + high + drop, tally.run.percent + " run", 12, "middle", font_weight="bold"))
        parts.append(_text(middle, top + high + drop + 14, f"{tally.n} plays{few}", 11, "middle"))
        parts.append(_text(middle, top + high + drop + 28, _yards(low, last), 10, "middle"))
        words.append(f"{tally.label}: {tally.run.hits} runs of {tally.run.n}, {tally.run.interval.text}")
    said = "Their own goal is on the left. " + "; ".join(words) + "."
    return _drawing(width, top + high + 98, title, said, parts)


def _yards(low: int, high: int) -> str:
    def spot(yard: int) -> str:
        return f"own {yard}" if yard < 50 else "50" if yard == 50 else f"opp {100 - yard}"

    return f"{spot(low)} – {spot(high)}"
