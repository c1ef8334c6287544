"""What a person reads on a page, in a drawing or in a document, and which words of ours never stand there."""

from __future__ import annotations

import csv
import enum
import importlib
import pkgutil
import re
import subprocess
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from html.parser import HTMLParser
from io import StringIO

from django.apps import apps
from django.db import models

import fits
from playbook.models import FitRule, RuleAlias, System
from playbook.models.base import Labelled

READ_OUT = ("title", "aria-label", "aria-description", "alt", "placeholder", "label", "data-said", "content")
UNREAD = ("script", "style", "template")
# A word of ours has its parts joined, over-cover-3 or iz_split, or is a letter or two with a number, the id of a rule.
JOINED = re.compile(r"(?<![\w/.@-])\w+(?:[-_]\w+)+(?![\w@-])|(?<![\w#.-])[A-Z]{1,3}\d{1,2}(?![\w.-])")
IDENTIFIER = re.compile(r"[a-z0-9]+(?:[-_][a-z0-9]+)+|[A-Z]+(?:_[A-Z]+)+")
# Identifiers that are plain English, or the trade's own words, as well.
ENGLISH = {"two-gap", "five-linemen", "hand-out"}
MARKS = {"read"}  # what a drawing says beside the man who is read


class Reader(HTMLParser):
    """The texts of a page: what stands between tags, and the attributes that are shown or read out."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self.plain: list[str] = []  # those outside of what tells the method
        self._unread = 0
        self._method = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Takes the attributes of a tag."""
        if tag in UNREAD:
            self._unread += 1
        given = dict(attrs)
        if tag == "details":
            self._method += bool(self._method) or given.get("class") == "method"
        self.texts += [value for key in READ_OUT if (value := given.get(key)) and tag != "meta"]
        if tag == "input" and given.get("type") in ("submit", "button", "reset"):
            self.texts.append(given.get("value") or "")

    def handle_endtag(self, tag: str) -> None:
        """Ends what is not read."""
        if tag in UNREAD:
            self._unread -= 1
        if tag == "details" and self._method:
            self._method -= 1

    def handle_data(self, data: str) -> None:
        """Takes a text."""
        if not self._unread and data.strip():
            self.texts.append(" ".join(data.split()))
            if not self._method:
                self.plain.append(self.texts[-1])


def texts_of(content: bytes, kind: str) -> list[str]:
    """Returns what a person reads in an answer of that content type."""
    if kind.startswith(("text/html", "image/svg")):
        return Reader(content.decode()).texts
    if kind.startswith("application/pdf") and len(content) > 100:  # a shorter one is a stand-in of a test
        told = subprocess.run(["pdftotext", "-", "-"], input=content, capture_output=True, check=True)
        return told.stdout.decode().splitlines()
    if kind.startswith("text/csv"):
        return [cell for row in csv.reader(StringIO(content.decode("utf-8-sig"))) for cell in row]
    return []


@dataclass(frozen=True)
class Identifiers:
    """The words that only programs use. `whole` ones are plain words, told by standing alone."""

    joined: frozenset[str]
    whole: frozenset[str]

    def seen_in(self, texts: Iterable[str]) -> Iterator[str]:
        """Each identifier that a person would read, with where."""
        for text in texts:
            for found in JOINED.findall(text):
                if found in self.joined or ("_" in found and found.islower()):
                    yield f"{found} in “{text[:90]}”"
            if text in self.whole:
                yield f"{text}, alone"


def identifiers() -> Identifiers:
    """Returns the identifiers of everything shipped or stored now, and the engine's own words."""
    names, labels = set(), set()
    for model in apps.get_app_config("playbook").get_models():
        if issubclass(model, Labelled):
            for name, label in model._default_manager.values_list("name", "label"):
                names.add(name)
                labels.add(label)
    for pressures in System.objects.values_list("pressures", flat=True):
        names |= {pressure["name"] for pressure in pressures}
        labels |= {pressure.get("label", "") for pressure in pressures}
    joined = {name for name in names if IDENTIFIER.fullmatch(name)} | _engine_names()
    joined |= {*FitRule.objects.values_list("rule_id", flat=True), *RuleAlias.objects.values_list("old_id", flat=True)}
    said = {word for label in labels for word in (label, *JOINED.findall(label))}
    return Identifiers(frozenset(joined - said - ENGLISH), frozenset(names - joined - said - MARKS))


def _engine_names() -> set[str]:
    """The words of the engine's and the program's closed lists."""
    found: set[str] = set()
    for module in pkgutil.walk_packages(fits.__path__, "fits."):
        if module.name.endswith("__main__"):
            continue
        for thing in vars(importlib.import_module(module.name)).values():
            if isinstance(thing, type) and issubclass(thing, enum.Enum):
                found |= {str(member.value) for member in thing} | {member.name for member in thing}
            elif isinstance(thing, Mapping):
                found |= {str(key) for key in thing}
    for model in apps.get_app_config("playbook").get_models():
        for field in model._meta.get_fields():
            if isinstance(field, models.Field) and field.choices:
                found |= {str(value) for value, _ in field.flatchoices}
    return {name for name in found if IDENTIFIER.fullmatch(name)}
