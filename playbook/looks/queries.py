"""Looks derived from rows, and verdicts kept for as long as nothing they are made of changes."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import Q

import fits
from fits.draw.scene import Spot, look_scene
from fits.draw.svg import draw_front, draw_look
from fits.know import Knowledge, study_looks, with_knowledge
from fits.words import words_of
from playbook import convert
from playbook.looks.asking import Ask, Setting
from playbook.models import BookName, Call, Concept, Formation, Opponent, Option, RosterSpot, Season, Week
from playbook.scouting.results import (
    NONE,
    ON_TIME,
    SOUND,
    STATE_WORDS,
    UNSOUND,
    WARNING,  # noqa: F401 - board, impact and tests name it
    Found,
    engine_digest,
    set_results,
    state_of,
)
from playbook.text import whole_number

BROKEN = "broken"
KEPT = 40_000
PLAIN = Setting()

_verdicts: OrderedDict[tuple[object, ...], VerdictWords] = OrderedDict()
KNOWN = 16
_known: OrderedDict[frozenset[tuple[object, ...]], Knowledge] = OrderedDict()


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


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What goes for every look of this installation: the rule book and the measured speeds, by position."""

    book: fits.RuleBook
    roster: Mapping[str, fits.Speed]
    stamp: tuple[object, ...]


def surroundings(system_pk: int | None = None) -> Surroundings:
    """Returns the rule book of the latest season, and the speed of the first man at each position of the system.

    A week's variant of a system has the men of the system it varies.
    """
    season = Season.objects.first()
    name = BookName(season.book).value.replace(" ", "-") if season else "college"
    speeds: dict[str, fits.Speed] = {}
    own = Q(position__system=system_pk) | Q(position__system__variants=system_pk)
    spots = RosterSpot.objects.filter(
        own if system_pk else Q(pk__in=[]),
        player__active=True,
        player__ten_yd_s__isnull=False,
        player__forty_yd_s__isnull=False,
    )
    for spot in spots.select_related("player", "position").order_by("order", "pk"):
        try:
            speed = fits.speed_from_splits(float(spot.player.ten_yd_s), float(spot.player.forty_yd_s))
        except fits.FitsError:
            continue  # two measured times that no sprint can have: the position's own default stands
        speeds.setdefault(spot.position.name, speed)
    return Surroundings(fits.RULE_BOOKS[name], speeds, (name, *sorted((k, str(v)) for k, v in speeds.items())))


def derive(ask: Ask, around: Surroundings | None = None, call: fits.Call | None = None) -> fits.Look:
    """Returns the look; `call` stands in for the saved one when a change is tried. Raises fits.FitsError."""
    around = around or surroundings(ask.call.system_id)
    return fits.Deriver().look(spec_of(ask, around, call))


def spec_of(ask: Ask, around: Surroundings, call: fits.Call | None = None) -> fits.LookSpec:
    """Returns what the engine is asked for; `call` stands in for the saved one. Raises fits.FitsError."""
    formation, concept = convert.formation_value(ask.formation), convert.concept_value(ask.concept)
    return spec_of_values(call or convert.call_value(ask.call), formation, concept, ask.setting, around)


def spec_of_values(
    call: fits.Call, formation: fits.Formation, concept: fits.Concept, setting: Setting, around: Surroundings
) -> fits.LookSpec:
    """Returns the same for engine values in a setting."""
    return fits.LookSpec(
        call=call,
        formation=formation,
        concept=concept,
        to=side(setting.to),
        flip=setting.flip,
        hash=fits.Hash(setting.hash),
        motion=convert.motion_value(setting.motion) if setting.motion else None,
        options=tuple(convert.option_value(option) for option in setting.options),
        first_steps=dict(setting.steps),
        roster=around.roster,
        book=around.book,
    )


def side(word: str) -> fits.Side | None:
    """Returns the side of that word, or none for no word."""
    return {"left": fits.LEFT, "right": fits.RIGHT}.get(word)


def verdicts(asks: Sequence[Ask], around: Surroundings) -> list[VerdictWords]:
    """Returns the verdicts on saved looks that may all come, in order: what men cannot tell apart in them counts.

    What this process knows already is kept by the revisions of all that a look is made of; what any process has ever
    derived of the same content is in the store; only the rest is derived.
    """
    plain = [_key(ask, around) for ask in asks]
    of_call: dict[int, list[tuple[object, ...]]] = {}
    for ask, key in zip(asks, plain, strict=True):
        of_call.setdefault(ask.call.pk, []).append(key)
    sets = {pk: hash(frozenset(group)) for pk, group in of_call.items()}
    keys = [(*key, sets[ask.call.pk]) for ask, key in zip(asks, plain, strict=True)]
    short = {ask.call.pk for ask, key in zip(asks, keys, strict=True) if key not in _verdicts}
    missing = {key: ask for key, ask in zip(keys, asks, strict=True) if ask.call.pk in short}  # whole sets
    found = {key: _verdicts[key] for key in keys if key in _verdicts}
    specs: dict[tuple[object, ...], fits.LookSpec] = {}
    for key, ask in missing.items():
        try:
            specs[key] = spec_of(ask, around)
        except (fits.FitsError, KeyError):
            found[key] = judge(ask, around)
    answers = set_results(list(specs.values())).results
    for (key, spec), result in zip(specs.items(), answers, strict=True):
        if not result.band:
            found[key] = judge(missing[key], around)
        else:
            found[key] = _summary(result.band, result.findings, _play_side(spec))
    for key in missing:
        _verdicts[key] = found[key]
    while len(_verdicts) > KEPT:
        _verdicts.popitem(last=False)
    return [found[key] for key in keys]


