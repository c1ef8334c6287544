"""Which characters the documents' fonts can draw, and text made of no others.

Inter has the letters of the page. GNU Unifont, shipped packed, has nearly every other character of the living scripts,
symbols and emoji. What neither has stands as a replacement that can be seen, and is counted by its number.
"""

from __future__ import annotations

import atexit
import lzma
import re
import struct
import tempfile
import unicodedata
from collections import Counter
from functools import lru_cache
from pathlib import Path
from typing import Any

import typst

FONTS = Path(__file__).parent / "fonts"
PACKED = ("Unifont.otf", "UnifontUpper.otf")
REPLACEMENT = "\ufffd"
NAMED = 8  # replaced characters that a warning names
_BREAKS = re.compile("\r\n|[\r\x0b\x0c\x1c-\x1e\x85\u2028\u2029]")
_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")
_OPENS = {"\u202a": "\u202c", "\u202b": "\u202c", "\u202d": "\u202c", "\u202e": "\u202c"} | dict.fromkeys(
    "\u2066\u2067\u2068", "\u2069"
)


@lru_cache(maxsize=1)
def fonts() -> typst.Fonts:
    """Returns all fonts of the documents, the packed ones unpacked for as long as this process runs."""
    folder = Path(tempfile.mkdtemp(prefix="fonts-"))
    atexit.register(_clear, folder)
    for name in PACKED:
        (folder / name).write_bytes(_unpacked(name))
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS), str(folder)])


def _clear(folder: Path) -> None:
    for path in folder.iterdir():
        path.unlink(missing_ok=True)
    folder.rmdir()


def _unpacked(name: str) -> bytes:
    return lzma.decompress((FONTS / f"{name}.xz").read_bytes())


@lru_cache(maxsize=1)
def own_letters() -> frozenset[int]:
    """Returns the characters that every weight of Inter can draw."""
    found = [letters_of(path.read_bytes()) for path in sorted(FONTS.glob("Inter-*.otf"))]
    return frozenset(set.intersection(*found))


@lru_cache(maxsize=1)
def all_letters() -> frozenset[int]:
    """Returns the characters that any font of the documents can draw."""
    return own_letters().union(*(letters_of(_unpacked(name)) for name in PACKED))


def letters_of(font: bytes) -> set[int]:
    """Returns the characters in an OpenType font's character map. Source: OpenType specification, table cmap."""
    (tables,) = struct.unpack_from(">H", font, 4)
    at = next(
        struct.unpack_from(">L", font, 12 + 16 * n + 8)[0]
        for n in range(tables)
        if font[12 + 16 * n : 16 + 16 * n] == b"cmap"
    )
    (maps,) = struct.unpack_from(">H", font, at + 2)
    starts = [at + struct.unpack_from(">L", font, at + 4 + 8 * n + 4)[0] for n in range(maps)]
    kinds = {struct.unpack_from(">H", font, start)[0]: start for start in starts}
    return _groups(font, kinds[12]) if 12 in kinds else _segments(font, kinds[4])


def _groups(font: bytes, at: int) -> set[int]:
    (count,) = struct.unpack_from(">L", font, at + 12)
    groups = (struct.unpack_from(">LL", font, at + 16 + 12 * n) for n in range(count))
    return {letter for first, last in groups for letter in range(first, last + 1)}


def _segments(font: bytes, at: int) -> set[int]:
    (double,) = struct.unpack_from(">H", font, at + 6)
    count = double // 2
    lasts = struct.unpack_from(f">{count}H", font, at + 14)
    firsts = struct.unpack_from(f">{count}H", font, at + 16 + double)
    return {letter for first, last in zip(firsts, lasts, strict=True) for letter in range(first, last + 1)} - {0xFFFF}


def printable(data: Any, letters: frozenset[int], replaced: Counter[str]) -> Any:
    """Returns the data with all text made of those letters; counts what was replaced."""
    if isinstance(data, str):
        return _printable_text(data, letters, replaced)
    if isinstance(data, dict):
        return {key: printable(value, letters, replaced) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [printable(value, letters, replaced) for value in data]
    return data


def _printable_text(text: str, letters: frozenset[int], replaced: Counter[str]) -> str:
    if text.isascii() and text.isprintable():
        return text
    out = []
    for letter in _BREAKS.sub("\n", text).replace("\t", " "):
        if letter == "\n" or (ord(letter) in letters and unicodedata.category(letter) not in ("Cc", "Cn", "Cs")):
            out.append(letter)
        else:
            replaced[letter] += 1
            out.append(REPLACEMENT)
    shown = "".join(out)
    return _TURNS.sub("", shown) if shown.startswith("<svg") else _closed(shown)


def _closed(text: str) -> str:
    """Returns the text with every turn of the writing direction ended, so that none reaches into what follows."""
    waiting: list[str] = []
    for letter in text:
        if letter in _OPENS:
            waiting.append(_OPENS[letter])
        elif waiting and letter == waiting[-1]:
            waiting.pop()
    return text + "".join(reversed(waiting))


def warning(replaced: Counter[str]) -> str:
    """Returns what to say of the characters that were replaced, nothing when there are none."""
    if not replaced:
        return ""
    first = sorted(replaced)[:NAMED]
    named = ", ".join(f"U+{ord(letter):04X}{_named(letter)}" for letter in first)
    more = f" and {len(replaced) - len(first)} more" if len(replaced) > len(first) else ""
    times = replaced.total()
    return (
        f"The fonts cannot draw {named}{more}. {times} character{'s stand' if times > 1 else ' stands'} as "
        f"{REPLACEMENT} in this document; everything else is as it was written."
    )


def _named(letter: str) -> str:
    name = unicodedata.name(letter, "")
    return f" ({name.lower()})" if name else ""
