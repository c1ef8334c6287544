"""A man dragged to where he should line up: the rule that would put him there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

import fits
from fits.defense.placing import name_place
from fits.draw.svg import Form, moved_to
from fits.words import words_of
from playbook.looks import desk
from playbook.looks.asking import Ask
from playbook.looks.playing import FORMS
from playbook.looks.specs import spec_of, surroundings
from playbook.models import AlignRule


def propose(ask: Ask, moved: Mapping[str, Any], up: str, back: str) -> dict[str, Any]:
    """Returns the place in words, and the address of the form of the rule that would say so.

    It is the rule that places him now, changed; or a first one of his own where no rule of the call's does. Raises
    fits.FitsError.
    """
    around = surroundings(ask.call.system_id, ask.setting.week)
    spec, deriver = spec_of(ask, around), fits.Deriver()
    look, role = deriver.look(spec), moved["man"]
    spot = moved_to(look, role, (moved["dx"], moved["dy"]), FORMS.get(moved["form"], Form.DESK), up, around.book)
    place = name_place(spec.pressed, deriver.standing(spec).snap.offense, role, *spot, spec.yard_line)
    man = look.defender(role)
    assert man is not None  # moved_to would have said so
    row = _row(ask, place.rule)
    of = {rules.noun: rules for rules in desk.rules_of(ask, man.position, back)}
    owner = of["coverage" if row and row.coverage_id else "front"]
    edit = f"edit=align-{row.pk}" if row else "edit=align-new&place=1"
    named = urlencode({"new_at": place.at} if row else {"who": role, "at": place.at})
    return {
        "name": words_of(look).man(role),
        "place": place,
        "rule": row,
        "form_address": f"{owner.address}&{edit}&{named}",
        "back": back,
    }


def _row(ask: Ask, rule: Any) -> AlignRule | None:
    """The row of an alignment rule of the call, the front's before the coverage's."""
    if rule is None:
        return None
    for part in (ask.call.front, ask.call.coverage):
        found: AlignRule | None = part.alignrules.filter(who=rule.who, when=rule.when, at=rule.at).first()
        if found:
            return found
    return None
