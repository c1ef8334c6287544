"""What every test of the quiz starts from."""

import pytest

from tests.playbook.week.made import put_at


@pytest.fixture
def backer(player):
    put_at(player.player, "M")
    return player
