"""What a repair of a look does to the other looks of its call: those of the week, else those nearest to it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass

from django.utils import timezone

import fits
from fits.draw.svg import draw_pair
from fits.field import SIDES
from fits.know import cannot_know, study_looks
from fits.repair import Price, PriceList, Repair, with_rules
from fits.repair.price import WORST, effect_words
from fits.words import words_of
from playbook.looks.asking import Ask
from playbook.looks.specs import asks_of, expected_looks, specs_of, surroundings
from playbook.models import Concept, Formation, Week
from playbook.week.current import now_first


@dataclass(frozen=True, slots=True)
class Weight:
    """A repair weighed: its price over those looks in words, and the look before and after as SVG.

    `blind` says what a man could not tell apart any more with it, among those looks.
    """

    price: Price
    over: str
    worst: tuple[str, ...]
    blind: tuple[str, ...]
    before: fits.Look
    drawings: tuple[str, str]

    @property
    def bands(self) -> list[tuple[str, str, int]]:
        """Returns the counts of the looks that change, as (before, after, looks)."""
        return [(str(was), str(now), n) for was, now, n in self.price.bands if was is not now]


def weigh(
    spec: fits.LookSpec, repair: Repair, specs: list[fits.LookSpec], over: str, *, call: fits.Call | None = None
) -> Weight:
    """Returns the price of a repair over looks of its call; the look itself is left out. Raises fits.FitsError.

    `call` is the other call, where that is the repair.
    """
    deriver = fits.Deriver()
    before = deriver.look(spec)
    others = [one for one in specs if not _same(one, spec, before, deriver)]
    price = PriceList(spec.call, others, deriver).of(repair, call)
    changed = call or with_rules(spec.call, repair.rules)
    worst = tuple(effect_words(effect, deriver, changed) for effect in price.worst)
    blind = _blind(deriver, [spec, *others], changed) if repair.rules else ()
    return Weight(price, over, worst, blind, before, draw_pair(before, repair.look, repair.men, book=spec.book))


def _blind(deriver: fits.Deriver, specs: list[fits.LookSpec], changed: fits.Call) -> tuple[str, ...]:
    """Returns what men cannot know with the changed call, over those looks, and could before."""
    pairs = []
    for spec in specs:
        with suppress(fits.FitsError):
            pairs.append((deriver.look(spec), deriver.look(fits.values.replace(spec, call=changed))))
    was, now = ([pair[n] for pair in pairs] for n in (0, 1))
    known = study_looks(specs[0].call, was), study_looks(changed, now)
    found = []
    for before, after in pairs:
        old = {finding.roles for finding in cannot_know(known[0], before)}
        found += [
            words_of(after).retell(finding.text) for finding in cannot_know(known[1], after) if finding.roles not in old
        ]
    return tuple(dict.fromkeys(found))[:WORST]


def _same(one: fits.LookSpec, spec: fits.LookSpec, look: fits.Look, deriver: fits.Deriver) -> bool:
    """Returns whether that is the look that is repaired: of one formation, concept and setting, to the same side."""
    mine = (spec.formation, spec.concept.name, spec.flip, spec.hash, spec.motion, spec.options)
    if (one.formation, one.concept.name, one.flip, one.hash, one.motion, one.options) != mine:
        return False
    try:
        return (one.to or deriver.plan(one).play) is look.to
    except fits.FitsError:
        return False


def looks_around(ask: Ask, call: fits.Call) -> tuple[list[fits.LookSpec], str]:
    """Returns the looks to price over, and whose they are: the week's, else those of the usual week, else nearest.

    Nearest are every run of the library from this formation, and this run from every formation, to both sides.
    """
    week = ask.setting.week or usual_week()
    if week is not None:
        asks, over = asks_of(week, expected_looks(week)), f"the looks of {week}"
    else:
        asks, over = _nearest(ask), "this formation's other runs and this run from other formations"
    found = specs_of(asks, surroundings(ask.call.system_id, week), call)
    return [one for one in found if isinstance(one, fits.LookSpec)], over


def usual_week() -> Week | None:
    """Returns the week of the next game that has looks, after the last game the last such week."""
    weeks = Week.objects.filter(expected_looks__isnull=False).select_related("season", "opponent", "system")
    return now_first(weeks, timezone.localdate()).first()


def _nearest(ask: Ask) -> list[Ask]:
    runs = [(ask.formation, concept) for concept in Concept.objects.filter(opponent=None)]
    runs += [(formation, ask.concept) for formation in Formation.objects.filter(opponent=None)]
    settings = [ask.at(to=to, steps=()).setting for to in SIDES]
    return [Ask(ask.call, *run, setting) for run in dict.fromkeys(runs) for setting in settings]
