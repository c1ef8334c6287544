"""What people call the shipped things: one label means one thing, and every one can be said aloud."""

import re
from collections import Counter

import pytest

import fits

LIBRARY = fits.load_library()
SHELVES = {
    "formation": [entry.label for entry in LIBRARY.formations.values()],
    "run": [entry.label for entry in LIBRARY.concepts.values()],
    "motion": [entry.label for entry in LIBRARY.motions.values()],
    "option": [entry.label for entry in LIBRARY.options.values()],
    "numbering": [entry.label for entry in LIBRARY.schemes.values()],
    "system": [entry.label for entry in LIBRARY.systems.values()],
}
for system in LIBRARY.systems.values():
    data = system.as_dict()
    for kind in ("front", "coverage", "call", "pressure"):
        SHELVES[f"{kind} of {system.name}"] = [row["label"] for row in data[kind]]
    SHELVES[f"position of {system.name}"] = [row["label"] for row in data["role"]]
# One word an idea: of each group only the first is said.
SAYS = (
    ("tight end", r"\bTE\b|\btightend\b"), ("backer", r"\blinebacker\b|\bLB\b"), ("gun", r"\bshotgun\b"),
    ("under centre", r"\bunder center\b|(?<=, )under$"), ("cloud", r"\bcorners? forces?\b"),
    ("sky", r"\bsafet(y|ies) forces?\b"), ("short yardage", r"\bgoal line call\b"), ("quarterback", r"\bQB\b"),
)  # fmt: skip


@pytest.mark.parametrize("kind", SHELVES)
def test_no_two_things_of_a_kind_share_a_label(kind):
    twice = [label for label, count in Counter(label.casefold() for label in SHELVES[kind]).items() if count > 1]
    assert twice == []


def test_a_label_is_words_that_can_be_said():
    labels = [label for shelf in SHELVES.values() for label in shelf]
    assert [label for label in labels if re.search(r"[_]|\w-\w*\d|^\d|\beyes side\b|\bplay side\b", label)] == []
    assert all(label[0].isupper() for label in labels)


@pytest.mark.parametrize(("word", "others"), SAYS)
def test_one_word_for_one_idea(word, others):
    labels = [label for shelf in SHELVES.values() for label in shelf]
    assert [label for label in labels if re.search(others, label, re.IGNORECASE)] == []
    assert word in " ".join(labels).casefold()
