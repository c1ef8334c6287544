"""The plots: well-formed, said in words, nothing by colour alone."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from playbook.charts.plays import Aliases, read_plays
from playbook.charts.snaps import Snap
from playbook.charts.values import HOLES
from playbook.tendencies import plots
from playbook.tendencies.counting import BY_NAME, Share, break_down

SVG = "{http://www.w3.org/2000/svg}"
SNAP = Snap(play_type="run", down=1, distance=10, yard_line=30, formation="Trips <b>", concept="A & B")


def plays():
    snaps = [SNAP] * 14 + [SNAP._replace(play_type="pass", down=3, distance=8, yard_line=97)] * 6
    return read_plays([*snaps, SNAP._replace(concept="Iso")], Aliases())


def drawings():
    return {
        "holes": plots.draw_holes({"left A": Share(3, 9), "right C": Share(6, 9)}),
        "bars": plots.draw_bars(break_down(plays(), BY_NAME["down-distance"])),
        "zones": plots.draw_bars(break_down(plays(), BY_NAME["field-zone"])),
        "formations": plots.draw_bars(break_down(plays(), BY_NAME["formation"])),
        "empty": plots.draw_holes({}),
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
    sized = [
        node.text for node in ET.fromstring(drawings()["holes"]).iter(f"{SVG}text") if node.get("font-size") == "12"
    ]
    assert [text for text in sized if text in ("A", "B", "C", "D", "mid")] == [hole.split()[-1][:3] for hole in HOLES]
    assert "67 %" in texts
    assert "6" in texts


def test_the_bars_carry_n_and_the_interval():
    texts = " ".join(node.text for node in ET.fromstring(drawings()["bars"]).iter(f"{SVG}text"))
    assert "100 % run, 15 plays" in texts
    assert "0 % run, 6 plays, few" in texts
    assert drawings()["bars"].count("<path") == 3, "where the share likely lies, with its key"
    assert "likely between 80 and 100 %" in drawings()["bars"]


def test_a_zone_says_where_it_is():
    texts = [node.text for node in ET.fromstring(drawings()["zones"]).iter(f"{SVG}text")]
    assert "own 11–39" in texts


def test_their_words_are_escaped():
    assert "<b>" not in drawings()["formations"]
    assert "Trips &lt;b&gt;" in drawings()["formations"]


@pytest.mark.parametrize("name", list(drawings()))
def test_a_phone_shows_it_at_a_size_that_can_be_read(name):
    """At 360 px a drawing has at least 320 of them: no letter under 10 px."""
    root = ET.fromstring(drawings()[name])
    width = float(root.get("viewBox").split()[2])
    sizes = [float(node.get("font-size")) for node in root.iter(f"{SVG}text")]
    assert min(sizes) * 320 / width >= 9.4 if name in ("holes", "empty") else min(sizes) * 320 / width >= 11
