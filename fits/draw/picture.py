"""A scene laid out as marks in picture units: every symbol, line and label in its place."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from fits.draw.ends import HEADS, bar, direction
from fits.draw.labels import Places, Rect, text_box, text_width, wrap_text
from fits.draw.marks import (
    BALL_CORE,
    GREEN,
    INK,
    LANE_INK,
    OPEN_INK,
    ORDER,
    PAPER,
    PENS,
    PURPLE,
    QUIET,
    TURF,
    VERMILLION,
    Block,
    Label,
    Mark,
    Oval,
    Painting,
    Part,
    Point,
    Polygon,
    Strokes,
    faded,
)  # fmt: skip
from fits.draw.rail import LINE_PITCH, fit_rail
from fits.draw.scale import NARROW, Style, deep, fit_frame
from fits.draw.scene import INNER_DEPTH, Figure, LineKind, ManKey, Route, Scene, Shape, StepMark
from fits.draw.symbols import Placed, half_width, name_colour, symbol_marks
from fits.field import LEFT, RIGHT

SMALL_HEAD = 4.2  # an arrowhead where men stand close
LANE_END_Y = 1.5  # yards; a lane is drawn from here to the rail
LAYERS = {
    LineKind.BLOCK: "blocks", LineKind.FIT: "fits", LineKind.OWN: "fits", LineKind.COVER: "fits", LineKind.BALL: "ball",
    LineKind.READ: "ball", LineKind.ROUTE: "ball", LineKind.EYES: "fits", LineKind.CHECK: "alignment",
    LineKind.MOTION: "formation",
}  # fmt: skip


def lay_out(
    scene: Scene, up: str = "offense", style: Style = NARROW, beside: Scene | None = None, bare: bool = False
) -> Painting:
    """The picture of a scene, with the unit named by `up` playing up the page. Raises BadRequest.

    A picture that stands `beside` another scene's has room and scale for both. A `bare` one has no ground, title or
    sentences, which its page says, and comes in parts: a layer each, and of each man.
    """
    layout = _Layout(scene, up, style, beside or scene, bare)
    return layout.parted() if bare else layout.picture()


def shifts(
    scene: Scene, tracks: Mapping[str, Sequence[tuple[float, float]]], snap: int, up: str, style: Style
) -> dict[str, list[tuple[float, float]]]:
    """How far everybody is from where he stands in the bare picture, in picture units, frame by frame.

    `tracks` are places in yards, `snap` is the frame that the picture shows. Raises BadRequest.
    """
    frame = _Layout(scene, up, style, scene, True).frame
    found = {}
    for name, places in tracks.items():
        here = frame.at(*places[snap])
        spots = [frame.at(x, y) for x, y in places]
        found[name] = [(round(x - here[0], 1) + 0.0, round(y - here[1], 1) + 0.0) for x, y in spots]
    return found


def spot_after(
    scene: Scene, spot: tuple[float, float], shift: tuple[float, float], up: str, style: Style
) -> tuple[float, float]:
    """Where a man of that place is in yards when he is moved so far in the bare picture. Raises BadRequest."""
    frame = _Layout(scene, up, style, scene, True).frame
    x, y = frame.at(*spot)
    return frame.field(x + shift[0], y + shift[1])


class _Layout:
    """Builds one picture, top to bottom: caption, field with men, lane rail on the offense's side, notes."""

    def __init__(self, scene: Scene, up: str, style: Style, beside: Scene, bare: bool = False) -> None:
        self.scene, self.style = scene, style
        both = (scene, beside)
        inner, outer = ([x for xs in pair for x in xs] for pair in zip(*map(_extents, both), strict=True))
        frame = fit_frame(inner, outer, scene.hash, scene.book, up, style)
        self.caption = TextBlock((), 0, (), 0.0) if bare else _text_block(scene.title, scene.caption, style)
        ys = [y for one in both for y in (*(m.y for m in one.men), *(t.y for r in one.routes for t in r.turns))]
        ys += [c.y - 2.5 * bool(c.beside) for one in both for c in one.choices]
        back = min(ys) - 0.5
        front = deep(max(*ys, 3.0))
        above, below = (front, -back) if frame.turn > 0 else (-back, front)
        self.rail = fit_rail([x for x in scene.lanes if x.focus] if style.sparse else scene.lanes, frame)
        rail = self.rail.height
        top = self.caption.height + (0.0 if frame.turn > 0 else rail)
        self.field_top = self.caption.height
        ball_y = top + above * frame.y_scale + style.half + 8
        field_end = ball_y + below * frame.y_scale + style.half + 8
        self.rail_y = field_end if frame.turn > 0 else self.caption.height
        self.field_end = field_end + (rail if frame.turn > 0 else 0.0)
        self.frame = replace(frame, ball_y=ball_y)
        notes = () if bare else scene.notes
        self.notes = [line for note in notes for line in wrap_text(note, style.width - 20, style.note)]
        self.height = self.field_end + (6 + len(self.notes) * style.note * 1.3 if self.notes else 0) + 6
        self.men = {p.man.key: p for p in _spread([self._place(m) for m in scene.men], style)}
        self.grown = {key: p.box.grown(1.5) for key, p in self.men.items()}
        self.places = Places(Rect(1, self.field_top, style.width - 1, self.field_end))
        self.heads: list[Polygon] = []
        self.under: list[Polygon] = []  # heads with no clear place: beneath the symbols

    def picture(self) -> Painting:
        paper = Block(Rect(0, 0, self.style.width, self.height), 0, PAPER, kind="paper")
        routes = list(self._routes())
        symbols = [mark for p in self._painted() for mark in symbol_marks(p, self.frame.turn)]
        self._take_men()
        tags = self._tags()
        marks = [
            paper,
            *self._field(),
            *self._ball(),
            *self._rail(),
            *routes,
            *self.under,
            *self._steps(),
            *symbols,
            *self.heads,
            *_scraps(tags),
            *[tag.label for tag in tags],
            *self._names(),
            *self._words(),
        ]
        return Painting(self.style.width, self.height, self.scene.title, self.scene.words, self._view(), tuple(marks))

    def parted(self) -> Painting:
        """The picture in parts, for a page."""
        routes = list(self._route_parts())
        self._take_men()
        tags = self._tags()
        steps = [Part("steps", (mark,), ManKey(False, role).code, True) for role, mark in self._each_step()]
        parts = [
            Part("field", tuple(self._field())),
            Part("lanes", tuple(self._rail())),
            *routes,
            *[part for p in self._painted() for part in self._man_parts(p)],
            *steps,
            Part("formation", tuple(self._ball()), "ball", True),
            *[Part(tag.layer, (*_scraps([tag]), tag.label), tag.man) for tag in tags],
            *self._choices(),
        ]
        parts = [part for part in parts if part.marks]
        marks = tuple([mark for part in parts for mark in part.marks])
        view = f"{self._view()}/bare/{self.style.width:g}/{self.style.role:g}"
        return Painting(self.style.width, self.height, self.scene.title, self.scene.words, view, marks, tuple(parts))

    def _choices(self) -> Iterable[Part]:
        """The numbered marks of a question: a disc each, pushed apart until none covers another."""
        f, r = self.frame, self.style.half * 1.1
        placed = []
        for mark in self.scene.choices:
            x, y = f.at(mark.x, mark.y)
            if mark.beside:  # on the offense's side of the man, whose letters stay free
                y += f.turn * (self.style.half + r + 2)
            man = Figure(mark.number, mark.number, Shape.DEEP, mark.x, mark.y)
            placed.append(_kept(Placed(man, x, y, r, r), self.style))
        spots = {p.man.role: p for p in _spread(placed, self.style)}
        for mark in self.scene.choices:
            p = spots[mark.number]
            marks: list[Mark] = []
            if mark.lane:
                line = (Point(f.x(mark.x), f.y(LANE_END_Y)), Point(p.x, p.y))
                marks.append(Strokes((line,), GREEN, 1.6, "2 3", kind="choice"))
            marks.append(Oval(Point(p.x, p.y), r, r, PAPER, PURPLE, 2.2, "choice", mark.number))
            size = self.style.role * 1.15
            marks.append(
                self._label(mark.number, p.x, p.y + size * 0.36, size, True, "middle", INK, "choice", mark.number)
            )
            yield Part("choice-marks", tuple(marks), f"c:{mark.number}")

    def _view(self) -> str:
        changed = "/".join(sorted(m.role for m in self.scene.men if m.changed))
        return f"{self.scene.chief}/{self.frame.turn}/{self.scene.book.name}{changed and '/changed/' + changed}"

    def _take_men(self) -> None:
        for p in self.men.values():
            self.places.take(p.box.grown(1.0))
        for head in self.heads:
            xs, ys = [q.x for q in head.points], [q.y for q in head.points]
            self.places.take(Rect(min(xs), min(ys), max(xs), max(ys)).grown(-0.5))

    def _man_parts(self, p: Placed) -> Iterable[Part]:
        """His symbol with his name; apart from it what a reveal keeps back: that he carries the ball or is left."""
        layer, code = "alignment" if p.man.defense else "formation", p.man.key.code
        marks = [*symbol_marks(p, self.frame.turn), self._name(p)]
        for kind, own in (("carrier", "ball"), ("left", "fits")):
            kept = tuple([mark for mark in marks if mark.kind == kind])
            marks = [mark for mark in marks if mark.kind != kind]
            if kept:
                yield Part(own, kept, code, True)
        yield Part(layer, tuple(marks), code, True)

    def _place(self, man: Figure) -> Placed:
        x, y = self.frame.at(man.x, man.y)
        half = half_width(man, self.style)
        return Placed(man, min(max(x, half + 3), self.style.width - half - 3), y, half, self.style.half)

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
                yards.append((Point(4, y), Point(self.style.width - 4, y)))
        yield Strokes(tuple(yards), TURF, 0.8, kind="yard lines")
        line = (Point(4, f.y(0)), Point(self.style.width - 4, f.y(0)))
        yield Strokes((line,), QUIET, 1.0, "7 3", kind="line of scrimmage")
        yield Strokes(tuple(self._hashes(low, high)), QUIET, 1.1, kind="hash marks")
        yield from self._breaks(low, high)
        for edge, side in ((f.left, LEFT), (f.right, RIGHT)):
            if edge.sideline:
                x = f.sideline(side)
                yield Strokes(((Point(x, low), Point(x, high)),), QUIET, 2.4, kind="sideline")

    def _ball(self) -> Iterable[Mark]:
        grown = self.style.ball
        yield Oval(Point(self.frame.x(0), self.frame.y(-0.08)), 2.4 * grown, 3.8 * grown, "#7A4A21", kind="ball")

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
            line = (Point(x, f.y(LANE_END_Y)), Point(x, near), Point(c.x, near + 11 * sign))
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

    def _names(self) -> Iterable[Label]:
        """The label in each symbol."""
        for p in sorted(self.men.values(), key=lambda p: (p.man.defense, p.man.focus)):
            yield self._name(p)

    def _name(self, p: Placed) -> Label:
        m = p.man
        y = p.y + self.style.role * 0.36 - (0.6 * self.frame.turn if m.shape is Shape.FRONT else 0.0)
        return self._label(m.label, p.x, y, self.style.role, m.defense, "middle", name_colour(m), "role", m.role)

    def _tags(self) -> list[Tag]:
        """Labels beside the symbols, and who has a lane at its end, each with a scrap of paper under it."""
        style, size, found = self.style, self.style.tag, []
        for p in sorted(self.men.values(), key=lambda p: (p.y, p.x)):
            ring = 6.0 if p.man.changed else 3.4 if p.man.chief or p.man.left else 0.0
            grown = p.box.grown(ring) if ring else p.box
            ink = INK if p.man.focus else faded(INK)
            for layer, text in self._tag_words(p.man):
                found.append(self._tag(text, grown, size, ink, "technique", p.man.role, layer, p.man.key.code))
        if self.style.owners:
            for lane in sorted(self.scene.lanes, key=lambda lane: lane.owners != ()):
                x, y = self.frame.at(lane.x, LANE_END_Y)
                ink = OPEN_INK if lane.open else LANE_INK
                said = " + ".join(dict.fromkeys(owner.split()[-1] for owner in lane.owners)) or "OPEN"
                end = Rect(x - 2, y - 1, x + 2, y + 1)
                found.append(
                    self._tag(said, end, style.role, ink if lane.focus else faded(ink), "owner", lane.name, "lanes")
                )
        return found

    def _tag(
        self, text: str, beside: Rect, size: float, ink: str, kind: str, role: str, layer: str, man: str = ""
    ) -> Tag:
        height = size * 1.02
        box = self.places.find(beside, text_width(text, size, True) + 1.0, height, -self.frame.turn)
        x, middle = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        label = self._label(text, x, box.top + 0.8 * height, size, True, "middle", ink, kind, role)
        scrap = Point(box.left + height / 2, middle), Point(max(box.left, box.right - height) + height / 2, middle)
        return Tag(label, scrap, height, layer, man)

    def _tag_words(self, man: Figure) -> list[tuple[str, str]]:
        """What stands beside his symbol, by layer: technique, how far out he is where that is cut, why he is left."""
        edge = self.frame.right if man.x > 0 else self.frame.left
        if self.style.sparse and not man.focus:
            return []
        if self.style.owners:
            cut = not man.defense and edge.broken and abs(man.x) > edge.core + 0.5
            words = [("formation", f"{abs(man.x):.0f} yd")] if cut else []
            return words + [(layer, w) for layer, w in (("alignment", man.tag), ("fits", man.left)) if w]
        return [("alignment", text) for text in (", ".join(w for w in (man.tag, man.left) if w),) if text]

    def _steps(self) -> Iterable[Mark]:
        """First steps: a short heavy tick on the edge of the symbol."""
        groups: dict[bool, list[tuple[Point, ...]]] = {}
        for step in self.scene.steps:
            groups.setdefault(step.focus, []).extend(self._ticks(step))
        for focus, lines in sorted(groups.items()):
            yield self._step_mark(lines, focus)

    def _each_step(self) -> Iterable[tuple[str, Mark]]:
        for step in self.scene.steps:
            yield step.role, self._step_mark(self._ticks(step), step.focus)

    def _step_mark(self, lines: Sequence[tuple[Point, ...]], focus: bool) -> Mark:
        return Strokes(tuple(lines), INK if focus else faded(INK), 2.6 * self.style.pen, kind="first steps")

    def _ticks(self, step: StepMark) -> list[tuple[Point, ...]]:
        p, k = self.men[ManKey(False, step.role)], self.style.pen
        size = math.hypot(step.dx, step.dy)
        ux, uy = step.dx / size * self.frame.turn, -step.dy / size * self.frame.turn
        start = _edge_point(p, ux, uy)
        lines: list[tuple[Point, ...]] = []
        for off in (0.0,) if not step.double else (-2.4, 2.4):
            a = Point(start.x + uy * off, start.y - ux * off)
            lines.append((a, Point(a.x + ux * 5.5 * k, a.y + uy * 5.5 * k)))
        return lines

    # routes

    def _routes(self) -> Iterable[Strokes]:
        """All routes, those that share a pen as one mark; their arrowheads are kept for later, to lie on top."""
        pens: dict[tuple[LineKind, bool], list[tuple[Point, ...]]] = {}
        for route in self.scene.routes:
            p = self.men.get(route.key)
            if p is not None:
                pens.setdefault((route.way, route.focus), []).extend(self._route(route, p))
        for (way, focus), lines in sorted(pens.items(), key=lambda item: (item[0][1], ORDER.index(item[0][0]))):
            yield from self._route_marks(way, focus, lines)
        self.heads.sort(key=lambda h: (h.kind, h.fill))

    def _route_marks(self, way: LineKind, focus: bool, lines: Sequence[tuple[Point, ...]]) -> Iterable[Strokes]:
        colour, width, dash = PENS[way]
        k = self.style.pen
        shown = colour if focus else faded(colour)
        yield Strokes(tuple(lines), shown, width * k, _longer(dash, k), kind=way.value)
        if way is LineKind.BALL:
            yield Strokes(tuple(lines), PAPER, BALL_CORE * k, kind="ball core")

    def _route_parts(self) -> Iterable[Part]:
        """Each route with its head, in the same order."""
        for route in sorted(self.scene.routes, key=lambda r: (r.focus, ORDER.index(r.way))):
            p = self.men.get(route.key)
            if p is not None:
                clear, under = len(self.heads), len(self.under)
                lines = self._route(route, p)
                heads = self.heads[clear:] + self.under[under:]
                marks: tuple[Mark, ...] = (*self._route_marks(route.way, route.focus, lines), *heads)
                yield Part(LAYERS[route.way], marks, route.key.code)

    def _route(self, route: Route, p: Placed) -> list[tuple[Point, ...]]:
        points = [Point(p.x, p.y), *(Point(*self.frame.at(t.x, t.y)) for t in route.turns)]
        if route.to:
            points[-1] = _stop_short(points[-2], self.men[route.target])
        points = _reach_out(points, p, self.style.least)
        if route.way in (LineKind.CHECK, LineKind.MOTION):
            return [tuple(points)]
        if route.way is LineKind.BLOCK:
            self.places.take_line([(q.x, q.y) for q in points])
            bars = [bar(points, 5 * self.style.pen)]
            if len(points) > 2 and route.via:  # the double on the way up to the second level
                bars.append(bar(points[:-1], 4 * self.style.pen))
            return [tuple(points), *bars]
        size, clear = self._head_place(points, route.way, p)
        points[-1] = clear or points[-1]
        self.places.take_line([(q.x, q.y) for q in points])
        colour = PENS[route.way][0] if route.focus else faded(PENS[route.way][0])
        head, neck = HEADS[route.way](points, size)
        kind = f"{route.way.value} head" if clear else f"{route.way.value} head, under"
        (self.heads if clear else self.under).append(Polygon(head, colour, PAPER, 0.6, kind, route.role))
        return [(*points[:-1], neck)]

    def _head_place(self, points: Sequence[Point], way: LineKind, own: Placed) -> tuple[float, Point | None]:
        """The size of a line's head, and its place clear of all men; None when there is no such place."""
        mine = own.man.key
        taken = [own.box.grown(0.5) if key == mine else box for key, box in self.grown.items()]
        k = self.style.pen
        if way in (LineKind.BALL, LineKind.READ):
            size = 6.0 * k if way is LineKind.BALL else 5.5 * k
            return size, _clear(points, size * 1.7, taken)
        size = {LineKind.FIT: 6.5, LineKind.OWN: 9.0}.get(way, 5.5) * k
        clear = _clear(points, size, taken)
        return (size, clear) if clear else (SMALL_HEAD * k, _clear(points, SMALL_HEAD * k, taken))

    # words around the field

    def _words(self) -> Iterable[Mark]:
        style = self.style
        for n, line in enumerate(self.caption.lines):
            bold = n < self.caption.bold
            size = style.title if bold else style.note
            yield self._label(line, 10, self.caption.baselines[n], size, bold, "start", INK, "caption")
        for n, line in enumerate(self.notes):
            y = self.field_end + 6 + (n + 0.8) * style.note * 1.3
            yield self._label(line, 10, y, style.note, False, "start", INK, "note")

    def _label(
        self, text: str, x: float, y: float, size: float, bold: bool, anchor: str, fill: str, kind: str, role: str = ""
    ) -> Label:
        return Label(text, Point(x, y), size, bold, anchor, fill, text_box(text, x, y, size, bold, anchor), kind, role)


