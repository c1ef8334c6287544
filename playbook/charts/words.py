"""The opponent's words and ours: what is not mapped yet, a likely meaning, and saving what the staff say."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db import transaction
from django.db.models import Count, Q, QuerySet

from playbook.charts.families import picture_of, propose_formation
from playbook.charts.plays import Aliases
from playbook.charts.values import plain_word, read_personnel
from playbook.models import Alias, ChartedSnap, Concept, Formation, Motion, Opponent, WordKind

CHARTED = {
    WordKind.FORMATION: "formation",
    WordKind.CONCEPT: "concept",
    WordKind.MOTION: "motion",
    WordKind.PERSONNEL: "personnel",
}


SAME = "="  # what a form says of a personnel that means what the row above means


@dataclass(frozen=True, slots=True)
class Word:
    """One of the opponent's words: how often it was charted, what it is in ours, and a guess when it is nothing yet.

    `personnel` is filled where the word means something of its own with those. `apart` has the personnels that the row
    speaks for, each with its snaps, where there are several.
    """

    kind: str
    word: str
    count: int
    meaning: str
    guess: str
    personnel: tuple[str, ...] = ()
    apart: tuple[tuple[str, int], ...] = ()

    @property
    def field(self) -> str:
        """The name of its form field."""
        return self._field(self.personnel)

    def _field(self, personnel: Sequence[str]) -> str:
        return f"{self.kind}:{self.word.casefold()}" + (f":{'+'.join(personnel)}" if personnel else "")

    @property
    def apart_fields(self) -> list[tuple[str, int, str]]:
        """The personnels of `apart`, with their snaps and the names of their form fields."""
        return [(group, count, self._field([group])) for group, count in self.apart]

    @property
    def chosen(self) -> str:
        """What the form shows: what is saved, else the guess."""
        return self.meaning or self.guess


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """What a word may be mapped to: our formations, runs, motions by name, an opponent's own before the library's."""

    formations: Mapping[str, Formation]
    concepts: Mapping[str, Concept]
    motions: Mapping[str, Motion]

    def entries(self, kind: str) -> Mapping[str, Any]:
        """Returns ours of that kind of word; none of personnel, which are digits."""
        return {"formation": self.formations, "concept": self.concepts, "motion": self.motions}.get(kind, {})

    @property
    def formation_labels(self) -> dict[str, str]:
        """What our formations are called, by name; no two the same."""
        return _labels(self.formations)

    def saying(self, aliases: Aliases) -> Aliases:
        """Returns the words so that plays have what people call their formations, runs and motions, not our names."""
        formations, concepts, motions = map(_labels, (self.formations, self.concepts, self.motions))

        def said(meanings: Mapping[Any, str], labels: Mapping[str, str]) -> dict[Any, str]:
            return {word: labels.get(name, name) for word, name in meanings.items()}

        return replace(
            aliases,
            formations=said(aliases.formations, formations),
            concepts=said(aliases.concepts, concepts),
            motions=said(aliases.motions, motions),
            together=said(aliases.together, formations),
            run_concepts=frozenset(concepts.get(name, name) for name in aliases.run_concepts),
            known_motions=frozenset(motions.get(name, name) for name in aliases.known_motions),
            backs={formations.get(name, name): side for name, side in aliases.backs.items()},
            ends={formations.get(name, name): side for name, side in aliases.ends.items()},
        )


def _labels(rows: Mapping[str, Any]) -> dict[str, str]:
    """What each is called; two of the same label, the library's and the opponent's own, are told apart."""
    often = Counter(str(row) for row in rows.values())
    return {
        name: f"{row}, their own" if row.opponent_id and often[str(row)] > 1 else str(row) for name, row in rows.items()
    }


def vocabulary_of(opponent: Opponent) -> Vocabulary:
    """Returns our formations and concepts for this opponent."""
    return _vocabulary(Q(opponent=None) | Q(opponent=opponent))


def library() -> Vocabulary:
    """Returns the library's formations and concepts."""
    return _vocabulary(Q(opponent=None))


def _vocabulary(which: Q) -> Vocabulary:
    formations = Formation.objects.filter(which).prefetch_related("players")
    others = (_by_name(model.objects.filter(which)) for model in (Concept, Motion))
    return Vocabulary(_by_name(formations), *others)


def library_words() -> Aliases:
    """Returns the words that are the library's own names or labels, for charts of many opponents."""
    ours = library()
    formations, concepts, motions = map(_own_names, (ours.formations, ours.concepts, ours.motions))
    return Aliases(formations, concepts, motions=motions, **_places(ours))


def _places(vocabulary: Vocabulary) -> dict[str, Any]:
    """Returns where our formations have their offset back and their only tight end, seen from strength."""
    pictures = {name: picture_of(row) for name, row in vocabulary.formations.items()}
    return {
        "known_motions": frozenset(vocabulary.motions),
        "backs": {name: picture.back for name, picture in pictures.items() if picture.back},
        "ends": {name: picture.end for name, picture in pictures.items() if picture.end},
    }


