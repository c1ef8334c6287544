"""Personnel groups by their two digits."""

import pytest

from fits.errors import BadRequest
from fits.offense.personnel import parse_personnel

# Source: the published tables agree (secondary): a backs, b tight ends, the rest of five are receivers.
GROUPS = {
    "01": (0, 1, 4), "02": (0, 2, 3), "03": (0, 3, 2),
    "10": (1, 0, 4), "11": (1, 1, 3), "12": (1, 2, 2), "13": (1, 3, 1),
    "20": (2, 0, 3), "21": (2, 1, 2), "22": (2, 2, 1), "23": (2, 3, 0),
    "30": (3, 0, 2), "31": (3, 1, 1), "32": (3, 2, 0),
}  # fmt: skip


@pytest.mark.parametrize(("code", "men"), GROUPS.items())
def test_group(code, men):
    backs, tight_ends, receivers = men
    group = parse_personnel(code)
    assert (group.backs, group.tight_ends, group.receivers) == men
    assert parse_personnel(f"{backs} RB, {tight_ends} TE, {receivers} WR").code == code


def test_21_does_not_have_one_receiver():
    """Published and wrong (one page of a coaching site): two backs, one tight end and ONE receiver make four men."""
    assert parse_personnel("21").receivers == 2
    with pytest.raises(BadRequest, match="make 5, got 4"):
        parse_personnel("2 RB, 1 TE, 1 WR")
