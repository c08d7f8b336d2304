"""Random trips in which restraints have copies, some of them alike and some not."""

from __future__ import annotations

from copy import deepcopy
from math import prod
from random import Random

from worlds import Data, trip_data

from seatplan.model import Trip


def with_copies(rng: Random, data: Data, most_seatings: int = 6000) -> Data:
    """The same trip with one to three more copies, as far as its choices, copies told apart, multiply to at most so
    many. A copy may be of another day, or named by the trip, and so not alike; copies stand anywhere in the list."""
    held = data["restraints"]
    for n in range(rng.choice((1, 1, 2, 3)) if held else 0):
        copy = deepcopy(rng.choice(held))
        copy["restraint"] = f"Copy {n + 1}"
        kind = rng.random()
        if kind < 0.1:
            copy["made"] = "2024-06-02"
        elif kind < 0.2:
            data["wishes"].append({"rider": rng.choice(data["riders"])["rider"], "uses": [copy["restraint"]]})
        if _told_apart(data, [*held, copy]) > most_seatings:
            break
        held.insert(rng.randint(0, len(held)), copy)
    names = {restraint["restraint"] for restraint in held}
    data["wishes"] = [wish for wish in data["wishes"] if set(wish.get("uses", ())) <= names]
    return data


def siblings(rng: Random, n: int) -> Data:
    """A car with ``n`` children of one size, who all want the one restraint there is, beside the driver's own seat."""
    while True:
        data = trip_data(rng, 10_000)
        child = next((rider for rider in data["riders"] if not rider.get("adult")), None)
        seats = [position["position"] for row in data["vehicle"]["rows"] for position in row["positions"]]
        if child is not None and data["restraints"] and n < len(seats) < 6:
            break
    restraint = data["restraints"][0]
    restraint["modes"] = restraint["modes"][:1]
    restraint["modes"][0]["limits"] = {"mass": ["2 kg", "60 kg"], "height": [400, 1650]}
    names = ("Ada", "Bo", "Cy")[:n]
    return {**data, "riders": [{**child, "rider": name} for name in names], "restraints": [restraint],
            "wishes": [], "installed": {}}


def _told_apart(data: Data, restraints: list[Data]) -> int:
    positions = sum(len(row["positions"]) for row in data["vehicle"]["rows"])
    modes = sum(len(restraint["modes"]) for restraint in restraints)
    return prod(positions * (1 if rider.get("adult") else 1 + modes) for rider in data["riders"])


def one_more(trip: Trip, name: str, of: str) -> Trip:
    """The trip with another copy of a restraint at the end of its list."""
    return trip.model_copy(update={"restraints": [
        *trip.restraints, trip.restraint(of).model_copy(update={"restraint": name})]})
