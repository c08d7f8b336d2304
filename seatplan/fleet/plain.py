"""Records of the fleet as plain JSON, and back: by the types of their fields, and nothing else is let in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints


def plain(value: Any) -> Any:
    """What has fields as an object, rows as a list."""
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return {key: plain(one) for key, one in value._asdict().items()}
    if isinstance(value, Mapping):
        return {key: plain(one) for key, one in value.items()}
    return [plain(one) for one in value] if isinstance(value, (tuple, list)) else value


def read(kind: Any, value: Any) -> Any:
    """A value of a type from plain JSON. ValueError, with the type, where it is none."""
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _any_of(get_args(kind), value)
    if origin is Literal:
        return value if value in get_args(kind) else _wrong(kind, value)
    if origin is tuple:
        return _row(kind, value)
    if origin is not None:      # a mapping by text
        return {key: read(get_args(kind)[1], one) for key, one in _of(dict, kind, value).items()}
    if is_dataclass(kind) or hasattr(kind, "_fields"):
        return _record(kind, _of(dict, kind, value))
    return _of(kind, kind, value)


def _record(kind: Any, value: Mapping[str, Any]) -> Any:
    hints = get_type_hints(kind)
    names = kind._fields if hasattr(kind, "_fields") else [one.name for one in fields(kind)]
    if set(value) != set(names):
        _wrong(kind, sorted(value))
    return kind(**{name: read(hints[name], value[name]) for name in names})


def _row(kind: Any, value: Any) -> tuple[Any, ...]:
    told, row = get_args(kind), _of(list, kind, value)
    each = [told[0]] * len(row) if told[-1] is Ellipsis else list(told)
    if len(each) != len(row):
        _wrong(kind, value)
    return tuple(read(one, item) for one, item in zip(each, row, strict=True))


def _any_of(kinds: tuple[Any, ...], value: Any) -> Any:
    if value is None and NoneType in kinds:
        return None
    for kind in kinds:
        if kind is not NoneType:
            try:
                return read(kind, value)
            except ValueError:
                continue
    return _wrong(kinds, value)


def _of(expected: type, kind: Any, value: Any) -> Any:
    """Exactly that type: yes is no number."""
    return value if type(value) is expected else _wrong(kind, value)


def _wrong(kind: Any, value: Any) -> Any:
    raise ValueError(f"{value!r} is no {kind}")
