"""Draws one look as SVG: whole, or one man's view of it."""

from __future__ import annotations

import argparse
from pathlib import Path

from fits.cli.request import add_look_arguments, read_request


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The look, whose view, and where it goes."""
    add_look_arguments(parser)
    parser.add_argument("--role", metavar="ROLE", help="put one man and his key first")
    parser.add_argument(
        "--up", default="", metavar="UNIT",
        help="the unit that plays up the page: offense or defense (default: whose left and right is meant)",
    )  # fmt: skip
    parser.add_argument("--wide", action="store_true", help="for a desk or a projector: the box uncut, at full scale")
    shade = parser.add_mutually_exclusive_group()
    shade.add_argument("--dark", action="store_true", help="on a dark ground")
    shade.add_argument("--grey", action="store_true", help="without colour, for a copier")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write to this file instead of standard output")


def run(args: argparse.Namespace) -> None:
    """Writes the drawing. Raises FitsError, OSError."""
    from fits.draw.svg import draw_look  # slow to import, and nothing else needs it
    from fits.draw.themes import Theme

    look = read_request(args).derive()
    theme = Theme.DARK if args.dark else Theme.GREY if args.grey else Theme.LIGHT
    svg = draw_look(look, args.role, args.up, wide=args.wide, theme=theme)
    if args.out is None:
        print(svg)
    else:
        args.out.write_text(svg + "\n", encoding="utf-8")
