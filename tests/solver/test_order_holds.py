"""What the order promises of any trip: wishes never outweigh safety, more never makes it worse, no name decides.

Drawn trips, and the bundled ones that are small. What an arrangement costs by steps 1 to 8 is its ``safety``; where an
addition leaves every arrangement of before in place at its old cost, the whole cost is compared, which says more.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from random import Random
from typing import Any

from changed import lies_across_two, mirrored, renamed
from changes import NEW
from edits import put
from plain import plain_of
from solved import DAY, best
from worlds import Data, drawn, trip_data, trip_of

from seatplan import load_trip
from seatplan.geometry.anthropometry import ear_height, hip_breadth, shoulder_breadth, sitting_height
from seatplan.model import Rider, Trip
from seatplan.model.doubt import Path
from seatplan.model.trip import Wish
from seatplan.rules.load import load_profile
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.ranking import safety, unpack
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.solve import Solve

#: the last ones are trips of which two cautions once made more a worse thing
SEEDS = (*range(110), 167, 373, 394)
BUNDLED = ("two-children-one-tether", "twins-small-hatch", "half-measured-car", "slide-decides", "i-size-family",
           "boosters-by-the-handbook", "tall-driver", "borrowed-bars")
_CLOSED = {"forbids": ["child-restraint"]}
#: the modes from the most protective one down, by hand and not from the solver's numbers
_BETTER_FIRST = ("rear-facing-harness", "forward-facing-harness", "impact-shield", "booster", "seat-belt",
                 "lying-flat-bed")


def first(trip: Trip) -> Arrangement | None:
    """The first arrangement of a trip whose every seating was looked at."""
    solve = Solve(trip, load_profile(trip.rules), DAY)
    found = best(solve)
    assert solve.complete
    return found


@cache
def trips() -> tuple[tuple[int, Trip, Arrangement], ...]:
    """Trips that something is allowed of, with what comes first; the number seeds what is done to them."""
    every = [(seed, drawn(seed)) for seed in SEEDS] + [
        (1000 + n, load_trip(name)) for n, name in enumerate(BUNDLED)]
    found = [(seed, trip, first(trip)) for seed, trip in every]
    return tuple((seed, trip, one) for seed, trip, one in found if one is not None)


def with_data(trip: Trip) -> Data:
    return deepcopy(plain_of(trip))


def positions(data: Data) -> Iterator[Data]:
    for row in data["vehicle"]["rows"]:
        yield from row["positions"]


def is_worse(after: Arrangement | None, before: Arrangement) -> bool:
    return after is None or after.cost > before.cost


def is_better(after: Arrangement | None, before: Arrangement) -> bool:
    """By something of steps 1 to 8."""
    return after is not None and safety(after.cost) < safety(before.cost)


def wishes(trip: Trip, rng: Random) -> Iterator[Wish]:
    """Of each kind one, soft, for riders, positions and restraints drawn by lot."""
    names = [rider.rider for rider in trip.riders]
    places = [position.position for position in trip.vehicle.positions()]
    held = [restraint.restraint for restraint in trip.restraints]
    for kind, among in (("at", places), ("not_at", places), ("uses", held)):
        if among:
            some = rng.sample(among, rng.randint(1, max(1, len(among) - 1)))
            yield Wish.model_validate({"rider": rng.choice(names), kind: some})
    if len(names) > 1:
        for kind in ("apart", "together"):
            yield Wish.model_validate({kind: rng.sample(names, 2)})


def test_a_soft_wish_changes_nothing_of_steps_1_to_8() -> None:
    moved, apart = 0, []
    for seed, trip, before in trips():
        for wish in wishes(trip, Random(seed)):
            after = first(trip.model_copy(update={"wishes": [*trip.wishes, wish]}))
            if after is None or safety(after.cost) != safety(before.cost):
                apart.append((seed, wish))
            else:
                moved += seats(after) != seats(before)
    assert apart == []
    assert moved > 12            # wishes are heard all the same


def seats(arrangement: Arrangement) -> set[tuple[str, str]]:
    return {(seat.placement.rider.rider, seat.placement.position.position) for seat in arrangement.seats}


def test_a_restraint_more_never_makes_the_first_worse() -> None:
    """One of another trip, and a copy of one that is there."""
    better, worse = 0, list[int]()
    for seed, trip, before in trips():
        data = with_data(trip)
        others = trip_data(Random(seed + 5000))["restraints"] + data["restraints"]
        for n, other in enumerate(Random(seed).sample(others, min(2, len(others)))):
            more = {**data, "restraints": [*data["restraints"], {**other, "restraint": f"One more {n}"}]}
            after = first(trip_of(more))
            worse += [seed] * is_worse(after, before)
            better += is_better(after, before)
    assert worse == []
    assert better > 5


def test_a_row_more_never_makes_the_first_worse() -> None:
    """A row behind all others: nothing that is measured of the rows ahead of it changes, nor which of them is in
    front."""
    better, worse = 0, list[int]()
    for seed, trip, before in trips():
        data = with_data(trip)
        number = data["vehicle"]["rows"][-1]["row"] + 1
        row = trip_data(Random(seed + 9000))["vehicle"]["rows"][-1] | {"row": number}
        for position in row["positions"]:
            position["position"] = f"{number}{position['position'][1]}"
            position.pop("ahead", None)
        data["vehicle"]["rows"].append(row)
        after = first(trip_of(data))
        worse += [seed] * is_worse(after, before)
        better += is_better(after, before)
    assert worse == []
    assert better > 5


def test_a_seat_that_is_opened_never_makes_the_first_worse() -> None:
    """A position without a usable belt, where the handbook forbids restraints, gets both: what is measured of the row
    stays as it is."""
    better, worse = 0, list[int]()
    for seed, trip, before in trips():
        data = with_data(trip)
        others = [position for position in positions(data) if position["position"] != data["drives"]]
        if not others:
            continue
        shut = Random(seed).choice(others)
        shut["belt"] = {**(shut.get("belt") or {}), "kind": "none"}
        shut["manual"] = {**(shut.get("manual") or {}), **_CLOSED}
        closed = first(trip_of(data))
        if closed is not None:
            worse += [seed] * is_worse(before, closed)
            better += is_better(before, closed)
    assert worse == []
    assert better > 3


def kind_readings(trip: Trip) -> list[tuple[Path, int]]:
    """What was not measured, with a value kinder than what was reckoned with: a body at the low end of its estimate, a
    wall too far off to matter, a narrow part, a seat ahead that moves far, a buckle without a stalk.

    A breadth is left alone where the rider's other one, measured, is broader than that: the sums of a row hold the
    broadest alone, with what that may be off. A seat moves only where the trip says how far forward whoever sits in it
    can be: who can live with what is another reading. No ages, which the order itself is made of."""
    found: list[tuple[Path, int]] = []
    for i, rider in enumerate(trip.riders):
        for field, estimate in (("hips", hip_breadth), ("shoulders", shoulder_breadth), ("ear_height", ear_height),
                                ("sitting_height", sitting_height)):
            likely = estimate(rider)
            other = {"hips": rider.shoulders, "shoulders": rider.hips}.get(field)
            if getattr(rider, field) is None and likely is not None and (other is None or other <= likely.low):
                found.append((("riders", i, field), likely.low))
    for r, row in enumerate(trip.vehicle.rows):
        here: Path = ("vehicle", "rows", r)
        for t, trim in enumerate(row.trim):
            found += [((*here, "trim", t, side), far) for side, far in (("left", -800), ("right", 3000))
                      if getattr(trim, side) is None and trim.only in (None, side)]
        for p, position in enumerate(row.positions):
            ahead, buckle = position.ahead, position.belt.buckle if position.belt else None
            if ahead is not None and ahead.travel is None and ahead.seat in trip.front:
                found.append(((*here, "positions", p, "ahead", "travel"), 400))
            if buckle is not None and buckle.stalk is None:
                found.append(((*here, "positions", p, "belt", "buckle", "stalk"), 0))
    return found + [(("restraints", k, "modes", m, "parts", n, "width"), 100)
                    for k, restraint in enumerate(trip.restraints) for m, mode in enumerate(restraint.modes)
                    for n, part in enumerate(mode.parts) if part.width is None]


def half_measured(seed: int) -> Trip:
    """A drawn trip of which most bodies are only estimated, some of them grown up, and half the stalks unknown, with
    now and then a wall or a part."""
    rng = Random(seed)
    data = trip_data(rng)
    for rider in data["riders"]:
        if rng.random() < 0.4:
            rider |= {"age": "30 y", "adult": True, "height": 1690, "mass": "70 kg"}
        rider |= dict.fromkeys([field for field in ("hips", "shoulders", "ear_height", "sitting_height")
                                if rng.random() < 0.8])
    parts = [part for restraint in data["restraints"] for mode in restraint["modes"] for part in mode["parts"]]
    forgotten: list[tuple[Data, str]] = [(part, "width") for part in parts if rng.random() < 0.1]
    for row in data["vehicle"]["rows"]:
        forgotten += [(trim, rng.choice(("left", "right"))) for trim in row["trim"] if rng.random() < 0.1]
        forgotten += [(position["belt"]["buckle"], "stalk") for position in row["positions"]
                      if (position["belt"] or {}).get("buckle") and rng.random() < 0.5]
    for record, field in forgotten:
        record[field] = None
    return trip_of(data)


def test_a_kind_reading_never_makes_the_first_worse() -> None:
    """One reading after the other, in an order drawn by lot: no step makes it worse."""
    heard, better, worse = 0, 0, list[tuple[int, Path]]()
    for seed in SEEDS[:100]:
        trip = half_measured(seed)
        last, readings = first(trip), kind_readings(trip)
        if last is None:
            continue
        for path, value in Random(seed).sample(readings, min(10, len(readings))):
            trip = put(trip, path, value)
            after = first(trip)
            if after is None or safety(after.cost) > safety(last.cost):
                worse.append((seed, path))
                break
            heard, better = heard + (after.cost < last.cost), better + is_better(after, last)
            last = after
    assert worse == []
    assert heard > 20
    assert better > 5


def age_of(trip: Trip, name: str) -> int:
    """Months; a child of unknown age counts as the youngest."""
    age = next(rider.age for rider in trip.riders if rider.rider == name)
    return -1 if age is None else age


def in_front(trip: Trip, arrangement: Arrangement) -> set[str]:
    adults = {rider.rider for rider in trip.riders if rider.adult}
    return {seat.placement.rider.rider for seat in arrangement.seats
            if trip.vehicle.in_front(seat.placement.position)} - adults


def stages(trip: Trip, arrangement: Arrangement, below: int) -> list[tuple[int, list[int]]]:
    """(Age, how those of that age ride, worst first) of the children younger than that, from the youngest up."""
    found: dict[int, list[int]] = {}
    for seat in arrangement.seats:
        placement = seat.placement
        age = age_of(trip, placement.rider.rider)
        if not placement.rider.adult and age < below:
            mode = "booster" if placement.mode_name.endswith("booster") else placement.mode_name
            loose = mode == "forward-facing-harness" and age < 60 and not placement.tether and not (
                placement.installation is not None and placement.installation.support_leg)
            found.setdefault(age, []).append(2 * _BETTER_FIRST.index(mode) + loose)
    return [(age, sorted(found[age], reverse=True)) for age in sorted(found)]


def crowded(seed: int) -> Trip:
    """A driver and two or three children of different ages in two rows, with restraints that take any of them: what
    one has, another can want, and a wide one leaves little room beside it."""
    rng = Random(seed)
    while True:
        data = trip_data(rng)
        if len(data["vehicle"]["rows"]) == 2 and len(data["restraints"]) > 1:
            break
    driver = {"rider": "Zoe", "adult": True, "drives": True, "age": "34 y", "height": 1700, "mass": "70 kg"}
    children = [{"rider": f"C{n}", "age": f"{age} months", "height": 640 + 6 * age, "mass": f"{8 + age // 6} kg",
                 "sits_upright": True} for n, age in enumerate(rng.sample(range(8, 100), rng.choice((2, 3))))]
    for position in positions(data):
        belt = position["belt"] or {"retractor": "switchable", "latchplate": "sliding", "inflatable": False,
                                    "length": 3000}
        position |= {"belt": {**belt, "kind": "lap-shoulder"}, "manual": {}, "ahead": None}
    data["restraints"] = [taking(restraint, [400, 1650]) for restraint in data["restraints"]]
    return trip_of({**data, "riders": [driver, *children], "wishes": [], "installed": {}})


def taking(restraint: Data, heights: list[int]) -> Data:
    """The restraint, sound and without peculiarities, for children of these statures."""
    return {**restraint, "condition": NEW, "modes": [
        {**mode, "limits": {"mass": ["2 kg", "60 kg"], "height": heights}, "touch_ahead": "may", "installations": [
            {**way, "spacing": [200, 800], "support_leg": False} for way in mode["installations"]]}
        for mode in restraint["modes"]]}


def made_for(trip: Trip, older: Rider, rng: Random) -> list[Data]:
    """Restraints of several modes, some of them wide, that by their limits take children of that stature alone."""
    assert older.height is not None
    height = int(older.height)
    kinds = {mode["mode"]: (restraint, mode) for _ in range(8)
             for restraint in trip_data(rng)["restraints"] for mode in restraint["modes"]}
    return [taking({**restraint, "restraint": "For one", "modes": [
        {**mode, "parts": [{**part, "width": 430 + rng.choice((0, 60, 150))} for part in mode["parts"]]}]},
        [height, height]) for restraint, mode in kinds.values()]


def test_something_better_for_an_older_child_costs_no_younger_one_a_stage() -> None:
    """As long as the same children sit in front, and steps 1 to 4 and what is in doubt itself, which come before, are
    even: the younger ones, from the youngest up, ride no worse."""
    taken, worse = 0, list[int]()
    for seed in SEEDS:
        trip = crowded(seed)
        before = first(trip)
        if before is None:
            continue
        older = max((rider for rider in trip.riders if not rider.adult), key=lambda rider: age_of(trip, rider.rider))
        below, data = age_of(trip, older.rider), plain_of(trip)
        for more in made_for(trip, older, Random(seed)):
            after = first(trip_of({**data, "restraints": [*data["restraints"], more]}))
            assert after is not None, seed
            one, other = unpack(before.cost), unpack(after.cost)
            if in_front(trip, before) == in_front(trip, after) and all(one[name] == other[name] for name in (
                    "open", "front_young", "under_two", "front_under_nine", "doubtful")):
                worse += [seed] * (stages(trip, after, below) > stages(trip, before, below))
                taken += any(seat.placement.restraint and seat.placement.restraint.restraint == "For one"
                             for seat in after.seats)
    assert worse == []
    assert taken > 15


def same_but_for_names(one: Plan, other: Plan, seed: int) -> None:
    assert one.verdict == other.verdict, seed
    assert one.tally == other.tally, seed
    assert [found.cost for found in one.arrangements] == [found.cost for found in other.arrangements], seed


def listed(trip: Trip) -> Plan:
    return plan(trip, load_profile(trip.rules), DAY, top=3)


def restraints_renamed(data: Data, names: dict[str, str]) -> Data:
    """Every restraint under another name."""
    data = deepcopy(data)
    for restraint in data["restraints"]:
        restraint["restraint"] = names[restraint["restraint"]]
    for wish in data["wishes"]:
        if wish.get("uses"):
            wish["uses"] = [names[name] for name in wish["uses"]]
    told: list[Any] = [*data["installed"].values(), *data.get("tried", [])]
    for here in told:
        if here.get("restraint"):
            here["restraint"] = names[here["restraint"]]
    return data


def backwards(names: list[str]) -> dict[str, str]:
    """Others, in the opposite order of the alphabet."""
    return {name: f"{chr(ord('z') - i)} {name}" for i, name in enumerate(names)}


def test_names_decide_nothing() -> None:
    for seed, trip, _ in trips():
        data, usual = with_data(trip), listed(trip)
        riders = backwards([rider.rider for rider in trip.riders])
        held = backwards([restraint.restraint for restraint in trip.restraints])
        same_but_for_names(usual, listed(trip_of(renamed(data, riders))), seed)
        same_but_for_names(usual, listed(trip_of(restraints_renamed(data, held))), seed)


def test_order_in_the_file_decides_nothing() -> None:
    for seed, trip, _ in trips():
        data, usual = with_data(trip), listed(trip)
        turned = {**data, **{key: data[key][::-1] for key in ("riders", "restraints", "wishes")}}
        mixed = {**data, **{key: Random(seed).sample(data[key], len(data[key])) for key in ("riders", "restraints")},
                 "installed": dict(reversed(data["installed"].items()))}
        same_but_for_names(usual, listed(trip_of(turned)), seed)
        same_but_for_names(usual, listed(trip_of(mixed)), seed)


def test_sides_decide_nothing() -> None:
    """Of hopeless trips, too."""
    for seed in SEEDS[:60]:
        data = trip_data(Random(seed))
        if not lies_across_two(data):             # such a bed is named by its left place
            same_but_for_names(listed(trip_of(data)), listed(trip_of(mirrored(data))), seed)
