"""Derives one look: every defender's technique, key, fit, leverage and margin, and whether it is sound."""

from __future__ import annotations

import argparse
import json

from fits.cli.request import add_look_arguments, read_request
from fits.draw.text import text_look
from fits.errors import BadRequest
from fits.notation.look_json import look_json
from fits.notation.timeline_json import timeline_json
from fits.timeline.make import derive_timeline


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The look, and how it is printed."""
    add_look_arguments(parser)
    parser.add_argument("--json", action="store_true", help="one JSON object instead of text for people")
    parser.add_argument(
        "--timeline", action="store_true",
        help="where all men and the ball are, a tenth of a second apart, as one JSON object (with --json)",
    )  # fmt: skip


def run(args: argparse.Namespace) -> None:
    """Prints the look. Raises FitsError."""
    request = read_request(args)
    if args.timeline:
        if not args.json:
            raise BadRequest("timeline: expected --json beside --timeline, as it is data for other programs")
        print(json.dumps(timeline_json(derive_timeline(request.spec, request.deriver)), ensure_ascii=False))
        return
    look = request.derive()
    if args.json:
        print(json.dumps(look_json(look), ensure_ascii=False))
    else:
        print(text_look(look), end="")
