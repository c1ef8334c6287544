"""A system, an opponent and a look to show, out of the shipped library that every test starts with."""

from playbook.looks import specs
from playbook.looks.asking import Ask
from playbook.models import Call, Concept, ExpectedLook, Formation, Opponent, System
from tests.playbook.week.made import SYSTEM, make_week

CALL, FORMATIONS, CONCEPTS = "odd-three-safety", ("10-doubles", "11-doubles"), ("inside-zone", "power")


def the_system() -> System:
    """The shipped odd system."""
    return System.objects.get(name=CALL)


def make_opponent(name: str = "Varnholt State") -> Opponent:
    """An invented opponent that carries two formations and two runs."""
    opponent = Opponent.objects.create(name=name)
    opponent.formations.set(Formation.objects.filter(name__in=FORMATIONS))
    opponent.concepts.set(Concept.objects.filter(name__in=CONCEPTS))
    return opponent


def look_kwargs(formation: str = "11-doubles", concept: str = "power") -> dict[str, int]:
    """The keys of one look's address."""
    return {
        "call": Call.objects.get(system=the_system(), name=CALL).pk,
        "formation": Formation.objects.get(name=formation).pk,
        "concept": Concept.objects.get(name=concept).pk,
    }


def week_ask() -> Ask:
    """The first look expected in a week, against the system's call."""
    week = make_week()
    return specs.asks_of(week, specs.expected_looks(week), week.system.calls.get(name=SYSTEM))[0]


def expected_pk() -> int:
    """The key of a look that a week expects; of a new week where there is none."""
    row = ExpectedLook.objects.first() or make_week(17).expected_looks.first()
    assert row is not None
    return row.pk
