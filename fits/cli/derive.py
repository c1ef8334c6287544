"""Derives one look: every defender's technique, key, fit, leverage and margin, and whether it is sound."""

from __future__ import annotations

import argparse
import json

from fits.cli.request import add_look_arguments, read_request
from fits.draw.text import text_look
from fits.notation.look_json import look_json


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The look, and how it is printed."""
    add_look_arguments(parser)
    parser.add_argument("--json", action="store_true", help="one JSON object instead of text for people")


def run(args: argparse.Namespace) -> None:
    """Prints the look. Raises FitsError."""
    look = read_request(args).derive()
    if args.json:
        print(json.dumps(look_json(look), ensure_ascii=False))
    else:
        print(text_look(look), end="")
