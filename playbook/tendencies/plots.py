"""Tendencies as SVG strings: holes, run and pass by down and distance or field zone. They are made for a phone.

Presentation attributes only, text in the page's own colour. Run and pass are Okabe and Ito's blue and orange, and every
shape carries its number, so nothing is said by colour alone. Each drawing says itself in words (`<title>`, `<desc>`).
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from html import escape

from playbook.charts.values import HOLES

from .counting import MERGE_BELOW, Share, Tally

RUN, PASS = "#0072B2", "#E69F00"
_FAINT = 0.45
WIDE, LEFT = 340.0, 4.0  # picture units: one is one pixel on a phone, so that 12 can be read there


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
    step, base, top = 37, 170, 120
    most = max((share.hits for share in holes.values()), default=0)
    total = next((share.n for share in holes.values()), 0)
    parts, words = [], []
    for place, hole in enumerate(HOLES):
        share = holes.get(hole, Share(0, total))
        x = LEFT + step * (place + 0.5)
        height = top * share.hits / most if most else 0
        opacity = _FAINT if share.hits < MERGE_BELOW else 1
        parts.append(_rect(x - 13, base - height, 26, height, fill=RUN, fill_opacity=opacity))
        parts.append(_text(x, base - height - 18, share.percent if share.n else "–", 12, "middle", font_weight="bold"))
        parts.append(_text(x, base - height - 5, f"{share.hits}", 11, "middle"))
        parts.append(_text(x, base + 48, hole.split()[-1] if hole != "middle" else "mid", 12, "middle"))
        words.append(f"{hole}: {share.hits}")
    parts += _line_of_men(step, base + 18)
    parts += [_text(LEFT, base + 66, "left", 12), _text(WIDE - LEFT, base + 66, "right", 12, "end")]
    return _drawing(WIDE, base + 76, title, f"{total} runs, seen from behind the offense. {'; '.join(words)}.", parts)


def _line_of_men(step: float, y: float) -> list[str]:
    """The five linemen and two attached spots, each at the border of the holes beside him."""
    parts = []
    for place, man in ((1, "·"), (2, "LT"), (3, "LG"), (4, "C"), (5, "C"), (6, "RG"), (7, "RT"), (8, "·")):
        x = LEFT + step * place
        if man == "C":
            continue
        parts.append(f'<circle cx="{x:g}" cy="{y:g}" r="10" fill="none" stroke="currentColor"/>')
        if man != "·":
            parts.append(_text(x, y + 4, man, 10, "middle"))
    middle = LEFT + step * 4.5
    parts.append(_rect(middle - 10, y - 10, 20, 20, fill="none", stroke="currentColor"))
    parts.append(_text(middle, y + 4, "C", 10, "middle"))
    return parts


def draw_bars(tallies: Sequence[Tally], title: str = "Run and pass by down and distance") -> str:
    """Returns one bar a group, run against pass, with n and the run share's interval; one below the other."""
    high, bar, first = 46, WIDE - 2 * LEFT, 50
    parts = [_key(LEFT), _whisker(LEFT, LEFT + 30, 36), _text(LEFT + 36, 40, "where the run share likely lies", 12)]
    words = []
    for line, tally in enumerate(tallies):
        y = first + high * line
        opacity = _FAINT if tally.small else 1
        run = bar * tally.run.value
        few = ", few" if tally.small else ""
        parts.append(_text(LEFT, y + 13, _clip(tally.label, 30), 12, font_weight="bold"))
        parts.append(_text(WIDE - LEFT, y + 13, f"{tally.run.percent} run, {tally.n} plays{few}", 12, "end"))
        parts.append(_rect(LEFT, y + 18, run, 14, fill=RUN, fill_opacity=opacity))
        parts.append(_rect(LEFT + run, y + 18, bar - run if tally.run.n else 0, 14, fill=PASS, fill_opacity=opacity))
        if tally.run.n:
            parts.append(_whisker(LEFT + bar * tally.run.interval.low, LEFT + bar * tally.run.interval.high, y + 37))
        words.append(f"{tally.label}: {tally.run.hits} runs of {tally.run.n}, {tally.run.interval.text}")
    return _drawing(WIDE, first + 4 + high * len(tallies), title, "; ".join(words) + ".", parts)


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
