"""The words that rules may use, with what each means: for lists beside a field and for the phrasebook."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import fits
from fits.blocking.conditions import BLOCK_CONDITIONS
from fits.blocking.lane_phrases import LANE_PHRASES
from fits.blocking.seek import LEFT_MEN
from fits.blocking.verbs import VERBS
from fits.defense.align import KEYS, LANDMARKS
from fits.defense.roles import expand
from fits.defense.system import LEVERAGES
from fits.notation.phrase import Vocabulary
from fits.rules.conditions import CONDITIONS
from fits.rules.targets import TARGETS


@dataclass(frozen=True, slots=True)
class Words:
    """One list of the phrasebook."""

    anchor: str
    title: str
    about: str
    entries: tuple[tuple[str, str], ...]


def _entries(vocabulary: Vocabulary[object]) -> tuple[tuple[str, str], ...]:
    return tuple((entry["example"], entry["meaning"]) for entry in vocabulary.listing())


@lru_cache(maxsize=1)
def phrasebook() -> tuple[Words, ...]:
    """Returns every list, defense first."""
    return (
        Words(
            "conditions",
            "When: conditions of a defensive rule",
            "Join them with “and”; put “not” before one to turn it around; leave the field empty for always. "
            "The first rule of a man that holds is the one he plays.",
            _entries(CONDITIONS),
        ),
        Words(
            "places",
            "Lines up at",
            "A technique of your scheme (5, 4i, 00) or a landmark. Add “inside by 1” or “outside by 1.5”, a depth "
            "(“, 9 deep”), and for men without a side “to strength”, “to field” and so on.",
            _entries(LANDMARKS),
        ),
        Words("keys", "Reads", "The man or men he reads, in order.", _entries(KEYS)),
        Words(
            "targets",
            "Fit",
            "Where he fits. Join alternatives with “else”: the first that can be had is the one he takes.",
            _entries(TARGETS),
        ),
        Words("verbs", "What a blocker does", "For the rules of a run.", _entries(VERBS)),
        Words("blocking", "When: conditions of a blocking rule", "Seen from the blocker.", _entries(BLOCK_CONDITIONS)),
        Words("left", "Left alone", "Whom a run leaves unblocked, as the offense finds him.", _entries(LEFT_MEN)),
        Words("lanes", "Where a threat goes", "Seen from the offense.", _entries(LANE_PHRASES)),
    )


DUTIES = ("#1", "#2", "#3", "flat", "curl", "hook", "deep half", "deep third", "deep middle", "quarter")


def words_for(system: fits.System | None) -> dict[str, list[str]]:
    """Returns the lists that the fields of a rule offer, with this system's own labels and techniques."""
    lists = {words.anchor: [phrase for phrase, _ in words.entries] for words in phrasebook()[:4]}
    lists["duties"] = list(DUTIES)
    lists["labels"] = []
    if system is not None:
        lists["labels"] = [p.name for p in system.positions]
        lists["labels"] += [r.name for p in system.positions for r in expand(p) if r.name != p.name]
        lists["places"] = [*system.scheme.techniques, *lists["places"]]
    return lists


def leverages() -> tuple[str, ...]:
    """Returns the leverage words."""
    return tuple(word for word in LEVERAGES if word)
