"""Conditions told to a man: no shipped one keeps the words of the rule language."""

import re

import pytest

import fits
from fits.told import told

SYSTEMS = fits.load_library().systems
RULE_WORDS = re.compile(r"\b(my|I|chosen|kicked|cracked|unblocked)\b|^(not|key|second key) | and (not|key) |steps set")


def conditions():
    for system in SYSTEMS.values():
        data = system.as_dict()
        for part in (*data["front"], *data["coverage"]):
            for rows in (part.get(key, ()) for key in ("align", "keys", "fits", "takes", "force")):
                yield from (row["when"] for row in rows if row.get("when"))


def test_every_shipped_condition_is_told_in_plain_words():
    odd = {when: said for when in conditions() if RULE_WORDS.search(said := told(when))}
    assert odd == {}


@pytest.mark.parametrize(
    ("when", "said"),
    [
        ("", ""),
        ("key steps set", "your key pass sets"),
        ("I play 30 and guards flow together", "you line up in 30 and both guards go the same way"),
        ("not 1 or fewer receivers on my side", "more than one receiver on your side"),
        ("not #1 attached", "#1 is not attached"),
        ("pitch on my side", "the pitch can come to you"),
        ("option box chosen", "“Box the kick” is on"),
        ("puller to my side", "a man pulls to you"),
        ("a word of the staff's own", "a word of the staff's own"),
    ],
)
def test_it_is_said_to_him(when, said):
    assert told(when, {"box": "Box the kick"}) == said
