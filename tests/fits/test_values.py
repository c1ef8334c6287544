"""Values and records are what the standard library's dataclasses are, measured against them."""

from __future__ import annotations

import copy
import dataclasses
import pickle
import subprocess
import sys
from dataclasses import FrozenInstanceError
from typing import ClassVar, Generic, TypeVar

import pytest

from fits.values import field, field_names, record, replace, value

T = TypeVar("T")


@value
class Spot:
    """A place."""

    x: float
    y: float = 2.0
    kind: ClassVar[str] = "spot"

    @property
    def far(self) -> bool:
        return self.x > 10


@dataclasses.dataclass(frozen=True, slots=True)
class StandardSpot:
    x: float
    y: float = 2.0


@value
class Named(Spot):
    name: str = "M"
    kept: dict[str, int] = field(default_factory=dict, compare=False, repr=False)


@value(kw_only=True)
class Asked:
    call: str
    flip: bool = False


@value(eq=False)
class Alone:
    x: int


@value
class Pair(Generic[T]):
    left: T
    right: T


@value
class Checked:
    v: float

    def __post_init__(self) -> None:
        if self.v <= 0:
            raise ValueError("positive")


@record
class Open:
    x: int
    seen: list[int] = field(default_factory=list)


def test_it_is_made_compared_hashed_and_printed_like_a_dataclass():
    for args, kwargs in (((1.0,), {}), ((1.0, 3.0), {}), ((), {"x": 1.0, "y": 4.0})):
        mine, theirs = Spot(*args, **kwargs), StandardSpot(*args, **kwargs)
        assert (mine.x, mine.y) == (theirs.x, theirs.y)
        assert repr(mine) == repr(theirs).removeprefix("Standard")
        assert mine == Spot(*args, **kwargs) and hash(mine) == hash(theirs)
        assert mine != theirs and mine != Spot(9.0)
    assert not hasattr(Spot(1.0), "__dict__") and Spot.__match_args__ == StandardSpot.__match_args__
    assert Spot.kind == "spot" and Spot(11.0).far and Spot.__doc__ == "A place."


@pytest.mark.parametrize(("args", "kwargs"), [((), {}), ((1, 2, 3), {}), ((1,), {"x": 2}), ((1,), {"z": 2})])
def test_what_a_dataclass_refuses_is_refused(args, kwargs):
    for cls in (Spot, StandardSpot):
        with pytest.raises(TypeError):
            cls(*args, **kwargs)


def test_a_value_cannot_be_changed_and_a_record_can():
    for change in (lambda s: setattr(s, "x", 2), lambda s: delattr(s, "x"), lambda s: setattr(s, "other", 2)):
        with pytest.raises(FrozenInstanceError):
            change(Spot(1.0))
    made = Open(1)
    made.x = 5
    assert made == Open(5) and Open(1).seen is not Open(1).seen
    with pytest.raises(TypeError):
        hash(made)


def test_fields_are_inherited_and_some_are_not_compared():
    one, other = Named(1.0, kept={"a": 1}), Named(1.0)
    assert field_names(Named) == ("x", "y", "name", "kept")
    assert one == other and hash(one) == hash(other) and "kept" not in repr(one)
    assert Named(1.0) != Spot(1.0)


def test_keyword_only_identity_generic_and_checked():
    with pytest.raises(TypeError):
        Asked("a")
    assert Asked(call="a") == Asked(call="a", flip=False)
    assert Alone(1) != Alone(1) and len({Alone(1), Alone(1)}) == 2
    assert Pair[int](1, 2) == Pair(1, 2)
    with pytest.raises(ValueError, match="positive"):
        Checked(0.0)


@pytest.mark.parametrize("made", [Spot(1.0), Named(1.0, name="W", kept={"a": 1}), Asked(call="a"), Open(3, [1])])
def test_it_is_copied_pickled_and_replaced(made):
    for again in (pickle.loads(pickle.dumps(made)), copy.copy(made), copy.deepcopy(made), replace(made)):
        assert again == made and again is not made and repr(again) == repr(made)
    changed = {"call": "b"} if isinstance(made, Asked) else {"x": 7}
    assert replace(made, **changed) == dataclasses.replace(made, **changed) != made


def test_the_standard_library_sees_its_fields():
    assert [f.name for f in dataclasses.fields(Named)] == ["x", "y", "name", "kept"]
    assert dataclasses.asdict(Named(1.0, kept={"a": 1})) == {"x": 1.0, "y": 2.0, "name": "M", "kept": {"a": 1}}
    assert dataclasses.is_dataclass(Spot)


def test_importing_the_engine_loads_nothing_slow():
    code = "import sys, fits; print([m for m in ('dataclasses', 'inspect', 'numpy', 'svgwrite') if m in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"
