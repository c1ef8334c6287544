"""Looks for the tests: a fixed spread over the whole library, and what a mirror makes of one."""

from __future__ import annotations

import re
from collections.abc import Iterator

import fits
from fits.matrix import NotRun, derive_matrix

LIB = fits.load_library()
HASHES = (fits.Hash.LEFT, fits.Hash.MIDDLE, fits.Hash.RIGHT)
_SWAP = {"left": "right", "right": "left", "LG": "RG", "RG": "LG", "LT": "RT", "RT": "LT"}
_WORD = re.compile(r"\b(?:left|right|LG|RG|LT|RT)\b")


def spread(step: int, start: int = 0, **settings: object) -> Iterator[fits.Look]:
    """Every step-th look of the library: calls x formations x concepts x both directions."""
    calls = list(LIB.calls.values())
    concepts = list(LIB.concepts.values())
    for i, formation in enumerate(LIB.formations.values()):
        for j, concept in enumerate(concepts):
            if (i * len(concepts) + j + start) % step == 0:
                call = calls[(i + j) % len(calls)]
                for made in derive_matrix([call], [formation], [concept], flips=(False,), **settings):  # type: ignore[arg-type]
                    if not isinstance(made, NotRun):
                        yield made


def again(look: fits.Look, **changes: object) -> fits.Look:
    """The same request derived once more on its own, or with something changed."""
    asked: dict[str, object] = {
        "to": look.to, "flip": look.flip, "hash": look.hash, "first_steps": dict(look.first_steps),
        "motion": LIB.motions[look.motion] if look.motion else None,
        "options": tuple(LIB.options[name] for name in look.options),
    }  # fmt: skip
    names = (LIB.call(look.call), LIB.formation(look.formation), LIB.concept(look.concept))
    return fits.derive_look(*names, **(asked | changes))  # type: ignore[arg-type]


def mirror_text(text: str) -> str:
    """The text with left and right exchanged, linemen too."""
    return _WORD.sub(lambda m: _SWAP[m[0]], text)


def in_mirror(value: object, key: str = "") -> object:
    """The JSON of a look seen in a mirror, lists in an order of their own so that two can be compared."""
    if isinstance(value, dict):
        return {mirror_text(k): in_mirror(v, k) for k, v in value.items()}
    if key in ("path", "start") and isinstance(value, list) and value:
        if isinstance(value[0], list):
            return [in_mirror(v, key) for v in value]
        return [0.0 - value[0], value[1]]
    if isinstance(value, list):
        return [in_mirror(v, key) for v in value]
    if isinstance(value, str):
        return mirror_text(value)
    if key in ("x", "fit_x") and isinstance(value, float):
        return 0.0 - value
    return value


def ordered(look: dict) -> dict:
    """A look's JSON without what only the reading order decides: lists of men sorted, lanes by what they are."""

    def words(text: str) -> str:
        return " ".join(sorted(re.findall(r"\w+", text)))

    lanes = {lane["index"]: words(lane["name"]) for lane in look["lanes"]}

    def lane(entry: dict) -> dict:
        return entry | {"lane": None if entry["lane"] is None else lanes[entry["lane"]]}

    def men(entry: dict) -> dict:
        entry = entry | {k: words(entry[k]) for k in ("name", "key", "saw", "why", "fit", "text") if k in entry}
        if "sights" in entry:
            entry["sights"] = sorted(words(sight) for sight in entry["sights"])
        lists = ("owners", "roles", "defenders", "receivers", "conflict", "gaps")
        return {k: sorted(v) if k in lists else v for k, v in entry.items()}

    return look | {
        "offense": sorted(look["offense"], key=lambda e: e["role"]),
        "blocks": sorted(look["blocks"], key=lambda e: e["role"]),
        "left_alone": sorted(look["left_alone"], key=lambda e: e["role"]),
        "lanes": sorted((men(e) for e in look["lanes"]), key=lambda e: e["index"]),
        "threats": [lane(men(e)) for e in look["threats"]],
        "defenders": sorted((lane(men(e)) for e in look["defenders"]), key=lambda e: e["role"]),
        "passes": sorted((men(e) for e in look["passes"]), key=lambda e: e["side"]),
        "findings": sorted(
            (lane(men(e)) for e in look["findings"]), key=lambda e: (e["code"], str(e["lane"]), e["text"])
        ),
    }