def _by_name(rows: Iterable[Any]) -> dict:
    ordered = sorted(rows, key=lambda row: (row.name, row.opponent_id is not None))
    return {row.name: row for row in ordered}


def aliases_of(opponent: Opponent, vocabulary: Vocabulary | None = None) -> Aliases:
    """Returns the opponent's words as the counting needs them. A word that is one of our names means that."""
    vocabulary = vocabulary or vocabulary_of(opponent)
    found: dict[str, dict[str, str]] = {kind: {} for kind in WordKind.values}
    together: dict[tuple[str, str], str] = {}
    found["formation"] = _own_names(vocabulary.formations)
    found["concept"] = _own_names(vocabulary.concepts)
    found["motion"] = _own_names(vocabulary.motions)
    for alias in Alias.objects.filter(opponent=opponent).select_related("formation", "concept", "motion"):
        entry = alias.formation or alias.concept or alias.motion
        meaning = entry.name if entry else alias.personnel
        if alias.with_personnel:
            together[plain_word(alias.word), alias.with_personnel] = meaning
        else:
            found[alias.kind][plain_word(alias.word)] = meaning
    return Aliases(
        found["formation"],
        found["concept"],
        found["personnel"],
        frozenset(vocabulary.concepts),
        together,
        found["motion"],
        **_places(vocabulary),
    )


def _own_names(rows: Mapping[str, Any]) -> dict[str, str]:
    called = {plain_word(str(row)): name for name, row in rows.items()}
    return called | {plain_word(name): name for name in rows}


def words_of(opponent: Opponent) -> dict[str, list[Word]]:
    """Returns the words of the opponent's charts by kind, those without a meaning first, then the most used."""
    vocabulary = vocabulary_of(opponent)
    aliases = aliases_of(opponent, vocabulary)
    lists = {}
    for kind, column in CHARTED.items():
        known = {
            "formation": aliases.formations,
            "concept": aliases.concepts,
            "motion": aliases.motions,
            "personnel": aliases.personnel,
        }[kind]
        names = vocabulary.entries(kind)
        words = []
        for word, count in _charted(opponent, column).items():
            if kind == "personnel" and re.search(r"\d", word):
                continue
            meaning = known.get(plain_word(word), "")
            words.append(Word(kind, word, count, meaning, "" if meaning else guess_meaning(word, names)))
        lists[str(kind)] = sorted(words, key=lambda w: (bool(w.meaning), -w.count, w.word))
    lists["formation"] = _with_personnel(opponent, lists["formation"], aliases, vocabulary)
    return lists


def _with_personnel(opponent: Opponent, words: Sequence[Word], aliases: Aliases, vocabulary: Vocabulary) -> list[Word]:
    """Returns formations' words with a proposed meaning by personnel.

    Each is followed by itself with the personnels that it means something else with; those that mean the same make one
    row.
    """
    groups: dict[str, Counter[str]] = {}
    charted = counted_snaps(opponent).exclude(formation="").order_by().values_list("formation", "personnel")
    for formation, personnel, count in charted.annotate(n=Count("pk")):
        group = aliases.group(personnel)
        if re.fullmatch(r"\d\d", group):
            groups.setdefault(plain_word(formation), Counter())[group] += count
    return [
        row
        for word in words
        for row in _rows_of(word, groups.get(plain_word(word.word), Counter()), aliases, vocabulary)
    ]


def _rows_of(word: Word, groups: Counter[str], aliases: Aliases, vocabulary: Vocabulary) -> list[Word]:
    ours = vocabulary.formations
    often = groups.most_common()
    if not word.meaning:
        guess = _guess_formation(word.word, often[0][0] if often else "", ours) or word.guess
        word = replace(word, guess=guess)
    if len(groups) < 2 and not any((plain_word(word.word), group) in aliases.together for group in groups):
        return [word]
    rows: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for group, count in often:
        meaning = aliases.together.get((plain_word(word.word), group), "")
        drawn = ours.get(word.chosen)
        guess = "" if meaning or (drawn and drawn.personnel == group) else _guess_formation(word.word, group, ours)
        rows.setdefault((meaning, "" if guess == word.chosen else guess), []).append((group, count))
    alone = rows.pop(("", ""), [])
    listed = [replace(word, apart=tuple(alone) if rows or len(alone) > 1 else ())]
    for (meaning, guess), members in rows.items():
        total, names = sum(count for _, count in members), tuple(group for group, _ in members)
        apart = tuple(members) if len(members) > 1 else ()
        listed.append(Word(word.kind, word.word, total, meaning, guess, names, apart))
    return listed


def _guess_formation(word: str, personnel: str, ours: Mapping[str, Formation]) -> str:
    """Returns the formation that a word with a personnel most likely means, by trade words and then by its letters."""
    same = {name: row for name, row in ours.items() if not personnel or row.personnel == personnel}
    return propose_formation(word, personnel, ours.values()) or guess_meaning(word, same)


def counted_snaps(opponent: Opponent) -> QuerySet[ChartedSnap]:
    """Returns the opponent's snaps that count: those of charts that do, each game once."""
    return ChartedSnap.objects.filter(chart__opponent=opponent, chart__counts=True, repeated=False)