@dataclass(frozen=True, slots=True)
class Tag:
    """A label beside something, with the scrap of paper under it (as a thick line of that height), and its part."""

    label: Label
    scrap: tuple[Point, Point]
    height: float
    layer: str
    man: str


def _scraps(tags: Sequence[Tag]) -> list[Mark]:
    return [Strokes(tuple([tag.scrap for tag in tags]), PAPER, tags[0].height, kind="scraps")] if tags else []


@dataclass(frozen=True, slots=True)
class TextBlock:
    """The caption, wrapped: its lines, how many are bold, their baselines and the height of it all."""

    lines: tuple[str, ...]
    bold: int
    baselines: tuple[float, ...]
    height: float


def _text_block(title: str, rest: Sequence[str], style: Style) -> TextBlock:
    bold = wrap_text(title, style.width - 20, style.title, True)
    plain = [line for text in rest for line in wrap_text(text, style.width - 20, style.note)]
    y, baselines = 4.0, []
    for n in range(len(bold) + len(plain)):
        size = style.title if n < len(bold) else style.note
        y += size * 1.25
        baselines.append(y - size * 0.25)
    return TextBlock((*bold, *plain), len(bold), tuple(baselines), y + 5)


def _extents(scene: Scene) -> tuple[list[float], list[float]]:
    """The x of what belongs to the inner part (surface, front, lanes, routes) and of everyone."""
    inner = [0.0, *(lane.x for lane in scene.lanes)]
    inner += [c.x for c in scene.choices if abs(c.x) < 9]
    for m in scene.men:
        near = (m.y < INNER_DEPTH and m.defense) or m.shape in (Shape.LINEMAN, Shape.TIGHT_END)
        if near and abs(m.x) < 9:
            inner.append(m.x)
    inner += [t.x for r in scene.routes for t in r.turns]
    return inner, [*(m.x for m in scene.men), *(c.x for c in scene.choices)]


