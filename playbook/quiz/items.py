"""What may be asked of a man in a week, from the looks of his sheet. Reads nothing.

Only what he can know is asked: a look whose picture (what he sees up to his decision) comes with different fits has no
question about the fit. Looks that are the same to him before the snap have one question about place and key.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Sequence
from dataclasses import replace

import fits
from fits.know import Seen, study_looks
from fits.offense.formation import Kind, OffensiveMan
from fits.told import told
from fits.words import words_of
from playbook.models import Ask, ExpectedLook
from playbook.quiz.picking import Item
from playbook.week import sheets, words

KEPT = 256
LINE_NOUNS = {"LT": "tackle", "LG": "guard", "C": "centre", "RG": "guard", "RT": "tackle"}
NOUNS = {Kind.TIGHT_END: "tight end", Kind.BACK: "back", Kind.RECEIVER: "receiver", Kind.QUARTERBACK: "quarterback"}
_kept: OrderedDict[tuple[object, ...], tuple[tuple[fits.Look | None, ...], tuple[Item, ...]]] = OrderedDict()


def items_of(plays: Sequence[sheets.DerivedLook], call: fits.Call, role: str) -> tuple[Item, ...]:
    """Returns what may be asked of a role about a week's looks against one call; kept while the looks are."""
    looks = tuple([play.look for play in plays])
    name = (call.name, role, *[(play.expected.pk, play.expected.share) for play in plays])
    found = _kept.get(name)
    if found is None or any(a is not b for a, b in zip(found[0], looks, strict=True)):
        found = _kept[name] = looks, tuple(_items(plays, call, role))
        while len(_kept) > KEPT:
            _kept.popitem(last=False)
    return found[1]


def _items(plays: Sequence[sheets.DerivedLook], call: fits.Call, role: str) -> list[Item]:
    shown = [(play, play.look, man) for play in plays if play.look and (man := play.look.defender(role))]
    if not shown:
        return []
    known = study_looks(call, [look for _, look, _ in shown], roles=[role])
    seen = {id(one.look): s for s in known.men[0].seen for fit in s.fits for one in fit}
    items, settings = [], set()
    fits_: list[tuple[Item, fits.Look, fits.Defender, Seen]] = []
    for play, look, man in shown:
        picture = seen[id(look)]
        if picture.known:
            item = _item(play, call, Ask.FIT, man.rule.id, _rule_words(man))
            fits_.append((item, look, man, picture))
        before = picture.picture.before
        if man.key and (Ask.KEY, before) not in settings:
            noun = noun_of(next(p for p in look.offense if p.role == man.key.split(", ")[0]))
            items.append(_item(play, call, Ask.KEY, f"reads the {noun}", f"Reads the {noun} first"))
        if (Ask.PLACE, before) not in settings:
            where = words.sentence(words.place_words(man, call, words_of(look)))
            items.append(_item(play, call, Ask.PLACE, man.technique, f"Lines up: {where}"))
        settings |= {(Ask.KEY, before), (Ask.PLACE, before)}
    return [*_paired(fits_), *items]


def _item(play: sheets.DerivedLook, call: fits.Call, ask: Ask, rule: str, about: str) -> Item:
    expected: ExpectedLook = play.expected
    return Item(expected.week_id, call.name, expected.pk, ask.value, rule[:120], about[:300], expected.share or 0.0)


def _paired(found: Sequence[tuple[Item, fits.Look, fits.Defender, Seen]]) -> Iterable[Item]:
    """Yields the items, each with the one that looks most like it to him and asks for another fit, if there is one.

    Looks alike: from the same formation, with one thing that he sees different.
    """
    for item, _, man, seen in found:
        best: Item | None = None
        for other, _, his, their in found:
            a, b = seen.picture, their.picture
            if a.before != b.before or (man.lane == his.lane and man.fit == his.fit):
                continue
            if _differences(a.sights, b.sights) == 1 and (best is None or other.share > best.share):
                best = other
        yield replace(item, twin=best.key) if best else item


def _differences(a: tuple[str, ...], b: tuple[str, ...]) -> int:
    return sum(x != y for x, y in zip(a, b, strict=False)) + abs(len(a) - len(b))


def noun_of(man: OffensiveMan) -> str:
    """Returns what an offensive man is: `guard`, `tight end`."""
    return LINE_NOUNS.get(man.role) or NOUNS.get(man.kind, "man")


def _rule_words(man: fits.Defender) -> str:
    rule = man.rule.rule
    when = told(rule.when, {name: option.label for name, option in fits.load_library().options.items()})
    does = rule.say or words.sentence(rule.fit)
    return f"{words.sentence(when)}: {does}" if when else does
