"""What a man can be asked about a picture, and his answers: the table that a ladder is made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fits.blocking.cast import back_side
from fits.defense.align import Alignment
from fits.defense.roles import concerns
from fits.defense.system import Call
from fits.derive.look import Defender, Look
from fits.know.eyes import Eyes
from fits.know.study import Demand, ManKnows, Seen
from fits.rules.conditions import CONDITIONS, Before
from fits.rules.snap import BeforeSnap
from fits.rules.targets import compile_fit
from fits.terms import Frame

FORMATION, BY_NAME = "formation", "the formation by name"
STAGES = (FORMATION, "first key", "second key", "third key", "flow", "told", "felt")
FEATURES = (
    "tight end on my side", "tight end on the other side", "tight end", "two tight ends", "wing on my side",
    "#1 attached", "#2 attached", "#3 attached", "1 or fewer receivers on my side", "3 or more receivers on my side",
    "3 or more receivers on the other side", "2 or more backs", "back on my side", "back behind the quarterback", "gun",
    "to the strength", "to the run strength", "motion to my side",
)  # fmt: skip
COUNTS = (
    "receivers to the strength", "receivers away from the strength", "tight ends to the strength",
    "tight ends away from the strength", "men in the backfield", "where the back is",
)  # fmt: skip
OPPOSITES = {"gun": "under centre", "to the strength": "away from the strength"}
Answer = str
Row = tuple[Answer, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """One picture as answers, with the fit it asks for."""

    row: Row
    label: str
    say: str
    weight: float


@dataclass(frozen=True, slots=True)
class Table:
    """What can be asked (stage and words of each column) and the answers; the last column is the formation's name."""

    stages: tuple[str, ...]
    names: tuple[str, ...]
    cases: tuple[Case, ...]


def questions_of(call: Call, men: Sequence[ManKnows]) -> list[str]:
    """What their rules ask of a formation, in the coach's own order, then what else can be seen of one."""
    rules: list[tuple[str, str]] = [(r.who, r.when) for r in call.align]
    rules += [(r.who, r.when) for r in call.keys] + [(r.who, r.when) for r in call.fits]
    asked = []
    for who, when in rules:
        if any(concerns(who, man.role, man.position) for man in men):
            asked += [atom.strip().removeprefix("not ") for atom in when.split(" and ") if atom.strip()]
    before = [text for text in asked if isinstance(CONDITIONS.compile(text), Before) and not text.startswith("I play")]
    return list(dict.fromkeys([*before, *FEATURES]))


def tabulate(questions: list[str], sights: list[tuple[str, Seen, Alignment]], frame: Frame = Frame.STRONG) -> Table:
    tests = [CONDITIONS.compile(text) for text in questions]
    stages = [*[FORMATION] * (len(questions) + len(COUNTS) + 1), *STAGES[1:]]
    names = [*questions, *COUNTS, "my technique", *STAGES[1:]]
    cases, by_name = [], []
    for man, seen, alignment in sights:
        d = next(m for m in alignment.men if m.name == man)
        before = BeforeSnap(alignment.offense, alignment.strength)
        eyes = Eyes(alignment.offense, alignment.strength, d.side, frame)
        row = [
            text if test.test(before, d) else _opposite(text)
            for text, test in zip(questions, tests, strict=True)
            if isinstance(test, Before)
        ]
        row += [*_counts(alignment), f"I play {d.technique}", *_after(seen, eyes)]
        cases.append(_case(tuple(row), seen, man, eyes))
        by_name.append(seen.picture.before[0])
    kept = _kept([c.row for c in cases])
    rows = [(*[c.row[i] for i in kept], name) for c, name in zip(cases, by_name, strict=True)]
    return Table(
        (*[stages[i] for i in kept], FORMATION), (*[names[i] for i in kept], BY_NAME), _merged(rows, cases)
    )  # fmt: skip


def _counts(alignment: Alignment) -> list[str]:
    """The formation as a man of the middle counts it."""
    o, strong = alignment.offense, alignment.strength
    there, away = o.view(strong), o.view(strong.other)
    back = back_side(o)
    backs = "nobody in the backfield" if not o.backfield else "back behind the quarterback"
    if back is not None:
        backs = "back to the strength" if back is strong else "back away from the strength"
    return [
        _number(len(there.receivers), "receiver") + " to the strength",
        _number(len(away.receivers), "receiver") + " away from the strength",
        _number(len(there.attached), "tight end") + " to the strength",
        _number(len(away.attached), "tight end") + " away from the strength",
        _number(len(o.backfield), "man", "men") + " in the backfield",
        backs,
    ]


