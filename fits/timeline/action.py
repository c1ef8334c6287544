"""What a timeline is made from: a look, and the passes behind it."""

from __future__ import annotations

from collections.abc import Mapping

from fits.blocking.resolve import ResolvedBlock
from fits.derive.ball import GROUP_OF, Point
from fits.derive.ground import lay_ground
from fits.derive.look import Look
from fits.derive.margins import running
from fits.derive.threats import Course
from fits.deriver import Deriver
from fits.offense.formation import Offense, OffensiveMan
from fits.rules.snap import AfterSnap, Aligned
from fits.spec import LookSpec
from fits.timing import FIRST_S, Speed
from fits.values import value

STEP_S = 0.1


@value
class Action:
    """One play to be run: the look, the play as rules saw it, courses of the threats (the carrier first), defenders."""

    spec: LookSpec
    look: Look
    situation: AfterSnap
    courses: tuple[Course, ...]
    defenders: Mapping[str, Aligned]

    @property
    def offense(self) -> Offense:
        """The offense at the snap."""
        return self.situation.offense

    @property
    def jobs(self) -> Mapping[str, ResolvedBlock]:
        """Who blocks whom."""
        return self.situation.blocks.jobs

    def speed(self, man: OffensiveMan) -> Speed:
        """What an offensive man runs in a play."""
        return self.spec.pace.speed(GROUP_OF[man.kind])

    def first_s(self, man: OffensiveMan) -> float:
        """When an offensive man moves; the man in motion moves already."""
        return 0.0 if man.role == self.offense.motion else FIRST_S[GROUP_OF[man.kind]]

    def defender_speed(self, role: str) -> Speed:
        """What a defender runs in a play."""
        return running(self.defenders[role], self.spec.pace, self.spec.roster)

    def in_motion(self, role: str) -> bool:
        """True for the man in motion at the snap."""
        return role == self.offense.motion


def set_play(spec: LookSpec, deriver: Deriver) -> Action:
    """The play of a spec. Raises what deriving the look raises."""
    look, situation, alignment = deriver.look(spec), deriver.after_snap(spec), deriver.alignment(spec)
    courses = lay_ground(situation.plan, situation.blocks, spec.pace).courses
    return Action(spec, look, situation, courses, {d.name: d for d in alignment.men})


def place(man: OffensiveMan) -> Point:
    """Where an offensive man stands at the snap."""
    return Point(man.x, man.y)
