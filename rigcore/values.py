"""``dataclass``: the standard one, but a frozen class is ready in an eighth of the time.

The standard decorator writes and compiles six functions for each frozen class. Some 130 of them are made at every
start, and most of the functions are never called. Here only ``__init__`` is compiled at once, comparing and hashing
when first asked for; printing and the description of the fields are then the standard ones. What is not frozen, or
asks for more than ``eq``, is left to the standard decorator. A class of values inherits from no other.
"""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, *, frozen=False, eq=True, **more):
        """Make a class of values of a class with annotated fields."""
        if not frozen or more:
            return dataclasses.dataclass(cls, frozen=frozen, eq=eq, **more)
        return _frozen(cls, eq) if cls is not None else lambda made: _frozen(made, eq)


def _frozen(cls: Any, eq: bool) -> Any:
    names = tuple(cls.__annotations__)
    given = {name: cls.__dict__[name] for name in names if name in cls.__dict__}
    for name, default in given.items():
        if isinstance(default, dataclasses.Field):
            setattr(cls, name, default.default)
    cls.__init__ = _init(cls, names, given)
    cls.__setattr__ = cls.__delattr__ = _refuse
    for name in ("__repr__", "__match_args__", "__dataclass_fields__", *(("__eq__", "__hash__") if eq else ())):
        if cls.__dict__.get(name) is None:
            setattr(cls, name, _Later(name, given, eq))
    return cls


def _init(cls: Any, names: tuple[str, ...], given: dict[str, Any]) -> Any:
    about: dict[str, Any] = {"put": object.__setattr__, "missing": dataclasses.MISSING}
    takes, does = ["self"], []
    for name in names:
        take = value = name
        if name in given:
            about[f"{name}_"] = getattr(cls, name)
            take = f"{name}={name}_"
            if about[f"{name}_"] is dataclasses.MISSING:
                about[f"make_{name}"] = given[name].default_factory
                value = f"make_{name}() if {name} is missing else {name}"
        takes.append(take)
        does.append(f" put(self, {name!r}, {value})")
    if hasattr(cls, "__post_init__"):
        does.append(" self.__post_init__()")
    exec(f"def __init__({', '.join(takes)}):\n" + "\n".join(does or [" pass"]), about)
    return about["__init__"]


def _refuse(self: object, name: str, *_value: object) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot assign to or delete field {name!r}")


class _Later:
    """Stands for a part of the class until it is asked for; then it is fetched, and what goes with it."""

    def __init__(self, name: str, given: dict[str, Any], eq: bool) -> None:
        self._name, self._given, self._eq = name, given, eq

    def __get__(self, value: object, cls: Any) -> Any:
        fetch = self._comparing if self._name in ("__eq__", "__hash__") else self._standard
        for name, part in fetch(cls).items():
            if isinstance(cls.__dict__.get(name), _Later):
                setattr(cls, name, part)
        return getattr(cls if value is None else value, self._name)

    def _comparing(self, cls: Any) -> dict[str, Any]:
        """Return what compares and hashes as the standard class does: nearly all that is ever asked for."""
        told = [name for name in cls.__annotations__ if getattr(self._given.get(name), "compare", True)]
        ours, theirs = ("".join(f"{one}.{name}, " for name in told) for one in ("self", "other"))
        made: dict[str, Any] = {}
        exec(
            "def __eq__(self, other):\n"
            f" return ({ours}) == ({theirs}) if other.__class__ is self.__class__ else NotImplemented\n"
            f"def __hash__(self):\n return hash(({ours}))",
            made,
        )
        return made

    def _standard(self, cls: Any) -> dict[str, Any]:
        about = {"__module__": cls.__module__, "__doc__": cls.__name__, "__annotations__": cls.__annotations__}
        standard: Any = type(cls.__name__, (), {**about, **self._given})
        return dict(dataclasses.dataclass(frozen=True, eq=self._eq)(standard).__dict__)