def _spread(men: list[Placed], style: Style) -> list[Placed]:
    """The same men with symbols pushed apart sideways until none covers another."""
    men = list(men)
    for _ in range(60):
        moved = False
        for i, a in enumerate(men):
            for j in range(i + 1, len(men)):
                b = men[j]
                if abs(a.y - b.y) >= 2 * style.half + 1:
                    continue
                short = a.half_w + b.half_w + 0.8 - abs(a.x - b.x)
                if short <= 0:
                    continue
                moved = True
                push = short / 2 + 0.05
                sign = 1 if (b.x, b.man.role) >= (a.x, a.man.role) else -1
                a, b = replace(a, x=a.x - push * sign), replace(b, x=b.x + push * sign)
                men[i], men[j] = _kept(a, style), _kept(b, style)
                a = men[i]
        if not moved:
            break
    return men


def _kept(p: Placed, style: Style) -> Placed:
    return replace(p, x=min(max(p.x, p.half_w + 3), style.width - p.half_w - 3))


def _longer(dash: str, factor: float) -> str:
    return dash if factor == 1 else " ".join(f"{float(n) * factor:g}" for n in dash.split())


def _edge_point(p: Placed, ux: float, uy: float) -> Point:
    """Where a ray from the middle of a symbol leaves it."""
    reach = min(p.half_w / abs(ux) if ux else 1e9, (p.half_h + 0.5) / abs(uy) if uy else 1e9)
    return Point(p.x + ux * reach, p.y + uy * reach)


