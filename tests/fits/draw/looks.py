"""Looks put together by hand: the three worked cases of the default system, for drawings. Common practice."""

from __future__ import annotations

from fits.derive.look import Block, Defender, Lane, Look, PassSide, Threat
from fits.field import Hash, Side
from fits.offense.formation import Kind, Player

LEFT, RIGHT = Side.LEFT, Side.RIGHT
LINE = {"LT": -3.2, "LG": -1.6, "C": 0.0, "RG": 1.6, "RT": 3.2}


def offense(**others: tuple[Kind, float, float]) -> tuple[Player, ...]:
    men = [Player(role, Kind.LINE, x, -0.6) for role, x in LINE.items()]
    men += [Player(role, kind, x, y) for role, (kind, x, y) in others.items()]
    return tuple(sorted(men, key=lambda p: (p.x, -p.y)))


def block(
    role: str, step: str, does: str, on: str | None, x: float, y: float, start: tuple[float, float], mover: bool = False
) -> Block:
    return Block(role, step, does, on, x, y, start[0], start[1], mover, True)


def line(role: str) -> tuple[float, float]:
    return LINE[role], -0.6


def man(
    role: str, group: str, technique: str, at: tuple[float, float], key: str, saw: str, fit: str, lane: int | None,
    leverage: str, to: tuple[float, float], margin_s: float | None = 0.3, duty: str = "",
) -> Defender:  # fmt: skip
    side = LEFT if role.startswith("left ") else RIGHT if role.startswith("right ") else None
    position = role.split(" ")[-1]
    return Defender(
        role,
        position,
        group,
        side,
        technique,
        *at,
        key,
        saw,
        fit,
        lane,
        leverage,
        duty,
        "r1",
        f"{key} {saw}",
        margin_s,
        *to,
    )


def lane(
    index: int, name: str, left: str | None, right: str | None, x: float, *owners: str, threats: tuple[str, ...] = ()
) -> Lane:
    gaps = () if name.startswith(("inside", "outside")) else tuple(name.split(" ")[1].split("+"))
    return Lane(index, name, gaps, left, right, x, owners, threats)


GUN, BACK, END, WIDE = Kind.QUARTERBACK, Kind.BACK, Kind.TIGHT_END, Kind.RECEIVER
DOUBLES_10 = offense(
    QB=(GUN, 0, -5), T=(BACK, 1.6, -5), X=(WIDE, -18, -0.6), R=(WIDE, -11, -1.6), K=(WIDE, 11, -1.6), Z=(WIDE, 18, -0.6)
)
DOUBLES_11 = offense(
    QB=(GUN, 0, -5),
    T=(BACK, -1.6, -5),
    Y=(END, 4.8, -0.6),
    X=(WIDE, 15, -1.6),
    R=(WIDE, -10, -1.6),
    Z=(WIDE, -17, -0.6),
)


def _look(concept: str, to: Side, hash_: Hash, men: tuple[Player, ...], **rest: object) -> Look:
    base: dict[str, object] = dict(
        call="tite", formation="11-doubles", concept=concept, to=to, flip=False, hash=hash_, motion=None, options=(),
        first_steps=(), strength=RIGHT, eyes=None, offense=men, threats=(), passes=(), findings=(),
    )  # fmt: skip
    return Look(**(base | rest))  # type: ignore[arg-type]


