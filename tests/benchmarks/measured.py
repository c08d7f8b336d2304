"""Print what `measure`, and asking again after a value was set, cost beside a cold solve of the same trip.

    python tests/benchmarks/measured.py

CPU times of this process with the garbage collector off, the median of several; only the ratios mean something on
another machine. Each trip has fields blanked: one of a rider, of a seat and of a restraint that its best arrangement
uses.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from datetime import date
from statistics import median
from time import process_time
from typing import Any

from seatplan import load_trip
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.measure import Measure, measure, measured_again, with_value
from seatplan.solver.plan import plan
from seatplan.solver.would_do import with_field
from seatplan.store import Store

DAY = date(2026, 11, 30)
TRIPS = ("half-measured-car", "three-across-school-run", "twins-small-hatch", "borrowed-bars", "sliding-row-outing",
         "third-child-on-the-way", "nine-seat-shuttle")
#: times as long as a cold solve: a measurement, that for each reading, and asking again
WANTED, WANTED_EACH, WANTED_AGAIN = 10, 0.3, 0.2
_ROUNDS = 5


def blanked(name: str) -> Trip:
    """A bundled trip with something missing; one lacks enough already."""
    trip = load_trip(name)
    if name == "half-measured-car":
        return trip
    found = plan(trip, load_profile(trip.rules), DAY, top=1).arrangements[0]
    seat = next(one.placement for one in found.seats if one.placement.restraint is not None)
    rider = next(i for i, one in enumerate(trip.riders) if one.rider == seat.rider.rider)
    restraint = next(i for i, one in enumerate(trip.restraints)
                     if seat.restraint is not None and one.restraint == seat.restraint.restraint)
    row = next(i for i, one in enumerate(trip.vehicle.rows) if one.row == seat.row.row)
    position = next(i for i, one in enumerate(trip.vehicle.rows[row].positions)
                    if one.position == seat.position.position)
    for path in (("riders", rider, "mass"), ("restraints", restraint, "condition", "recall"),
                 ("vehicle", "rows", row, "positions", position, "manual")):
        trip = with_value(trip, path, None)
    return trip


def taken(asked: Callable[[], Any]) -> float:
    """CPU seconds, the median of several."""
    times = []
    for _ in range(_ROUNDS):
        gc.collect()
        start = process_time()
        asked()
        times.append(process_time() - start)
    return median(times)


def compared(name: str) -> tuple[float, float, float, int]:
    """A measurement and asking again beside a cold solve, what a measurement may be, and how many readings it told."""
    trip = blanked(name)
    profile = load_profile(trip.rules)
    cold = taken(lambda: plan(trip, profile, DAY, store=Store()))
    whole = taken(lambda: measure(trip, profile, DAY, store=Store()))
    again = []
    store = Store()
    found: Measure = measure(trip, profile, DAY, store=store)
    told = [one for one in (found.best, found.sooner, *found.opens) if one is not None]
    number = len({reading.asked.same for one in told for reading in one.readings}) + len(found.rest)
    for reading in found.best.readings if found.best else ():
        changed = with_field(found.trip, reading.asked.path, reading.would_do)
        start = process_time()
        measured_again(found, changed, store)
        again.append(process_time() - start)
    return whole / cold, WANTED + WANTED_EACH * number, median(again) / cold if again else 0.0, number


def main() -> None:
    """One line a trip."""
    gc.disable()
    for name in TRIPS:
        whole, wanted, again, number = compared(name)
        print(f"{name:26} measure {whole:5.1f} solves (wanted {wanted:.1f}, {number} readings), "
              f"asked again {again:.2f} (wanted {WANTED_AGAIN})")


if __name__ == "__main__":
    main()
