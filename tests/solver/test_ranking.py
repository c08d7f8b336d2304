"""Packed costs, and what each criterion counts, on a trip small enough to count by hand."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from solved import DAY
from worlds import trip_of

from seatplan.rules.load import load_profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import World
from seatplan.solver.kinds import alike
from seatplan.solver.placements import Choices, all_choices
from seatplan.solver.ranking import (
    CLOSE,
    CRITERIA,
    LIKELY,
    ROOM_CAP_MM,
    SQUEEZED,
    UNMEASURED,
    CellCost,
    certainty,
    cost,
    decided_by,
    room_points,
    unpack,
)

NAMES = [criterion.name for criterion in CRITERIA]


def test_the_order_of_the_criteria() -> None:
    assert NAMES == ["certainty", "protection", "cautions", "tried", "wishes", "moves", "method", "centre", "room"]


def test_each_criterion_has_room_of_its_own() -> None:
    """As many bits as it says, and not one more: the largest value of each, all together, unpack to what they were."""
    largest = {criterion.name: (1 << criterion.bits) - 1 for criterion in CRITERIA}
    packed = cost(**largest)
    assert unpack(packed) == largest
    assert packed.bit_length() == sum(criterion.bits for criterion in CRITERIA) == 40 + 7 * 16 + 24
    assert cost() == 0
    assert cost(room=1) == 1
    assert certainty(packed) == largest["certainty"]


def test_what_comes_first_outweighs_all_that_follows() -> None:
    for earlier, later in pairwise(CRITERIA):
        assert cost(**{earlier.name: 1}) > cost(**{later.name: (1 << later.bits) - 1})
    assert (CLOSE, LIKELY, UNMEASURED, SQUEEZED) == (1, 1_000, 1_000_000, 1_000_000_000)
    assert CLOSE * 999 < LIKELY
    assert LIKELY * 999 < UNMEASURED
    assert UNMEASURED * 999 < SQUEEZED


def test_what_decided() -> None:
    assert decided_by(cost(wishes=1, room=5), cost(wishes=1, room=5)) is None
    assert decided_by(cost(wishes=1, room=5), cost(wishes=1, room=6)) == "room"
    assert decided_by(cost(protection=1, room=9), cost(protection=2, room=1)) == "protection"
    assert decided_by(cost(protection=2), cost(certainty=1)) == "certainty"
    assert decided_by(cost(wishes=2, room=5), cost(wishes=1, room=6)) == "wishes"


@pytest.mark.parametrize(("spare", "points"), [
    (None, 0), (0, 100), (0.9, 100), (1, 99), (99, 1), (99.9, 1), (100, 0), (250, 0)])
def test_room_counts_up_to_a_cap(spare: float | None, points: int) -> None:
    assert ROOM_CAP_MM == 100
    assert room_points(spare) == points


MODES = ["rear-facing-harness", "forward-facing-harness", "high-back-booster", "backless-booster", "lying-flat-bed",
         "harness-vest"]


def trip(**more: Any) -> dict[str, Any]:
    """Two children and an adult, one restraint of every mode and one more, a row of two and a row of three."""
    rows = [{"row": 1, "positions": [{"position": "1L"}, {"position": "1R"}]},
            {"row": 2, "lower_anchors": [{"bar": "a", "across": 175}, {"bar": "b", "across": 455}], "positions": [
                {"position": "2L", "lower_anchors": ["a", "b"]}, {"position": "2C"}, {"position": "2R"}]}]
    restraint = {"restraint": "all", "modes": [
        {"mode": mode, "installations": [{"by": "lower-anchors"}, {"by": "lap-shoulder-belt"}]} for mode in MODES]}
    other = {"restraint": "other", "modes": [{"mode": "rear-facing-harness",
                                              "installations": [{"by": "lap-shoulder-belt"}]}]}
    return {"trip": "Count", "vehicle": {"vehicle": "Bench", "invented": True, "rows": rows}, "drives": "1L",
            "riders": [{"rider": "Wren", "age": "2y"}, {"rider": "Oslo", "age": "4y"},
                       {"rider": "Ada", "adult": True}],
            "restraints": [restraint, other], **more}


def judged(data: dict[str, Any]) -> tuple[World, Choices]:
    """Every placement of a trip with its findings; nothing is searched."""
    trip = trip_of(data)
    world = World(trip, trip.vehicle, load_profile("us"), DAY)
    return world, all_choices(trip, Runner(world), alike(trip))


def told(data: dict[str, Any], rider: str, position: str, mode: str, by: str = "lap-shoulder-belt",
         restraint: str = "all") -> dict[str, int]:
    """What one placement counts, by criterion."""
    world, choices = judged(data)
    cells = [cell for cell in choices.cells() if (
        cell.placement.rider.rider, cell.placement.position.position, cell.placement.mode_name) == (
            rider, position, mode) and (mode == "adult-belt" or (
                cell.placement.by == by and cell.placement.restraint.restraint == restraint))]
    assert len(cells) == 1
    of = CellCost(world)
    assert of(cells[0]) == of(cells[0])
    counted = unpack(of(cells[0]))
    assert counted["certainty"] == UNMEASURED * cells[0].unmeasured + CLOSE * cells[0].close
    assert counted["cautions"] == cells[0].cautions
    assert counted["room"] == 0
    return counted


@pytest.mark.parametrize(("mode", "protection"), [
    ("rear-facing-harness", 0), ("lying-flat-bed", 0), ("forward-facing-harness", 1), ("harness-vest", 1),
    ("high-back-booster", 2), ("backless-booster", 3), ("adult-belt", 4)])
def test_the_most_protective_mode_counts_least(mode: str, protection: int) -> None:
    assert told(trip(), "Wren", "2L", mode)["protection"] == protection


def test_an_adult_is_not_asked_for_a_restraint() -> None:
    assert told(trip(), "Ada", "2L", "adult-belt")["protection"] == 0


def test_the_belt_counts_after_the_lower_anchors() -> None:
    assert told(trip(), "Wren", "2L", "rear-facing-harness", "lower-anchors")["method"] == 0
    assert told(trip(), "Wren", "2L", "rear-facing-harness")["method"] == 1
    assert told(trip(), "Wren", "2L", "high-back-booster")["method"] == 0


@pytest.mark.parametrize(("wishes", "unkept"), [
    ([{"rider": "Wren", "at": ["2L"]}], 0), ([{"rider": "Wren", "at": ["2R"]}], 1),
    ([{"rider": "Wren", "not_at": ["2L"]}], 1), ([{"rider": "Wren", "not_at": ["2R"]}], 0),
    ([{"rider": "Wren", "uses": ["all"]}], 0), ([{"rider": "Wren", "uses": ["other"]}], 1),
    ([{"rider": "Wren", "at": ["2R"]}, {"rider": "Wren", "not_at": ["2L"]}, {"rider": "Wren", "uses": ["other"]}], 3),
    ([{"rider": "Oslo", "at": ["2R"]}], 0), ([{"rider": "Ada", "at": ["2R"]}, {"rider": "Wren", "at": ["2L"]}], 0),
    ([{"rider": "Wren", "at": ["2R"], "must": True}], 0), ([{"apart": ["Wren", "Oslo"]}], 0)])
def test_wishes_that_are_not_kept(wishes: list[dict[str, Any]], unkept: int) -> None:
    assert told(trip(wishes=wishes), "Wren", "2L", "rear-facing-harness")["wishes"] == unkept


def test_wishes_of_others_count_for_them() -> None:
    wish = [{"rider": "Wren", "at": ["2R"]}]
    assert told(trip(wishes=wish), "Oslo", "2L", "rear-facing-harness")["wishes"] == 0


def test_adults_alone_have_no_youngest() -> None:
    assert told(trip(riders=[{"rider": "Ada", "adult": True}]), "Ada", "2L", "adult-belt")["centre"] == 0


@pytest.mark.parametrize(("now", "moves"), [
    ({"position": "2L", "restraint": "all"}, 0), ({"position": "2R", "restraint": "all"}, 1),
    ({"position": "2C", "restraint": "all"}, 1), ({"position": "2L", "restraint": "other"}, 1),
    ({"position": "2L", "restraint": None}, 1), ({"position": "2R", "restraint": "other"}, 2)])
def test_changes_from_today(now: dict[str, Any], moves: int) -> None:
    assert told(trip(current={"Wren": now}), "Wren", "2L", "rear-facing-harness")["moves"] == moves
    assert told(trip(current={"Oslo": now}), "Wren", "2L", "rear-facing-harness")["moves"] == 0


def test_on_the_adult_belt_as_today() -> None:
    assert told(trip(current={"Ada": {"position": "1L", "restraint": None}}), "Ada", "1L", "adult-belt")["moves"] == 0


def ages(*given: Any) -> list[dict[str, Any]]:
    names = ("Wren", "Oslo", "Pim")
    return [{"rider": name, **({} if age is None else {"age": age})} for name, age in zip(names, given, strict=False)]


@pytest.mark.parametrize(("riders", "position", "mode", "counts"), [
    (ages("2y", "4y"), "2L", "rear-facing-harness", 1), (ages("2y", "4y"), "2R", "forward-facing-harness", 1),
    (ages("2y", "4y"), "2C", "rear-facing-harness", 0), (ages("2y", "4y"), "1R", "rear-facing-harness", 0),
    (ages("2y", "4y"), "2L", "high-back-booster", 0), (ages("4y", "2y"), "2L", "rear-facing-harness", 0),
    (ages("2y", "2y"), "2L", "rear-facing-harness", 1), (ages("2y"), "2L", "rear-facing-harness", 0),
    (ages("2y", None), "2L", "rear-facing-harness", 0), (ages(None, "2y"), "2L", "rear-facing-harness", 0),
    ([*ages("2y"), {"rider": "Ada", "adult": True, "age": "30y"}], "2L", "rear-facing-harness", 0)])
def test_the_youngest_in_a_harness_beside_a_centre_seat(riders: list[dict[str, Any]], position: str, mode: str,
                                                        counts: int) -> None:
    assert told(trip(riders=riders), "Wren", position, mode)["centre"] == counts


def test_each_cell_has_a_cost_of_its_own() -> None:
    world, choices = judged(trip())
    of = CellCost(world)
    cells = list(choices.cells())
    assert [of(cell) for cell in cells] == [CellCost(world)(cell) for cell in cells] == [of(cell) for cell in cells]
