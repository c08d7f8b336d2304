"""Records of geometry, rules and search: small, and what was found is not changed afterwards."""

from __future__ import annotations

from ast import ClassDef, parse, unparse
from dataclasses import is_dataclass
from importlib import import_module
from inspect import getsource
from pathlib import Path

import pytest
from pydantic import PydanticUserError

import seatplan
from seatplan.model.record import Record

#: those that are filled step by step while a trip is solved
FILLED = {"_Asking", "_Found", "RowPlans", "Whole"}
#: one for each trip, and it works parts out when they are first read
KEEPS_WHAT_IS_READ = {"Plan"}
MODULES = [f"seatplan.{package}.{file.stem}" for package in ("geometry", "rules", "solver")
           for file in sorted((Path(seatplan.__file__).parent / package).glob("[a-z]*.py"))]


@pytest.mark.parametrize("name", MODULES)
def test_records_are_small_and_stay_as_they_are(name: str) -> None:
    module = import_module(name)
    made_by = {node.name: unparse(node.decorator_list[-1]) for node in parse(getsource(module)).body
               if isinstance(node, ClassDef) and node.decorator_list}
    for record in vars(module).values():
        if isinstance(record, type) and is_dataclass(record) and record.__module__ == name:
            assert ("__slots__" in vars(record)) is (record.__name__ not in KEEPS_WHAT_IS_READ), record
            frozen = record.__dataclass_params__.frozen or made_by[record.__name__].startswith("frozen")  # type: ignore[attr-defined]
            assert frozen is (record.__name__ not in FILLED), record


def test_a_record_takes_no_type_from_whoever_makes_the_first_one():
    class Unnamed(Record):
        one: Kind  # noqa: F821 - that it is nowhere is what is tested

    def made(given: object) -> object:
        Kind = str  # noqa: F841 - a local name that must not be seen
        return Unnamed(one=given)

    with pytest.raises(PydanticUserError, match="not fully defined"):
        made("a")
