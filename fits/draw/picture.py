"""A scene laid out as marks in picture units: every symbol, line and label in its place."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from fits.draw.frame import WIDTH, Frame, deep, fit_frame
from fits.draw.labels import Places, Rect, text_box, text_width, wrap_text
from fits.draw.scene import INNER_DEPTH, LaneMark, Man, ManKey, Route, Scene, Shape, Way
from fits.field import LEFT, RIGHT

# Okabe and Ito's palette (2002), with a paper and an ink of our own.
PAPER, INK, QUIET, TURF = "#FCFBF7", "#1A1A1A", "#5A5F63", "#C9CDC6"
BLUE, VERMILLION, GREEN, PURPLE, ORANGE, SKY = "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9"
ROLE_SIZE, TAG_SIZE, RAIL_SIZE, NOTE_SIZE, TITLE_SIZE = 10.0, 9.5, 9.6, 10.0, 12.0
RAIL_SIZE_MIN = 7.0
HALF = 8.0  # half the height of a symbol
SMALL_HEAD = 4.2  # an arrowhead where men stand close
LINE_PITCH = 1.2  # of the font size


@dataclass(frozen=True, slots=True)
class Point:
    """A point in picture units."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Polygon:
    """A filled, closed shape."""

    points: tuple[Point, ...]
    fill: str
    stroke: str = ""
    width: float = 0.0
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Lines that share one pen; `dash` is the pattern, empty for solid."""

    lines: tuple[tuple[Point, ...], ...]
    stroke: str
    width: float
    dash: str = ""
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle, or with `round` the half of its height a capsule."""

    box: Rect
    round: float
    fill: str
    stroke: str = ""
    width: float = 0.0
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Oval:
    """An ellipse."""

    at: Point
    rx: float
    ry: float
    fill: str
    stroke: str = ""
    width: float = 0.0
    kind: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; `box` is the room it takes."""

    text: str
    at: Point
    size: float
    bold: bool
    anchor: str
    fill: str
    box: Rect
    kind: str = ""
    role: str = ""


Mark = Polygon | Strokes | Block | Oval | Label


@dataclass(frozen=True, slots=True)
class Picture:
    """Marks in the order they are painted."""

    width: float
    height: float
    title: str
    words: str
    view: str
    marks: tuple[Mark, ...]

    @property
    def labels(self) -> tuple[Label, ...]:
        """Every label on the picture."""
        return tuple(m for m in self.marks if isinstance(m, Label))


@dataclass(frozen=True, slots=True)
class Placed:
    """A man's symbol on the picture."""

    man: Man
    x: float
    y: float
    half_w: float

    @property
    def box(self) -> Rect:
        """The room his symbol takes."""
        return Rect(self.x - self.half_w, self.y - HALF, self.x + self.half_w, self.y + HALF)


def lay_out(scene: Scene, up: str = "offense") -> Picture:
    """The picture of a scene, with the unit named by `up` playing up the page. Raises BadRequest."""
    return _Layout(scene, up).picture()


def faded(colour: str) -> str:
    """The colour mixed into the paper, for men who are not the subject."""
    mixed = (round(int(colour[i : i + 2], 16) * 0.36 + int(PAPER[i : i + 2], 16) * 0.64) for i in (1, 3, 5))
    return "#" + "".join(f"{c:02X}" for c in mixed)


