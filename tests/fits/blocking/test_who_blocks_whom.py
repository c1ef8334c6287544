"""The table of who blocks whom, cell by cell, in both directions. Common practice; the text file says how sure."""

import re
from pathlib import Path

import pytest

import fits
from fits.field import LEFT, RIGHT
from tests.fits.plays import LIB

TABLE = Path(__file__).with_name("who_blocks_whom.txt")
SWAP = {"LT": "RT", "LG": "RG", "RG": "LG", "RT": "LT"}


def cells():
    head = None
    for number, line in enumerate(TABLE.read_text().splitlines(), start=1):
        text = line.split("#")[0].strip()
        if not text:
            continue
        if text.startswith("["):
            head = [part.strip() for part in text.strip("[]").split(",")]
            continue
        call, sure, blocks = re.fullmatch(r"(\S+) ([suv]): (.+)", text).groups()
        yield pytest.param(*head, call, blocks, id=f"{number}-{head[0]}-{head[2]}-{call}-{sure}")


def read(text):
    """The cell as {defender: (men on him, who he is gone up to from there)} and {defender: why he is left}."""
    on, left = {}, {}
    for clause in text.split("; "):
        if found := re.fullmatch(r"(.+) left \((.+)\)", clause):
            left[found[1]] = found[2]
        else:
            men, target, to = re.fullmatch(r"(\S+) on (.+?)(?: to (.+))?", clause).groups()
            on[target] = (frozenset(men.split("+")), to)
    return on, left


def seen(look):
    on = {}
    for b in look.blocks:
        if b.on and b.does != "stalk":
            men, to = on.get(b.on, (frozenset(), None))
            assert not (to and b.climbs_to), "two men of one double go up"
            on[b.on] = (men | {b.role}, b.climbs_to or to)
    return on, {m.name: m.why for m in look.left_alone}


def swapped(name):
    if name is None:
        return None
    other = {"left": "right", "right": "left"}
    first, _, rest = name.partition(" ")
    return f"{other[first]} {rest}" if first in other else SWAP.get(name, name)


@pytest.mark.parametrize(("concept", "formation", "to", "call", "blocks"), list(cells()))
@pytest.mark.parametrize("flip", [False, True], ids=["", "mirrored"])
def test_cell(concept, formation, to, call, blocks, flip):
    side = RIGHT if to == "right" else LEFT
    args = LIB.call(call), LIB.formation(formation), LIB.concept(concept)
    how = {"to": side.other if flip else side, "flip": flip}
    if blocks == "checked off":
        with pytest.raises(fits.NotRunnable, match="checked off"):
            fits.derive_look(*args, **how)
        return
    on, left = seen(fits.derive_look(*args, **how))
    if flip:
        on = {swapped(d): (frozenset(swapped(m) for m in men), swapped(to)) for d, (men, to) in on.items()}
        left = {swapped(d): why for d, why in left.items()}
    assert (on, left) == read(blocks)


def test_every_concept_that_names_its_blocks_against_a_front_is_in_the_table():
    listed = {p.values[0] for p in cells()}
    assert {"inside-zone", "power", "counter", "iso", "duo", "trap", "veer", "toss-crack"} <= listed
    assert len(list(cells())) >= 90