def inside_zone_rpo() -> Look:
    """Inside zone to the left with a bubble to the right; three for two on the eyes side."""
    blocks = (
        block("LT", "out", "base", "left E", -4.0, 0.6, line("LT")),
        block("LG", "out", "double", "N", -2.4, 0.9, line("LG")),
        block("C", "out", "reach", "N", -0.8, 0.7, line("C")),
        block("RG", "in", "climb", "M", 0.9, 3.2, line("RG")),
        block("RT", "in", "base", "right E", 2.4, 0.6, line("RT")),
    )
    lanes = (
        lane(0, "left C", None, "LT", -5.2, "W"), lane(1, "left B", "LT", "LG", -3.2, "left E"), lane(2, "left A", "LG", "C", -1.6, "M"),
        lane(3, "right A", "C", "RG", 0.0, "N"), lane(4, "right B", "RG", "RT", 1.7, "right E"), lane(5, "right C", "RT", None, 3.6, "MS"),
    )  # fmt: skip
    defenders = (
        man("left E", "line", "4i", (-2.8, 0.7), "LG", "out", "B gap", 1, "in the gap", (-3.0, 0.6)),
        man("N", "line", "0", (0, 0.7), "C", "zone", "lag", 3, "backside A", (0.2, 0.6)),
        man("right E", "line", "4i", (2.8, 0.7), "RG", "in", "B gap", 4, "in the gap", (1.9, 0.6)),
        man("W", "linebacker", "apex", (-6.8, 4.0), "T", "away from the eyes", "fold into left C", 0, "force", (-5.2, 1.2)),
        man("M", "linebacker", "00", (0, 4.5), "LG, RG", "zone", "frontside A", 2, "inside out", (-1.6, 1.6)),
        man("S", "linebacker", "apex", (6.8, 4.0), "K", "bubble", "stay in conflict", None, "slow-play", (6.5, 3.6), None),
        man("MS", "secondary", "middle", (0, 9.5), "QB", "run-pass option", "quarterback", 5, "right C", (3.6, 1.6), 0.05),
        man("BS", "secondary", "half", (-9.5, 10), "R", "blocks", "overlap", None, "alley", (-7.5, 5), None),
        man("SS", "secondary", "half", (9.5, 10), "K", "bubble", "takes K", None, "", (11, 4), None),
        man("left CB", "secondary", "off", (-17, 7), "X", "blocks", "#1", None, "", (-17, 7), None),
        man("right CB", "secondary", "off", (17, 7), "Z", "blocks", "#1", None, "", (17, 7), None),
    )  # fmt: skip
    threats = (
        Threat("dive", "T", 2, LEFT, 1.5, ("M",)),
        Threat("keep", "QB", 5, RIGHT, 1.9, ("MS",)),
        Threat("bubble", "K", None, RIGHT, 1.4, ("SS",)),
    )
    passes = (
        PassSide(LEFT, ("BS", "left CB"), ("X", "R"), (), "two for two"),
        PassSide(RIGHT, ("S", "SS", "right CB"), ("Z", "K"), ("S",), "three for two"),
    )
    return _look("inside-zone-rpo", LEFT, Hash.MIDDLE, DOUBLES_10, formation="10-doubles", eyes=RIGHT, options=("bubble",),
                 blocks=blocks, lanes=lanes, defenders=defenders, threats=threats, passes=passes)  # fmt: skip


def power(open_lane: bool = False) -> Look:
    """Power to the right from the right hash; with `open_lane` nobody has the edge."""
    blocks = (
        block("LT", "in", "hinge", "left E", -2.8, -0.9, line("LT")),
        block("LG", "pull", "wrap", "W", 4.3, 2.6, line("LG"), True),
        block("C", "in", "back", "N", -0.5, 0.3, line("C")),
        block("RG", "in", "double", "N", 1.0, 0.9, line("RG")),
        block("RT", "in", "down", "right E", 2.6, 0.9, line("RT")),
        block("Y", "out", "kick", "S", 5.6, 0.4, (4.8, -0.6)),
    )
    lanes = (
        lane(0, "left C", None, "LT", -4.0, "S"), lane(1, "left A+B", "LT", "C", -1.6, "left E"), lane(2, "right A", "C", "RG", 0.3, "N"),
        lane(3, "right B", "RG", "RT", 1.8, "W"), lane(4, "right C", "RT", "LG", 3.3, "right E"), lane(5, "inside LG", "RT", "LG", 4.0, "MS"),
        lane(6, "outside LG", "LG", None, 5.5, *(() if open_lane else ("BS",))),
    )  # fmt: skip
    defenders = (
        man("left E", "line", "4i", (-2.8, 0.7), "LG", "pull", "left A+B", 1, "squeeze", (-1.8, 0.6)),
        man("N", "line", "0", (0, 0.7), "C", "back", "holds", 2, "frontside A", (0.4, 0.7)),
        man("right E", "line", "5", (3.6, 0.7), "RT", "down", "C gap", 4, "squeeze", (3.4, 0.6)),
        man("S", "linebacker", "apex", (-6.4, 4.2), "T", "away", "fold", 0, "cutback", (-4.2, 1.2), 0.2),
        man("M", "linebacker", "30", (-1.4, 4.5), "LG", "pull", "scrape", None, "free", (2.6, 3.2), None),
        man("W", "linebacker", "30", (1.6, 4.5), "RG", "in", "outside hip of RG", 3, "fill", (1.8, 1.6), 0.41),
        man("MS", "secondary", "middle", (0, 9.5), "LG C RG", "LG pulls", "inside LG", 5, "spill", (4.0, 2.0), 0.08),
        man("BS", "secondary", "half", (8.5, 8.5), "Y", "blocks", "outside LG", 6, "overlap", (5.7, 2.0), 0.12),
        man("SS", "secondary", "half", (-9.5, 10), "R", "blocks", "overlap", None, "alley", (-7.5, 6), None),
        man("left CB", "secondary", "off", (-17, 7), "Z", "blocks", "#1", None, "", (-17, 7), None),
        man("right CB", "secondary", "off", (14.5, 7), "X", "blocks", "#1", None, "", (14.5, 7), None),
    )  # fmt: skip
    return _look("power", RIGHT, Hash.RIGHT, DOUBLES_11, blocks=blocks, lanes=lanes, defenders=defenders, threats=(Threat("run", "T", 5, RIGHT, 1.6, ("MS",)),),
                 passes=(PassSide(LEFT, ("SS", "left CB"), ("Z", "R"), (), "two for two"), PassSide(RIGHT, ("BS", "right CB"), ("X", "Y"), (), "two for two")))  # fmt: skip


