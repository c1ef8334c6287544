"""Looks derived from rows, and verdicts kept for as long as nothing they are made of changes."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q
from django.utils import timezone

import fits
from fits.deriver import Standing
from fits.draw.scene import Spot, look_scene
from fits.draw.svg import Form, draw_front, draw_look, draw_parts
from fits.draw.themes import Theme
from fits.know import known_together
from fits.words import words_of
from playbook import convert
from playbook.installation import queries as installation
from playbook.looks.asking import Ask, Setting
from playbook.looks.specs import Surroundings, asks_of, expected_looks, spec_of, specs_of, surroundings
from playbook.models import Call, Concept, Formation, Opponent, System, Week
from playbook.proof.results import (
    NONE,
    ON_TIME,
    SOUND,
    STATE_WORDS,
    UNSOUND,
    WARNING,  # noqa: F401 - board, impact and tests name it
    Found,
    engine_digest,
    results_alone,
    set_results,
    state_of,
)
from playbook.text import whole_number
from playbook.week.current import now_first

BROKEN = "broken"
KEPT = 40_000
PLAIN = Setting()

_verdicts: OrderedDict[tuple[object, ...], VerdictWords] = OrderedDict()
KNOWN = 4096  # looks
_companies: OrderedDict[tuple[object, ...], Company] = OrderedDict()


@dataclass(frozen=True, slots=True)
class VerdictWords:
    """What the audit says of a look in short: its state, a few words, and each finding's sentence."""

    state: str
    words: str
    texts: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    to: str = ""

    @property
    def title(self) -> str:
        """The state in words."""
        return STATE_WORDS.get(self.state, self.words)


def derive(ask: Ask, around: Surroundings | None = None, call: fits.Call | None = None) -> fits.Look:
    """Returns the look by itself; `call` stands in for the saved one when a change is tried. Raises fits.FitsError.

    What its men cannot tell apart needs the looks it comes with: `known_look`.
    """
    return fits.Deriver().look(spec_of(ask, around or surroundings(ask.call.system_id, ask.setting.week), call))


def verdicts(asks: Sequence[Ask], around: Surroundings, together: bool = True) -> list[VerdictWords]:
    """Returns the verdicts on saved looks that may all come, in order: what men cannot tell apart in them counts.

    Not `together`, each is judged by itself. What this process knows already is kept by the revisions of all that a
    look is made of; what any process has ever derived of the same content is in the store; only the rest is derived.
    """
    plain = [_key(ask, around) for ask in asks]
    of_call: dict[int, list[tuple[object, ...]]] = {}
    for ask, key in zip(asks, plain, strict=True):
        of_call.setdefault(ask.call.pk, []).append(key)
    sets = {pk: hash(frozenset(group)) if together else None for pk, group in of_call.items()}
    keys = [(*key, sets[ask.call.pk]) for ask, key in zip(asks, plain, strict=True)]
    short = {ask.call.pk for ask, key in zip(asks, keys, strict=True) if key not in _verdicts}
    missing = {
        key: ask
        for key, ask in zip(keys, asks, strict=True)
        if (ask.call.pk in short if together else key not in _verdicts)  # whole sets
    }
    found = {key: _verdicts[key] for key in keys if key in _verdicts}
    asked = specs_of(list(missing.values()), around)
    results = set_results(asked).results if together else results_alone(asked)
    for (key, ask), spec, result in zip(missing.items(), asked, results, strict=True):
        if not result.band or isinstance(spec, fits.FitsError):
            found[key] = judge(ask, around)
        else:
            found[key] = _summary(result.band, result.findings, _play_side(spec))
    for key in missing:
        _verdicts[key] = found[key]
    while len(_verdicts) > KEPT:
        _verdicts.popitem(last=False)
    return [found[key] for key in keys]


def _key(ask: Ask, around: Surroundings) -> tuple[object, ...]:
    return (ask.call.name, ask.call.system_id, ask.call.system.revision, *_made_of(ask), around.stamp)


def _made_of(ask: Ask) -> tuple[object, ...]:
    """Returns what a question is made of besides its call and what goes for all."""
    s = ask.setting
    parts = [ask.formation, ask.concept, *([s.motion] if s.motion else []), *s.options]
    rows = tuple((part._meta.model_name, part.pk, part.revision) for part in parts)
    return rows, (s.to, s.flip, s.hash, s.steps, s.yard_line, s.pressure, s.gone, s.pace, s.back)


@dataclass(frozen=True, slots=True)
class Company:
    """Looks of one call that may all come, in order: each with what men cannot tell apart, or why there is none."""

    made: tuple[fits.Look | fits.FitsError, ...]
    alone: tuple[fits.Look | fits.FitsError, ...]


