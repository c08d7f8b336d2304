"""What rules look at: ages on the day of travel, who must be buckled each time, the driver nobody listed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from build import DAY, subject

from seatplan.model import Rider
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Pair, Placement, RuleContext, Seated


def placed(**case: Any) -> tuple[Placement, RuleContext]:
    placement, world = subject(rule_by_id("no-belt"), case)
    assert isinstance(placement, Placement)
    return placement, world


@pytest.mark.parametrize(("given", "months"), [
    ({"born": "2026-11-25"}, 0), ({"born": "2025-11-25"}, 12), ({"born": "2025-11-26"}, 11),
    ({"born": "2025-11-24"}, 12), ({"born": "2025-12-24"}, 11), ({"born": "2025-12-26"}, 10),
    ({"born": "2024-01-01", "age": "1y"}, 34),
    ({"age": "3y"}, 36), ({}, None)])
def test_whole_months_on_the_day_of_travel(given: dict[str, str], months: int | None) -> None:
    """The day of travel of the cases is 25 November 2026; a day of birth counts before an age."""
    assert DAY.isoformat() == "2026-11-25"
    _, world = placed()
    assert world.age_months(Rider.model_validate({"rider": "Wren", **given})) == months


@pytest.mark.parametrize(("case", "each_trip"), [
    ({"restraint": None}, True), ({"mode": {"mode": "high-back-booster"}}, True),
    ({"mode": {"mode": "backless-booster"}, "installation": {"by": "lower-anchors"}}, True),
    ({}, False), ({"mode": {"mode": "rear-facing-harness"}}, False)])
def test_who_is_buckled_with_the_vehicle_belt_on_each_trip(case: dict[str, Any], each_trip: bool) -> None:
    placement, _ = placed(**case)
    assert placement.fastened_each_trip is each_trip


def test_a_driver_whom_nobody_listed() -> None:
    placement, world = placed()
    driver = world.unlisted_driver()
    assert driver is not None
    assert driver.rider == Rider(rider="the driver", adult=True, drives=True)
    assert (driver.position.position, driver.row.row, driver.restraint, driver.borrowed) == ("1L", 1, None, False)
    _, listed = placed(rider={"adult": True, "drives": True})
    assert listed.unlisted_driver() is None
    assert not placement.borrowed


def test_subjects_are_told_apart_by_identity() -> None:
    """Two placements alike are two: what is kept about one is not kept about the other."""
    placement, world = placed()
    for one in (placement, Pair(placement, placement), Seated((placement,)), world):
        assert replace(one) != one                   # type: ignore[type-var]  # each of them is a dataclass
