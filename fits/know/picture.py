"""What a defender sees of a look up to his decision: formation, first steps of his keys, flow, and who blocks him.

Frame of the texts: left and right are the offense's, as everywhere in a look.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fits.derive.look import Block, Defender, Look
from fits.explain import STEP_WORDS
from fits.field import LEFT, RIGHT, Side
from fits.offense.formation import ATTACH_Y, BACKFIELD_X, Kind, Player

AT_THE_LINE_Y = 3.0  # deeper men feel a block too late to fit by it (common practice)
STRAIGHT = 0.8  # yards: a back who goes less than this sideways shows no direction
HEAD_UP = 0.4  # yards between a blocker's place and the defender's that are head up
FAR = {"line": 3.5, "linebacker": 7.0, "secondary": 14.0}  # yards sideways at which a man can read another


@dataclass(frozen=True, slots=True)
class Shown:
    """One thing an offensive man shows with his first step; `way` is where it goes, when that can be seen."""

    role: str
    step: str
    way: Side | None

    @property
    def text(self) -> str:
        """`RG pulls left`."""
        return f"{self.role} {self.does}"

    @property
    def does(self) -> str:
        """`pulls left`."""
        if self.way is None:
            return STEP_WORDS[self.step]
        if self.step in ("in", "out", "straight"):
            return f"{'goes' if self.step == 'straight' else 'steps'} {self.way.word}"
        return f"{STEP_WORDS[self.step]} {self.way.word}"


@dataclass(frozen=True, slots=True)
class Felt:
    """A blocker at contact and where he comes from: inside, outside, head up; left or right of a man over the ball."""

    role: str
    from_: str

    @property
    def text(self) -> str:
        """`RT from outside`."""
        return f"{self.role} {self.from_}" if self.from_ == "head up" else f"{self.role} from {self.from_}"


@dataclass(frozen=True, slots=True)
class Flow:
    """Where the backs go in their first two steps: the deepest one who goes anywhere, and one who goes against him."""

    deep: Side | None
    split: bool

    @property
    def text(self) -> str:
        """`flow left`, `split flow, the deep back left`, `no flow`."""
        if self.deep is None:
            return "no flow"
        return f"split flow, the deep back {self.deep.word}" if self.split else f"flow {self.deep.word}"


Before = tuple[str, bool, str, str | None]  # formation, flip, hash, motion


@dataclass(frozen=True, slots=True)
class Picture:
    """All a man sees before he must decide. `flow` is None for linemen, `felt` None for men off the line."""

    before: Before
    keys: tuple[Shown, ...]
    flow: Flow | None
    felt: tuple[Felt, ...] | None
    told: str = ""

    @property
    def sights(self) -> tuple[str, ...]:
        """In the order he sees it, formation aside: `RG pulls left`, `flow left`, `blocked by LT from inside`."""
        out = [shown.text for shown in self.keys]
        if self.flow is not None:
            out.append(self.flow.text)
        if self.told:
            out.append(self.told)
        if self.felt is not None:
            out.append(felt_text(self.felt))
        return tuple(out)


def felt_text(felt: tuple[Felt, ...]) -> str:
    """`nobody blocks him`, `blocked by LT from inside`."""
    return "blocked by " + " and ".join([f.text for f in felt]) if felt else "nobody blocks him"


@dataclass(frozen=True, slots=True)
class Scene:
    """What the offense of one look shows, worked out once for all defenders."""

    look: Look
    blocks: Mapping[str, Block]
    backs: tuple[Player, ...]
    before: Before
    flow: Flow
    shown: dict[str, Shown] = field(default_factory=dict)

    def show(self, role: str) -> Shown:
        """The first step of that man."""
        found = self.shown.get(role)
        if found is None:
            found = self.shown[role] = _show(self, role)
        return found


def read_scene(look: Look) -> Scene:
    """The scene of a look."""
    backs = tuple([p for p in look.offense if _is_back(p)])
    blocks = {b.role: b for b in look.blocks}
    before = (look.formation, look.flip, look.hash.value, look.motion)
    return Scene(look, blocks, backs, before, _flow(look, blocks, backs))


def see_picture(scene: Scene, d: Defender, hears_crack: bool = False) -> Picture:
    """What that man sees. `hears_crack`: his rules teach him the word for a crack on his side."""
    keys = tuple([scene.show(role) for role in key_roles(d) if role in scene.blocks])
    line = d.group == "line"
    felt = feel(scene, d) if line or d.y <= AT_THE_LINE_Y else None
    told = crack_call(scene, d) if hears_crack and not line else ""
    return Picture(scene.before, keys, None if line else scene.flow, felt, told)


def key_roles(d: Defender) -> tuple[str, ...]:
    """The men he reads, in reading order."""
    return tuple(d.key.split(", ")) if d.key else ()


def feel(scene: Scene, d: Defender) -> tuple[Felt, ...]:
    """Who blocks him, in the order of their places from inside out."""
    on = sorted([b for b in scene.look.blocks if b.on == d.role], key=lambda b: (abs(b.start_x), b.role))
    return tuple([Felt(b.role, _from(b.start_x, d.x)) for b in on])


def crack_call(scene: Scene, d: Defender) -> str:
    """The word of the man over a receiver who cracks on his side, when there is such a man: `crack! from right CB`."""
    for block in scene.look.blocks:
        if block.step == "crack" and d.side is not None and block.start_x * d.side > 0:
            for other in scene.look.defenders:
                if other.role != d.role and other.side is d.side and block.role in key_roles(other)[:1]:
                    return f"crack! from {other.role}"
    return ""


def other_reads(scene: Scene, d: Defender) -> list[str]:
    """The men he does not read but could, the ones nearest to his eyes first; linemen see no backs."""
    line, keys = d.group == "line", key_roles(d)
    backs = {p.role for p in scene.backs}
    near = []
    for p in scene.look.offense:
        if p.role in keys or p.kind is Kind.QUARTERBACK or (line and p.role in backs):
            continue
        away = 0.0 if p.role in backs else abs(p.x - d.x)
        if away <= FAR[d.group]:
            near.append((away, p.role))
    return [role for _, role in sorted(near)]


def _is_back(p: Player) -> bool:
    inside = p.y < ATTACH_Y and abs(p.x) <= BACKFIELD_X
    return inside and p.kind not in (Kind.LINE, Kind.QUARTERBACK, Kind.RECEIVER)


def _side(x: float) -> Side:
    return RIGHT if x > 0 else LEFT


def _show(scene: Scene, role: str) -> Shown:
    block = scene.blocks[role]
    step, moved = str(block.step), block.x - block.start_x
    if step == "pull":
        return Shown(role, step, _side(moved if moved else -block.start_x))
    if step == "cross":
        return Shown(role, step, _side(moved if moved else -block.start_x))
    if role == "C" and step in ("in", "out"):
        return Shown(role, step, scene.look.to if step == "out" else scene.look.to.other)
    if step == "straight" and any(p.role == role for p in scene.backs):
        return Shown(role, step, _way(scene.look, block))
    return Shown(role, step, None)


def _way(look: Look, block: Block) -> Side | None:
    """The direction a back shows in two steps: the ball's for the carrier (none behind a pass set), his own else."""
    if block.does == "carry":
        return None if any(b.role == "C" and b.step == "set" for b in look.blocks) else look.to
    moved = block.x - block.start_x
    return None if abs(moved) < STRAIGHT else _side(moved)


def _flow(look: Look, blocks: Mapping[str, Block], backs: tuple[Player, ...]) -> Flow:
    ways = []
    for p in sorted(backs, key=lambda p: (p.y, p.x * look.to)):
        way = _way(look, blocks[p.role])
        if way is not None:
            ways.append(way)
    if not ways:
        return Flow(None, False)
    return Flow(ways[0], any(way is not ways[0] for way in ways))


def _from(blocker_x: float, x: float) -> str:
    off = blocker_x - x
    if abs(off) < HEAD_UP:
        return "head up"
    if abs(x) < HEAD_UP:
        return _side(off).word
    return "inside" if off * x < 0 else "outside"
