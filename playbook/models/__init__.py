"""The tables, one file per noun."""

from playbook.models.base import StaleVersion, Versioned
from playbook.models.people import Player, Role, User

__all__ = ["Player", "Role", "StaleVersion", "User", "Versioned"]