class _Layout:
    """Builds one picture, top to bottom: caption, field with men, lane rail on the offense's side, notes."""

    def __init__(self, scene: Scene, up: str) -> None:
        self.scene = scene
        frame = fit_frame(*_extents(scene), scene.hash, scene.book, up)
        self.caption = _text_block(scene.title, scene.caption)
        back = min(m.y for m in scene.men) - 0.5
        front = deep(max(*(m.y for m in scene.men), 3.0))
        above, below = (front, -back) if frame.turn > 0 else (-back, front)
        self.rail = _fit_rail(scene.lanes, frame)
        rail = self.rail.height
        top = self.caption.height + (0.0 if frame.turn > 0 else rail)
        self.field_top = self.caption.height
        ball_y = top + above * frame.y_scale + HALF + 8
        field_end = ball_y + below * frame.y_scale + HALF + 8
        self.rail_y = field_end if frame.turn > 0 else self.caption.height
        self.field_end = field_end + (rail if frame.turn > 0 else 0.0)
        self.frame = replace(frame, ball_y=ball_y)
        self.notes = [line for note in scene.notes for line in wrap_text(note, WIDTH - 2 * 10, NOTE_SIZE)]
        self.height = self.field_end + (6 + len(self.notes) * NOTE_SIZE * 1.3 if self.notes else 0) + 6
        self.men = {p.man.key: p for p in _spread([self._place(m) for m in scene.men])}
        self.grown = {key: p.box.grown(1.5) for key, p in self.men.items()}
        self.places = Places(Rect(1, self.field_top, WIDTH - 1, self.field_end))
        self.heads: list[Polygon] = []
        self.under: list[Polygon] = []  # heads with no clear place: beneath the symbols

    def picture(self) -> Picture:
        paper = Block(Rect(0, 0, WIDTH, self.height), 0, PAPER, kind="paper")
        routes = list(self._routes())
        symbols = [mark for p in self._painted() for mark in self._symbol(p)]
        for p in self.men.values():
            self.places.take(p.box.grown(1.0))
        for head in self.heads:
            xs, ys = [q.x for q in head.points], [q.y for q in head.points]
            self.places.take(Rect(min(xs), min(ys), max(xs), max(ys)).grown(-0.5))
        tags = list(self._tags())
        marks = [
            paper,
            *self._field(),
            *self._rail(),
            *routes,
            *self.under,
            *self._steps(),
            *symbols,
            *self.heads,
            *tags,
            *self._names(),
            *self._words(),
        ]
        view = f"{self.scene.chief}/{self.frame.turn}"
        return Picture(WIDTH, self.height, self.scene.title, self.scene.words, view, tuple(marks))

    def _place(self, man: Man) -> Placed:
        width = text_width(man.label, ROLE_SIZE, man.defense)
        x, y = self.frame.at(man.x, man.y)
        half = max(HALF, width / 2 + (3.6 if man.shape is Shape.BACKER else 2.4))
        return Placed(man, min(max(x, half + 3), WIDTH - half - 3), y, half)

    def _painted(self) -> list[Placed]:
        """Men in painting order: those in focus last, so that nothing lies over them."""
        return sorted(self.men.values(), key=lambda p: (p.man.focus, p.man.chief))

    # the field

    def _field(self) -> Iterable[Mark]:
        f = self.frame
        low, high = sorted((self.field_top + 2, self.field_end - 2))
        rail_low, rail_high = (self.rail_y, self.rail_y + self.rail.height) if self.rail.height else (high, high)
        if f.turn > 0:
            high = min(high, rail_low)
        else:
            low = max(low, rail_high)
        yards: list[tuple[Point, ...]] = []
        for n in range(-2, 5):
            y = f.y(5.0 * n)
            if n and low < y < high:
                yards.append((Point(4, y), Point(WIDTH - 4, y)))
        yield Strokes(tuple(yards), TURF, 0.8, kind="yard lines")
        yield Strokes(((Point(4, f.y(0)), Point(WIDTH - 4, f.y(0))),), QUIET, 1.0, "7 3", kind="line of scrimmage")
        yield Strokes(tuple(self._hashes(low, high)), QUIET, 1.1, kind="hash marks")
        yield from self._breaks(low, high)
        for edge, side in ((f.left, LEFT), (f.right, RIGHT)):
            if edge.sideline:
                x = f.sideline(side)
                yield Strokes(((Point(x, low), Point(x, high)),), QUIET, 2.4, kind="sideline")
        yield Oval(Point(f.x(0), f.y(-0.08)), 2.4, 3.8, "#7A4A21", kind="ball")

    def _hashes(self, low: float, high: float) -> Iterable[tuple[Point, ...]]:
        f, book = self.frame, self.scene.book
        ball = book.ball_from_left(self.scene.hash)
        for column in (book.hash_from_sideline - ball, book.width - book.hash_from_sideline - ball):
            edge = f.right if column >= 0 else f.left
            if abs(column) > edge.outer + 0.5:
                continue
            x = f.x(column)
            for n in range(-9, 22):
                y = f.y(float(n))
                if n % 5 and low < y < high:
                    yield (Point(x - 2.5, y), Point(x + 2.5, y))

    def _breaks(self, low: float, high: float) -> Iterable[Mark]:
        """A fine zigzag where the field is cut short on the way to the wide men."""
        f, lines = self.frame, []
        for edge, sign in ((f.left, -1), (f.right, 1)):
            if edge.broken:
                x = f.x(sign * (edge.core + 0.25))
                count = max(2, int((high - low) / 9))
                lines.append(
                    tuple(Point(x + (2.2 if n % 2 else -2.2), low + (high - low) * n / count) for n in range(count + 1))
                )
        if lines:
            yield Strokes(tuple(lines), TURF, 0.9, kind="break")

    # lanes

    def _rail(self) -> Iterable[Mark]:
        """The lane rail: a leader from each lane to its column, which names the lane and its owners."""
        f, rail = self.frame, self.rail
        if not rail.columns:
            return
        sign = f.turn
        near = self.rail_y if sign > 0 else self.rail_y + rail.height
        top = near + 13 if sign > 0 else self.rail_y + 2
        leaders: dict[tuple[str, float, str], list[tuple[Point, ...]]] = {}
        for c in rail.columns:
            x = f.x(c.lane.x)
            pen = (VERMILLION, 2.2, "6 3") if c.lane.open else (GREEN, 1.2, "1.5 2.5")
            colour = pen[0] if c.lane.focus else faded(pen[0])
            line = (Point(x, f.y(1.5)), Point(x, near), Point(c.x, near + 11 * sign))
            leaders.setdefault((colour, pen[1], pen[2]), []).append(line)
        for (colour, width, dash), lines in leaders.items():
            yield Strokes(tuple(lines), colour, width, dash, kind="lanes")
        for c in rail.columns:
            if c.lane.open:
                box = Rect(
                    c.x - c.width / 2 + 1, top, c.x + c.width / 2 - 1, top + rail.rows * rail.size * LINE_PITCH + 3
                )
                yield Block(box, 2, PAPER, VERMILLION, 1.6, kind="open lane", role=c.lane.name)
        for bold in (False, True):
            for c in rail.columns:
                ink = INK if c.lane.focus else faded(INK)
                for n, (text, heavy) in enumerate(c.lines):
                    if heavy is bold:
                        y = top + (n + 0.9) * rail.size * LINE_PITCH
                        yield self._label(text, c.x, y, rail.size, bold, "middle", ink, "lane", c.lane.name)

    # men

    def _symbol(self, p: Placed) -> Iterable[Mark]:
        m, x, y, w, h = p.man, p.x, p.y, p.half_w, HALF
        ink = INK if m.focus else faded(INK)
        if m.defense:
            fill = BLUE if m.focus else faded(BLUE)
            yield self._defense_shape(p, fill)
        else:
            fill = "#FFFFFF"
            if m.shape is Shape.BACK:
                yield Oval(Point(x, y), max(w, h), h, fill, ink, 1.3, "man", m.role)
                if m.ball:
                    yield Oval(Point(x, y), max(w, h) + 2.4, h + 2.4, "none", ink, 1.0, "carrier", m.role)
            else:
                yield Block(p.box, 5.0 if m.shape is Shape.TIGHT_END else 1.2, fill, ink, 1.3, "man", m.role)
        if m.chief:
            yield Block(p.box.grown(3.4), 4, "none", INK, 1.8, "chief", m.role)

    def _defense_shape(self, p: Placed, fill: str) -> Mark:
        x, y, w, h, s = p.x, p.y, p.half_w, HALF, self.frame.turn
        if p.man.shape is Shape.DEEP:
            return Block(p.box, HALF, fill, kind="man", role=p.man.role)
        if p.man.shape is Shape.BACKER:
            corners = [(-w, 0), (-w + 4, -h), (w - 4, -h), (w, 0), (w - 4, h), (-w + 4, h)]
        else:
            corners = [(-w, -h), (w, -h), (w, h * 0.45), (0, h + 2), (-w, h * 0.45)]
        return Polygon(tuple(Point(x + dx, y + dy * s) for dx, dy in corners), fill, kind="man", role=p.man.role)

    def _names(self) -> Iterable[Label]:
        """The label in each symbol."""
        for p in sorted(self.men.values(), key=lambda p: (p.man.defense, p.man.focus)):
            m = p.man
            ink = INK if m.focus else faded(INK)
            fill = ("#FFFFFF" if m.focus else INK) if m.defense else ink
            shift = 0.6 * self.frame.turn if m.shape is Shape.FRONT else 0.0
            yield self._label(
                m.label, p.x, p.y + ROLE_SIZE * 0.36 - shift, ROLE_SIZE, m.defense, "middle", fill, "role", m.role
            )

    def _tags(self) -> Iterable[Mark]:
        """Technique labels beside the symbols, each on a scrap of paper so that no line strikes it through."""
        height = TAG_SIZE * 1.02
        labels, scraps = [], []
        for p in sorted(self.men.values(), key=lambda p: (p.y, p.x)):
            if not p.man.tag:
                continue
            width = text_width(p.man.tag, TAG_SIZE, True)
            grown = p.box.grown(3.4) if p.man.chief else p.box
            box = self.places.find(grown, width + 1.0, height, -self.frame.turn)
            ink = INK if p.man.focus else faded(INK)
            x, y = (box.left + box.right) / 2, box.top + 0.8 * height
            middle = (box.top + box.bottom) / 2
            scraps.append(
                (Point(box.left + height / 2, middle), Point(max(box.left, box.right - height) + height / 2, middle))
            )
            labels.append(self._label(p.man.tag, x, y, TAG_SIZE, True, "middle", ink, "technique", p.man.role))
        if scraps:
            yield Strokes(tuple(scraps), PAPER, height, kind="scraps")
        yield from labels

    def _steps(self) -> Iterable[Mark]:
        """First steps: a short heavy tick on the edge of the symbol."""
        groups: dict[bool, list[tuple[Point, ...]]] = {}
        for step in self.scene.steps:
            p = self.men[ManKey(False, step.role)]
            size = math.hypot(step.dx, step.dy)
            ux, uy = step.dx / size * self.frame.turn, -step.dy / size * self.frame.turn
            start = _edge_point(p, ux, uy)
            ends = (0.0,) if not step.double else (-2.4, 2.4)
            for off in ends:
                a = Point(start.x + uy * off, start.y - ux * off)
                groups.setdefault(step.focus, []).append((a, Point(a.x + ux * 5.5, a.y + uy * 5.5)))
        for focus, lines in sorted(groups.items()):
            yield Strokes(tuple(lines), INK if focus else faded(INK), 2.6, kind="first steps")

    # routes

    def _routes(self) -> Iterable[Strokes]:
        """All routes, those that share a pen as one mark; their arrowheads are kept for later, to lie on top."""
        pens: dict[tuple[Way, bool], list[tuple[Point, ...]]] = {}
        for route in self.scene.routes:
            p = self.men.get(route.key)
            if p is not None:
                pens.setdefault((route.way, route.focus), []).extend(self._route(route, p))
        for (way, focus), lines in sorted(pens.items(), key=lambda item: (item[0][1], ORDER.index(item[0][0]))):
            colour, width, dash = PENS[way]
            yield Strokes(tuple(lines), colour if focus else faded(colour), width, dash, kind=way.value)
        self.heads.sort(key=lambda h: (h.kind, h.fill))

    def _route(self, route: Route, p: Placed) -> list[tuple[Point, ...]]:
        points = [Point(p.x, p.y), *(Point(*self.frame.at(t.x, t.y)) for t in route.turns)]
        if route.to:
            points[-1] = _stop_short(points[-2], self.men[route.target])
        points = _reach_out(points, p)
        size = 6.5 if route.way is Way.FIT else 5.5
        ball = route.way in (Way.BALL, Way.READ)
        clear = self._clear_of_men(points, p, size * 1.7 if ball else size)
        if clear is None and not ball:
            size = SMALL_HEAD
            clear = self._clear_of_men(points, p, size)
        if clear is not None and route.way is not Way.BLOCK:
            points[-1] = clear
        self.places.take_line([(q.x, q.y) for q in points])
        if route.way is Way.BLOCK:
            return [tuple(points), _bar(points)]
        colour = PENS[route.way][0]
        head, neck = _HEADS[route.way](points, size)
        fill = colour if route.focus else faded(colour)
        drawn = Polygon(head, fill, PAPER, 0.6, kind=f"{route.way.value} head", role=route.role)
        if clear is None:
            self.under.append(replace(drawn, kind=f"{drawn.kind}, under"))
        else:
            self.heads.append(drawn)
        return [(*points[:-1], neck)]

    def _clear_of_men(self, points: Sequence[Point], own: Placed, size: float) -> Point | None:
        """The end of a line, drawn back until its head, of that size, lies over no other man; None: nowhere."""
        tip, u = points[-1], _direction(points)
        taken = [own.box.grown(0.5) if key == own.man.key else box for key, box in self.grown.items()]
        legs = math.hypot(points[-1].x - points[-2].x, points[-1].y - points[-2].y)
        for back in range(0, int(legs - size / 2), 2):
            x, y = tip.x - u.x * back, tip.y - u.y * back
            ends = ((x, y), (x - u.x * size, y - u.y * size))
            if not any(b.left < px < b.right and b.top < py < b.bottom for b in taken for px, py in ends):
                return Point(x, y)
        return None

    # words around the field

    def _words(self) -> Iterable[Mark]:
        for n, line in enumerate(self.caption.lines):
            bold = n < self.caption.bold
            size = TITLE_SIZE if bold else NOTE_SIZE
            yield self._label(line, 10, self.caption.baselines[n], size, bold, "start", INK, "caption")
        for n, line in enumerate(self.notes):
            yield self._label(
                line, 10, self.field_end + 6 + (n + 0.8) * NOTE_SIZE * 1.3, NOTE_SIZE, False, "start", INK, "note"
            )

    def _label(
        self, text: str, x: float, y: float, size: float, bold: bool, anchor: str, fill: str, kind: str, role: str = ""
    ) -> Label:
        return Label(text, Point(x, y), size, bold, anchor, fill, text_box(text, x, y, size, bold, anchor), kind, role)


