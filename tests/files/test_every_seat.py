"""What a vehicle file says once for every seat: seats and rows that say nothing have it, others keep theirs."""

from __future__ import annotations

from typing import Any

import pytest

from seatplan.model import Vehicle


def _vehicle(every: dict[str, Any] | None, seat: dict[str, Any], row: dict[str, Any]) -> Vehicle:
    return Vehicle.model_validate({
        "vehicle": "Bench", "invented": True, **({} if every is None else {"every_seat": every}),
        "rows": [{"row": 1, **row, "positions": [{"position": "1L", **seat}]}]})


@pytest.mark.parametrize(("every", "seat", "row", "found"), [
    (None, {}, {}, (None, None, None)),
    ({}, {}, {}, (None, None, None)),
    ({"facing": "forward", "tip_up": False, "slides": False}, {}, {}, ("forward", "fixed", 0)),
    ({"facing": "rear", "tip_up": True, "slides": True}, {}, {}, ("rear", "fold-down", None)),
    ({"facing": "forward", "tip_up": False, "slides": False}, {"facing": "side", "seat": "fold-down"},
     {"slides": 90}, ("side", "fold-down", 90)),
    ({"facing": "forward"}, {"seat": "fixed"}, {}, ("forward", "fixed", None)),
    (None, {"facing": "forward"}, {"slides": 0}, ("forward", None, 0)),
])
def test_seats_and_rows_have_what_they_do_not_say(every: dict[str, Any] | None, seat: dict[str, Any],
                                                  row: dict[str, Any], found: tuple[Any, ...]):
    vehicle = _vehicle(every, seat, row)
    position = vehicle.position("1L")
    assert (position.facing, position.seat, vehicle.rows[0].slides) == found
    assert vehicle.row_of("1L").positions == [position]


def test_what_was_told_reads_back_the_same():
    vehicle = _vehicle({"facing": "forward", "slides": False}, {}, {})
    assert Vehicle.model_validate(vehicle.model_dump(mode="json")) == vehicle


@pytest.mark.parametrize(("every", "slides"), [({"slides": False}, [0, 90]), ({}, [None, 90]), (None, [None, 90])])
def test_a_part_of_a_row_that_says_nothing_does_not_slide_where_no_row_does(
        every: dict[str, Any] | None, slides: list[int | None]) -> None:
    parts = [{"positions": ["1L"]}, {"positions": ["1R"], "slides": 90}]
    vehicle = _vehicle(every, {}, {"parts": parts})
    assert [part.slides for part in vehicle.rows[0].parts] == slides
    assert vehicle.rows[0].slides is None
    assert Vehicle.model_validate(vehicle.model_dump(mode="json")) == vehicle
