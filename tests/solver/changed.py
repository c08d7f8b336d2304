"""Changes to the plain data of a trip whose effect on the answers is known."""

from __future__ import annotations

from copy import deepcopy
from random import Random
from typing import Any

from worlds import Data

_WIDE = 1600
_OTHER_SIDE = {"L": "R", "R": "L", "C": "C"}


def other_side(position: str) -> str:
    """The name of a position seen in a mirror."""
    return position[0] + _OTHER_SIDE[position[1]]


def mirrored(data: Data) -> Data:
    """The same trip in the vehicle's mirror image."""
    data = deepcopy(data)
    for row in data["vehicle"]["rows"]:
        for trim in row["trim"]:
            if trim.get("only"):
                trim["only"] = {"left": "right", "right": "left"}[trim["only"]]
            trim["left"], trim["right"] = _flip(trim.get("right")), _flip(trim.get("left"))
        cushion = row["cushion"]
        cushion["left"], cushion["right"] = _flip(cushion.get("right")), _flip(cushion.get("left"))
        if isinstance(cushion.get("gaps"), list):
            cushion["gaps"] = [[_flip(right), _flip(left)] for left, right in reversed(cushion["gaps"])]
        for part in row.get("parts") or ():
            part["positions"] = [other_side(position) for position in reversed(part["positions"])]
            if part.get("across"):
                part["across"] = [_flip(across) for across in reversed(part["across"])]
        for bar in row["lower_anchors"]:
            bar["across"] = _flip(bar["across"])
        row["positions"].reverse()
        for position in row["positions"]:
            position["position"] = other_side(position["position"])
            position["centre"] = _flip(position["centre"])
            for pair in ("lower_anchors", "borrow"):
                if position.get(pair):
                    position[pair] = position[pair][::-1]
            if (position.get("ahead") or {}).get("seat"):
                position["ahead"]["seat"] = other_side(position["ahead"]["seat"])
            belt = position["belt"] or {}
            if belt.get("anchors"):
                belt["anchors"] = [_flip(across) for across in reversed(belt["anchors"])]
            if belt.get("buckle"):
                belt["buckle"]["across"] = _flip(belt["buckle"]["across"])
    for rider in data["riders"]:
        if (rider.get("belt_fit") or {}).get("position"):
            rider["belt_fit"]["position"] = other_side(rider["belt_fit"]["position"])
    data["drives"] = other_side(data["drives"])
    data["front"] = {other_side(position): known for position, known in data["front"].items()}
    for wish in data["wishes"]:
        for kind in ("at", "not_at"):
            if kind in wish:
                wish[kind] = [other_side(position) for position in wish[kind]]
    for now in data["installed"].values():
        now["position"] = other_side(now["position"])
    return data


def lies_across_two(data: Data) -> bool:
    """Whether a bed of it needs two belts: such a bed is named by its left place, in a mirror too."""
    return any(way["by"] == "two-belts" for restraint in data["restraints"] for mode in restraint["modes"]
               for way in mode["installations"])


def _flip(across: int | None) -> int | None:
    return None if across is None else _WIDE - across


def renamed(data: Data, names: dict[str, str]) -> Data:
    """Every rider under another name."""
    data = deepcopy(data)
    for rider in data["riders"]:
        rider["rider"] = names[rider["rider"]]
    for wish in data["wishes"]:
        if "rider" in wish:
            wish["rider"] = names[wish["rider"]]
        for kind in ("apart", "together"):
            if kind in wish:
                wish[kind] = [names[name] for name in wish[kind]]
    data["installed"] = {names[name]: now for name, now in data["installed"].items()}
    return data


def without_rider(data: Data, name: str) -> Data:
    """One rider stays at home, and so do the wishes for that rider."""
    data = deepcopy(data)
    data["riders"] = [rider for rider in data["riders"] if rider["rider"] != name]
    data["installed"].pop(name, None)
    data["wishes"] = [wish for wish in data["wishes"] if name not in (
        wish.get("rider"), *wish.get("apart", ()), *wish.get("together", ()))]
    return data


def shuffled(data: Data, rng: Random) -> Data:
    """Riders, restraints, trims and wishes in another order."""
    data = deepcopy(data)
    lists: list[list[Any]] = [data["riders"], data["restraints"], data["wishes"]]
    lists += [row["trim"] for row in data["vehicle"]["rows"]]
    lists += [mode["parts"] for restraint in data["restraints"] for mode in restraint["modes"]]
    for items in lists:
        rng.shuffle(items)
    return data


def shrunk(data: Data, rng: Random) -> Data | None:
    """One part narrower; None where no part has a width."""
    data = deepcopy(data)
    parts = [part for restraint in data["restraints"] for mode in restraint["modes"] for part in mode["parts"]
             if part.get("width")]
    if not parts:
        return None
    part = rng.choice(parts)
    part["width"] -= rng.choice((1, 7, 60))
    return data
