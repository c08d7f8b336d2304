"""Trips that are far too large to look at every seating of: invented buses, classes and shelves full of restraints.

``HARD`` names them; ``written`` gives a trip as the text of a file. Everything in them is invented.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import yaml

from seatplan.files.library import find
from seatplan.files.reading import read

_GOOD = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}
_MIXED = ("nook-35", "lattice-combo", "perch-high", "tallow", "cushion-38", "nook-35-slim", "lattice-slim",
          "perch-slim", "forward-solo", "cushion-44")


def bus(rows: int) -> dict[str, Any]:
    """A vehicle with two seats in front and rows of three behind, each like the second of a bundled one."""
    vehicle: dict[str, Any] = read(find("vehicle", "ferry-lane-nine")).data
    front, second = vehicle["rows"][0], vehicle["rows"][1]
    front["positions"] = [front["positions"][0], front["positions"][2]]
    behind = []
    for row in range(2, rows + 1):
        own = deepcopy(second)
        own["row"] = row
        for position in own["positions"]:
            side = position["position"][1]
            position["position"] = f"{row}{side}"
            position["ahead"]["seat"] = f"{row - 1}{side}"
            if row == 2 and side == "C":
                del position["ahead"]
        behind.append(own)
    return {**vehicle, "vehicle": "Long bus", "invented": True, "rows": [front, *behind]}


def riders(children: int) -> list[dict[str, Any]]:
    """A driver, and children of one to ten years, larger with every one."""
    found: list[dict[str, Any]] = [
        {"rider": "Driver", "adult": True, "drives": True, "age": "40y", "height": "172 cm", "hips": 390,
         "shoulders": 440}]
    for i in range(children):
        years = 1 + 9 * i / max(1, children - 1)
        stature = round(740 + 65 * (years - 1))
        found.append({
            "rider": f"Child {i + 1}", "age": f"{round(years * 12)} months", "mass": f"{9 + 2.4 * (years - 1):.1f} kg",
            "height": stature, "sitting_height": round(stature * .54), "shoulder_height": round(stature * .335),
            "ear_height": round(stature * .455), "hips": round(stature * .175), "shoulders": round(stature * .245),
            "sits_upright": years >= 6})
    return found


def restraints(n: int, models: tuple[str, ...] = _MIXED) -> list[dict[str, Any]]:
    return [{"use": models[i % len(models)], "as": f"Shelf {i + 1:02}", "made": "2024-04-02", "condition": _GOOD}
            for i in range(n)]


def _trip(name: str, vehicle: object, children: int, own: list[dict[str, Any]], **more: Any) -> dict[str, Any]:
    return {"trip": name, "vehicle": vehicle, "on": "2026-11-30", "drives": "1L", "rules": "us",
            "riders": riders(children), "restraints": own, **more}


def musts() -> list[dict[str, Any]]:
    """28 wishes that are rules: neighbours, those who may not be neighbours, and seats."""
    names = [f"Child {i + 1}" for i in range(11)]
    wishes: list[dict[str, Any]] = [{"apart": [a, b]} for a, b in zip(names, names[2:], strict=False)]
    wishes += [{"together": [names[i], names[i + 1]]} for i in range(0, 8, 2)]
    wishes += [{"rider": name, "not_at": ["1R"]} for name in names]
    wishes += [{"rider": names[i], "at": [f"{row}{side}" for row in (2, 3, 4, 5) for side in "LCR"]} for i in range(4)]
    return [{**wish, "must": True} for wish in wishes]


#: what makes a trip hard -> the trip, as plain data
HARD: dict[str, Callable[[], dict[str, Any]]] = {
    "mixed": lambda: _trip("Twelve in five rows", bus(5), 11, restraints(20)),
    "alike": lambda: _trip("Twenty of two models", bus(5), 11, restraints(20, ("nook-35", "lattice-combo"))),
    "lacking": lambda: _trip("Twenty that the small ones cannot use", bus(5), 11, restraints(20, ("lattice-combo",))),
    "crowded": lambda: _trip("Twelve for nine", "ferry-lane-nine", 11, restraints(20)),
    "musts": lambda: _trip("Twenty-eight musts", bus(5), 11, restraints(20), wishes=musts()),
    "impossible": lambda: _trip("Three for two seats", bus(5), 11, restraints(20), wishes=[
        {"rider": f"Child {i}", "at": ["5L", "5R"], "must": True} for i in (3, 4, 5)]),
}


def written(name: str) -> str:
    """The text of the trip file."""
    return yaml.safe_dump(HARD[name](), sort_keys=False, allow_unicode=True)
