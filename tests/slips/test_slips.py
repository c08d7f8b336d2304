"""No slip of the hand makes an arrangement fit that does not: a seeded tenth, and all of it in a job of its own.

``pytest tests/slips -m whole -s -n 0`` prints the table of slips: field, slip, what is said, how often.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable
from random import Random

import pytest
from pinned import DAY, GOOD
from slips import Pinned, Said, fields, number_at, put, slipped, slips_of

from seatplan.doubt import believed
from seatplan.files.library import names
from seatplan.files.load import load_trip

TRIPS = names("trip")
_SEED = int(os.environ.get("SEATPLAN_SEED", "12"))
#: what a table says of rows that are no answer of the judge, and why
EXEMPT = {
    "reads like a true one": "digits swapped or lost, or a restraint's own mass in kg and lb: it stays in its band",
    "a place near its zero": "a place on a scale whose zero is a point of the car: a tenth of it is as usual",
}


def _rows(name: str, share: float, rng: Random) -> tuple[list[Said], Counter[str]]:
    """The rows of one bundled trip, and how many of its numbers there were, were used, and turn it down."""
    pinned, seen = Pinned(load_trip(name)), Counter[str]()
    rows: list[Said] = []
    for field in fields(pinned.trip):
        if rng.random() >= share:
            continue
        seen["numbers"] += 1
        if pinned.verdict not in GOOD:
            seen["of an arrangement that does not fit as it is"] += 1
            continue
        if not pinned.used(field):
            seen["not used by the arrangement"] += 1
            continue
        limits = [limit for up in (True, False) if (limit := pinned.limit(field, up)) is not None]
        seen["never the reason, within what is usual" if not limits else "turn it down at a limit"] += 1
        for limit in limits:
            rows += slipped(pinned, field, limit)
    return rows, seen


def _table(rows: Iterable[Said]) -> str:
    """Field, slip, what is said, how often."""
    told = Counter((row.field.name, row.slip, ("OPEN " if row.open else "") + row.said) for row in rows)
    return "\n".join(f"{field:52} {slip:26} {said:26} {n:5}" for (field, slip, said), n in sorted(told.items()))


def _open(rows: Iterable[Said]) -> list[str]:
    return [f"{row.trip}: {row.field.path} {row.slip}: {float(row.true):g} as {float(row.wrong):g}: {row.said}"
            for row in rows if row.open]


def test_no_slip_helps_in_a_tenth_of_it() -> None:
    rng = Random(_SEED)
    rows: list[Said] = []
    for name in rng.sample(TRIPS, 4):
        rows += _rows(name, 0.4, rng)[0]
    assert len(rows) > 100
    assert _open(rows) == []


@pytest.mark.whole
def test_no_slip_helps() -> None:
    rows: list[Said] = []
    seen = Counter[str]()
    for name in TRIPS:
        more, counted = _rows(name, 1, Random(0))
        rows += more
        seen += counted
    print(f"\n{_table(rows)}\n")
    for what, n in seen.items():
        print(f"{n:6} {what}")
    for said, why in EXEMPT.items():
        print(f"{sum(row.said == said for row in rows):6} {said}: {why}")
    print(f"{len(rows):6} slips on a number that turns an arrangement down, {sum(row.open for row in rows)} open")
    assert _open(rows) == []


@pytest.mark.whole
@pytest.mark.parametrize("name", TRIPS)
def test_what_is_said_of_a_slip_in_a_bundled_file(name: str) -> None:
    """Where the true number does not fit, the slip does not either."""
    pinned = Pinned(load_trip(name))
    if not pinned.picks or pinned.verdict in GOOD:
        return                                        # whatever the slip does, it is so with the true number
    rows = [row for field in fields(pinned.trip) if pinned.used(field)
            for row in slipped(pinned, field, number_at(pinned.trip, field))]
    print(f"\n{_table(rows)}")
    assert _open(rows) == []


@pytest.mark.parametrize("name", TRIPS)
def test_nothing_in_a_bundled_trip_is_unlikely_or_needs_a_sure(name: str) -> None:
    trip = load_trip(name)
    assert believed(trip, trip.on or DAY).doubted == ()
    assert not any(record.sure for record in (*trip.riders, *trip.restraints, trip.vehicle))


def test_slips_are_what_they_are_called() -> None:
    trip = load_trip("three-across-school-run")
    mass = next(field for field in fields(trip) if field.name == "riders.mass")
    told = {slip.name: slip.make(number_at(trip, mass)) for slip in slips_of(mass)}
    assert told["x 10"] == number_at(trip, mass) * 10
    assert put(trip, mass, number_at(trip, mass) * 1000) is None
