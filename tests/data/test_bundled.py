"""The bundled vehicles, restraints and trips: all read, all invented, every kind is there, each trip shows
what it is for, and cars and restraints are as regulations would have real ones."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from math import cos, radians, sin

import pytest

from seatplan.files.library import Kind, names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.files.notices import seats_of_bench
from seatplan.model import Mode, Position, Restraint, Row, Trip, Vehicle
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan

VEHICLES = {name: load_vehicle(name) for name in names("vehicle")}
RESTRAINTS = {name: load_restraint(name) for name in names("restraint")}
TRIPS = {name: load_trip(name) for name in names("trip")}

#: half a step of a tape in eighths of an inch at either end, mm
TAPE_MM = 4


def positions() -> list[tuple[str, Row, Position]]:
    return [
        (f"{name}/{p.position}", row, p)
        for name, car in VEHICLES.items()
        for row in car.rows
        for p in row.positions
    ]


def modes() -> list[tuple[str, Restraint, Mode]]:
    return [
        (f"{name}/{m.mode}", restraint, m) for name, restraint in RESTRAINTS.items() for m in restraint.modes
    ]


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


# --- 49 CFR 571.10(b): how many seats a bench has ---


def counted(width_mm: int) -> tuple[int, bool]:
    """Positions of a bench by 49 CFR 571.10(b), and whether that is the least number only."""
    return (width_mm // 450, True) if width_mm >= 1400 else (max(1, width_mm // 350), False)


@pytest.mark.parametrize(
    ("width", "seats", "at_least"),
    [  # worked out from the text of 571.10(b)
        (331, 1, False),
        (699, 1, False),
        (700, 2, False),
        (1049, 2, False),
        (1050, 3, False),
        (1399, 3, False),
        (1400, 3, True),
        (1799, 3, True),
        (1800, 4, True),
    ],
)
def test_counting_rule_for_benches(width: int, seats: int, at_least: bool) -> None:
    assert counted(width) == (seats, at_least)
    assert seats_of_bench(width) == seats


BENCHES = [
    (f"{name} row {row.row}", row)
    for name, car in VEHICLES.items()
    for row in car.rows
    if len(row.positions) > 1
    and row.cushion.left is not None
    and row.cushion.right is not None
    and all(p.seat == "fixed" for p in row.positions)
]


@pytest.mark.parametrize("row", [row for _, row in BENCHES], ids=[name for name, _ in BENCHES])
def test_no_bench_has_more_seats_than_it_counts_for(row: Row) -> None:
    left, right = row.cushion.left, row.cushion.right
    assert left is not None
    assert right is not None
    seats, at_least = counted(right - left)
    assert at_least or len(row.positions) <= seats


@pytest.mark.parametrize(("where", "position"), [(w, p) for w, _, p in positions() if p.width is not None])
def test_every_seat_has_the_least_width(where: str, position: Position) -> None:
    """49 CFR 571.3: a seating surface of at least 330 mm."""
    assert (position.width or 0) >= 330, where


# --- lower anchors and tethers ---

PAIRS = [(w, row, p) for w, row, p in positions() if p.lower_anchors]


@pytest.mark.parametrize(("where", "row", "position"), PAIRS, ids=[w for w, _, _ in PAIRS])
def test_own_bars_are_280_mm_apart_and_centred(where: str, row: Row, position: Position) -> None:
    """280 mm: UN R16 Annex 17 App. 2 Figs 1-8. The middle of the pair is that of the seat: 49 CFR 571.225
    S6.3.4.3(a)(1)."""
    across = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    left, right = (across[name] for name in position.lower_anchors or ())
    assert abs(right - left - 280) <= TAPE_MM
    assert position.centre is not None
    assert abs((left + right) / 2 - position.centre) <= TAPE_MM


@pytest.mark.parametrize("name", VEHICLES)
def test_no_lower_anchors_before_an_airbag_without_a_switch(name: str) -> None:
    """49 CFR 571.225 S5(d)."""
    for position in VEHICLES[name].rows[0].positions:
        if position.lower_anchors:
            assert position.airbag is not None
            assert position.airbag.front in ("none", "switchable")


@pytest.mark.parametrize("name", VEHICLES)
def test_lap_belts_alone_only_in_older_cars(name: str) -> None:
    """49 CFR 571.208 as phased in: shoulder belts at forward-facing rear seats from model year 2008."""
    car = VEHICLES[name]
    lap_only = [
        p.position
        for row in car.rows[1:]
        for p in row.positions
        if p.belt and p.belt.kind == "lap" and p.facing == "forward"
    ]
    assert not lap_only or (car.model_year or 9999) < 2008


# --- i-Size ---


@pytest.mark.parametrize("name", VEHICLES)
def test_neighbouring_i_size_places_are_440_mm_apart(name: str) -> None:
    """UN R16 (07 series) 8.3.6."""
    for row in VEHICLES[name].rows:
        for one, other in pairwise(row.positions):
            if one.i_size and other.i_size:
                assert one.centre is not None
                assert other.centre is not None
                assert other.centre - one.centre >= 440


I_SIZE = [(w, p) for w, _, p in positions() if p.i_size]


@pytest.mark.parametrize(("where", "position"), I_SIZE, ids=[w for w, _ in I_SIZE])
def test_i_size_places_take_a_support_leg_and_have_bars(where: str, position: Position) -> None:
    """UN R16 (07 series) 8.3.6: fixtures R2 and F2X on the anchors, the volume of the support leg, B2."""
    assert position.support_leg == "allowed"
    assert position.lower_anchors


# --- restraints as large as a fixture ---

#: UN R16 Annex 17 App. 2 and App. 5 (up to the 09 series), mm: furthest back to furthest forward, top above
#: the base plane, width. Worked out from the dimensions printed on the drawings; F3's front face is scaled.
ENVELOPES = {
    "R1": (715.9, 615, 440),
    "R2": (735.9, 665, 440),
    "R2X": (744.6, 665, 440),
    "R3": (815.9, 695, 440),
    "F2": (570.9, 665, 440),
    "F2X": (579.6, 665, 440),
    "F3": (570.9, 735, 440),
    "B2": (535, 775, 440),
    "B3": (535, 775, 520),
}


#: how far the drawings are turned to stand on the bench, degrees, and the corner that they are turned about
PITCH_DEG, CORNER = 15, (60, 0)


def turned_back(outline: list[tuple[int, int]]) -> list[tuple[float, float]]:
    """Corners forward of and above the rear corner line, with the base plane level as on the drawings."""
    c, s = cos(radians(PITCH_DEG)), sin(radians(PITCH_DEG))
    moved = [(x - CORNER[0], z - CORNER[1]) for x, z in outline]
    return [(x * c + z * s, z * c - x * s) for x, z in moved]


def drawn(fixture: str) -> list[tuple[str, float, float, int | None]]:
    """Length, top and width of every outline that was drawn after a fixture, with its base plane level."""
    found = []
    for name, restraint, mode in modes():
        if restraint.approval and restraint.approval.fixtures == [fixture]:
            for part in mode.parts:
                if part.outline:
                    along, up = zip(*turned_back(part.outline), strict=True)
                    found.append((name, max(along) - min(along), max(up), part.width))
                    assert min(up) == pytest.approx(0, abs=1)
    return found


@pytest.mark.parametrize("fixture", ENVELOPES)
def test_a_restraint_fills_each_fixture(fixture: str) -> None:
    length, top, width = ENVELOPES[fixture]
    found = drawn(fixture)
    assert found
    for _, along, up, across in found:
        assert along == pytest.approx(length, abs=2)
        assert up == pytest.approx(top, abs=2)
        assert across == width


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
    "how they ride now": lambda t: t.current,
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
    assert [r.rider for r in trip.riders if r.drives]
    for restraint in trip.restraints:
        assert restraint.made is not None, restraint.restraint
        assert restraint.condition.crash is not None, restraint.restraint


# --- what each trip is for ---

#: the verdict of the best arrangement, and the least number of seatings that work
ANSWERS = {
    "three-across-school-run": ("fits", 10),
    "school-run-second-car": ("fits", 5),
    "twins-small-hatch": ("fits", 2),
    "grandparents-old-car": ("fits", 2),
    "i-size-family": ("fits", 2),
    "boosters-by-the-handbook": ("fits", 2),
    "taxi-ride": ("fits", 2),
    "two-seater-airbag-off": ("fits", 1),
    "sliding-row-outing": ("fits", 5),
    "borrowed-bars": ("fits", 5),
    "nine-seat-shuttle": ("fits", 10_000),
    "tall-driver": ("fits", 2),
    "upright-only": ("fits", 1),
    "slide-decides": ("fits", 2),
    "half-measured-car": ("unmeasured", 1),
    "three-too-wide": ("rejected", 0),
    "three-boosters-two-belts": ("rejected", 0),
    "two-children-one-tether": ("rejected", 0),
}


@lru_cache(maxsize=len(ANSWERS))
def answer(name: str) -> Plan:
    trip = TRIPS[name]
    assert trip.on is not None
    return plan(trip, load_profile(trip.rules), trip.on, top=1)


def test_every_trip_has_an_expected_answer() -> None:
    assert set(ANSWERS) == set(TRIPS)


@pytest.mark.parametrize("name", ANSWERS)
def test_trip_is_answered_as_expected(name: str) -> None:
    verdict, least = ANSWERS[name]
    found = answer(name)
    assert found.verdict == verdict
    assert found.tally.valid >= least
    assert bool(found.arrangements) == (verdict != "rejected")


def seats_of(name: str, rider: str) -> set[str]:
    trip = TRIPS[name]
    assert trip.on is not None
    found = plan(trip, load_profile(trip.rules), trip.on, top=20)
    return {s.placement.position.position for a in found.arrangements for s in a.seats
            if s.placement is not None and s.placement.rider.rider == rider}


def test_the_long_shell_has_room_but_not_behind_the_tall_driver() -> None:
    """By hand: set from 45 to 32, the corner (740, 190) turns by 13 degrees to (678, 352), where 580 mm are free; with
    25 mm of gap the seat ahead must stand 123 mm forward. The driver's stays rearmost; 1R is free and slides 180."""
    assert seats_of("tall-driver", "Mina") == {"2C", "2R"}


