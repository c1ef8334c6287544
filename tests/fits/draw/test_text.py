"""A look in characters."""

from __future__ import annotations

from dataclasses import replace

import pytest

import fits
from fits.draw.text import COLUMNS, block_lines, describe_look, drawn_field, text_look
from fits.words import words_of
from tests.fits.draw.samples import SAMPLES, Sample, opened, power_look
from tests.fits.plays import LIB


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.name)
def test_drawn_field_shows_all_twenty_two_men(sample: Sample) -> None:
    look = sample.look()
    words = " ".join(drawn_field(look)).replace(":", " ").replace(".", " ").split()
    shown = sorted(word.split("/")[0] for word in words)
    assert shown == sorted([*(p.role for p in look.offense), *(d.position for d in look.defenders)])


def test_linemen_stand_in_one_row_from_left_to_right() -> None:
    row = next(line for line in drawn_field(power_look()) if "LT" in line)
    places = [row.index(role) for role in ("LT", "LG", " C ", "RG", "RT")]
    assert places == sorted(places)


def test_defense_is_above_the_line_and_offense_below() -> None:
    rows = drawn_field(power_look())
    line = next(n for n, row in enumerate(rows) if "....." in row)
    above, below = " ".join(rows[:line]), " ".join(rows[line + 1 :])
    assert "MS" in above and "N/0" in above
    assert "QB" in below and "LT" in below
    assert all(len(row) <= COLUMNS + 8 for row in rows)


def test_table_has_a_row_for_every_defender_under_his_group() -> None:
    look = power_look()
    lines = text_look(look).splitlines()
    words = words_of(look)
    for d in look.defenders:
        row = next(line for line in lines if line.startswith(f"  {words.man(d.role)}  ") and d.technique in line)
        assert words.saw(d) in row and words.fit(d) in row
    assert [line for line in lines if line in ("Line", "Linebackers", "Secondary")] == [
        "Line",
        "Linebackers",
        "Secondary",
    ]


def test_an_open_lane_reads_open() -> None:
    look = power_look()
    name = look.lanes[1].name
    said = words_of(look).lane(look.lanes[1])
    row = next(line for line in text_look(opened(look, name)).splitlines() if line.startswith(f"  {said}  "))
    assert "OPEN" in row


def test_a_late_man_is_said_to_be_late() -> None:
    look = power_look()
    late = look.defenders[0]._replace(margin_s=-0.25)
    words = describe_look(replace(look, defenders=(late, *look.defenders[1:])))
    assert "0.25 s late" in words


def test_ends_without_trailing_blanks() -> None:
    text = text_look(power_look())
    assert text.endswith("\n") and not any(line != line.rstrip() for line in text.splitlines())


def test_a_back_who_fakes_is_named_among_the_blocks_and_a_quarterback_is_not():
    look = fits.derive_look(LIB.call("odd-three-safety"), LIB.formation("20-pistol"), LIB.concept("qb-counter"))
    lines = block_lines(look)
    assert {"F fakes", "T fakes"} <= set(lines)
    look = fits.derive_look(LIB.call("over-quarters"), LIB.formation("11-doubles"), LIB.concept("power"))
    assert not [line for line in block_lines(look) if "fakes" in line or "nobody" in line]