ORDER = list(Way)
PENS = {
    Way.BLOCK: (QUIET, 1.1, ""),
    Way.FIT: (BLUE, 1.9, ""),
    Way.COVER: (BLUE, 1.4, "4 2.5"),
    Way.BALL: (VERMILLION, 2.6, ""),
    Way.READ: (VERMILLION, 1.8, "8 3 2 3"),
    Way.EYES: (PURPLE, 1.6, "1.5 3"),
}


@dataclass(frozen=True, slots=True)
class TextBlock:
    """The caption, wrapped: its lines, how many are bold, their baselines and the height of it all."""

    lines: tuple[str, ...]
    bold: int
    baselines: tuple[float, ...]
    height: float


@dataclass(frozen=True, slots=True)
class Column:
    """One lane's column on the rail."""

    lane: LaneMark
    lines: tuple[tuple[str, bool], ...]
    width: float
    x: float = 0.0


@dataclass(frozen=True, slots=True)
class Rail:
    """The lane rail: columns in page order, font size, rows of text and height."""

    columns: tuple[Column, ...]
    size: float
    rows: int
    height: float


def _text_block(title: str, rest: Sequence[str]) -> TextBlock:
    bold = wrap_text(title, WIDTH - 20, TITLE_SIZE, True)
    plain = [line for text in rest for line in wrap_text(text, WIDTH - 20, NOTE_SIZE)]
    y, baselines = 4.0, []
    for n in range(len(bold) + len(plain)):
        size = TITLE_SIZE if n < len(bold) else NOTE_SIZE
        y += size * 1.25
        baselines.append(y - size * 0.25)
    return TextBlock((*bold, *plain), len(bold), tuple(baselines), y + 5)


