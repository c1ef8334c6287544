"""What the audit looks at: a derived look before its findings are added."""

from __future__ import annotations

from collections.abc import Mapping

from fits.derive.parts import Defender, Lane, PassSide, Threat
from fits.field import Side
from fits.values import record


@record
class Evidence:
    """The parts of a look. `force` names the coverage's force players; `cracked` those a wide man cracks;
    `threatening` the receivers who may get the ball on the eyes side; `mover_on` the mover who blocks a man."""

    play: Side
    eyes: Side | None
    flags: frozenset[str]
    lanes: tuple[Lane, ...]
    threats: tuple[Threat, ...]
    defenders: tuple[Defender, ...]
    by_role: dict[str, Defender]
    passes: tuple[PassSide, ...]
    force: frozenset[str]
    takes: Mapping[str, str]
    cracked: list[str]
    mover_on: dict[str, str]
    open_lanes: list[int]
