"""Records that never change after they are made, at less cost than the standard library's own.

A frozen data class of the standard library compiles six functions before anybody can ask for anything, which was a
tenth of a short command. Here only ``__init__`` is compiled, and the type checker says who would change a field:
nothing looks at it while the program runs, so that records are made as fast as others.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform, overload

Made = TypeVar("Made")


@overload
def frozen(made: type[Made], /) -> type[Made]: ...


@overload
def frozen(*, eq: bool = True, kw_only: bool = False) -> Callable[[type[Made]], type[Made]]: ...


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(made: type[Made] | None = None, /, *, eq: bool = True,
           kw_only: bool = False) -> type[Made] | Callable[[type[Made]], type[Made]]:
    """A data class with slots whose fields are set once. ``eq``: equal where its fields are, and hashed by them;
    without it each is only itself. ``kw_only``: fields are given by name alone, and there are no slots, so that several
    such records may be the bases of one."""
    def make(of: type[Made]) -> type[Made]:
        own_repr = "__repr__" in of.__dict__
        found = dataclass(slots=not kw_only, eq=False, repr=False, kw_only=kw_only)(of)
        if not own_repr:
            found.__repr__ = _told                        # type: ignore[method-assign]
        if eq:
            every = fields(found)                         # type: ignore[arg-type]
            found.__eq__ = _equal(*[one.name for one in every if one.compare])          # type: ignore[method-assign]
            found.__hash__ = _hashed(*[one.name for one in every        # type: ignore[method-assign, assignment]
                                       if (one.compare if one.hash is None else one.hash)])
        return found

    return make if made is None else make(made)


def _told(self: Any) -> str:
    shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(self) if one.repr)
    return f"{type(self).__qualname__}({shown})"


def _equal(*names: str) -> Callable[[Any, object], bool]:
    held = _held(*names)

    def __eq__(self: Any, other: object) -> bool:
        return held(self) == held(other) if other.__class__ is self.__class__ else NotImplemented

    return __eq__


def _hashed(*names: str) -> Callable[[Any], int]:
    held = _held(*names)

    def __hash__(self: Any) -> int:
        return hash(held(self))

    return __hash__


def _held(*names: str) -> Callable[[Any], Any]:
    """What some fields of a record hold, together."""
    return attrgetter(*names) if names else lambda record: ()
