"""Rear-facing shells from the side: outlines, the seat ahead where it stands, and the gap between them."""

from __future__ import annotations

import pytest
from drawn import NS, drawn, pictured
from planned import FITTING, MEASURED, planned

from seatplan.geometry.ahead import Profile
from seatplan.geometry.shapes import Shapes

#: without a rear-facing shell in the best arrangement
WITHOUT = ("boosters-by-the-handbook",)
WITH_SHELLS = [name for name in FITTING if name not in WITHOUT]
EVERY_TRIP = pytest.mark.parametrize("name", WITH_SHELLS)


def side(name: str, position: str):
    return next(g for g in drawn(name).iter(f"{NS}g") if g.get("data-side") == position)


def test_trips_have_shells_as_they_are_listed():
    assert tuple(name for name in FITTING if not pictured(name).sides) == WITHOUT


@EVERY_TRIP
def test_every_rear_facing_shell_is_drawn(name: str):
    seats = planned(name).arrangements[0].seats
    assert {s.body.placement.position.position for s in pictured(name).sides} == {
        seat.placement.position.position for seat in seats if seat.placement.rear_facing}


@pytest.mark.parametrize("name", [name for name in WITH_SHELLS if name in MEASURED])
def test_outlines_are_those_that_the_solver_holds_against_the_seat_ahead(name: str):
    """Posed once more by geometry, from the records alone."""
    shapes = Shapes()
    for seen in pictured(name).sides:
        p = seen.body.placement
        assert p.mode is not None
        assert p.restraint is not None
        shape = shapes.posed(shapes.of(p.rider, p.restraint.restraint, p.mode, p.installation), p.mode, p.recline,
                             p.row.cushion.angle)
        for box, part in zip(shape.boxes, seen.body.parts, strict=True):
            assert part.label == box.label
            assert part.along == pytest.approx((box.outline.bounds[0], box.outline.bounds[2]), abs=0.06)
            assert part.up == pytest.approx((box.outline.bounds[1], box.outline.bounds[3]), abs=0.06)


@EVERY_TRIP
def test_the_seat_ahead_stands_as_far_forward_as_the_arrangement_says(name: str):
    ahead = planned(name).arrangements[0].ahead
    stands = dict(ahead.stands) if ahead else {}
    for seen in pictured(name).sides:
        p = seen.body.placement
        if not seen.profile:
            continue
        profile = next(e for e in side(name, p.position.position).iter() if e.get("data-profile"))
        points = [tuple(map(float, xy.split(","))) for xy in profile.get("points", "").split()]
        moved = stands.get(seen.ahead or "", 0) or stands.get(f"row {(seen.ahead or '0')[0]}", 0)
        moved -= stands.get(f"row {p.row.row}", 0)
        assert p.position.ahead is not None
        assert points[1:-1] == [(free + moved, -height) for height, free in Profile.of(p.position.ahead).points]


@EVERY_TRIP
def test_the_gap_is_drawn_as_long_as_it_is(name: str):
    for seen in pictured(name).sides:
        if seen.nearest is None:
            continue
        line = next(e for e in side(name, seen.body.placement.position.position).iter(f"{NS}line"))
        assert float(line.get("x2", "nan")) - float(line.get("x1", "nan")) == seen.nearest.mm
        assert float(line.get("y1", "nan")) == -seen.nearest.height_mm
        assert seen.nearest.mm >= seen.nearest.asked_mm          # these trips fit


def test_a_gap_by_hand():
    """Twins: 605 mm are free to 1L 300 mm up and 540 at 600, so 595 at 343; the seat stands 69 forward: 664. The shell
    reaches 639, which leaves the 25 that are asked for."""
    seen = next(s for s in pictured("twins-small-hatch").sides if s.body.placement.position.position == "2L")
    assert seen.nearest is not None
    assert (seen.stands_mm, seen.nearest.height_mm, seen.nearest.free_mm, seen.nearest.reach_mm, seen.nearest.mm) == (
        69, 343, 664, 639, 25)
    assert seen.nearest.tight


def test_recline_is_drawn_at_its_angle():
    """Wren's shell leans 33 degrees in this car (32 on a cushion of 14)."""
    line = next(e for e in side("three-across-school-run", "2C").iter() if e.get("data-angle"))
    assert line.get("data-angle") == "33"


def test_a_length_that_was_not_measured_is_told():
    said = [t.text for t in side("half-measured-car", "2R").iter(f"{NS}text")]
    assert "Not measured: free length ahead of 2R" in said


def test_what_is_to_spare_along_the_car_is_told_with_what_measuring_can_be_off():
    said = " ".join(" ".join(t.text or "" for t in drawn("twins-small-hatch").iter(f"{NS}text")).split())
    assert "Along the car, with what moves ahead at its limit: 81 mm to spare; measuring can be 8.5 mm off" in said
    assert "1L stands 69 mm forward of rearmost" in said
