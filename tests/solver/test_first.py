"""What is said of the best arrangement before all else, on trips made for it; expected by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from solved import DAY

from seatplan import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.views.first_text import first_lines

HERE = Path(__file__).parent / "first"


def answered(name: str) -> Plan:
    trip = load_trip(HERE / f"{name}.yaml")
    return plan(trip, load_profile(trip.rules), DAY, top=1)


def test_a_teenager_in_front_is_not_told_as_all_children_in_the_back() -> None:
    found = answered("a-teenager-in-front")
    assert found.first.in_front == ()
    assert first_lines(found)[0] == "All children under 13 in the back: yes."


@pytest.mark.parametrize(("name", "rider", "wants"), [
    ("no-back-seat", "Fyra", "back"), ("one-must-forces", "Nine", "wishes"), ("one-must-said-twice", "Kit", "wishes"),
    ("two-musts-together", "Nine", "wishes")])
def test_for_want_of_what_a_child_sits_in_front(name: str, rider: str, wants: str) -> None:
    [one] = answered(name).first.in_front
    assert (one.rider, one.position, one.instead, one.wants) == (rider, "1R", None, wants)


@pytest.mark.parametrize(("name", "who", "criterion"), [
    ("one-must-forces", [("Nine", ["1R"], None)], "front_older"),
    ("one-must-said-twice", [("Kit", ["1R"], None), ("Kit", None, ["2L", "2C", "2R"])], "front_under_nine"),
    # without Gran's wish and Nine's there is a seat behind, and so there is without Aunt's and Nine's: one pair is told
    ("two-musts-together", [("Nine", ["1R"], None), ("Aunt", ["2R"], None)], "front_older"),
    ("the-one-that-fits-costs", [("Six", None, None)], "grave")])
def test_musts_that_cost_safety_are_told_together_where_none_does_alone(
        name: str, who: list[tuple[str, list[str] | None, list[str] | None]], criterion: str) -> None:
    [found] = answered(name).first.against
    assert [(wish.rider, wish.at, wish.not_at) for wish in found.wishes] == who
    assert found.criterion == criterion


def test_one_reading_is_found_among_many_shells_that_lack_two() -> None:
    found = answered("readings-of-many-shells").first.one_reading
    assert found is not None
    assert {seat.placement.restraint.restraint for seat in found.seats if seat.placement.rear_facing
            and seat.placement.restraint} == {"Good"}


def test_a_shell_in_which_a_younger_child_rides_is_no_near_miss() -> None:
    found = answered("the-shell-is-the-younger-ones")
    assert {seat.placement.rider.rider: seat.placement.rear_facing for seat in found.arrangements[0].seats} == {
        "Mum": False, "Tre": False, "Bab": True}
    assert found.first.near_misses == ()


def test_nobody_is_sent_to_a_shell_under_recall() -> None:
    told = [finding.rule for seat in answered("a-shell-under-recall").arrangements[0].seats
            for finding in seat.cell.findings if finding.outcome == "caution"]
    assert "still-fits-rear-facing" not in told


def test_the_best_that_fits_says_what_it_costs() -> None:
    found = answered("the-one-that-fits-costs")
    assert found.first.fits is not None
    assert found.first.fits.decided_by == "front_under_nine"
    assert first_lines(found)[-1].endswith("Against that one, this one has fewer children under nine in front.")
