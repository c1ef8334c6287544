"""The bench on which a front or coverage is worked: its rules, and one look drawn beside them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.urls import reverse

import fits
from fits.deriver import Standing
from fits.draw.svg import Form
from playbook import convert
from playbook.looks import beside
from playbook.looks import queries as looks
from playbook.looks.asking import Ask, Setting
from playbook.looks.forms import ORIENTATIONS, entry_label
from playbook.looks.specs import Surroundings, expected_looks, surroundings
from playbook.models import Call, Concept, Formation, HashName, Opponent, Week
from playbook.system import knowing
from playbook.system.men import MenPicture, men_picture, picture_of_look
from playbook.system.rules import Owner, noun
from playbook.text import whole_number


class BenchForm(forms.Form):
    """What is drawn beside the rules. An empty concept draws the alignment alone."""

    call = forms.ModelChoiceField(Call.objects.none(), required=False, empty_label=None)
    opponent = forms.ModelChoiceField(
        Opponent.objects.all(), label="Looks of", required=False, empty_label="the library"
    )
    formation = forms.ModelChoiceField(Formation.objects.none(), required=False, empty_label=None)
    concept = forms.ModelChoiceField(
        Concept.objects.none(), label="Run", required=False, empty_label="none: alignment only"
    )
    hash = forms.ChoiceField(label="Ball on", choices=[("", "Middle"), *HashName.choices[::2]], required=False)
    man = forms.ChoiceField(required=False, widget=forms.HiddenInput)
    flip = forms.BooleanField(label="Formation flipped", required=False)
    up = forms.ChoiceField(label="Drawing", choices=ORIENTATIONS[1:], required=False)
    desk = forms.CharField(max_length=2000, required=False, widget=forms.HiddenInput)

    def clean_desk(self) -> str:
        """Returns the address of a look's page, nothing for any other."""
        desk = str(self.cleaned_data["desk"])
        return desk if desk.startswith(reverse("looks:start")) else ""

    def __init__(self, owner: Owner, data: Any, now: Week | None = None) -> None:
        data = data.copy()
        if "opponent" not in data:
            met = knowing.week_with(owner.system_id, now)
            first = met.opponent if met else looks.next_opponent()
            data["opponent"] = str(first.pk) if first else ""
        menu = looks.menu(looks.find(Opponent, data["opponent"]))
        self.week = knowing.week_of(menu.opponent.pk, owner.system_id) if menu.opponent else None
        if self.week and not {"concept", "formation"} & set(data):
            heaviest = expected_looks(self.week)[0]
            data["formation"], data["concept"] = str(heaviest.formation_id), str(heaviest.concept_id)
            data.setdefault("hash", heaviest.hash)
        if "concept" not in data and menu.concepts:
            data["concept"] = str(menu.concepts[0].pk)
            runs = (f for f in menu.formations if looks.runs(f, menu.concepts[0]))
            first_run = None if data.get("formation") else next(runs, None)
            if first_run:
                data["formation"] = str(first_run.pk)
        super().__init__(data)
        self.menu = menu
        self.fields["man"].choices = [(p.name, p.name) for p in owner.system.positions.all()]  # type: ignore[attr-defined]
        self.fields["call"].queryset = (  # type: ignore[attr-defined]
            Call.objects.filter(**{noun(owner): owner}).select_related("system", "front", "coverage")
        )
        self.fields["formation"].queryset = Formation.objects.select_related("opponent")  # type: ignore[attr-defined]
        self.fields["concept"].queryset = Concept.objects.select_related("opponent")  # type: ignore[attr-defined]
        for name, entries in (("formation", self.menu.formations), ("concept", self.menu.concepts)):
            choices = [(str(entry.pk), entry_label(entry)) for entry in entries]
            picked = [str(value) for value in data.getlist(name) if value]
            known = {value for value, _ in choices}
            extra = self.fields[name].queryset.filter(pk__in=[p for p in picked if whole_number(p) and p not in known])  # type: ignore[attr-defined]
            choices += [(str(entry.pk), entry_label(entry)) for entry in extra]
            none = [("", "none: alignment only")] if name == "concept" else []
            self.fields[name].widget.choices = none + choices  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True)
