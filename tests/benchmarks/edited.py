"""Times of one process in which trips stay loaded: after each edit an answer of the warm process, and a cold solve.

Run by ``before_after.py``; prints a JSON list of [what was edited, CPU seconds cold, CPU seconds again].
"""

from __future__ import annotations

import gc
import json
from functools import partial
from importlib import import_module
from importlib.util import find_spec
from random import Random
from time import process_time
from typing import Any

from edits import Edit, body, limit, width, wish

from seatplan.files.load import load_trip
from seatplan.growth.family import trip_on
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver import plan

_KINDS: tuple[tuple[str, Edit], ...] = (("rider", body), ("rider", body), ("wish", wish), ("restraint", width),
                                        ("restraint", limit))
_LARGEST = "nine-seat-shuttle"
#: bundled trip -> edits of each kind; no wish of the largest one is a must, for some take it a minute
_TRIPS = {"three-across-school-run": 5, "taxi-ride": 3, "sliding-row-outing": 3, "twins-small-hatch": 3,
          "borrowed-bars": 3, "i-size-family": 3, _LARGEST: 1}
_STORE = "seatplan.store"


def empty() -> dict[str, Any]:
    """What a solve takes to begin with no answers; nothing in a checkout that keeps none."""
    return {"store": import_module(_STORE).Store()} if find_spec(_STORE) else {}


def cold(trip: Trip) -> object:
    """A whole solve that has nothing to go on."""
    return _planned(trip, empty())


def answer(trip: Trip) -> object:
    """What an editor asks after each edit: the best few without counts, with what the process knows by now."""
    assert trip.on is not None
    best_of = getattr(plan, "best_of", None)
    if best_of is None:                              # a commit before this one counts whatever is asked
        return _planned(trip, {})
    return best_of(trip, load_profile(trip.rules), trip.on, top=5)


def _planned(trip: Trip, store: dict[str, Any]) -> object:
    assert trip.on is not None
    return plan.planned(trip, load_profile(trip.rules), trip.on, top=5, **store)


def loaded(name: str) -> Trip:
    trip = load_trip(name)
    assert trip.on is not None
    return trip_on(trip, trip.on, trip.on)


def edits() -> list[tuple[str, Trip, Trip]]:
    """(What is edited, the trip as it was loaded, with one edit); no two edits of a trip are alike."""
    found: list[tuple[str, Trip, Trip]] = []
    for name, times in _TRIPS.items():
        trip, rng, seen = loaded(name), Random(name), []
        for kind, edit in _KINDS * times:
            if edit is wish and name == _LARGEST:
                edit = partial(wish, musts=0)
            while (edited := edit(trip, rng)) in seen:
                continue
            seen.append(edited)
            found.append((kind, trip, edited))
    return found


def timed(solve: Any, trip: Trip) -> float:
    begin = process_time()
    solve(trip)
    return process_time() - begin


def main() -> None:
    gc.set_threshold(2_000_000, 50, 100)    # as the program does, see cycles.py
    asked = edits()
    for name in _TRIPS:
        answer(loaded(name))
    gc.collect()
    again = [timed(answer, edited) for _, _, edited in asked]
    alone = [timed(cold, edited) for _, _, edited in asked]
    print(json.dumps([[kind, one, other] for (kind, _, _), one, other in zip(asked, alone, again, strict=True)]))


if __name__ == "__main__":
    main()