def _extents(scene: Scene) -> tuple[list[float], list[float]]:
    """The x of what belongs to the inner part (surface, front, lanes, routes) and of everyone."""
    inner = [0.0, *(lane.x for lane in scene.lanes)]
    for m in scene.men:
        near = (m.y < INNER_DEPTH and m.defense) or m.shape in (Shape.LINEMAN, Shape.TIGHT_END)
        if near and abs(m.x) < 9:
            inner.append(m.x)
    inner += [t.x for r in scene.routes for t in r.turns]
    return inner, [m.x for m in scene.men]


def _fit_rail(lanes: Sequence[LaneMark], frame: Frame) -> Rail:
    """Columns as near under their lanes as their widths allow.

    Where they do not fit, owners' names are broken; where that is not enough, the font shrinks.
    """
    if not lanes:
        return Rail((), RAIL_SIZE, 0, 0.0)
    ordered = lanes if frame.turn > 0 else tuple(reversed(lanes))
    size, tight = RAIL_SIZE, False
    columns = [_column(lane, size, tight) for lane in ordered]
    while sum(c.width for c in columns) > WIDTH - 8 and size > RAIL_SIZE_MIN:
        size, tight = (size - 0.2 if tight else size), True
        columns = [_column(lane, size, tight) for lane in ordered]
    wanted = [frame.x(c.lane.x) for c in columns]
    placed = tuple(replace(c, x=x) for c, x in zip(columns, _spaced(wanted, [c.width for c in columns]), strict=True))
    rows = max(len(c.lines) for c in columns)
    return Rail(placed, size, rows, 13 + rows * size * LINE_PITCH + 8)


