"""Rarer ways to ride, put into some of the random trips: shields, seats beyond use, beds across two, built-in ones."""

from __future__ import annotations

from random import Random
from typing import Any

Data = dict[str, Any]


def with_new_ways(data: Data) -> None:
    """Changes the plain data of a trip. What is drawn hangs on the trip, so that all else is drawn as before."""
    rng = Random(repr((data["vehicle"], data["riders"], data["restraints"])))
    _shields(rng, data)
    _beyond_use(rng, data)
    _beds(rng, data)
    _built_in(rng, data)


def _shields(rng: Random, data: Data) -> None:
    """A shield in place of the harness of some who face forward."""
    for restraint in data["restraints"]:
        for mode in restraint["modes"]:
            if mode["mode"] == "forward-facing-harness" and rng.random() < 0.2:
                mode |= {"mode": "impact-shield", "recline": None}
                for way in mode["installations"]:
                    if way["by"] == "lower-anchors" and rng.random() < 0.5:
                        way["by"] = "lower-anchors-with-belt"


def _beyond_use(rng: Random, data: Data) -> None:
    """A seat ahead that nobody may sit in where it makes more room."""
    for row in data["vehicle"]["rows"]:
        for position in row["positions"]:
            ahead = position.get("ahead")
            if ahead and ahead["seat"] and rng.random() < 0.6:
                ahead |= {"beyond_use": rng.choice((20, 60, 120, 180)), "travel": rng.choice((0, 30, ahead["travel"]))}


def _beds(rng: Random, data: Data) -> None:
    """A bed across two places instead of some shells, and here and there a gap in a row."""
    for row in data["vehicle"]["rows"]:
        width = row["cushion"]["right"]
        row["cushion"]["gaps"] = rng.choice(("none", "none", "none", [[width // 3, width // 3 + 60]], None))
    for restraint in data["restraints"]:
        if rng.random() < 0.12:
            restraint["modes"] = [_bed(rng, restraint["modes"][0])]


def _bed(rng: Random, mode: Data) -> Data:
    way = {"by": "two-belts", "belts": rng.choice((["lap-shoulder"], ["lap", "lap-shoulder"], None)), "belt_path": 200,
           "belt_needed": 2300, "lock_off": True, "inflatable_belt": "forbidden", "support_leg": False}
    return {"mode": "lying-flat-bed", "limits": {"mass": ["2 kg", "60 kg"], "height": [400, 1650]},
            "touch_ahead": mode.get("touch_ahead"), "installations": [way],
            "parts": [{"part": "bed", "along": [40, rng.choice((430, 600))], "up": [0, 380],
                       "width": rng.choice((620, 740, 860))}]}


def _built_in(rng: Random, data: Data) -> None:
    """A seat with a restraint of its own, in a few cars."""
    if rng.random() > 0.15:
        return
    seats = [position for row in data["vehicle"]["rows"][-1:] for position in row["positions"]]
    seat = rng.choice(seats)
    harness = rng.random() < 0.6
    seat["over_built_in"] = rng.choice(("allowed", "forbidden", None))
    seat["built_in"] = {"restraint": f"Seat of {seat['position']}", "invented": True, "in_order": True,
                        "tolerance": 5, "modes": [{
        "mode": "forward-facing-harness" if harness else "high-back-booster", "shoulder_slots": [180, 520],
        "limits": {"mass": ["2 kg", "60 kg"], "height": [400, 1650]}, "shell_height": 720, "seat_up": 90,
        "parts": [{"part": "shell", "along": [0, 420], "up": [0, 830], "width": rng.choice((330, 400))}]}]}
