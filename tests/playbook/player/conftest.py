"""What every test of a player's pages starts from."""

import pytest
from django.core.cache import cache

from tests.playbook.week.made import put_at


@pytest.fixture(autouse=True)
def nothing_kept():
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def backer(player):
    put_at(player.player, "M")
    return player