def _column(lane: LaneMark, size: float, tight: bool) -> Column:
    """One lane's column: its name, then its owners; when room is tight, a word a line."""
    first, _, rest = lane.name.partition(" ")
    lines = [(first, False), *(((rest, False),) if rest else ())]
    owners = " ".join(lane.owners).split() if tight else lane.owners
    lines += [(owner, True) for owner in owners or ("OPEN",)]
    return Column(lane, tuple(lines), max(text_width(t, size, b) for t, b in lines) + (4 if tight else 6))


def _spaced(wanted: Sequence[float], widths: Sequence[float]) -> list[float]:
    """Centres in order, each as near to the wanted place as the widths allow, inside the picture."""
    gaps = [(a + b) / 2 for a, b in pairwise(widths)]
    low, high = 4 + widths[0] / 2, WIDTH - 4 - widths[-1] / 2

    def forward(values: list[float]) -> list[float]:
        out = [max(values[0], low)]
        for value, gap in zip(values[1:], gaps, strict=True):
            out.append(max(value, out[-1] + gap))
        return out

    def backward(values: list[float]) -> list[float]:
        out = [min(values[-1], high)]
        for value, gap in zip(reversed(values[:-1]), reversed(gaps), strict=True):
            out.append(min(value, out[-1] - gap))
        return out[::-1]

    values = list(wanted)
    one, two = backward(forward(values)), forward(backward(values))
    return [(a + b) / 2 for a, b in zip(one, two, strict=True)]