def _number(n: int, one: str, many: str = "") -> str:
    return f"no {one}" if n == 0 else f"{n} {one}" if n == 1 else f"{n} {many or one + 's'}"


def _kept(rows: list[Row]) -> list[int]:
    """The columns worth asking: more than one answer, and not the same question as an earlier one."""
    seen: set[tuple[int, ...]] = set()
    kept = []
    for i in range(len(rows[0]) if rows else 0):
        table: dict[str, int] = {}
        codes = tuple([table.setdefault(row[i], len(table)) for row in rows])
        if len(table) > 1 and codes not in seen:
            seen.add(codes)
            kept.append(i)
    return kept


def _merged(rows: list[Row], cases: list[Case]) -> tuple[Case, ...]:
    """Cases with the same answers as one, with the fit that weighs most among them."""
    piles: dict[Row, list[Case]] = {}
    for row, case in zip(rows, cases, strict=True):
        piles.setdefault(row, []).append(case)
    return tuple([heaviest(row, pile) for row, pile in piles.items()])


def heaviest(row: Row, pile: list[Case]) -> Case:
    weights: dict[tuple[str, str], float] = {}
    for case in pile:
        weights[case.label, case.say] = weights.get((case.label, case.say), 0.0) + case.weight
    label, say = max(weights, key=lambda k: weights[k])
    return Case(row, label, say, sum([case.weight for case in pile]))


def _opposite(text: str) -> str:
    if text in OPPOSITES:
        return OPPOSITES[text]
    if text.startswith(("tight end", "wing", "motion", "back ")):
        return f"no {text}"
    if " or more " in text or " or fewer " in text:
        n, _, rest = text.partition(" ")
        more = rest.startswith("or more ")
        what = rest.removeprefix("or more ").removeprefix("or fewer ")
        return f"{int(n) - 1} or fewer {what}" if more else f"{int(n) + 1} or more {what}"
    return f"not {text}"


def _after(seen: Seen, eyes: Eyes) -> list[str]:
    picture = seen.picture
    keys = [eyes.shown(shown) for shown in picture.keys][:3]
    keys += ["nobody to read"] * (3 - len(keys))
    flow = "" if picture.flow is None else eyes.flow(picture.flow)
    felt = "" if picture.felt is None else eyes.felt(picture.felt)
    return [*keys, flow, picture.told, felt]


def _case(row: Row, seen: Seen, man: str, eyes: Eyes) -> Case:
    """The picture's fit, as most of its looks say it."""
    weights: dict[tuple[str, str], float] = {}
    for play in seen.fits[0]:
        key = _asked(play, man, eyes)
        weights[key] = weights.get(key, 0.0) + play.weight
    label, say = max(weights, key=lambda k: weights[k])
    return Case(row, label, say, seen.weight)


def _asked(play: Demand, man: str, eyes: Eyes) -> tuple[str, str]:
    """A fit as a label and as words: the rule's own place when it is one he can see, else where he ends up."""
    look, d = play.look, _defender(play.look, man)
    rule = d.rule.rule
    targets = compile_fit(rule.fit)
    if all(target.sight is not None for target in targets):
        return f"{rule.fit} {d.lane is None}", play.say
    where = place_words(look, d, eyes)
    return where, play.say if d.lane is None or where in play.say else f"{play.say} ({where})"


def _defender(look: Look, man: str) -> Defender:
    found = look.defender(man)
    assert found is not None
    return found


def place_words(look: Look, d: Defender, eyes: Eyes) -> str:
    """Where he fits, from where he stands: `B gap`, `A gap away`, `inside the tight end`; his duty without a lane."""
    if d.lane is None:
        return d.fit
    lane = look.lanes[d.lane]
    if lane.name.startswith(("inside ", "outside ")):
        way, _, role = lane.name.partition(" ")
        return f"{way} the {eyes.man(role)}"
    if lane.gaps:
        return eyes.gaps(lane.gaps)
    return "between " + " and ".join([f"the {eyes.man(r)}" for r in (lane.left, lane.right) if r])
