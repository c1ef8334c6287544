"""The shape of a look as JSON, for the schema; the engine writes it."""

from __future__ import annotations

from typing import Any

Shape = dict[str, Any]

TEXT: Shape = {"type": "string"}
NUMBER: Shape = {"type": "number"}
WHOLE: Shape = {"type": "integer"}
TRUTH: Shape = {"type": "boolean"}
SIDE: Shape = {"type": "string", "enum": ["left", "right"]}


def _maybe(shape: Shape) -> Shape:
    return shape | {"nullable": True} | ({"enum": [*shape["enum"], None]} if "enum" in shape else {})


def _list(shape: Shape) -> Shape:
    return {"type": "array", "items": shape}


def _object(**properties: Shape) -> Shape:
    return {"type": "object", "properties": properties, "required": list(properties)}


OFFENSE = _object(role=TEXT, kind=TEXT, x=NUMBER, y=NUMBER)
BLOCK = _object(
    role=TEXT, step=TEXT, does=TEXT, on=_maybe(TEXT), x=NUMBER, y=NUMBER, mover=TRUTH, counts=TRUTH,
    climbs_to=_maybe(TEXT),
)  # fmt: skip
LANE = _object(
    index=WHOLE, name=TEXT, gaps=_list(TEXT), left=_maybe(TEXT), right=_maybe(TEXT), x=NUMBER, owners=_list(TEXT),
    threats=_list(TEXT), ball_s=NUMBER,
)  # fmt: skip
THREAT = _object(
    kind=TEXT, role=TEXT, lane=_maybe(WHOLE), side=_maybe(SIDE), time_s=_maybe(NUMBER), owners=_list(TEXT),
)  # fmt: skip
DEFENDER = _object(
    role=TEXT, position=TEXT, group=TEXT, technique=TEXT, x=NUMBER, y=NUMBER, key=_maybe(TEXT), saw=_maybe(TEXT),
    sights=_list(TEXT),
    fit=TEXT, lane=_maybe(WHOLE), leverage=_maybe(TEXT), duty=_maybe(TEXT), rule=_maybe(TEXT), why=TEXT,
    margin_s=_maybe(NUMBER), arrival_s=_maybe(NUMBER),
    fit_x=NUMBER, fit_y=NUMBER, path=_list(_list(NUMBER)), sent=TRUTH, check=TEXT, start=_maybe(_list(NUMBER)),
)  # fmt: skip
PASS_SIDE = _object(
    side=TEXT, defenders=_list(TEXT), receivers=_list(TEXT), conflict=_list(TEXT), text=TEXT,
)  # fmt: skip
FINDING = _object(
    code=TEXT, severity={"type": "string", "enum": ["unsound", "warning", "hint"]}, lane=_maybe(WHOLE),
    roles=_list(TEXT), text=TEXT,
)  # fmt: skip
LEFT = _object(role=TEXT, why=TEXT)
LABELS = _object(
    call=TEXT, formation=TEXT, concept=TEXT, motion=_maybe(TEXT), pressure=_maybe(TEXT), options=_list(TEXT)
)
LOOK = _object(
    call=TEXT, formation=TEXT, concept=TEXT, labels=LABELS, to=SIDE, flip=TRUTH, hash=TEXT, motion=_maybe(TEXT),
    yard_line=_maybe(NUMBER), pressure=_maybe(TEXT), replaced=_list(TEXT), options=_list(TEXT),
    first_steps={"type": "object", "additionalProperties": TEXT}, strength=TEXT, eyes=_maybe(SIDE),
    offense=_list(OFFENSE),
    blocks=_list(BLOCK), left_alone=_list(LEFT), lanes=_list(LANE), threats=_list(THREAT),
    defenders=_list(DEFENDER), passes=_list(PASS_SIDE),
    findings=_list(FINDING), sound=TRUTH, band={"type": "string", "enum": ["sound", "sound if on time", "not sound"]},
)  # fmt: skip