def _spread(men: list[Placed]) -> list[Placed]:
    """The same men with symbols pushed apart sideways until none covers another."""
    men = list(men)
    for _ in range(60):
        moved = False
        for i, a in enumerate(men):
            for j in range(i + 1, len(men)):
                b = men[j]
                if abs(a.y - b.y) >= 2 * HALF + 1:
                    continue
                short = a.half_w + b.half_w + 0.8 - abs(a.x - b.x)
                if short <= 0:
                    continue
                moved = True
                push = short / 2 + 0.05
                sign = 1 if (b.x, b.man.role) >= (a.x, a.man.role) else -1
                a, b = replace(a, x=a.x - push * sign), replace(b, x=b.x + push * sign)
                men[i], men[j] = (_kept(a), _kept(b))
                a = men[i]
        if not moved:
            break
    return men


def _kept(p: Placed) -> Placed:
    return replace(p, x=min(max(p.x, p.half_w + 3), WIDTH - p.half_w - 3))


def _edge_point(p: Placed, ux: float, uy: float) -> Point:
    """Where a ray from the middle of a symbol leaves it."""
    reach = min(p.half_w / abs(ux) if ux else 1e9, (HALF + 0.5) / abs(uy) if uy else 1e9)
    return Point(p.x + ux * reach, p.y + uy * reach)


