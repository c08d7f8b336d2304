"""The bundled vehicles, restraints and trips: all read, all invented, every kind is there."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from bundled import RESTRAINTS, TRIPS, VEHICLES, modes

from seatplan.files.library import Kind, names
from seatplan.model import Mode, Position, Restraint, Trip, Vehicle

# --- how much there is, and that it says that it is invented ---


@pytest.mark.parametrize(("kind", "least"), [("vehicle", 13), ("restraint", 33), ("trip", 11)])
def test_there_is_enough(kind: Kind, least: int) -> None:
    assert len(names(kind)) >= least


@pytest.mark.parametrize("name", VEHICLES)
def test_vehicle_says_that_it_is_invented(name: str) -> None:
    assert VEHICLES[name].invented


@pytest.mark.parametrize("name", RESTRAINTS)
def test_restraint_says_that_it_is_invented(name: str) -> None:
    assert RESTRAINTS[name].invented


@pytest.mark.parametrize("name", TRIPS)
def test_trip_says_that_it_is_invented_and_fixes_its_day(name: str) -> None:
    assert "invented" in TRIPS[name].notes.lower()
    assert TRIPS[name].on is not None, "without a day the answer changes with the calendar"


@pytest.mark.parametrize("kind", ["vehicle", "restraint"])
def test_every_file_is_called_by_its_own_name(kind: Kind) -> None:
    told = (
        [v.vehicle for v in VEHICLES.values()]
        if kind == "vehicle"
        else [r.restraint for r in RESTRAINTS.values()]
    )
    assert len(set(told)) == len(told)


# --- every kind is there ---


def has_position(test: Callable[[Position], object]) -> Callable[[Vehicle], bool]:
    return lambda car: any(test(p) for p in car.positions())


def seats(*per_row: int) -> Callable[[Vehicle], bool]:
    return lambda car: tuple(len(row.positions) for row in car.rows) == per_row


CARS: dict[str, Callable[[Vehicle], bool]] = {
    "a lap belt in the middle": has_position(
        lambda p: p.position[1] == "C" and p.belt and p.belt.kind == "lap"
    ),
    "three seats in a row, each with bars and tether": lambda car: any(
        len(row.positions) == 3
        and all(p.lower_anchors and p.tether not in (None, "none") for p in row.positions)
        for row in car.rows
    ),
    "no support leg over a floor box": has_position(lambda p: p.support_leg == "forbidden"),
    "fold-down seats that face rearward": has_position(
        lambda p: p.seat == "fold-down" and p.facing == "rear"
    ),
    "no lower anchors, belts that lock only in a crash": lambda car: (
        all(p.lower_anchors == () for row in car.rows for p in row.positions)
        and any(
            p.belt and p.belt.retractor == "emergency" and p.belt.latchplate == "sliding"
            for row in car.rows[1:]
            for p in row.positions
        )
    ),
    "eight seats in three rows": lambda car: len(car.rows) == 3 and len(car.positions()) == 8,
    "nine seats, three by three": seats(3, 3, 3),
    "two seats, with an airbag switch": lambda car: (
        len(car.positions()) == 2
        and any(p.airbag and p.airbag.front == "switchable" for p in car.positions())
    ),
    "a second row that slides": lambda car: len(car.rows) == 3 and car.rows[1].slides >= 100,
    "a centre that may borrow bars": has_position(lambda p: p.position[1] == "C" and p.borrow),
    "an anchor that two seats share": lambda car: any(
        len({p.tether for p in row.positions if p.tether not in (None, "none")})
        < sum(p.tether not in (None, "none") for p in row.positions)
        for row in car.rows
    ),
    "much that was not measured": has_position(
        lambda p: p.head_restraint is None and (p.belt is None or p.belt.retractor is None)
    ),
    "a head restraint that stays and juts": has_position(
        lambda p: (
            p.head_restraint and p.head_restraint.removable is False and (p.head_restraint.juts or 0) > 20
        )
    ),
}


@pytest.mark.parametrize("kind", CARS)
def test_there_is_a_vehicle_with(kind: str) -> None:
    assert any(CARS[kind](car) for car in VEHICLES.values())


def widest(mode: Mode) -> int:
    return max((part.width or 0 for part in mode.parts), default=0)


THINGS: dict[str, Callable[[Mode], object]] = {
    "a rear-facing carrier with and without its base": lambda m: (
        m.rear_facing and {i.base for i in m.installations} >= {"with", "without"}
    ),
    "a base with a shape of its own": lambda m: any(i.base == "with" and i.parts for i in m.installations),
    "a narrow rear-facing shell": lambda m: m.rear_facing and 420 <= widest(m) <= 440,
    "a wide rear-facing shell": lambda m: m.rear_facing and widest(m) >= 500,
    "a support leg with rigid connectors": lambda m: any(
        i.support_leg and i.connectors == "rigid" for i in m.installations
    ),
    "a narrow high back": lambda m: m.mode == "high-back-booster" and 0 < widest(m) <= 440,
    "a wide high back": lambda m: m.mode == "high-back-booster" and widest(m) >= 500,
    "a high back with flexible connectors": lambda m: (
        m.booster
        and any(i.by == "lower-anchors-with-belt" and i.connectors == "flexible" for i in m.installations)
    ),
    "a high back with rigid connectors": lambda m: (
        m.booster
        and any(i.by == "lower-anchors-with-belt" and i.connectors == "rigid" for i in m.installations)
    ),
    "a backless booster of 38 cm": lambda m: m.mode == "backless-booster" and widest(m) == 380,
    "a backless booster of 44 cm": lambda m: m.mode == "backless-booster" and widest(m) == 440,
    "a bed": lambda m: m.mode == "lying-flat-bed",
    "a vest": lambda m: m.mode == "harness-vest",
    "a harness for lap belts": lambda m: m.harness and any(i.by == "lap-belt" for i in m.installations),
    "a harness that asks for its tether": lambda m: (
        m.mode == "forward-facing-harness" and any(i.needs_tether for i in m.installations)
    ),
    "bars that may be borrowed": lambda m: any(i.borrow == "allowed" for i in m.installations),
}


@pytest.mark.parametrize("kind", THINGS)
def test_there_is_a_restraint_with(kind: str) -> None:
    assert any(THINGS[kind](mode) for _, _, mode in modes())


def test_convertibles_and_combinations_are_there() -> None:
    sets = [{mode.mode for mode in restraint.modes} for restraint in RESTRAINTS.values()]
    assert any(s >= {"rear-facing-harness", "forward-facing-harness"} for s in sets)
    assert any(s >= {"forward-facing-harness", "high-back-booster"} for s in sets)


@pytest.mark.parametrize(("where", "mode"), [(w, m) for w, _, m in modes()], ids=[w for w, _, _ in modes()])
def test_every_mode_says_what_rules_ask(where: str, mode: Mode) -> None:
    """Bundled restraints leave nothing open, so that what stays unmeasured is the family's and the car's."""
    assert mode.limits.mass or mode.limits.height, where
    assert mode.parts or all(i.parts for i in mode.installations)
    for part in (*mode.parts, *(p for i in mode.installations for p in i.parts)):
        assert part.width is not None
        assert part.outline or (part.along and part.up)
    if mode.harness:
        assert mode.shoulder_slots
        assert mode.shell_height
    if mode.rear_facing:
        assert mode.recline
        assert mode.recline.settings
        assert mode.recline.allowed
        assert mode.touch_ahead
    if mode.booster:
        assert mode.seat_up is not None
    for installation in mode.installations:
        if "belt" in installation.by:
            assert installation.belt_needed is not None
            assert installation.inflatable_belt is not None
        if installation.by.startswith("lower-anchors"):
            assert installation.connectors is not None


@pytest.mark.parametrize("restraint", RESTRAINTS.values(), ids=list(RESTRAINTS))
def test_no_copy_is_described_by_a_bundled_restraint(restraint: Restraint) -> None:
    """Day made, crashes and recalls belong to a family's own copy, so they stand in the trip."""
    assert restraint.made is None
    assert restraint.condition.crash is None
    assert restraint.expires_after is not None
    assert restraint.mass is not None