def _charted(opponent: Opponent, column: str) -> dict[str, int]:
    """Returns how often each word was charted, spelled as most often; concepts of passes are left out."""
    snaps = counted_snaps(opponent).filter(**{f"{column}__gt": ""})  # motion may be null: not charted
    if column == "concept":
        snaps = snaps.exclude(play_type="pass")
    spelled: dict[str, Counter[str]] = {}
    for word, count in snaps.order_by().values_list(column).annotate(n=Count("pk")):
        spelled.setdefault(plain_word(word), Counter())[word] += count
    return {counts.most_common(1)[0][0]: counts.total() for counts in spelled.values()}


def unmapped_count(opponent: Opponent) -> int:
    """Returns how many words have no meaning yet."""
    return sum(not word.meaning and not word.personnel for words in words_of(opponent).values() for word in words)


def guess_meaning(word: str, names: Iterable[str]) -> str:
    """Returns the one of our names that a word most likely stands for, or "".

    >>> names = ["inside-zone", "outside-zone", "power", "power-read", "counter"]
    >>> [guess_meaning(word, names) for word in ("IZ", "Power", "Ctr", "Xylo")]
    ['inside-zone', 'power', 'counter', '']
    """
    plain = _plain(word)
    scored = [(_likeness(plain, _plain(name)), name) for name in names]
    best = max(scored, default=(0.0, ""), key=lambda item: (item[0], -len(item[1])))
    return best[1] if best[0] >= 0.72 else ""


def _plain(word: str) -> str:
    return "-".join(re.findall(r"\w+", word.casefold().replace("_", " ")))


def _likeness(word: str, name: str) -> float:
    if not word or not name:
        return 0.0
    if word == name:
        return 1.0
    parts = name.split("-")
    if word == "".join(part[0] for part in parts) and len(parts) > 1:
        return 0.95
    words = word.split("-")
    if set(words) == set(parts):
        return 0.93
    if len(words) == 1 and len(word) >= 3 and len(parts) == 1 and _skips_into(word, name):
        return 0.85
    if set(words) <= set(parts) or set(parts) <= set(words):
        return 0.9 * min(len(words), len(parts)) / max(len(words), len(parts)) + 0.05
    return difflib.SequenceMatcher(None, word, name).ratio() * 0.9


def _skips_into(short: str, long: str) -> bool:
    """Whether `short` is `long` with letters left out, the first one kept."""
    letters = iter(long)
    return short[0] == long[0] and all(letter in letters for letter in short)


class UnknownMeaning(ValueError):
    """A word is to mean something that we do not have."""


@transaction.atomic
def save_words(opponent: Opponent, meanings: Mapping[tuple[str, ...], str]) -> int:
    """Writes (kind, word) or (kind, word, personnel) -> our name, "" for none; returns how many changed.

    Raises UnknownMeaning.
    """
    vocabulary = vocabulary_of(opponent)
    existing = {
        (alias.kind, plain_word(alias.word), alias.with_personnel): alias
        for alias in Alias.objects.select_for_update().filter(opponent=opponent)
    }
    changed = 0
    for (kind, word, *personnel), meaning in meanings.items():
        group = personnel[0] if personnel else ""
        key = (kind, plain_word(word), group)
        fields = _meant(kind, meaning, vocabulary) if meaning else None
        alias = existing.get(key)
        if fields is None:
            if alias:
                alias.delete()
                changed += 1
        elif alias is None:
            Alias.objects.create(opponent=opponent, kind=kind, word=word.casefold(), with_personnel=group, **fields)
            changed += 1
        elif any(getattr(alias, name) != value for name, value in fields.items()):
            alias.save_version(alias.version, **fields)
            changed += 1
    return changed


def _meant(kind: str, meaning: str, vocabulary: Vocabulary) -> dict[str, object]:
    if meaning in vocabulary.entries(kind):
        return {kind: vocabulary.entries(kind)[meaning]}
    if kind == WordKind.PERSONNEL and re.fullmatch(r"\d\d", meaning):
        return {"personnel": read_personnel(meaning)}
    expected = "two digits such as 11" if kind == WordKind.PERSONNEL else f"one of our {kind}s"
    raise UnknownMeaning(f"expected {expected}, got “{meaning}”")


def form_meanings(words: Mapping[str, Sequence[Word]], sent: Mapping[str, str]) -> dict[tuple[str, ...], str]:
    """Returns what a sent form says of the words that were on it.

    A row speaks for all its personnels but those that the form sets apart.
    """
    said: dict[tuple[str, ...], str] = {}
    for word in (word for group in words.values() for word in group if word.field in sent):
        meaning = sent[word.field].strip()
        if not word.personnel:
            said[word.kind, word.word] = meaning
        for group in word.personnel:
            said[word.kind, word.word, group] = meaning
        for group, _, field in word.apart_fields:
            if sent.get(field, SAME) != SAME:
                said[word.kind, word.word, group] = sent[field].strip()
    return said
