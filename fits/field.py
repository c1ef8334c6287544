"""Sides, hashes and the field of each rule book, in yards.

Frame: x grows to the offense's right with 0 at the ball; y grows downfield with 0 at the ball's line of scrimmage.
"""

from __future__ import annotations

from enum import Enum, IntEnum

from fits.values import value

FOOT = 1 / 3


class Side(IntEnum):
    """Left or right of the ball as the offense sees it; the value is the sign of x."""

    LEFT = -1
    RIGHT = 1

    @property
    def other(self) -> Side:
        """The opposite side."""
        return LEFT if self is RIGHT else RIGHT

    @property
    def word(self) -> str:
        """`left` or `right`."""
        return "left" if self is LEFT else "right"


LEFT, RIGHT = Side.LEFT, Side.RIGHT
SIDES = {"left": LEFT, "right": RIGHT}  # by their words


class Hash(Enum):
    """Where the ball is spotted, as the offense sees it."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"

    @property
    def mirrored(self) -> Hash:
        """The hash seen in a mirror."""
        return {Hash.LEFT: Hash.RIGHT, Hash.RIGHT: Hash.LEFT}.get(self, self)


@value
class RuleBook:
    """A field and its formation limits. Lengths in yards.

    `line_minimum` counts linemen wearing 50-79 where the book counts those, else men on the line.
    Source: rule digests of the three bodies; check your governing body's current rule.
    """

    name: str
    width: float
    hash_from_sideline: float
    line_minimum: int
    backs_maximum: int | None

    @property
    def hash_gap(self) -> float:
        """Distance between the two hash marks."""
        return self.width - 2 * self.hash_from_sideline

    def ball_from_left(self, hash_: Hash) -> float:
        """Distance of the ball from the left sideline."""
        if hash_ is Hash.LEFT:
            return self.hash_from_sideline
        if hash_ is Hash.RIGHT:
            return self.width - self.hash_from_sideline
        return self.width / 2

    def room(self, hash_: Hash, side: Side) -> float:
        """Distance from the ball to the sideline on that side."""
        left = self.ball_from_left(hash_)
        return left if side is LEFT else self.width - left


HIGH_SCHOOL = RuleBook("high-school", 160 * FOOT, (53 + 4 / 12) * FOOT, 5, 4)
COLLEGE = RuleBook("college", 160 * FOOT, 60 * FOOT, 5, 4)
PROFESSIONAL = RuleBook("professional", 160 * FOOT, (70 + 9 / 12) * FOOT, 7, None)
RULE_BOOKS = {book.name: book for book in (HIGH_SCHOOL, COLLEGE, PROFESSIONAL)}


def field_side(hash_: Hash) -> Side | None:
    """The side with more room, or None with the ball in the middle."""
    if hash_ is Hash.MIDDLE:
        return None
    return RIGHT if hash_ is Hash.LEFT else LEFT
