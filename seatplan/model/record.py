"""What every record has in common: what a person wrote down, read once and never changed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    GetJsonSchemaHandler,
    field_serializer,
    field_validator,
    model_validator,
)
from pydantic_core import CoreSchema

from seatplan.content import number_of, written_fields
from seatplan.message import said

from .sure import read_sure, sure_fields, written_sure


class Record(BaseModel):
    """What a person wrote down. Unknown keys are errors; a record never changes after reading.

    ``content`` is a number that all equal ones share, and nothing else has.

    A key that stands empty is as one that is not there, and so is a set of keys that all stand empty: unknown. What
    must be given must be filled in.
    """

    # reckoned when it is first asked for; a slot, so that a copy with other values does not take it along
    __slots__ = ("_content",)

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True,
                              protected_namespaces=())       # a vehicle has a model_year

    #: values beside which an unlikely number counts all the same, by field
    sure: dict[str, Any] = {}

    @field_validator("sure", mode="plain")
    @classmethod
    def _read_sure(cls, value: Any) -> dict[str, Any]:
        return read_sure(cls, value)

    @field_serializer("sure", when_used="json")
    def _written_sure(self, sure: dict[str, Any]) -> dict[str, Any]:
        return written_sure(type(self), sure)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        for field in cls.model_fields.values():         # what stands for nothing written need not be built yet, and
            if isinstance(field.default, Record):       # pydantic up to 2.10 shows no default of such a kind
                type(field.default).model_rebuild()
        found: dict[str, Any] = handler(schema)
        own = handler.resolve_ref_schema(found)
        own["properties"]["sure"] = {
            "description": said("unlikely values that are so all the same: field and value once more"),
            "type": "object", "additionalProperties": False,
            "properties": {name: own["properties"][name] for name in sure_fields(cls) if name in own["properties"]}}
        return found

    @classmethod
    def model_rebuild(cls, *, force: bool = False, raise_errors: bool = True, _parent_namespace_depth: int = 2,
                      _types_namespace: Mapping[str, Any] | None = None) -> bool | None:
        """Types of fields are named in the modules of their records. So the frame of whoever makes the first one is not
        read, of which Python 3.13.0 dies where it has a comprehension."""
        return super().model_rebuild(force=force, raise_errors=raise_errors, _types_namespace=_types_namespace or {})

    @model_validator(mode="before")
    @classmethod
    def _empty_is_unknown(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        return {key: value for key, value in data.items() if not _stands_empty(cls, key, value)}

    @property
    def content(self) -> int:
        """The number of what it holds."""
        try:
            kept: int = object.__getattribute__(self, "_content")
        except AttributeError:
            kept = number_of(written_fields(type(self).__name__, self.__dict__))
            object.__setattr__(self, "_content", kept)
        return kept

    def key(self) -> str:
        """What it holds as 32 hexadecimal digits: equal records share it on every machine, and no others do."""
        return f"{self.content:032x}"

    def data(self) -> dict[str, Any]:
        """The plain data of a file that says the same: words, numbers, lists and mappings, as JSON and YAML have them.
        Read again it is the same record."""
        return self.model_dump(mode="json", exclude_unset=True, by_alias=True, exclude={"doubted"})

    def __repr__(self) -> str:
        """Its kind, and what it is called where its first field is a name."""
        kind = type(self).__name__
        first = self.__dict__.get(next(name for name in type(self).model_fields if name != "sure"))
        return f"<{kind} {str(first)!r}>" if isinstance(first, str) else f"<{kind}>"

    def is_sure(self, field: str) -> bool:
        """Whether the value of a field stands under ``sure`` as well, and is the same."""
        return field in self.sure and bool(self.sure[field] == getattr(self, field))


def _stands_empty(record: type[Record], key: str, value: Any) -> bool:
    """Whether an optional key of a record holds nothing; keys that the record does not know stay, to be refused."""
    if value is not None and not isinstance(value, dict):
        return False
    optional = _optional(record)
    if key not in optional:
        return False
    return value is None or (bool(value) and _all_empty(optional[key], value))


def _all_empty(record: type[Record] | None, value: dict[str, Any]) -> bool:
    """Whether a set of keys of a record holds nothing, and no key that the record does not know."""
    if record is None:
        return False
    keys = _inner_records(record)
    return all(key in keys and (item is None or (isinstance(item, dict) and _all_empty(keys[key], item)))
               for key, item in value.items())


@lru_cache(maxsize=64)
def _optional(record: type[Record]) -> dict[str, type[Record] | None]:
    """The keys of a record that may be left out, each with the record that stands there, if one does."""
    inner = _inner_records(record)
    return {field.alias or name: inner[field.alias or name]
            for name, field in record.model_fields.items() if not field.is_required()}


@lru_cache(maxsize=64)
def _inner_records(record: type[Record]) -> dict[str, type[Record] | None]:
    """The keys of a record, each with the record that stands there, if one does."""
    return {field.alias or name: next((kind for kind in (field.annotation, *get_args(field.annotation))
                                       if isinstance(kind, type) and issubclass(kind, Record)), None)
            for name, field in record.model_fields.items()}


def unshared(value: Any) -> Any:
    """The same record with lists and dictionaries of its own all through, for whoever may change one in place."""
    if isinstance(value, Record):
        copy = value.model_copy()
        copy.__dict__.update({name: unshared(one) for name, one in value.__dict__.items()
                              if isinstance(one, (Record, list, dict, tuple))})
        return copy
    if isinstance(value, dict):
        return {key: unshared(one) for key, one in value.items()}
    return type(value)(map(unshared, value)) if type(value) in (list, tuple) else value
