"""Values and records: what `dataclasses` gives, made when it is first needed, so that importing a hundred costs little.

`value` makes a frozen slotted class of the annotations below it, `record` an open one. Their init is compiled at the
first instance; comparing, hashing, printing and pickling are functions that all of them share. The standard library's
`replace`, `asdict` and `fields` work on both.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter
from typing import Any, NoReturn, TypeVar, dataclass_transform, overload

T = TypeVar("T")
C = TypeVar("C", bound=type)


class _Missing:
    """Nothing given."""

    def __repr__(self) -> str:
        return "<made anew>"


MISSING = _Missing()


class Field:
    """How a field differs from the usual: its default, whether it is compared and printed, when it is made."""

    __slots__ = ("compare", "default", "default_factory", "later", "repr")

    def __init__(
        self,
        default: Any,
        default_factory: Callable[[], Any] | None,
        compare: bool,
        repr_: bool,
        later: Callable[[Any], Any] | None = None,
    ) -> None:
        self.default, self.default_factory, self.compare, self.repr = default, default_factory, compare, repr_
        self.later = later


def field(
    *,
    default: Any = MISSING,
    default_factory: Callable[[], Any] | None = None,
    compare: bool = True,
    repr: bool = True,
    later: Callable[[Any], Any] | None = None,
) -> Any:
    """A field that is not like the others. One that is made `later` is made of the instance when it is first read."""
    return Field(default, default_factory, compare, repr, later)


class _Shape:
    """The fields of a class in order, by name."""

    __slots__ = ("_key", "fields", "kw_only")

    def __init__(self, fields: dict[str, Field], kw_only: frozenset[str]) -> None:
        self.fields, self.kw_only = fields, kw_only
        self._key: Callable[[Any], Any] | None = None

    @property
    def key(self) -> Callable[[Any], Any]:
        """What an instance is compared by."""
        if self._key is None:
            names = [name for name, f in self.fields.items() if f.compare]
            self._key = attrgetter(*names) if names else lambda value: ()
        return self._key


_PLAIN = Field(MISSING, None, True, True)
_SHAPES: dict[type, _Shape] = {}


@overload
@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def value(cls: C, /) -> C: ...
@overload
@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def value(*, kw_only: bool = False, eq: bool = True) -> Callable[[C], C]: ...
def value(cls: type | None = None, /, *, kw_only: bool = False, eq: bool = True) -> Any:
    """Class decorator: a frozen slotted value. Equal by its fields, or by identity with `eq` false."""
    if cls is None:
        return lambda found: _made(found, True, kw_only, eq)
    return _made(cls, True, kw_only, eq)


@overload
@dataclass_transform(field_specifiers=(field,))
def record(cls: C, /) -> C: ...
@overload
@dataclass_transform(field_specifiers=(field,))
def record(*, kw_only: bool = False) -> Callable[[C], C]: ...
def record(cls: type | None = None, /, *, kw_only: bool = False) -> Any:
    """Class decorator: a slotted record whose fields may be changed. Equal by its fields, and not hashable."""
    if cls is None:
        return lambda found: _made(found, False, kw_only, True)
    return _made(cls, False, kw_only, True)


def field_names(cls: type) -> tuple[str, ...]:
    """The names of a value's or record's fields, in order."""
    return tuple(_SHAPES[cls].fields)


def replace(made: T, **changes: Any) -> T:
    """The same value with some fields changed."""
    given = {name: getattr(made, name) for name in _SHAPES[type(made)].fields}
    return type(made)(**(given | changes))


def _made(cls: type, frozen: bool, kw_only: bool, eq: bool) -> type:
    fields: dict[str, Field] = {}
    named: set[str] = set()
    for base in reversed(cls.__mro__[1:]):
        if base in _SHAPES:
            fields |= _SHAPES[base].fields
            named |= _SHAPES[base].kw_only
    inherited = set(fields)
    space = dict(cls.__dict__)
    for name, kind in space.get("__annotations__", {}).items():
        if str(kind).startswith("ClassVar"):
            continue
        default = space.pop(name, MISSING)
        if isinstance(default, Field):
            fields[name] = default
        else:
            fields[name] = _PLAIN if default is MISSING else Field(default, None, True, True)
        if kw_only:
            named.add(name)
    space.pop("__dict__", None)
    space.pop("__weakref__", None)
    space["__slots__"] = tuple([name for name in fields if name not in inherited])
    space["__match_args__"] = tuple([name for name in fields if name not in named])
    space["__dataclass_fields__"] = _STANDARD
    space["__init__"] = _init_later
    space.setdefault("__repr__", _repr)
    space["__getstate__"], space["__setstate__"] = _get_state, _set_state
    if any(f.later is not None for f in fields.values()):
        space["__getattr__"] = _read_later
    if frozen:
        space["__setattr__"], space["__delattr__"] = _refuse_set, _refuse_delete
    if eq and "__eq__" not in space:
        space["__eq__"] = _eq
        space["__hash__"] = _hash if frozen else None
    made: type = type(cls)(cls.__name__, cls.__bases__, space)
    made.__qualname__ = cls.__qualname__
    _SHAPES[made] = _Shape(fields, frozenset(named))
    return made


def _init_later(self: Any, *args: Any, **kwargs: Any) -> None:
    """Compiles the init of its class, which stands in its place from now on, and calls it."""
    cls = next(base for base in type(self).__mro__ if base in _SHAPES)
    init = _compile(cls)
    cls.__init__ = init  # type: ignore[misc]
    init(self, *args, **kwargs)


def _compile(cls: type) -> Any:
    shape = _SHAPES[cls]
    space: dict[str, Any] = {"_missing": MISSING}
    plain, named, body = ["self"], ["*"], []
    frozen = cls.__dict__.get("__setattr__") is _refuse_set
    for name, f in shape.fields.items():
        given = name
        if f.default_factory is not None:
            space[f"_make_{name}"] = f.default_factory
            given = f"_make_{name}() if {name} is _missing else {name}"
            head = f"{name}=_missing"
        elif f.default is not MISSING:
            space[f"_default_{name}"] = f.default
            head = f"{name}=_default_{name}"
        elif f.later is not None:
            head = f"{name}=_missing"
        else:
            head = name
        (named if name in shape.kw_only else plain).append(head)
        unless = f"if {name} is not _missing: " if f.later is not None else ""
        if frozen:
            space[f"_set_{name}"] = getattr(cls, name).__set__
            body.append(f"    {unless}_set_{name}(self, {given})")
        else:
            body.append(f"    {unless}self.{name} = {given}")
    if hasattr(cls, "__post_init__"):
        body.append("    self.__post_init__()")
    heads = [*plain, *(named if len(named) > 1 else [])]
    exec(f"def __init__({', '.join(heads)}):\n" + "\n".join(body or ["    pass"]), space)
    init = space["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    return init


def _read_later(self: Any, name: str) -> Any:
    """Called for what is not there: a field that is made later is made now."""
    f = _SHAPES[type(self)].fields.get(name)
    if f is None or f.later is None:
        raise AttributeError(f"{type(self).__name__!r} object has no attribute {name!r}")
    made = f.later(self)
    getattr(type(self), name).__set__(self, made)
    return made


def _eq(self: Any, other: object) -> bool:
    if other.__class__ is not self.__class__:
        return NotImplemented  # type: ignore[no-any-return]
    key = _SHAPES[self.__class__].key
    return bool(key(self) == key(other))


def _hash(self: Any) -> int:
    return hash(_SHAPES[self.__class__].key(self))


def _repr(self: Any) -> str:
    shown = [f"{name}={getattr(self, name)!r}" for name, f in _SHAPES[self.__class__].fields.items() if f.repr]
    return f"{self.__class__.__qualname__}({', '.join(shown)})"


def _get_state(self: Any) -> list[Any]:
    return [getattr(self, name) for name in _SHAPES[self.__class__].fields]


def _set_state(self: Any, state: list[Any]) -> None:
    for name, given in zip(_SHAPES[self.__class__].fields, state, strict=True):
        object.__setattr__(self, name, given)


def _refuse_set(self: Any, name: str, given: object) -> NoReturn:
    from dataclasses import FrozenInstanceError  # slow to import, and only for an error

    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_delete(self: Any, name: str) -> NoReturn:
    from dataclasses import FrozenInstanceError  # slow to import, and only for an error

    raise FrozenInstanceError(f"cannot delete field {name!r}")


class _Standard:
    """The fields as the standard library wants to see them, made when it asks."""

    def __get__(self, made: object, cls: type) -> dict[str, Any]:
        import dataclasses  # slow to import, and only who asks pays for it

        fields: Any = []
        annotations = dict.fromkeys(_SHAPES[cls].fields, "Any")
        for name, f in _SHAPES[cls].fields.items():
            extra: dict[str, Any] = {"compare": f.compare, "repr": f.repr, "kw_only": name in _SHAPES[cls].kw_only}
            if f.default_factory is not None:
                extra["default_factory"] = f.default_factory
            fields.append((name, annotations[name], dataclasses.field(**extra)))
        standard = dataclasses.make_dataclass(cls.__name__, fields, kw_only=True)
        found: dict[str, Any] = standard.__dict__["__dataclass_fields__"]
        cls.__dataclass_fields__ = found  # type: ignore[attr-defined]
        return found


_STANDARD = _Standard()