def company_looks(
    asks: Sequence[Ask], around: Surroundings, system: System, name: str, call: fits.Call | None = None
) -> Company:
    """Returns looks of a call that may all come, kept by the revisions of all they are made of.

    `call` stands in for the saved one when a change is tried; then nothing is kept.
    """
    key = (name, system.pk, system.revision, around.stamp, tuple(_made_of(ask) for ask in asks))
    found = None if call else _companies.get(key)
    if found is None:
        value = call or convert.calls_of(system)[name]
        deriver = fits.Deriver()
        alone = [_look(deriver, spec) for spec in specs_of(asks, around, value)]
        found = Company(tuple(known_together(value, alone)), tuple(alone))
        if call is None:
            _companies[key] = found
            while len(_companies) > 1 and sum(len(company.made) for company in _companies.values()) > KNOWN:
                _companies.popitem(last=False)
    return found


def _look(deriver: fits.Deriver, spec: fits.LookSpec | fits.FitsError) -> fits.Look | fits.FitsError:
    try:
        return spec if isinstance(spec, fits.FitsError) else deriver.look(spec)
    except fits.FitsError as error:
        return error


def known_look(ask: Ask, around: Surroundings, call: fits.Call | None = None, menu_: Menu | None = None) -> fits.Look:
    """Returns the look with what its men cannot tell apart among the looks it comes with: its week's, else the menu's.

    `menu_` is the menu when one was chosen, else that of the opponent whose look it is. `call` stands in for the saved
    one when a change is tried. A look that is not among them is tried in the place of the same look with the steps it
    has by its run, else beside them. Raises fits.FitsError, and KeyError as `spec_of`.
    """
    asks = company_of(ask, menu_)
    company = company_looks(asks, around, ask.call.system, ask.call.name, call)
    mine = _made_of(ask)
    found = next((look for other, look in zip(asks, company.made, strict=True) if _made_of(other) == mine), None)
    if found is None:
        plain = _made_of(ask.at(steps=(), pace=""))
        others = [look for other, look in zip(asks, company.alone, strict=True) if _made_of(other) != plain]
        alone = derive(ask, around, call)
        found = known_together(call or convert.call_value(ask.call), [alone, *others])[0]
    if isinstance(found, fits.FitsError):
        raise found
    return found


def company_of(ask: Ask, menu_: Menu | None = None) -> list[Ask]:
    """Returns the looks that come with one: those of its week, without a week the menu it is from."""
    if ask.setting.week:
        week = ask.setting.week
        return asks_of(week, expected_looks(week), ask.call)
    here = menu_ or menu(ask.opponent or next_opponent())
    return questions([ask.call], here, Setting(to=ask.setting.to, hash=ask.setting.hash))


def in_week(ask: Ask) -> Ask:
    """Returns the question with the week of the next opponent that expects just that look, if one does."""
    if ask.setting.week:
        return ask
    opponent = ask.opponent or next_opponent()
    weeks = Week.objects.filter(expected_looks__formation=ask.formation, expected_looks__concept=ask.concept)
    weeks = weeks.select_related("season", "opponent", "system").filter(opponent=opponent)
    week = now_first(weeks, timezone.localdate()).first()
    mine = week.expected_looks.filter(formation=ask.formation, concept=ask.concept) if week else ()
    rows = list(mine.select_related("formation", "concept", "motion")) if week else []  # type: ignore[union-attr]
    if week and any(_made_of(other) == _made_of(ask) for other in asks_of(week, rows)):
        return ask.at(week=week)
    return ask


def _play_side(spec: fits.LookSpec) -> str:
    """Returns the side that the run goes to."""
    return (spec.to or fits.Deriver().plan(spec).play).word


def judge(ask: Ask, around: Surroundings, call: fits.Call | None = None) -> VerdictWords:
    """Returns the verdict on the look by itself, derived now."""
    try:
        return sum_up(derive(ask, around, call))
    except (fits.NotRunnable, fits.IllegalFormation) as error:
        return VerdictWords(NONE, "cannot be run", (str(error),))
    except (fits.FitsError, KeyError) as error:
        return VerdictWords(BROKEN, "no answer", (str(error),))


def sum_up(look: fits.Look) -> VerdictWords:
    """Returns a look's verdict."""
    said = words_of(look)
    told = [finding._replace(text=said.retell(finding.text)) for finding in look.findings]
    return _summary(look.band, told, look.to.word)


def _summary(band: str, findings: Sequence[fits.Finding | Found], to: str) -> VerdictWords:
    texts = tuple(finding.text for finding in findings)
    codes = tuple(dict.fromkeys(finding.code for finding in findings))
    state = state_of(band, findings)
    if state == SOUND:
        return VerdictWords(SOUND, "sound", texts, codes, to)
    if state == ON_TIME:
        return VerdictWords(ON_TIME, "if on time", texts, codes, to)
    worst = fits.UNSOUND if state == UNSOUND else fits.WARNING
    first, *rest = [finding.code.replace("-", " ") for finding in findings if finding.severity == worst]
    more = f" +{len(rest)}" if rest and state == UNSOUND else ""
    return VerdictWords(state, f"{first}{more}", texts, codes, to)