def _reach_out(points: list[Point], p: Placed) -> list[Point]:
    """The same line, ended far enough from its own symbol for the end to be seen."""
    a, b = points[-2], points[-1]
    if len(points) > 2:
        return points
    dx, dy = b.x - a.x, b.y - a.y
    length = math.hypot(dx, dy)
    if length < 1e-6:
        return points
    ux, uy = dx / length, dy / length
    edge = _edge_point(p, ux, uy)
    least = math.hypot(edge.x - p.x, edge.y - p.y) + 8.5
    return points if length >= least else [a, Point(a.x + ux * least, a.y + uy * least)]


def _stop_short(a: Point, man: Placed) -> Point:
    """The point where a line from `a` reaches the symbol of a man."""
    dx, dy = a.x - man.x, a.y - man.y
    length = math.hypot(dx, dy) or 1.0
    return _edge_point(man, dx / length, dy / length)


def _direction(points: Sequence[Point]) -> Point:
    """The unit vector of the last leg that has a length."""
    b = points[-1]
    for a in reversed(points[:-1]):
        length = math.hypot(b.x - a.x, b.y - a.y)
        if length > 1e-6:
            return Point((b.x - a.x) / length, (b.y - a.y) / length)
    return Point(0.0, -1.0)


def _arrow(points: Sequence[Point], size: float) -> tuple[tuple[Point, ...], Point]:
    """The corners of an arrowhead at the end of a line, and where the line stops behind it."""
    tip, u = points[-1], _direction(points)
    base = Point(tip.x - u.x * size, tip.y - u.y * size)
    half = size * 0.48
    head = (tip, Point(base.x - u.y * half, base.y + u.x * half), Point(base.x + u.y * half, base.y - u.x * half))
    return head, Point(tip.x - u.x * size * 0.8, tip.y - u.y * size * 0.8)


def _spear(points: Sequence[Point], size: float) -> tuple[tuple[Point, ...], Point]:
    """A ball at the end of a ball carrier's line: two arcs that meet in points, rather longer than an arrowhead."""
    tip, u = points[-1], _direction(points)
    length, half = size * 1.7, size * 0.6
    shape = ((0.0, 0.0), (0.22, 0.72), (0.5, 1.0), (0.78, 0.72), (1.0, 0.0), (0.78, -0.72), (0.5, -1.0), (0.22, -0.72))
    corners = tuple(
        Point(tip.x - u.x * a * length - u.y * b * half, tip.y - u.y * a * length + u.x * b * half) for a, b in shape
    )
    return corners, Point(tip.x - u.x * length * 0.9, tip.y - u.y * length * 0.9)


def _kite(points: Sequence[Point], size: float) -> tuple[tuple[Point, ...], Point]:
    """A diamond at the end of an eye line."""
    tip, u = points[-1], _direction(points)
    half = size * 0.5
    middle = Point(tip.x - u.x * half, tip.y - u.y * half)
    tail = Point(tip.x - u.x * size, tip.y - u.y * size)
    return (
        tip,
        Point(middle.x - u.y * half, middle.y + u.x * half),
        tail,
        Point(middle.x + u.y * half, middle.y - u.x * half),
    ), tail


def _bar(points: Sequence[Point]) -> tuple[Point, Point]:
    """The bar across the end of a block."""
    tip, u = points[-1], _direction(points)
    return Point(tip.x - u.y * 5, tip.y + u.x * 5), Point(tip.x + u.y * 5, tip.y - u.x * 5)


_HEADS = {Way.FIT: _arrow, Way.COVER: _arrow, Way.BALL: _spear, Way.READ: _spear, Way.EYES: _kite}