class Bench:
    """What is drawn: the calls that use the front or coverage, and the look or alignment that was chosen.

    `desk` is the address of the look whose page opened a rule, to go back to.
    """

    owner: Owner
    calls: tuple[Call, ...]
    call: Call | None
    formation: Formation | None
    concept: Concept | None
    setting: Setting
    up: str
    menu: looks.Menu
    man: str
    week: Week | None
    desk: str = ""

    def pairs(self) -> list[tuple[str, str]]:
        """Returns the query parameters that bring the same drawing back."""
        found = [("call", str(self.call.pk))] if self.call else []
        found += [("opponent", str(self.menu.opponent.pk) if self.menu.opponent else "")]
        found += [("formation", str(self.formation.pk))] if self.formation else []
        found += [("concept", str(self.concept.pk) if self.concept else "")]
        found += [("man", self.man)] if self.man else []
        found += [("desk", self.desk)] if self.desk else []
        return found + self.setting.pairs() + ([("up", self.up)] if self.up != "offense" else [])

    @property
    def query(self) -> str:
        """Returns the same as text."""
        return urlencode(self.pairs())

    @property
    def ask(self) -> Ask | None:
        """Returns the question that is drawn, if a run is chosen."""
        if self.call and self.formation and self.concept:
            return Ask(self.call, self.formation, self.concept, replace(self.setting, week=self.week))
        return None

    def at(self, man: str) -> str:
        """Returns the query that shows another man on the same drawing."""
        return replace(self, man=man).query


def lay_out(owner: Owner, form: BenchForm) -> Bench:
    """Returns the bench that the form describes; what is not chosen, or no choice, is the first of its list."""
    form.is_valid()
    c = form.cleaned_data
    calls = tuple(form.fields["call"].queryset)  # type: ignore[attr-defined]
    menu = form.menu
    return Bench(
        owner,
        calls,
        c.get("call") or (calls[0] if calls else None),
        c.get("formation") or (menu.formations[0] if menu.formations else None),
        c.get("concept"),
        Setting(flip=bool(c.get("flip")), hash=c.get("hash") or "middle"),
        c.get("up") or "offense",
        menu,
        c.get("man") or "",
        form.week,
        c.get("desk") or "",
    )


def draw(bench: Bench, system: fits.System | None = None) -> dict[str, Any]:
    """Returns what the page shows of a bench: the drawing and the verdict; of `system` where a change is tried."""
    if bench.call is None or bench.formation is None:
        return {}
    try:
        call = (system.calls() if system else convert.calls_of(bench.call.system))[bench.call.name]
        around = surroundings(bench.call.system_id, bench.week)
        if bench.ask is None:
            return _alignment(bench, call, around)
        try:
            look = _look(bench, bench.ask, around, call if system else None)
        except fits.NotRunnable as error:
            return _alignment(bench, call, around) | {"not_run": f"{error}. The alignment alone is drawn."}
    except fits.FitsError as error:
        return {"refused": str(error)}
    return {
        "svg": looks.drawing_in_page(look, Form.PHONE, bench.man, bench.up, around.book),
        "look": look,
        "verdict": looks.sum_up(look),
        "men_picture": picture_of_look(look),
        "fired": {man.rule.id for man in look.defenders if man.position == bench.man},
    }


def draw_tried(bench: Bench, system: fits.System) -> dict[str, Any]:
    """Returns what the page shows of a change that is tried: as `draw`, and the look as it is saved beside it."""
    found = draw(bench, system)
    if bench.ask is None or "look" not in found:
        return found
    try:
        before = _look(bench, bench.ask, surroundings(bench.call.system_id, bench.week), None)  # type: ignore[union-attr]
    except fits.FitsError:
        return found
    return found | beside.tried(before, found["look"], bench.up, surroundings(bench.call.system_id, bench.week))  # type: ignore[union-attr]


def _look(bench: Bench, ask: Ask, around: Surroundings, call: fits.Call | None) -> fits.Look:
    """Returns the look among those it comes with; by itself where these are more than a page can wait for."""
    if bench.week is None and len(bench.menu.formations) * len(bench.menu.concepts) > knowing.MOST:
        return looks.derive(ask, around, call)
    return looks.known_look(ask, around, call, bench.menu)


def _alignment(bench: Bench, call: fits.Call, around: Surroundings) -> dict[str, Any]:
    title = f"{bench.call} against {bench.formation}"
    standing = looks.stand(convert.formation_value(bench.formation, bench.setting.back), bench.setting, around.book)
    return {"svg": looks.front_drawing(call, standing, bench.up, title), "men_picture": _men(call, standing)}


def _men(call: fits.Call, standing: Standing) -> MenPicture:
    return men_picture(
        [(man.name, man.position, man.x, man.y) for man in standing.alignment(call).men],
        [(man.role, man.x, man.y) for man in standing.snap.offense.formation.players],
    )
