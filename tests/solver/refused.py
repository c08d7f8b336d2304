"""Random trips of which most are refused, and a small shelf of restraints that could be had."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from random import Random

from worlds import Data, trip_data, trip_of

from seatplan.model import Restraint, Trip


def refused_data(rng: Random, most_seatings: int = 250) -> Data:
    """A random trip made harder: a narrower car, one more rider, fewer tether anchors, more that must be; and with
    what changes could help: switches, anchors that could be fitted, limits of those in front."""
    data = trip_data(rng, most_seatings)
    rows = data["vehicle"]["rows"]
    harder = rng.choice(("walls", "rider", "tether", "wish", "front", "nothing"))
    if harder == "walls":
        for trim in (t for row in rows for t in row["trim"] if t.get("right") is not None):
            trim["right"] -= rng.choice((120, 200, 300))
    if harder == "rider" and len(data["riders"]) < 5:
        twin = deepcopy(rng.choice(data["riders"]))
        data["riders"].append({**twin, "rider": "Flo", "drives": False})
    if harder == "tether":
        for row in rows:
            for position in row["positions"]:
                if row["tethers"] and position["tether"] not in (None, "none"):
                    position["tether"] = row["tethers"][0]["tether"]
        for restraint in data["restraints"]:
            for installation in (i for mode in restraint["modes"] for i in mode["installations"]):
                installation["needs_tether"] = True
    if harder == "wish":
        names = [rider["rider"] for rider in data["riders"]]
        places = [position["position"] for row in rows for position in row["positions"]]
        data["wishes"] += [{"rider": rng.choice(names), "at": [rng.choice(places)], "must": True} for _ in range(2)]
        if len(names) > 1:
            data["wishes"].append({rng.choice(("apart", "together")): rng.sample(names, 2), "must": True})
    _helpful(rng, data)
    if harder == "front":
        for position in {p["ahead"]["seat"] for row in rows for p in row["positions"] if p.get("ahead")} - {None}:
            data["front"][position] = {"forward_at_most": 0}
    return data


def _helpful(rng: Random, data: Data) -> None:
    for row in data["vehicle"]["rows"]:
        for position in row["positions"]:
            if position["airbag"]["front"] == "active" and rng.random() < 0.6:
                position["airbag"]["front"] = "switchable"
            if position["tether"] in (None, "none") and rng.random() < 0.5:
                name = f"new{position['position']}"
                row["tethers"].append({"tether": name, "mass_limit": None})
                position["retrofit_tether"] = name


def refused_trip(rng: Random, most_seatings: int = 250) -> Trip:
    return trip_of(refused_data(rng, most_seatings))


def shelf_of(rng: Random, most: int) -> Mapping[str, Restraint]:
    """Up to ``most`` restraints of another random trip, some of them narrow."""
    data = trip_data(rng)
    found: dict[str, Restraint] = {}
    for n, restraint in enumerate(data["restraints"][:rng.randint(0, most)]):
        if rng.random() < 0.5:
            for part in (part for mode in restraint["modes"] for part in mode["parts"] if part["width"]):
                part["width"] -= 110
        restraint["restraint"] = rng.choice((f"Shelf {n}", f"Seat {n + 1}"))
        found[f"shelf-{n}"] = Restraint.model_validate(restraint)
    return found
