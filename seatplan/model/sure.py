"""What stands under ``sure``: values of a record that somebody has looked at twice.

A key is a field of the record beside which it stands, and its value is read as that field is. It counts while it
equals the field's own value; once the two differ, it says nothing any more.
"""

from __future__ import annotations

import types
import typing
from functools import lru_cache
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, create_model


@lru_cache(maxsize=256)
def _reader(record: type[BaseModel]) -> type[BaseModel]:
    """A record that reads ``sure`` of ``record``: the same fields, none of them needed."""
    fields: dict[str, Any] = {}
    for name in sure_fields(record):
        own = record.model_fields[name]
        fields[name] = (Annotated[(own.annotation, *own.metadata)] if own.metadata else own.annotation, None)
    return create_model(f"SureOf{record.__name__}", __config__=ConfigDict(extra="forbid", protected_namespaces=()),
                        **fields)


def sure_fields(record: type[BaseModel]) -> tuple[str, ...]:
    """The fields that ``sure`` may name: those that hold a value, not another record."""
    return tuple(name for name, own in record.model_fields.items()
                 if name != "sure" and not _holds_record(own.annotation))


def read_sure(record: type[BaseModel], value: Any) -> dict[str, Any]:
    """The values under ``sure``, read as the fields of ``record`` are. Raises pydantic.ValidationError."""
    read = _reader(record).model_validate(value)
    return {name: getattr(read, name) for name in read.model_fields_set}


def written_sure(record: type[BaseModel], sure: dict[str, Any]) -> dict[str, Any]:
    """The same as JSON has it; it reads back as it was."""
    return _reader(record).model_construct(**sure).model_dump(mode="json", include=set(sure))


def _holds_record(annotation: Any) -> bool:
    if isinstance(annotation, type) and not isinstance(annotation, types.GenericAlias):
        return issubclass(annotation, BaseModel)
    return any(_holds_record(inner) for inner in typing.get_args(annotation))
