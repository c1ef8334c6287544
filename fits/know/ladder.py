"""The reading ladder of a man: the fewest reads that give all his fits, in the order he makes them, in his words.

Pure: nothing is read or written but the arguments. A ladder speaks as he does: "my side", "away", "the guard".
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import log2

from fits.blocking.concepts import Concept, Option
from fits.defense.align import Alignment
from fits.defense.pressure import find_pressure, press
from fits.defense.system import Call
from fits.derive.look import Look
from fits.deriver import Deriver
from fits.field import COLLEGE, LEFT, RIGHT, Hash, RuleBook, Side
from fits.know.answers import FORMATION, STAGES, Answer, Case, Row, Table, heaviest, questions_of, tabulate
from fits.know.smallest import MOST_STEPS, Choice, smallest_tests
from fits.know.study import Knowledge, Seen, Weight, find_roles, study, study_looks
from fits.offense.formation import Formation
from fits.offense.motion import Motion
from fits.spec import LookSpec

ELSE = "anything else"


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One thing he sees on a rung: when (a stage) and what, `guard pulls away`."""

    stage: str
    sees: str
    by_name: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """What he sees, in order, and what he does then; `share` is how much of all he meets comes this way."""

    when: tuple[Read, ...]
    then: str
    share: float

    @property
    def text(self) -> str:
        """`guard pulls away: over the top`."""
        return f"{', '.join([r.sees for r in self.when]) or 'always'}: {self.then}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """The ladder of one position. `reads` are what he asks, in order; no ladder can do with fewer than `bound`.

    `by_heart` are the formations in which these reads are not enough and he must know the one he is in. `cannot_know`
    is the share of his pictures that no ladder settles: they are not on it.
    """

    call: str
    role: str
    men: tuple[str, ...]
    looks: int
    pictures: int
    cannot_know: float
    reads: tuple[str, ...]
    bound: int
    exact: bool
    by_heart: tuple[str, ...]
    rungs: tuple[Rung, ...]


def ladder(
    call: Call,
    role: str,
    formations: Iterable[Formation],
    concepts: Iterable[Concept],
    *,
    to: Iterable[Side | None] = (LEFT, RIGHT),
    flips: Iterable[bool] = (False,),
    hashes: Iterable[Hash] = (Hash.MIDDLE,),
    motion: Motion | None = None,
    options: Iterable[Option] = (),
    book: RuleBook = COLLEGE,
    yard_line: float | None = None,
    pressure: str | None = None,
    weigh: Weight | None = None,
) -> Ladder:
    """The ladder of a role or position over those looks, weighed as in a study. Raises UnknownName."""
    by_name = {f.name: f for f in formations}
    known = study(
        call, by_name.values(), concepts, to=to, flips=flips, hashes=hashes, motion=motion, options=options, book=book,
        yard_line=yard_line, pressure=pressure, weigh=weigh, roles=[role],
    )  # fmt: skip
    deriver, pressed = Deriver(), press(call, find_pressure(call, pressure))

    def aligned(seen: Seen) -> Alignment:
        name, flip, hash_, moved = seen.picture.before
        standing = deriver.stand(by_name[name], flip, Hash(hash_), motion if moved else None, book)
        return standing.alignment(pressed, yard_line)

    return _ladder(pressed, role, known, aligned)


def looks_ladder(call: Call, role: str, looks: Sequence[tuple[LookSpec, Look]], weigh: Weight | None = None) -> Ladder:
    """The same over looks of that call that are derived already, each by what was asked for."""
    specs = {id(look): spec for spec, look in looks}
    known = study_looks(call, [look for _, look in looks], weigh=weigh, roles=find_roles(call, [role]))
    deriver = Deriver()

    def aligned(seen: Seen) -> Alignment:
        spec = specs[id(seen.fits[0][0].look)]
        standing = deriver.stand(spec.formation, spec.flip, spec.hash, spec.motion, spec.book)
        return standing.alignment(call, spec.yard_line)

    return _ladder(call, role, known, aligned)


def _ladder(call: Call, role: str, known: Knowledge, aligned: Callable[[Seen], Alignment]) -> Ladder:
    pictures: list[tuple[str, Seen]] = [(m.role, seen) for m in known.men for seen in m.seen]
    settled = [(man, seen) for man, seen in pictures if seen.known]
    table = tabulate(questions_of(call, known.men), [(man, seen, aligned(seen)) for man, seen in settled], call.frame)
    choice = choose(table.cases, range(len(table.names) - 1))
    total = sum([c.weight for c in table.cases]) or 1.0
    rungs = tuple(_rungs(grow(table, choice.columns, table.cases), table, total)) if table.cases else ()
    by_heart = {name for rung in rungs for r in rung.when if r.by_name for name in r.sees.split(" or ")}
    return Ladder(
        call=call.name, role=role, men=tuple([m.role for m in known.men]), looks=known.looks, pictures=len(pictures),
        cannot_know=1 - len(settled) / len(pictures) if pictures else 0.0,
        reads=tuple([table.names[c] for c in choice.columns]), bound=choice.bound, exact=choice.exact,
        by_heart=tuple(sorted(by_heart - {ELSE})), rungs=rungs,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Node:
    """A read and what follows each answer; a leaf has no column, and what he does."""

    column: int | None
    then: str
    branches: tuple[tuple[tuple[Answer, ...], Node], ...]
    weight: float

    @property
    def shape(self) -> tuple[object, ...]:
        """What makes two nodes the same ladder from here on."""
        if self.column is None:
            return (self.then,)
        return (self.column, tuple([(answers, node.shape) for answers, node in self.branches]))


def grow(table: Table, columns: Sequence[int], cases: Sequence[Case]) -> Node:
    """The ladder for those cases out of those reads, each branch with the fewest of them, in the order of sight."""
    weight = sum([c.weight for c in cases])
    if len({c.label for c in cases}) <= 1:
        return Node(None, heaviest((), list(cases)).say if cases else "", (), weight)
    needed = choose(cases, columns, 500).columns
    left = list(needed)
    last = len(table.names) - 1
    if not left and len({c.row[last] for c in cases}) > 1:
        left = [last]  # these reads are the same: he must know the formation he is in
    if not left:
        return Node(None, heaviest((), list(cases)).say, (), weight)
    first = [c for c in left if table.stages[c] == FORMATION]
    column = max(first, key=lambda c: (_gain(cases, c), -c)) if first else left[0]
    rest = [c for c in left if c != column]
    answers: dict[Answer, list[Case]] = {}
    for case in cases:
        answers.setdefault(case.row[column], []).append(case)
    grown = [(answer, grow(table, rest, pile)) for answer, pile in answers.items()]
    return Node(column, "", _joined(grown), weight)


def climb(node: Node, row: Row) -> str:
    """What a man does on that ladder who gets those answers."""
    while node.column is not None:
        answer = row[node.column]
        found = [branch for answers, branch in node.branches if answer in answers]
        found += [branch for answers, branch in node.branches if ELSE in answers]
        node = found[0]
    return node.then


def choose(cases: Sequence[Case], columns: Sequence[int], most_steps: int = MOST_STEPS) -> Choice:
    """The fewest of those columns that give every fit they can give."""
    rows: dict[Row, list[Case]] = {}
    for case in cases:
        rows.setdefault(tuple([case.row[i] for i in columns]), []).append(case)
    merged = [heaviest(row, pile) for row, pile in rows.items()]
    found = smallest_tests([c.row for c in merged], [c.label for c in merged], [1] * len(columns), most_steps)
    return replace(found, columns=tuple([columns[i] for i in found.columns]))


def _joined(grown: list[tuple[Answer, Node]]) -> tuple[tuple[tuple[Answer, ...], Node], ...]:
    """Answers that lead to the same ladder as one branch, the heaviest first, the one with most answers last."""
    piles: dict[tuple[object, ...], list[tuple[Answer, Node]]] = {}
    for answer, node in grown:
        piles.setdefault(node.shape, []).append((answer, node))
    out = []
    for pile in piles.values():
        node = pile[0][1]
        weight = sum([n.weight for _, n in pile])
        merged = node if len(pile) == 1 else _sum([n for _, n in pile])
        out.append((tuple([answer for answer, _ in pile]), merged, weight))
    out.sort(key=lambda o: -o[2])
    many = max(out, key=lambda o: len(o[0]))
    if len(many[0]) > 2:
        out.remove(many)
        out.append(((*[ELSE] * (len(out) > 0), *([] if out else many[0])), many[1], many[2]))
    return tuple([(answers, node) for answers, node, _ in out])


def _sum(nodes: list[Node]) -> Node:
    """Nodes of one shape as one, their weights added."""
    first = nodes[0]
    branches = tuple(
        [(answers, _sum([n.branches[i][1] for n in nodes])) for i, (answers, _) in enumerate(first.branches)]
    )
    return Node(first.column, first.then, branches, sum([n.weight for n in nodes]))


def _gain(cases: Sequence[Case], column: int) -> float:
    """How much an answer tells of the fit, in bits."""
    piles: dict[Answer, list[Case]] = {}
    for case in cases:
        piles.setdefault(case.row[column], []).append(case)
    total = sum([c.weight for c in cases])
    return _entropy(cases) - sum([sum([c.weight for c in p]) / total * _entropy(p) for p in piles.values()])


def _entropy(cases: Sequence[Case]) -> float:
    weights: dict[str, float] = {}
    for case in cases:
        weights[case.label] = weights.get(case.label, 0.0) + case.weight
    total = sum(weights.values())
    return -sum([w / total * log2(w / total) for w in weights.values()])


def _rungs(node: Node, table: Table, total: float, when: tuple[Read, ...] = ()) -> Iterator[Rung]:
    if node.column is None:
        in_order = tuple(sorted(when, key=lambda read: STAGES.index(read.stage)))
        yield Rung(when=in_order, then=node.then, share=node.weight / total)
        return
    for answers, branch in node.branches:
        by_name = node.column == len(table.names) - 1
        read = Read(stage=table.stages[node.column], sees=" or ".join(answers), by_name=by_name)
        yield from _rungs(branch, table, total, (*when, read))
