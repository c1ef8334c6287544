"""The plots: well-formed, said in words, nothing by colour alone."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from playbook.charts.plays import Aliases, read_plays
from playbook.charts.snaps import Snap
from playbook.charts.values import HOLES
from playbook.tendencies import plots
from playbook.tendencies.counting import BY_NAME, Share, break_down, cross_count

SVG = "{http://www.w3.org/2000/svg}"
SNAP = Snap(play_type="run", down=1, distance=10, yard_line=30, formation="Trips <b>", concept="A & B")


def plays():
    snaps = [SNAP] * 14 + [replace(SNAP, play_type="pass", down=3, distance=8, yard_line=97)] * 6
    return read_plays([*snaps, replace(SNAP, concept="Iso")], Aliases())


def drawings():
    return {
        "holes": plots.draw_holes({"left A": Share(3, 9), "right C": Share(6, 9)}),
        "heat map": plots.draw_heat_map(*cross_count(plays())),
        "bars": plots.draw_bars(break_down(plays(), BY_NAME["down-distance"])),
        "zones": plots.draw_zones(break_down(plays(), BY_NAME["field-zone"])),
        "empty": plots.draw_holes({}),
        "empty map": plots.draw_heat_map([], [], {}),
    }


@pytest.mark.parametrize("name", list(drawings()))
def test_each_drawing_is_well_formed_and_said_in_words(name):
    root = ET.fromstring(drawings()[name])
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert title.text
    assert desc.text
    assert "style" not in drawings()[name]


def test_every_hole_has_its_label_and_number():
    texts = [node.text for node in ET.fromstring(drawings()["holes"]).iter(f"{SVG}text")]
    assert set(HOLES) <= set(texts)
    assert "67 %" in texts
    assert "6" in texts


def test_the_bars_carry_n_and_the_interval():
    texts = " ".join(node.text for node in ET.fromstring(drawings()["bars"]).iter(f"{SVG}text"))
    assert "100 % run, likely between 80 and 100 %, 15 plays" in texts
    assert "0 % run, likely between 0 and 39 %, 6 plays, few" in texts


def test_a_zone_says_where_it_is():
    texts = [node.text for node in ET.fromstring(drawings()["zones"]).iter(f"{SVG}text")]
    assert "own 11 – own 39" in texts
    assert "15 plays" in texts


def test_their_words_are_escaped():
    assert "<b>" not in drawings()["heat map"]
    assert "A &amp; B 14" in drawings()["heat map"]
