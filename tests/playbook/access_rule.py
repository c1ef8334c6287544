"""One line of an access table."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Rule:
    """Who may use an address ("anyone", "everyone" signed in, "player", "staff", "admin"), its method and arguments.

    `saves` is who of the staff sends its form: the "leads" (admins and coordinators), position coaches for
    their "groups" as well, or all of the "staff".
    """

    who: str
    method: str = "get"
    kwargs: Callable[[], dict] = dict
    fine: tuple[int, ...] = (200, 204, 302, 303, 400, 422)
    saves: str = "leads"