def _reach_out(points: list[Point], p: Placed, least_seen: float) -> list[Point]:
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
    least = math.hypot(edge.x - p.x, edge.y - p.y) + least_seen
    return points if length >= least else [a, Point(a.x + ux * least, a.y + uy * least)]


def _clear(points: Sequence[Point], size: float, taken: Sequence[Rect]) -> Point | None:
    """The end of a line, drawn back until its head, of that size, lies in no taken box; None: nowhere."""
    tip, u = points[-1], direction(points)
    legs = math.hypot(tip.x - points[-2].x, tip.y - points[-2].y)
    start = points[-2]
    path = Rect(min(tip.x, start.x), min(tip.y, start.y), max(tip.x, start.x), max(tip.y, start.y)).grown(1)
    near = [box for box in taken if box.overlaps(path)]
    for back in range(0, int(legs - size / 2), 2):
        x, y = tip.x - u.x * back, tip.y - u.y * back
        ends = ((x, y), (x - u.x * size, y - u.y * size))
        if not any(b.left < px < b.right and b.top < py < b.bottom for b in near for px, py in ends):
            return Point(x, y)
    return None


def _stop_short(a: Point, man: Placed) -> Point:
    """The point where a line from `a` reaches the symbol of a man."""
    dx, dy = a.x - man.x, a.y - man.y
    length = math.hypot(dx, dy) or 1.0
    return _edge_point(man, dx / length, dy / length)
