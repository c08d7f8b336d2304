"""Records of geometry, rules and search: small, and what was found is not changed afterwards."""

from __future__ import annotations

from dataclasses import is_dataclass
from importlib import import_module
from pathlib import Path

import pytest
from pydantic import PydanticUserError

import seatplan
from seatplan.model.record import Record

#: those that are filled step by step while a trip is solved, and one that is made by the thousand
FILLED = {"_Asking", "_Found", "RowPlans", "Whole", "RowAssignment"}
#: one for each trip, and it works parts out when they are first read
KEEPS_WHAT_IS_READ = {"Plan"}
MODULES = [f"seatplan.{package}.{file.stem}" for package in ("geometry", "rules", "solver")
           for file in sorted((Path(seatplan.__file__).parent / package).glob("[a-z]*.py"))]


@pytest.mark.parametrize("name", MODULES)
def test_records_are_small_and_stay_as_they_are(name: str) -> None:
    for record in vars(import_module(name)).values():
        if isinstance(record, type) and is_dataclass(record) and record.__module__ == name:
            assert ("__slots__" in vars(record)) is (record.__name__ not in KEEPS_WHAT_IS_READ), record
            assert record.__dataclass_params__.frozen is (record.__name__ not in FILLED), record  # type: ignore[attr-defined]


def test_a_record_takes_no_type_from_whoever_makes_the_first_one():
    class Unnamed(Record):
        one: Kind  # noqa: F821 - that it is nowhere is what is tested

    def made(given: object) -> object:
        Kind = str  # noqa: F841 - a local name that must not be seen
        return Unnamed(one=given)

    with pytest.raises(PydanticUserError, match="not fully defined"):
        made("a")
