"""What the rule book forbids in a formation, as named rules.

Men are linemen of the moment (on the line) or backs; the books' jersey numbers 50-79 are stood for by the five linemen.
Source: rule digests of the three bodies. Check your governing body's current rule.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from enum import Enum
from math import hypot
from types import MappingProxyType

from fits.errors import IllegalFormation
from fits.field import LEFT, RIGHT, Hash, RuleBook
from fits.offense.formation import ATTACH_X, LINE_ROLES, Formation, Kind, OffensiveMan, in_order
from fits.values import replace, value

MEN = 11
LINE_ORDERS = (
    LINE_ROLES,
    ("LG", "C", "RG", "RT", "LT"), ("LG", "C", "RG", "LT", "RT"),  # a tackle over, long side right
    ("RT", "LT", "LG", "C", "RG"), ("LT", "RT", "LG", "C", "RG"),  # and left
)  # fmt: skip
NEUTRAL_Y = -0.3  # the length of the ball; only the snapper may be in it
TOO_CLOSE = 0.6  # two men cannot stand nearer than this, centre to centre
OVER_BALL = 0.25
DEEPEST_Y = -25.0  # not a rule: farther back is a slip of the hand


# Every rule id with what it asks for. Ids are permanent.
RULES: Mapping[str, str] = MappingProxyType({
    "eleven-men": "eleven men",
    "one-of-each": "each man once",
    "one-quarterback": "one quarterback",
    "five-linemen": "LT, LG, C, RG and RT",
    "line-order": "the five linemen in order, or both tackles outside one guard",
    "short-side": "somebody next to each guard",
    "centre-over-ball": "the centre over the ball",
    "neutral-zone": "nobody but the snapper in the neutral zone",
    "line-minimum": "enough men on the line",
    "backs-maximum": "not too many men off the line",
    "off-field": "everybody on the field",
    "out-of-bounds": "everybody inside the sidelines of this hash (warning)",
    "overlap": "no two men in one spot",
    "covered-eligible": "nobody who must catch a pass covered on the line (else a warning)",
    "motion-forward": "the man in motion not moving forward at the snap",
})  # fmt: skip


class Effect(Enum):
    """Whether a violation stops the formation or only says what it costs."""

    REFUSE = "refuse"
    WARNING = "warning"


@value
class Violation:
    """One broken rule. `rule` is a permanent id; `text` a full sentence; `roles` the men it is about."""

    rule: str
    text: str
    severity: Effect = Effect.REFUSE
    roles: tuple[str, ...] = ()

    @property
    def refused(self) -> bool:
        """True when the formation may not be used."""
        return self.severity is Effect.REFUSE


def check_formation(
    formation: Formation, book: RuleBook, hash_: Hash | None = None, needs: Collection[str] = ()
) -> list[Violation]:
    """Everything wrong with a formation, worst kind first and in a fixed order.

    With a hash, men drawn out of bounds there are warned about (they are played inside the sideline), and two
    men who then stand in one spot are refused. `needs` are roles that must be able to catch a pass.
    """
    formation = replace(formation, players=in_order(formation.players))
    found = [
        *_men(formation),
        *_linemen(formation),
        *_neutral_zone(formation),
        *_line_and_backs(formation, book),
        *_on_the_field(formation, book, hash_),
        *_spacing(formation if hash_ is None else formation.placed(hash_, book)),
        *_eligible(formation, needs),
    ]
    return sorted(found, key=lambda v: not v.refused)


def refuse_illegal(
    formation: Formation, book: RuleBook, hash_: Hash | None = None, needs: Collection[str] = ()
) -> None:
    """Nothing, when the formation may be used. Raises IllegalFormation with the first rule it breaks."""
    for violation in check_formation(formation, book, hash_, needs):
        if violation.refused:
            raise IllegalFormation(formation.called, violation.rule, violation.text)


def covered_eligibles(formation: Formation) -> list[OffensiveMan]:
    """Backs, tight ends and receivers on the line with somebody on the line outside them: not eligible."""
    line = [p for p in formation.players if p.on_line]
    return [
        p
        for p in line
        if p.kind not in (Kind.LINE, Kind.QUARTERBACK) and any(o.x < p.x for o in line) and any(o.x > p.x for o in line)
    ]


def _men(formation: Formation) -> Iterator[Violation]:
    count = len(formation.players)
    if count != MEN:
        yield Violation("eleven-men", f"The offense has {count} men; it must have {MEN}.")
    for role, times in sorted(Counter(p.role for p in formation.players).items()):
        if times > 1:
            text = f"{role} is in the formation {times} times; each man is in it once."
            yield Violation("one-of-each", text, roles=(role,))
    passers = tuple(p.role for p in formation.players if p.kind is Kind.QUARTERBACK)
    if len(passers) != 1:
        text = f"The formation has {len(passers)} quarterbacks; it must have one."
        yield Violation("one-quarterback", text, roles=passers)


def _linemen(formation: Formation) -> Iterator[Violation]:
    roles = [p.role for p in formation.players if p.kind is Kind.LINE]
    missing = tuple(r for r in LINE_ROLES if r not in roles)
    extra = tuple(sorted(r for r in roles if r not in LINE_ROLES))
    if missing or extra:
        said = [f"{', '.join(missing)} missing"] if missing else []
        said += [f"{', '.join(extra)} too many"] if extra else []
        yield Violation("five-linemen", f"The line is LT, LG, C, RG and RT: {'; '.join(said)}.", roles=missing + extra)
        return
    line = sorted((p for p in formation.players if p.kind is Kind.LINE), key=lambda p: p.x)
    order = tuple(p.role for p in line)
    if order not in LINE_ORDERS:
        text = (
            f"From left to right the line is LT, LG, C, RG, RT, or both tackles stand outside one guard; "
            f"here it is {', '.join(order)}."
        )
        yield Violation("line-order", text, roles=LINE_ROLES)
    elif order != LINE_ROLES:
        guard = line[0] if order[0].endswith("G") else line[-1]
        if not any(
            p.on_line and 0 < (p.x - guard.x) * (1 if guard.x > 0 else -1) <= ATTACH_X for p in formation.players
        ):
            text = f"With both tackles on one side somebody on the line stands next to {guard.role}; here nobody does."
            yield Violation("short-side", text, roles=(guard.role,))
    centre = formation.player("C")
    if centre is not None and abs(centre.x) > OVER_BALL:
        text = f"The centre snaps the ball at x = 0; he stands at {centre.x:g}."
        yield Violation("centre-over-ball", text, roles=("C",))


def _neutral_zone(formation: Formation) -> Iterator[Violation]:
    for p in formation.players:
        limit = 0.0 if p.role == "C" else NEUTRAL_Y
        if p.y > limit:
            yield Violation(
                "neutral-zone",
                f"{p.role} lines up in the neutral zone: y is {p.y:g}, at most {limit:g} is behind the ball.",
                roles=(p.role,),
            )


def _line_and_backs(formation: Formation, book: RuleBook) -> Iterator[Violation]:
    linemen_only = book.backs_maximum is not None  # these books count the men numbered 50-79
    on_line = [p for p in formation.players if p.on_line and (not linemen_only or p.kind is Kind.LINE)]
    if len(on_line) < book.line_minimum:
        noun = "linemen" if linemen_only else "men"
        wanted = f"the {book.name} book wants at least {book.line_minimum}"
        yield Violation("line-minimum", f"{len(on_line)} {noun} are on the line; {wanted}.")
    backs = tuple(p.role for p in formation.players if not p.on_line)
    if book.backs_maximum is not None and len(backs) > book.backs_maximum:
        allowed = f"the {book.name} book allows {book.backs_maximum}"
        text = f"{len(backs)} men are off the line ({', '.join(backs)}); {allowed}."
        yield Violation("backs-maximum", text, roles=backs)


def _on_the_field(formation: Formation, book: RuleBook, hash_: Hash | None) -> Iterator[Violation]:
    widest = book.width - min(book.hash_from_sideline, book.width / 2)
    for p in formation.players:
        if abs(p.x) > widest or p.y < DEEPEST_Y:
            limits = f"at most {widest:.1f} yards wide and {-DEEPEST_Y:g} deep"
            yield Violation("off-field", f"{p.role} at ({p.x:g}, {p.y:g}) is off the field: {limits}.", roles=(p.role,))
        elif hash_ is not None and abs(p.x) > (room := book.room(hash_, RIGHT if p.x > 0 else LEFT)):
            spot = "in the middle" if hash_ is Hash.MIDDLE else f"on the {hash_.value} hash"
            out = f"{p.role} is drawn {abs(p.x) - room:.1f} yards out of bounds with the ball {spot}"
            yield Violation("out-of-bounds", f"{out}; he is played inside the sideline.", Effect.WARNING, (p.role,))


def _spacing(formation: Formation) -> Iterator[Violation]:
    men = formation.players
    for i, a in enumerate(men):
        for b in men[i + 1 :]:
            if b.x - a.x >= TOO_CLOSE:
                break  # players stand in order of x
            if hypot(a.x - b.x, a.y - b.y) < TOO_CLOSE:
                pair = tuple(sorted((a.role, b.role)))
                yield Violation("overlap", f"{pair[0]} and {pair[1]} stand in the same spot.", roles=pair)


def _eligible(formation: Formation, needs: Collection[str]) -> Iterator[Violation]:
    for p in covered_eligibles(formation):
        text = f"{p.role} is covered: a man is on the line outside him, so he may not go out for a pass."
        severity = Effect.REFUSE if p.role in needs else Effect.WARNING
        yield Violation("covered-eligible", text, severity, (p.role,))
