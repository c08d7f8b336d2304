"""A restraint that is declared to a fixture of UN R16: what is said of the largest of its kind is what geometry says of
the fixture, on every cushion, behind every seat and beside every neighbour."""

from __future__ import annotations

from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.estimate.fixtures import declared, envelope
from seatplan.estimate.restraints import estimated_restraint
from seatplan.files.load import load_restraint
from seatplan.geometry.ahead import Profile, room_needed
from seatplan.geometry.recline import Setting
from seatplan.geometry.shapes import Shape, Shapes, least_distance, shape_of_restraint
from seatplan.model import Ahead, Mode, Part, Restraint
from seatplan.model.estimated import EstimatedRestraint
from seatplan.model.listed import Fixture
from seatplan.store import Store

DRAWN = ("R1", "R2X", "R2", "R3", "F2X", "F2", "F3", "B2", "B3")
#: a kind that rides so, and its mode
KIND = {"R": ("rear-and-forward", "rear-facing-harness"), "F": ("forward-only", "forward-facing-harness"),
        "B": ("high-back", "high-back-booster")}
CUSHIONS = st.sampled_from([5.0, 10.0, 15.0, 20.0, 25.0])
GAPS = st.lists(st.integers(300, 1000), min_size=3, max_size=3)


def of_kind(fixture: str, **more: Any) -> Restraint:
    kind, _ = KIND[fixture[0]]
    return estimated_restraint(Restraint.model_validate({
        "restraint": "Ours", "kind": kind, "level_adjusts": True,
        "approval": {"standard": "UN R129", "category": "specific-vehicle", "fixtures": [fixture]}, **more}))


def largest(fixture: str, **more: Any) -> Mode:
    found = of_kind(fixture, **more)
    assert isinstance(found, EstimatedRestraint)
    return found.corners[0].mode(KIND[fixture[0]][1])


def posed(mode: Mode, cushion: float) -> Shape:
    """As it stands at its reference on a cushion."""
    reference = 0.0 if mode.recline is None else mode.recline.reference
    shapes = Shapes(Store())
    shape = shape_of_restraint("it", mode, None)
    return shapes.posed(shape, mode, Setting(reference, 0, reference), cushion)


def filler(fixture: str) -> Mode:
    return load_restraint(f"un-{fixture.lower()}").modes[0]


def test_every_fixture_but_carry_cots_is_drawn() -> None:
    assert {fixture for fixture in get_args(Fixture) if envelope(fixture) is not None} == set(DRAWN)


@pytest.mark.parametrize("fixture", DRAWN)
@settings(deadline=None, max_examples=40)
@given(cushion=CUSHIONS, gaps=GAPS, clearance=st.sampled_from([0, 25]))
def test_it_needs_the_room_ahead_of_the_fixture(fixture: str, cushion: float, gaps: list[int], clearance: int) -> None:
    profile = Profile.of(Ahead(gap=list(zip((0, 400, 900), gaps, strict=True))))
    ours, theirs = (room_needed(posed(mode, cushion), profile, clearance)
                    for mode in (largest(fixture), filler(fixture)))
    assert ours.mm == theirs.mm


@pytest.mark.parametrize("fixture", DRAWN)
@settings(deadline=None, max_examples=40)
@given(cushion=CUSHIONS, other=st.sampled_from(DRAWN), low=st.integers(0, 700), high=st.integers(20, 400),
       near=st.integers(0, 600), deep=st.integers(50, 500), width=st.integers(200, 600))
def test_it_stands_as_far_from_its_neighbours_as_the_fixture(
        fixture: str, cushion: float, other: str, low: int, high: int, near: int, deep: int, width: int) -> None:
    """From another fixture, and from any box."""
    box = filler("F2").model_copy(update={"parts": [
        Part(part="box", along=(near, near + deep), up=(low, low + high), width=width)]})
    for beside in (posed(filler(other), cushion), posed(box, 15.0)):
        ours, theirs = (least_distance(posed(mode, cushion), beside) for mode in (largest(fixture), filler(fixture)))
        assert ours.need == theirs.need


@pytest.mark.parametrize("fixture", DRAWN)
def test_a_measured_width_counts_for_that_of_the_fixture(fixture: str) -> None:
    assert {part.width for part in largest(fixture, width=420).parts} == {420}
    assert {part.width for part in largest(fixture).parts} == {filler(fixture).parts[0].width}


@pytest.mark.parametrize(("fixtures", "category", "mode", "found"), [
    (["R1", "R3", "R2"], "specific-vehicle", "rear-facing-harness", "R3"),
    (["F2X"], "specific-vehicle", "rear-facing-harness", None),
    ([], "i-size", "rear-facing-harness", "R2"), ([], "i-size", "forward-facing-harness", "F2X"),
    ([], "i-size-booster", "high-back-booster", "B2"), (["B3"], "i-size-booster", "high-back-booster", "B3"),
    ([], "universal-belted", "rear-facing-harness", None), (["L1"], "specific-vehicle", "lying-flat-bed", None),
])
def test_the_largest_that_is_declared_counts(fixtures: list[str], category: str, mode: str, found: str | None) -> None:
    restraint = Restraint.model_validate({
        "restraint": "X", "approval": {"standard": "UN R129", "category": category, "fixtures": fixtures},
        "modes": [{"mode": mode, "installations": [{"by": "lap-shoulder-belt"}]}]})
    assert declared(restraint.approval, restraint.modes[0]) == (None if found is None else envelope(found))


def test_without_an_approval_nothing_bounds_it() -> None:
    free = estimated_restraint(Restraint.model_validate({"restraint": "Ours", "kind": "rear-and-forward"}))
    assert isinstance(free, EstimatedRestraint)
    assert all(part.outline is None for part in free.corners[0].mode("rear-facing-harness").parts)


@pytest.mark.parametrize("fixture", DRAWN)
def test_the_smallest_is_that_of_the_kind(fixture: str) -> None:
    """A fixture bounds from above alone."""
    found = of_kind(fixture)
    assert isinstance(found, EstimatedRestraint)
    assert all(part.outline is None for part in found.corners[1].mode(KIND[fixture[0]][1]).parts)
