"""The same picture in other colours: on a dark ground, on white paper, or in greys for a copier."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from enum import StrEnum
from functools import lru_cache

from fits.draw.marks import (
    BLUE,
    GREEN,
    INK,
    LANE_INK,
    OPEN_INK,
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
    PAGE = "page"
    PAPER = "paper"


_DARK = {
    PAPER: "#14181D", INK: "#F1F1EC", QUIET: "#A3ABB3", TURF: "#3A424A", BLUE: "#56B4E9", VERMILLION: "#FF8B4A",
    GREEN: "#35C99B", PURPLE: "#E39ACB", WHITE: "#272E36", LEATHER: "#C98A55", LANE_INK: "#35C99B",
    OPEN_INK: "#FF8B4A",
}  # fmt: skip
_GREY = {
    PAPER: "#FFFFFF", INK: "#111111", QUIET: "#5F5F5F", TURF: "#CCCCCC", BLUE: "#3D3D3D", VERMILLION: "#000000",
    GREEN: "#767676", PURPLE: "#4D4D4D", WHITE: "#FFFFFF", LEATHER: "#333333", LANE_INK: "#555555",
    OPEN_INK: "#000000",
}  # fmt: skip
# A picture inside a page takes its colours from the page's variables, so that one picture serves light, dark and print.
_NAMES = {
    PAPER: "paper", INK: "ink", QUIET: "quiet", TURF: "turf", BLUE: "ours", VERMILLION: "ball", GREEN: "lane",
    PURPLE: "eyes", WHITE: "body", LEATHER: "leather", LANE_INK: "lane-ink", OPEN_INK: "open-ink",
}  # fmt: skip
_WHITE = {colour: colour for colour in _NAMES} | {PAPER: "#FFFFFF"}
_PAGE = {colour: f"var(--draw-{name}, {colour})" for colour, name in _NAMES.items()}
_ON_FILL = {
    Theme.DARK: "#0B0F13",
    Theme.GREY: "#FFFFFF",
    Theme.PAPER: "#FFFFFF",
    Theme.PAGE: "var(--draw-on-ours, #FFFFFF)",
}  # the names in the defense's symbols


@lru_cache(maxsize=len(Theme))
def _table(theme: Theme) -> Mapping[str, str]:
    if theme is Theme.PAGE:
        paper, quiet = _PAGE[PAPER], f"color-mix(in srgb, {_PAGE[INK]} 58%, {_PAGE[PAPER]})"
        pale = {faded(c): f"color-mix(in srgb, {_PAGE[c]} 50%, {paper})" for c in (PAPER, WHITE, TURF)}
        return {faded(light): quiet for light in _PAGE} | pale | _PAGE  # a half of a bright colour is under 3:1
    base = {Theme.DARK: _DARK, Theme.PAPER: _WHITE}.get(theme, _GREY)
    paper = base[PAPER]
    return {faded(light): mixed(own, paper) for light, own in base.items()} | base


def themed(picture: Painting, theme: Theme) -> Painting:
    """The picture in that theme's colours; lines keep their kinds, so no colour is needed to tell them apart."""
    if theme is Theme.LIGHT:
        return picture
    table = _table(theme)

    def painted(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        return tuple([_painted(mark, table, _ON_FILL[theme]) for mark in marks])

    parts = tuple([replace(part, marks=painted(part.marks)) for part in picture.parts])
    return replace(picture, marks=painted(picture.marks), parts=parts, view=f"{picture.view}/{theme.value}")


def _painted(mark: Mark, table: Mapping[str, str], on_fill: str) -> Mark:
    if isinstance(mark, Label):
        return replace(mark, fill=on_fill if mark.fill == WHITE else table.get(mark.fill, mark.fill))
    changed = {"stroke": table.get(mark.stroke, mark.stroke)}
    if hasattr(mark, "fill"):
        changed["fill"] = table.get(mark.fill, mark.fill)
    return replace(mark, **changed)  # type: ignore[arg-type]
