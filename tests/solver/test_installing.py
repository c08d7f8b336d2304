"""The order of installing: what a neighbour would cover goes in first; else further back first, centre before sides."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from random import Random

from worlds import random_trip

from seatplan.files.load import load_trip
from seatplan.model import Row, Tried
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Placement
from seatplan.rules.tries import lacks_readings
from seatplan.solver.installing import cards, order
from seatplan.solver.picture import BodySeen, PartSeen, Picture, RowSeen, picture
from seatplan.solver.plan import plan, planned
from seatplan.solver.under_way import as_under_way, state_of

HAND_MM = 40
TRIP = load_trip("three-across-school-run")
ROW = TRIP.vehicle.row_of("2L")
BASE = ((0.0, 0.0), (400.0, 0.0), (400.0, 150.0), (0.0, 150.0))


def body(position: str, rider: str, across: float, width: int, bars: tuple[str, ...] = (), row: Row = ROW) -> BodySeen:
    """A restraint with one low part of that width, on bars or on the belt."""
    restraint = TRIP.restraint("Nook")
    mode = restraint.mode("rear-facing-harness")
    installation = mode.installations[0 if bars else 1]
    who = next(r for r in TRIP.riders if r.rider == "Wren").model_copy(update={"rider": rider})
    spot = next(p for p in row.positions if p.position == position)
    placement = Placement(who, spot, row, restraint, mode, installation, bars)
    return BodySeen(placement, across, (PartSeen(f"{rider} base", BASE, width, False),), None)


def turns(*bodies: BodySeen):
    return order(Picture((RowSeen(ROW, None, bodies, (), None),), ()), HAND_MM)


def names(found) -> list[str]:
    return [turn.placement.rider.rider for turn in found]


def test_nothing_in_the_way_centre_before_sides():
    """Harrow Estate: bars at 160, 440, 960, 1240; the buckle of 2C at 850; bodies 300 wide reach none of them."""
    found = turns(body("2L", "Ada", 300, 200, ("a", "b")), body("2C", "Bo", 700, 200), body("2R", "Cy", 1100, 200))
    assert names(found) == ["Bo", "Ada", "Cy"]
    assert all(not turn.before and not turn.both_ways for turn in found)


def test_a_bar_that_a_neighbour_covers_goes_in_first():
    """Bo's base is 560 wide about 700: from 420 to 980, so it lies over bar b at 440 by 20 mm."""
    found = turns(body("2L", "Ada", 300, 200, ("a", "b")), body("2C", "Bo", 700, 560))
    assert names(found) == ["Ada", "Bo"]
    (way,) = found[0].before
    assert (way.by, way.thing, way.room_mm, way.needs_mm) == ("Bo", "bar b", -20, HAND_MM)


def test_exactly_a_hands_room_is_enough_and_one_mm_less_is_not():
    """Bar b at 440: a base from 480 leaves 40, one from 479 leaves 39."""
    enough = turns(body("2L", "Ada", 300, 200, ("a", "b")), body("2C", "Bo", 700, 440))
    assert names(enough) == ["Bo", "Ada"]
    little = turns(body("2L", "Ada", 300, 200, ("a", "b")), body("2C", "Bo", 700, 442))
    assert names(little) == ["Ada", "Bo"]
    assert little[0].before[0].room_mm == 39


def test_a_buckle_that_a_neighbour_covers():
    """The buckle of 2C is at 850; Cy's base reaches from 840."""
    found = turns(body("2C", "Bo", 700, 200), body("2R", "Cy", 1100, 520))
    assert names(found) == ["Bo", "Cy"]
    assert [way.thing for way in found[0].before] == ["the buckle of 2C"]


def test_a_side_that_the_centre_would_cover_and_that_covers_the_centre():
    """Bo covers bar b, Ada covers nothing of Bo's on the left; with Ada at 500 wide she reaches Bo's buckle nowhere, so
    it takes Cy, whose base covers Bo's buckle, and whose bar c Bo covers too."""
    found = turns(body("2C", "Bo", 700, 560), body("2R", "Cy", 1100, 520, ("c", "d")))
    assert names(found) == ["Bo", "Cy"]
    assert [way.thing for way in found[0].before] == ["the buckle of 2C"]
    assert [way.thing for way in found[1].both_ways] == ["bar c"]


def test_parts_high_above_do_not_cover():
    high = body("2C", "Bo", 700, 560)
    lifted = replace(high, parts=(replace(high.parts[0], outline=tuple((x, y + 300) for x, y in BASE)),))
    assert names(turns(body("2L", "Ada", 300, 200, ("a", "b")), lifted)) == ["Bo", "Ada"]


def test_rows_further_back_first():
    trip = load_trip("nine-seat-shuttle")
    solved = plan(trip, load_profile(trip.rules), date(2026, 11, 25), top=1)
    rows = [turn.placement.row.row for turn in order(picture(solved, solved.arrangements[0]), HAND_MM)]
    assert rows == sorted(rows, reverse=True)
    assert len(set(rows)) > 1


def test_what_is_needed_before_it_holds_is_asked_for_on_its_card_however_it_is_used():
    """Random trips have shields and seats with a restraint of their own; of the latter nothing is
    asked but how the belt lies or where the straps are."""
    seen: Counter[str] = Counter()
    for seed in range(120):
        trip = random_trip(Random(seed))
        solved = planned(trip, load_profile(trip.rules), date(2026, 11, 25), top=6)
        for arrangement in solved.arrangements:
            aims = as_under_way(solved, arrangement)
            state = state_of(solved.trip.model_copy(update={"under_way": aims}), solved.profile, solved.day)
            for card in cards(solved, arrangement, picture(solved, arrangement)):
                p = card.placement
                seen[p.mode_name] += 1
                if p.built_in:
                    seen["built-in"] += 1
                    assert set(lacks_readings(None, p.mode)) <= set(card.readings) <= {
                        "belt_fits", "straps", "head_below_top"}, (seed, p.rider.rider)
                    assert state is not None
                    assert p.rider.rider in state.seats
                elif p.restraint is not None and p.mode is not None:
                    nothing = Tried.model_validate({
                        "restraint": p.restraint.restraint, "position": p.position.position, "by": p.by})
                    assert set(lacks_readings(nothing, p.mode)) <= set(card.readings), (seed, p.rider.rider)
                    assert state is not None
                    assert p.rider.rider in state.waiting
    wanted = ("rear-facing-harness", "forward-facing-harness", "high-back-booster", "impact-shield", "built-in",
              "seat-belt")
    assert {what for what in wanted if not seen[what]} == set()
