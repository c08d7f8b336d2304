"""Lists of the files that say ``none`` where somebody looked, and the fixtures that handbooks and restraints name."""

from __future__ import annotations

from typing import Any, Literal

from seatplan.message import said

from .quantities import ReadBy, refused

#: the fixtures of UN R16 Annex 17 (up to the 09 series; since then UN R173), in the order of the handbook table
Fixture = Literal["R1", "R2X", "R2", "R3", "F2X", "F2", "F3", "B2", "B3", "L1", "L2"]


class OrNone:
    """Tells the JSON Schema that the word ``none`` may stand in place of the list."""

    def __get_pydantic_json_schema__(self, core_schema: Any, handler: Any) -> dict[str, Any]:
        return {"anyOf": [handler(core_schema), {"const": "none"}]}


def _list_or_none(value: object) -> object:
    if value == "none":
        return []
    if not isinstance(value, (list, tuple)):
        raise refused(said("expected a list, or none"))
    return value


NONE_IS_EMPTY = ReadBy(_list_or_none)