def test_only_the_upright_setting_has_room() -> None:
    """By hand: of the settings 32, 38 and 45, the second needs 34 mm and the driver leaves 20."""
    trip = TRIPS["upright-only"]
    assert trip.on is not None
    found = plan(trip, load_profile(trip.rules), trip.on, top=20)
    leans = {s.placement.recline.setting for a in found.arrangements for s in a.seats
             if s.placement is not None and s.placement.recline is not None}
    assert leans == {32}


def test_the_sliding_row_leaves_no_room_behind_the_driver() -> None:
    """By hand: whoever sits in the third row needs row 2 forward by 116 mm, which leaves the shell 80 mm short at
    rearmost: behind 1L, which gives 40, it does not fit, behind 1R, which gives 120, it does."""
    assert "2L" not in seats_of("slide-decides", "Mina")
    assert "2R" in seats_of("slide-decides", "Mina")


def test_three_too_wide_fail_for_room() -> None:
    """Every place would do by itself; the narrowest misfit is still centimetres short."""
    found = answer("three-too-wide")
    assert found.shortage is None
    assert found.squeezes
    assert min(shown.squeeze.short for shown in found.squeezes) > 20


def test_three_boosters_fail_for_want_of_shoulder_belts() -> None:
    shortage = answer("three-boosters-two-belts").shortage
    assert shortage is not None
    assert len(shortage.riders) == len(shortage.have) + 1
    assert "2C" not in shortage.have
    assert any("no-shoulder-belt" in rules for rules in shortage.taken_away.values())


def test_two_children_fail_for_the_one_tether() -> None:
    contests = answer("two-children-one-tether").contests
    assert any(finding.rule == "tether-wanted-twice" for shown in contests for finding in shown.findings)