def state(look: fits.Look) -> str:
    """Returns a short name for everything that is drawn of the look, and for the engine that draws it."""
    return hashlib.sha256(f"{engine_digest()}{look_scene(look)!r}".encode()).hexdigest()[:16]


def state_now(ask: Ask) -> str:
    """Returns the name of the look as it is now; none when there is no such look any more."""
    try:
        return state(derive(ask))
    except (fits.FitsError, KeyError):
        return ""


def drawing(
    look: fits.Look,
    role: str = "",
    up: str = "offense",
    book: fits.RuleBook = fits.COLLEGE,
) -> str:
    """Returns the look as SVG text; a role that is not in it is left out."""
    return draw_look(look, role=_known(look, role), up=up, book=book)


def drawing_in_page(
    look: fits.Look,
    form: Form,
    role: str = "",
    up: str = "",
    book: fits.RuleBook = fits.COLLEGE,
    changed: Sequence[str] = (),
) -> str:
    """Returns the look as SVG text to stand in a page, in parts that a script moves and hides.

    The defenders of `changed` are marked.
    """
    return draw_parts(look, form, _known(look, role), up, book, changed)


def _known(look: fits.Look, role: str) -> str | None:
    known = look.defender(role) is not None or any(player.role == role for player in look.offense)
    return role if known else None


def stand(formation: fits.Formation, setting: Setting, book: fits.RuleBook) -> Standing:
    """Returns a formation in its setting, for calls to line up against."""
    motion = convert.motion_value(setting.motion) if setting.motion else None
    return fits.Deriver().stand(formation, setting.flip, fits.Hash(setting.hash), motion, book)


def front_drawing(call: fits.Call, standing: Standing, up: str, title: str) -> str:
    """Returns a call lined up against a formation, without a play, as SVG text to stand in a page.

    Raises fits.FitsError.
    """
    offense = standing.snap.offense
    men = [Spot(man.name, man.technique, man.x, man.y, man.group.value) for man in standing.alignment(call).men]
    return draw_front(offense.formation.players, men, title, offense.hash, up, offense.book, Theme.PAGE)


def runs(formation: Formation, concept: Concept) -> bool:
    """Returns whether the concept can be run from the formation."""
    try:
        fits.Deriver().stand(convert.formation_value(formation)).plan(convert.concept_value(concept))
    except fits.FitsError:
        return False
    return True


@dataclass(frozen=True, slots=True)
class Menu:
    """What there is to choose from: the opponent's own and listed entries, or the staff's library."""

    opponent: Opponent | None
    formations: list[Formation]
    concepts: list[Concept]

    @property
    def words(self) -> str:
        """Returns whose menu this is."""
        return str(self.opponent) if self.opponent else "the library"


def menu(opponent: Opponent | None) -> Menu:
    """Returns an opponent's own and listed entries; kinds of which he has none are filled from the library."""

    def entries(model: type[Any]) -> list[Any]:
        his = model.objects.filter(Q(opponent=opponent) | Q(on_menus=opponent)).distinct() if opponent else ()
        return list(his) or list(model.objects.filter(opponent=None))

    return Menu(opponent, entries(Formation), entries(Concept))


def next_opponent() -> Opponent | None:
    """Returns the opponent of the next game's week, after the last game the last one; else the first opponent."""
    week = now_first(Week.objects.filter(opponent__isnull=False), timezone.localdate()).first()
    return week.opponent if week else Opponent.objects.first()


def next_call() -> Call | None:
    """Returns the first call on the menu of the next game's week, else of its or the staff's system, else of any."""
    week = now_first(Week.objects.all(), timezone.localdate()).first()
    calls = Call.objects.select_related("system")
    found = calls.filter(menu_entries__week=week).order_by("menu_entries__order").first() if week else None
    return found or calls.filter(system=week.system if week else installation.own_system()).first() or calls.first()


def questions(calls: Iterable[Call], menu_: Menu, setting: Setting = PLAIN) -> list[Ask]:
    """Returns every call against every concept from every formation of the menu."""
    return [
        Ask(call, formation, concept, setting)
        for formation in menu_.formations
        for concept in menu_.concepts
        for call in calls
    ]


def find(model: type[Any], pk: object) -> Any:
    """Returns the row of that key as it stands in an address, or none."""
    return model.objects.filter(pk=whole_number(pk)).first()


def number(text: object) -> int:
    """Returns the number that a hidden field holds, 0 for anything else."""
    return whole_number(text)
