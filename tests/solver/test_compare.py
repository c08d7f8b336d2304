"""One trip in several vehicles: each answer is that of the vehicle by itself, and what is said to be lost is."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest

from seatplan.files.load import load_trip
from seatplan.files.plain import trip_in_vehicles
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.compare import Comparison, InVehicle, Lost, compare
from seatplan.solver.kinds import alike
from seatplan.solver.plan import plan
from seatplan.solver.ranking import CRITERIA, unpack
from seatplan.solver.results import Arrangement
from seatplan.views.compare_json import compare_json
from seatplan.views.compare_text import compare_text, overview

DAY = date(2026, 11, 25)
PAIRS = [("three-across-school-run", "cattlegate-crew-cab"), ("three-across-school-run", "skiff-two"),
         ("three-across-school-run", "quarry-saloon"), ("twins-small-hatch", "quarry-saloon"),
         ("twins-small-hatch", "half-measured-hatch"), ("three-too-wide", "lindholm-estate"),
         ("tall-driver", "lindholm-estate")]
EVERY_PAIR = pytest.mark.parametrize(("name", "vehicle"), PAIRS)


@cache
def compared(name: str, *vehicles: str) -> Comparison:
    loaded = trip_in_vehicles(name, vehicles)
    own = next(i for i, one in enumerate(loaded) if one.own)
    return compare([one.trip for one in loaded], load_profile(loaded[0].trip.rules), DAY, own=own)


def everything(trip: Trip) -> tuple[Arrangement, ...]:
    return _everything(trip.trip, trip.vehicle.vehicle)


@cache
def _everything(name: str, vehicle: str) -> tuple[Arrangement, ...]:
    """By the names of a trip and a vehicle, since records cannot be keys."""
    one = next(one for pair in PAIRS for one in compared(*pair).vehicles
               if (one.trip.trip, one.trip.vehicle.vehicle) == (name, vehicle))
    return plan(one.trip, load_profile(one.trip.rules), DAY, top=None).arrangements


def where(arrangement: Arrangement) -> set[tuple[str, str, str | None, str]]:
    return {(p.rider.rider, p.position.position, p.restraint.restraint if p.restraint else None, p.mode_name)
            for p in (seat.placement for seat in arrangement.seats)}


@EVERY_PAIR
def test_each_vehicle_has_the_answer_that_it_has_by_itself(name: str, vehicle: str):
    for one, alone in zip(compared(name, vehicle).vehicles, (load_trip(name), load_trip(name, vehicle)), strict=True):
        by_itself = plan(alone, load_profile(alone.rules), DAY, top=1)
        assert one.trip == alone
        assert one.plan.tally == by_itself.tally
        assert one.plan.verdict == by_itself.verdict
        assert [where(a) for a in by_itself.arrangements] == ([where(one.best)] if one.best else [])


@EVERY_PAIR
def test_what_does_not_go_along_is_in_no_arrangement_there(name: str, vehicle: str):
    found = compared(name, vehicle)
    for one in found.vehicles:
        seatings = everything(one.trip)
        lost = {(item.rider, item.reason): item for item in one.lost}
        for rider, rides in found.rides.items():
            with_it = [a for a in seatings if any(_rides_so(s.placement, rider, rides) for s in a.seats)]
            mine = [item for (who, _), item in lost.items() if who == rider]
            if mine and mine[0].reason != "way":
                assert with_it == []
                assert _is_backed(mine[0], one)
            elif not mine and not _adult(one.trip, rider):
                assert with_it


def _rides_so(placement: object, rider: str, rides: object) -> bool:
    p, r = placement, rides
    return (p.rider.rider == rider and p.position.position == r.position  # type: ignore[attr-defined]  # duck-typed
            and (p.restraint.restraint if p.restraint else None) == r.restraint  # type: ignore[attr-defined]
            and (r.placement is None or r.placement.mode_name == p.mode_name))  # type: ignore[attr-defined]


def _adult(trip: Trip, name: str) -> bool:
    return next(rider.adult for rider in trip.riders if rider.rider == name)


def _is_backed(lost: Lost, one: InVehicle) -> bool:
    """Whether a reason comes with what shows it."""
    if lost.reason == "seat":
        return lost.was.position not in {p.position for p in one.trip.vehicle.positions()}
    if lost.reason == "rules":
        return bool(lost.findings) and all(f.outcome == "block" for f in lost.findings)
    if lost.reason == "room":
        return lost.squeeze is not None and lost.squeeze.squeeze.short > 0
    return lost.reason == "others"


@EVERY_PAIR
def test_in_what_keeps_most_the_same_fewest_children_move_of_those_as_safe(name: str, vehicle: str):
    """By steps 1 to 8 of the order the two are alike; where no fewer children move than in the best, none is named."""
    found = compared(name, vehicle)

    def moves(arrangement: Arrangement) -> int:
        return sum((p.position.position, p.restraint.restraint if p.restraint else None,
                    r.placement and r.placement.mode_name) != (
                        r.position, r.restraint, r.placement and p.mode_name)
                   for p in (seat.placement for seat in arrangement.seats)
                   if (r := found.rides.get(p.rider.rider)) is not None and not p.rider.adult)

    steps = [criterion.name for criterion in CRITERIA if criterion.step <= 8]
    for one in found.vehicles:
        if one.best is None:
            assert one.keeps is None
            continue
        best = unpack(one.best.cost)
        like = [a for a in everything(one.trip) if all(unpack(a.cost)[step] == best[step] for step in steps)]
        if one.keeps is not None:
            assert moves(one.keeps) < moves(one.best)
            assert all(unpack(one.keeps.cost)[step] == best[step] for step in steps)
        told, least = moves(one.keeps or one.best), min(map(moves, like))
        # of copies that are alike each keeps its own: the list gives them out left to right, whoever had which
        assert told == least or (told < least and alike(one.trip).alike())


def test_some_vehicle_has_one_in_which_fewer_children_move():
    assert any(one.keeps is not None for pair in PAIRS for one in compared(*pair).vehicles)


@EVERY_PAIR
def test_table_text_and_json_count_the_moves_of_the_arrangement_that_comes_first(name: str, vehicle: str):
    found = compared(name, vehicle)
    told = compare_json(found, [[] for _ in found.vehicles])
    text = compare_text(found, [[] for _ in found.vehicles], [name, name])
    for one, line, data in zip(found.vehicles, overview(found), told["vehicles"], strict=True):
        adults = {rider.rider for rider in one.trip.riders if rider.adult}
        rides = {ride["rider"] for ride in told["rides"]} - adults
        moving = [c["rider"] for c in data["changes"]
                  if c["rider"] in rides and {"seat", "restraint", "mode"} & set(c["what"])]
        itself = found.held_against == "first" and one is found.vehicles[0]
        if one.best is None or itself:
            assert line[3] == "-"
        else:
            assert line[3] == f"{len(moving)} of {len(rides)}"
            assert f"{len(moving)} of {len(rides)}" in text


def test_changes_are_counted_from_today_in_the_own_vehicle_wherever_that_stands():
    ways = [compared("three-across-school-run", *given) for given in (
        ("quarry-saloon",), ("quarry-saloon", "harrow-estate"), ("harrow-estate", "quarry-saloon"))]
    assert [[one.trip.vehicle.vehicle for one in found.vehicles] for found in ways] == [
        ["Harrow Estate", "Quarry Saloon"], ["Quarry Saloon", "Harrow Estate"], ["Harrow Estate", "Quarry Saloon"]]
    for found in ways:
        assert found.held_against == "today"
        assert {name: (r.position, r.restraint) for name, r in found.rides.items()} == {
            "Wren": ("2R", "Nook"), "Oslo": ("2L", "Lattice"), "Tamsin": ("1R", "Cushion")}


def test_the_first_vehicle_is_what_others_are_held_against_where_nobody_says_how_they_ride():
    found = compared("twins-small-hatch", "quarry-saloon")
    first = found.vehicles[0]
    assert found.held_against == "first"
    assert all(change.what == () for change in first.changes)
    assert first.lost == ()
    assert first.keeps is None


@pytest.mark.parametrize(("name", "vehicle", "rider", "reason", "rules"), [
    ("three-across-school-run", "skiff-two", "Wren", "seat", ()),
    ("twins-small-hatch", "quarry-saloon", "Ada", "rules", ("belt-too-short", "no-shoulder-belt")),
    ("borrowed-bars", "pipkin-hatch", "Rafi", "way", ("no-lower-anchors",)),
    ("twins-small-hatch", "dowel-coupe", "Kit", "others", ()),
    ("twins-small-hatch", "dowel-coupe", "Ivo", "room", ()),
])
def test_why_it_does_not_go_along(name: str, vehicle: str, rider: str, reason: str,
                                     rules: tuple[str, ...]):
    lost = next(item for item in compared(name, vehicle).vehicles[1].lost if item.rider == rider)
    assert lost.reason == reason
    assert tuple(f.rule for f in lost.findings) == rules


def test_a_vehicle_without_anything_is_first_and_nothing_can_be_held_against_it():
    found = compared("three-boosters-two-belts", "cattlegate-crew-cab")
    assert found.held_against == "nothing"
    assert found.rides == {}
    assert found.vehicles[0].best is None
    assert found.vehicles[1].best is not None
    assert all(change.before is None for change in found.vehicles[1].changes)
