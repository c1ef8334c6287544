"""One line of an access table."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Rule:
    """Who may use an address ("anyone", "everyone" signed in, "player", "staff", "admin"), its method and arguments."""

    who: str
    method: str = "get"
    kwargs: Callable[[], dict] = dict
    fine: tuple[int, ...] = (200, 204, 302, 303, 400, 422)