def _key(ask: Ask, around: Surroundings) -> tuple[object, ...]:
    s = ask.setting
    parts = [ask.call.system, ask.formation, ask.concept, *([s.motion] if s.motion else []), *s.options]
    made_of = tuple((part._meta.model_name, part.pk, part.revision) for part in parts)
    return ask.call.name, made_of, (s.to, s.flip, s.hash, s.steps), around.stamp


def known_look(look: fits.Look, ask: Ask, around: Surroundings) -> fits.Look:
    """Returns the look with what its men cannot tell apart among the looks it comes with: its week's, else the menu's.

    What is known of a set of looks is kept by the revisions of all it is made of.
    """
    company = [replace(other, call=ask.call) for other in company_of(ask)]
    key = frozenset([_key(other, around) for other in company])
    if key not in _known:
        deriver, made = fits.Deriver(), []
        for other in company:
            with suppress(fits.FitsError, KeyError):
                made.append(deriver.look(spec_of(other, around)))
        _known[key] = study_looks(convert.call_value(ask.call), made)
        while len(_known) > KNOWN:
            _known.popitem(last=False)
    return with_knowledge(_known[key], look)


def company_of(ask: Ask) -> list[Ask]:
    """Returns the looks that come with one: those of the latest week that expects it, else the menu it is from."""
    opponent = ask.formation.opponent or ask.concept.opponent or next_opponent()
    weeks = Week.objects.filter(expected_looks__formation=ask.formation, expected_looks__concept=ask.concept)
    week = weeks.filter(opponent=opponent).order_by("-season__year", "-number").first()
    expected = [other for _, other, _ in expected_asks(week)] if week else []
    if any(replace(other, call=ask.call) == ask for other in expected):
        return expected
    here = menu(opponent)
    setting = Setting(hash=ask.setting.hash)
    return [replace(other, setting=setting) for other in questions([ask.call], here)]


def expected_asks(week: Week) -> list[tuple[str, Ask, float | None]]:
    """Returns the looks expected in a week without a call: what is special about each in words, and its share."""
    options = {option.name: option for option in Option.objects.filter(opponent=None)}
    options |= {option.name: option for option in Option.objects.filter(opponent=week.opponent)}
    found = []
    for look in week.expected_looks.select_related("formation", "concept", "motion"):
        tags = tuple(options[name] for name in look.options if name in options)
        setting = Setting(look.to, look.flip, look.hash, look.motion, tags)
        words = [look.motion.name] if look.motion else []
        words += [f"with {option.name}" for option in tags]
        words += [f"{look.hash} hash"] if look.hash != "middle" else []
        words += ["flipped"] if look.flip else []
        words += ["a guess"] if look.guess else []
        found.append((", ".join(words), Ask(None, look.formation, look.concept, setting), look.share))  # type: ignore[arg-type]
    return found


def _play_side(spec: fits.LookSpec) -> str:
    """Returns the side that the run goes to."""
    return (spec.to or fits.Deriver().plan(spec).play).word


def judge(ask: Ask, around: Surroundings, call: fits.Call | None = None) -> VerdictWords:
    """Returns the verdict, derived now."""
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


def drawing(look: fits.Look, role: str = "", up: str = "offense", book: fits.RuleBook = fits.COLLEGE) -> str:
    """Returns the look as SVG text; a role that is not in it is left out."""
    known = look.defender(role) is not None or any(player.role == role for player in look.offense)
    return draw_look(look, role=role if known else None, up=up, book=book)


def front_drawing(
    call: fits.Call, formation: fits.Formation, setting: Setting, book: fits.RuleBook, up: str, title: str
) -> str:
    """Returns a call lined up against a formation, without a play, as SVG text. Raises fits.FitsError."""
    motion = convert.motion_value(setting.motion) if setting.motion else None
    standing = fits.Deriver().stand(formation, setting.flip, fits.Hash(setting.hash), motion, book)
    aligned = standing.alignment(call).men
    men = [Spot(man.name, man.technique, man.x, man.y, man.group.value) for man in aligned]
    return draw_front(standing.snap.offense.formation.players, men, title, fits.Hash(setting.hash), up, book)


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
    """Returns the opponent of the latest week that has one, else the first opponent, else none."""
    week_first = Opponent.objects.filter(weeks__isnull=False).order_by("-weeks__season__year", "-weeks__number")
    return week_first.first() or Opponent.objects.first()


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
