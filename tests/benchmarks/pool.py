"""A loan pool of child restraints, several copies of each model, and a family with a car of eight seats: invented."""

from __future__ import annotations

from typing import Any

_MODELS = ("nook-35", "tallow", "lattice-slim", "perch-slim", "cushion-38")
_GOOD = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}
#: name, months, kg, stature in mm
_CHILDREN = (("Abe", 10, 9.4, 740), ("Bea", 30, 13.4, 915), ("Cal", 44, 15.8, 1000))


def pool(copies: int) -> dict[str, Any]:
    """The plain data of a trip file; the copies of a model differ in their names alone."""
    return {
        "trip": "Out of the pool", "vehicle": "ferry-lane-eight", "on": "2026-11-30", "drives": "1L", "rules": "us",
        "riders": [
            {"rider": "Driver", "adult": True, "drives": True, "age": "40y", "height": 1720, "hips": 390,
             "shoulders": 440},
            {"rider": "Helper", "adult": True, "age": "31y", "height": 1680, "hips": 380, "shoulders": 420},
            *map(_child, _CHILDREN)],
        "restraints": [
            {"use": model, "as": f"{model} {number}", "made": "2024-04-02", "condition": _GOOD}
            for model in _MODELS for number in range(1, copies + 1)]}


def _child(known: tuple[str, int, float, int]) -> dict[str, Any]:
    name, months, kg, stature = known
    return {"rider": name, "age": f"{months} months", "mass": f"{kg} kg", "height": stature,
            "sitting_height": round(stature * .54), "shoulder_height": round(stature * .335),
            "ear_height": round(stature * .455), "hips": round(stature * .175), "shoulders": round(stature * .245),
            "sits_upright": False}