def split_zone() -> Look:
    """Split zone to the right: the tight end crosses and kicks the backside end."""
    blocks = (
        block("LT", "in", "base", "M", -2.2, 2.4, line("LT")),
        block("LG", "in", "double", "N", -0.8, 0.9, line("LG")),
        block("C", "out", "reach", "N", 0.8, 0.8, line("C")),
        block("RG", "out", "climb", "W", 2.5, 3.0, line("RG")),
        block("RT", "out", "base", "right E", 4.0, 0.7, line("RT")),
        block("Y", "cross", "kick", "left E", -3.9, 0.3, (4.8, -0.6), True),
    )
    lanes = (
        lane(0, "outside Y", None, "Y", -5.1, "MS"), lane(1, "inside Y", "Y", "LT", -3.1, "left E"), lane(2, "left B", "LT", "LG", -1.5, "M"),
        lane(3, "left A", "LG", "C", 0.0, "N"), lane(4, "right A", "C", "RG", 1.6, "W"), lane(5, "right B", "RG", "RT", 3.2, "BS"),
        lane(6, "right C+D", "RT", None, 5.2, "right E"),
    )  # fmt: skip
    defenders = (
        man("left E", "line", "4i", (-2.8, 0.7), "LT", "kicked by Y", "inside Y", 1, "spill", (-3.2, 0.2)),
        man("N", "line", "0", (0, 0.7), "C", "zone", "lag", 3, "backside A", (0.0, 0.6)),
        man("right E", "line", "5", (3.6, 0.7), "RT", "out", "C gap", 6, "outside RT", (5.0, 0.6)),
        man("S", "linebacker", "apex", (-6.4, 4.2), "R", "away", "slow-play", None, "", (-6.0, 3.6), None),
        man("M", "linebacker", "30", (-1.6, 4.5), "LG", "in", "outside hip of LG", 2, "fill", (-1.5, 1.8)),
        man("W", "linebacker", "30", (1.6, 4.5), "RG", "out", "just inside RG", 4, "fill", (1.6, 1.8)),
        man("MS", "secondary", "middle", (0, 9.5), "LG C RG", "Y crosses", "outside Y", 0, "overlap", (-5.0, 1.6), 0.02),
        man("BS", "secondary", "half", (8.5, 8.5), "Y", "crosses", "down into right B", 5, "fill", (3.2, 2.0), -0.04),
        man("SS", "secondary", "half", (-9.5, 10), "R", "blocks", "alley", None, "", (-7.5, 6), None),
        man("left CB", "secondary", "off", (-17, 7), "Z", "blocks", "#1", None, "", (-17, 7), None),
        man("right CB", "secondary", "off", (14.5, 7), "X", "blocks", "#1", None, "", (14.5, 7), None),
    )  # fmt: skip
    return _look(
        "split-zone",
        RIGHT,
        Hash.RIGHT,
        DOUBLES_11,
        blocks=blocks,
        lanes=lanes,
        defenders=defenders,
        threats=(Threat("run", "T", 4, RIGHT, 1.5, ("W",)),),
    )
