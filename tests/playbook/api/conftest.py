"""A system, its calls, an opponent and a week to ask about."""

import pytest
from rest_framework.test import APIClient

from playbook.api import tokens
from playbook.models import Opponent, Season, System, Week


@pytest.fixture
def system(db):
    """A shipped system; every test database has the shipped library."""
    return System.objects.get(name="odd-three-safety")


def _api(user):
    client = APIClient()
    client.credentials(HTTP_AUTHORIZATION=f"Token {tokens.make_token(user)}")
    return client


@pytest.fixture
def coach(staff):
    """A coach's program, signed in with his token."""
    return _api(staff)


@pytest.fixture
def man(player):
    """A player's program."""
    return _api(player)


@pytest.fixture
def week(system):
    """A week against an opponent."""
    season = Season.objects.create(year=2031)
    return Week.objects.create(
        season=season, number=3, system=system, opponent=Opponent.objects.create(name="Vellmark")
    )
