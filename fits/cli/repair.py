"""Finds the smallest changes that make a look sound, with their price, and says whether any fit could be in time."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator

from fits.cli.matrix import choose
from fits.cli.request import Request, add_look_arguments, read_request
from fits.derive.look import Look
from fits.notation.repair_json import repairs_json
from fits.repair import Price, PriceList, Reach, Repair, could_reach, library_looks, repair_look, with_rules
from fits.repair.price import effect_words
from fits.words import words_of

Priced = tuple[Repair, Price | None]


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The look, the looks it is priced over, and how the repairs are printed."""
    add_look_arguments(parser)
    for noun in ("formation", "concept"):
        parser.add_argument(
            f"--price-{noun}s", action="append", default=[], metavar="PATTERN",
            help=f"price each repair over these {noun}s, * and ? allowed, commas or repeats for more; default all",
        )  # fmt: skip
    parser.add_argument("--no-price", action="store_true", help="leave out what a repair does to other looks")
    parser.add_argument("--json", action="store_true", help="one JSON object with each repair's rules, price and look")


def run(args: argparse.Namespace) -> None:
    """Prints the repairs, smallest first. Raises FitsError."""
    request = read_request(args)
    formations = choose("formation", args.price_formations, request.library.formations)
    concepts = choose("concept", args.price_concepts, request.library.concepts)
    look = request.derive()
    repairs = repair_look(request.spec, request.others, request.deriver)
    reach = could_reach(request.spec, request.deriver)
    priced: list[Priced] = [(r, None) for r in repairs]
    if repairs and not args.no_price:
        others = library_looks(request.spec, formations, concepts, request.deriver)
        prices = PriceList(request.spec.call, others, request.deriver)
        priced = [(r, prices.of(r, None if r.rules else request.library.call(r.call))) for r in repairs]
    if args.json:
        print(json.dumps(repairs_json(look, reach, priced), ensure_ascii=False))
    else:
        print("\n".join(repair_lines(request, look, priced, reach)))


def repair_lines(request: Request, look: Look, repairs: list[Priced], reach: Reach) -> Iterator[str]:
    """The same for people."""
    if look.sound:
        yield "The look is sound: nothing to repair."
        return
    said = words_of(look)
    yield f"{look.band.capitalize()}:"
    yield from (f"  {f.code}: {said.retell(f.text)}" for f in look.findings)
    yield said.retell(reach.text)
    if not repairs:
        yield "No small change that a coach would call makes it sound."
    for number, (repair, price) in enumerate(repairs, start=1):
        yield from _lines(number, repair, price, request)


def _lines(number: int, repair: Repair, price: Price | None, request: Request) -> Iterator[str]:
    said = words_of(repair.look)
    band = "" if repair.look.sound else f" ({repair.look.band})"
    yield f"{number}. {repair.kind}: {said.retell(repair.text)}{band}"
    for rule in repair.rules:
        yield f"     {rule.who}: {rule.say}"
        yield f"       rule: when {rule.when or 'always'}: {rule.fit}{f' as {rule.leverage}' if rule.leverage else ''}"
    yield from (f"     {said.retell(v.text)}" for v in repair.vacancies)
    yield from (f"     Then {said.retell(text)}" for text in repair.then)
    if repair.reads:
        yield f"     One more read: {', '.join([f'{said.man(role)} sees {man}' for role, man in repair.reads])}."
    if price is not None:
        yield f"     Price: {price.text}"
        call = with_rules(request.spec.call, repair.rules) if repair.rules else request.library.call(repair.call)
        yield from (f"       {effect_words(effect, request.deriver, call)}" for effect in price.worst)
