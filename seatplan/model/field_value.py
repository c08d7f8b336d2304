"""A value for one field of a record, read as from a file."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any

from pydantic import TypeAdapter

from .record import Record


def field_value(record: type[Record], name: str, value: Any) -> Any:
    """The value of a field as the record holds it. Raises ValueError for what no file could hold."""
    return _reader(record, name).validate_python(value)


@cache
def _reader(record: type[Record], name: str) -> TypeAdapter[Any]:
    info = record.model_fields[name]
    kind: Any = info.annotation
    return TypeAdapter(Annotated[kind, *info.metadata] if info.metadata else kind)
