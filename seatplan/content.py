"""Content as one number: what is equal, down to the last field and its type, has the same, and nothing else has.

The number is a hash of 128 bits (BLAKE2b, RFC 7693), so nothing has to be kept to give it, and no number is ever used
twice. A record reckons its own once and remembers it, as do the records in it, so a copy that differs in one field
asks only for that field.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date
from fractions import Fraction
from hashlib import blake2b
from typing import Any

_BYTES = 16


def content(value: Any) -> int:
    """The number of a record, or of any value that records hold: words, numbers, days, tuples, lists, mappings,
    dataclasses. TypeError: something else."""
    own = getattr(type(value), "content", None)
    if own is not None:
        number: int = value.content
        return number
    return number_of(_written(value))


def number_of(written: bytes) -> int:
    """The number of a text that says what something holds."""
    return int.from_bytes(blake2b(written, digest_size=_BYTES).digest(), "big")


def written_fields(name: str, values: Mapping[str, Any]) -> bytes:
    """A record as such a text: its type, and each field with its value."""
    return b"".join((b"{", name.encode(), *(part for key, value in values.items()
                                            for part in (b"|", key.encode(), b"=", _written(value))), b"}"))


def _written(value: Any) -> bytes:
    write = _WRITERS.get(type(value))
    if write is not None:
        return write(value)
    if hasattr(type(value), "content"):
        return b"#%x" % value.content
    if isinstance(value, Mapping):
        return b"".join((b"<", *(part for key, inner in value.items()
                                 for part in (_written(key), b":", _written(inner), b",")), b">"))
    if isinstance(value, (set, frozenset)):
        return b"".join((b"s(", *(part for one in sorted(map(_written, value)) for part in (one, b",")), b")"))
    if hasattr(type(value), "__dataclass_fields__"):
        return written_fields(type(value).__name__, {own.name: getattr(value, own.name) for own in fields(value)})
    if isinstance(value, tuple):                       # a named one
        return type(value).__name__.encode() + _sequence(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, (int, Fraction)):
        # a mass or a stature: its slots hold how it was written
        beside = [getattr(value, name, None) for kind in type(value).__mro__
                  for name in getattr(kind, "__slots__", ()) if not name.startswith("_")]
        return b"".join((type(value).__name__.encode(), b"(", str(_plain(value)).encode(), *(
            part for one in (*beside, getattr(value, "__dict__", None)) for part in (b";", _written(one))), b")"))
    raise TypeError(f"{type(value).__name__} has no content")


def _plain(value: int | Fraction) -> int | Fraction:
    return Fraction(value) if isinstance(value, Fraction) else int(value)


def _sequence(values: Any) -> bytes:
    return b"".join((b"(", *(part for value in values for part in (_written(value), b",")), b")"))


def _text(value: str) -> bytes:
    told = value.encode()
    return b'"%d:%s' % (len(told), told)


_WRITERS: dict[type, Callable[[Any], bytes]] = {
    type(None): lambda _: b"-",
    bool: lambda value: b"yes" if value else b"no",
    int: lambda value: b"%d" % value,
    float: lambda value: value.hex().encode() + b"f",
    str: _text,
    date: lambda value: value.isoformat().encode() + b"d",
    tuple: _sequence,
    list: lambda value: b"l" + _sequence(value),
    Fraction: lambda value: str(value).encode() + b"q",
}