JOURNEYS: dict[str, Callable[[Trip], object]] = {
    "under us": lambda t: t.rules == "us",
    "under un": lambda t: t.rules == "un",
    "a wish": lambda t: t.wishes,
    "how they ride now": lambda t: t.installed,
    "an installation that was tried": lambda t: t.tried,
    "an airbag switched off": lambda t: t.airbags_off,
    "an adult beside the driver or behind": lambda t: sum(r.adult for r in t.riders) >= 2,
    "six riders and ten restraints on nine seats": lambda t: (
        len(t.riders) == 6 and len(t.restraints) == 10 and len(t.vehicle.positions()) == 9
    ),
    "two babies": lambda t: sum((r.mass or 99) < 10 for r in t.riders) >= 2,
}


@pytest.mark.parametrize("kind", JOURNEYS)
def test_there_is_a_trip_with(kind: str) -> None:
    assert any(JOURNEYS[kind](trip) for trip in TRIPS.values())


@pytest.mark.parametrize("trip", TRIPS.values(), ids=list(TRIPS))
def test_every_trip_has_a_driver_and_known_copies(trip: Trip) -> None:
    """Short answers name the children only, and say of a restraint that all is in order with it."""
    assert [r.rider for r in trip.riders if r.drives] or trip.vehicle.not_measured == "estimate"
    for restraint in trip.restraints:
        if restraint.in_order:
            continue
        assert restraint.made is not None, restraint.restraint
        assert restraint.condition.crash is not None, restraint.restraint
