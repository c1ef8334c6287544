"""The ball behind the line as data: meshes, courses and routes (fits/library/courses.toml)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from fits.errors import FileError
from fits.notation.toml import read_toml
from fits.offense.entry import Entry
from fits.values import value

FILE = "courses.toml"
MARKS = ("aim", "ball", "tackle", "edge", "carrier", "quarterback")
# What a threat runs when its row names nothing: by its kind, then by the man when he decides.
BY_KIND: Mapping[str, str] = {
    "run": "downhill",
    "sweep": "sweep",
    "dive": "dive",
    "keep": "keep",
    "pitch": "pitch",
    "route": "bubble",
}
QUARTERBACK_RUN, RECEIVER_RUN = "quarterback run", "jet"


@value
class Via:
    """A point measured from a mark; x outwards on the side the ball goes to."""

    of: str
    x: float
    y: float


@value
class Mesh:
    """Where and when a carrier gets the ball, in the gun and under centre: seconds, and a point from a man.

    `latest_s`: a man who would get there later cannot be handed the ball.
    """

    name: str
    own_side: bool
    gun_s: float
    gun: Via
    under_s: float
    under: Via
    latest_s: float | None


@value
class Shape:
    """A carrier's way: points before the mesh, the mesh, points after it; he `waits` who stands until the mesh.

    `bends`: he may take the ball back to any lane behind his own. `inside`: he goes straight up and does not bounce.
    `lanes`: at most so many to either side of his own; none where nothing but the blocks holds him.
    """

    name: str
    mesh: Mesh
    first: tuple[Via, ...]
    via: tuple[Via, ...]
    waits: bool
    bends: bool
    inside: bool
    lanes: int | None


@value
class Route:
    """A receiver's way from where he stands, the point where the ball meets him, and when it is thrown."""

    name: str
    gun_s: float
    under_s: float
    points: tuple[Via, ...]
    catch: int


@value
class Courses:
    """Everything in the file, by name."""

    shapes: Mapping[str, Shape]
    routes: Mapping[str, Route]


@lru_cache(maxsize=1)
def load_courses() -> Courses:
    """The shipped courses and routes, read once. Raises FileError when the file was damaged."""
    path = Path(__file__).parents[1] / "library" / FILE
    data = read_toml(path.read_text(encoding="utf-8"), FILE)
    meshes = {m.name: m for m in (_mesh(item) for item in data.get("mesh", ()))}
    shapes = {s.name: s for s in (_shape(item, meshes) for item in data.get("course", ()))}
    routes = {r.name: r for r in (_route(item) for item in data.get("route", ()))}
    return Courses(shapes, routes)


def course_names() -> tuple[str, ...]:
    """What a threat's `course` may name."""
    courses = load_courses()
    return (*courses.shapes, *courses.routes)


def _mesh(item: object) -> Mesh:
    e = Entry.named(item, FILE, "mesh", ("name", "of", "own_side", "gun", "under", "latest_s", "source"))
    of = _mark(e, "of")
    gun, under = (Entry(e.data.get(key), FILE, f"{e.path}.{key}", ("s", "x", "y")) for key in ("gun", "under"))
    return Mesh(
        e.text("name"),
        e.flag("own_side"),
        gun.number("s", 0.0, 4.0),
        Via(of, gun.number("x", -9, 9), gun.number("y", -9, 9)),
        under.number("s", 0.0, 4.0),
        Via(of, under.number("x", -9, 9), under.number("y", -9, 9)),
        e.number("latest_s", 0.3, 4.0) if "latest_s" in e else None,
    )


def _shape(item: object, meshes: Mapping[str, Mesh]) -> Shape:
    keys = ("name", "mesh", "first", "via", "waits", "bends", "inside", "lanes", "note", "source")
    e = Entry.named(item, FILE, "course", keys)
    mesh = meshes.get(e.text("mesh"))
    if mesh is None:
        raise e.wrong("mesh", f"one of {', '.join(meshes)}")
    first, via = _points(e, "first"), _points(e, "via")
    lanes = int(e.number("lanes", 1, 9)) if "lanes" in e else None
    return Shape(e.text("name"), mesh, first, via, e.flag("waits"), e.flag("bends"), e.flag("inside"), lanes)


def _route(item: object) -> Route:
    e = Entry.named(item, FILE, "route", ("name", "gun_s", "under_s", "points", "catch", "source"))
    points = _points(e, "points", "carrier")
    catch = int(e.number("catch", 1, max(len(points), 1)))
    return Route(e.text("name"), e.number("gun_s", 0.3, 4.0), e.number("under_s", 0.3, 4.0), points, catch)


def _points(e: Entry, key: str, of: str = "") -> tuple[Via, ...]:
    out = []
    for i, item in enumerate(e.data.get(key, ())):
        row = Entry(item, FILE, f"{e.path}.{key}[{i}]", ("of", "x", "y"))
        out.append(Via(of or _mark(row, "of"), row.number("x", -20, 20), row.number("y", -15, 30)))
    return tuple(out)


def _mark(e: Entry, key: str) -> str:
    of = e.text(key)
    if of not in MARKS:
        raise FileError(FILE, f"{e.path}.{key}", f"one of {', '.join(MARKS)}", of)
    return of
