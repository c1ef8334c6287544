"""The same picture in other colours: on a dark ground, or in greys for a copier."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from enum import StrEnum
from functools import lru_cache

from fits.draw.marks import (
    BLUE,
    GREEN,
    INK,
    PAPER,
    PURPLE,
    QUIET,
    TURF,
    VERMILLION,
    Label,
    Mark,
    Painting,
    faded,
    mixed,
)

WHITE, LEATHER = "#FFFFFF", "#7A4A21"


class Theme(StrEnum):
    """What a picture is painted for."""

    LIGHT = "light"
    DARK = "dark"
    GREY = "grey"


_DARK = {
    PAPER: "#14181D", INK: "#F1F1EC", QUIET: "#A3ABB3", TURF: "#3A424A", BLUE: "#56B4E9", VERMILLION: "#FF8B4A",
    GREEN: "#35C99B", PURPLE: "#E39ACB", WHITE: "#272E36", LEATHER: "#C98A55",
}  # fmt: skip
_GREY = {
    PAPER: "#FFFFFF", INK: "#111111", QUIET: "#5F5F5F", TURF: "#CCCCCC", BLUE: "#3D3D3D", VERMILLION: "#000000",
    GREEN: "#767676", PURPLE: "#4D4D4D", WHITE: "#FFFFFF", LEATHER: "#333333",
}  # fmt: skip
_ON_FILL = {Theme.DARK: "#0B0F13", Theme.GREY: "#FFFFFF"}  # the names in the defense's symbols


@lru_cache(maxsize=4)
def _table(theme: Theme) -> Mapping[str, str]:
    base = _DARK if theme is Theme.DARK else _GREY
    paper = base[PAPER]
    return {faded(light): mixed(own, paper) for light, own in base.items()} | base


def themed(picture: Painting, theme: Theme) -> Painting:
    """The picture in that theme's colours; lines keep their kinds, so no colour is needed to tell them apart."""
    if theme is Theme.LIGHT:
        return picture
    table = _table(theme)
    marks = tuple(_painted(mark, table, _ON_FILL[theme]) for mark in picture.marks)
    return replace(picture, marks=marks, view=f"{picture.view}/{theme.value}")


def _painted(mark: Mark, table: Mapping[str, str], on_fill: str) -> Mark:
    if isinstance(mark, Label):
        return replace(mark, fill=on_fill if mark.fill == WHITE else table.get(mark.fill, mark.fill))
    changed = {"stroke": table.get(mark.stroke, mark.stroke)}
    if hasattr(mark, "fill"):
        changed["fill"] = table.get(mark.fill, mark.fill)
    return replace(mark, **changed)  # type: ignore[arg-type]
