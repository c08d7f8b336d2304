"""Random complete trips, and the same with what a first answer leaves out left out.

Sizes are drawn from what the literature at hand says of them, each marked with its source; what it does not say is
assumed, from memory. They are drawn here, apart from the ends that the program takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from random import Random
from typing import Any

from seatplan.geometry.anthropometry import ANNEX_18, BUTTOCK_KNEE, SNYDER
from seatplan.geometry.growth_tables import lms_at, value_at
from seatplan.model import Restraint, Rider, Trip, Vehicle
from seatplan.model.kinds import KINDS

DAY = date(2026, 11, 29)
#: the kinds that are estimated
DRAWN = ("infant-carrier", "rear-and-forward", "forward-only", "harness-to-booster", "all-stages", "high-back",
         "backless")
_WELL = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}


@dataclass(frozen=True)
class Drawn:
    """The same trip twice: as it is, and as far as a first answer has it."""

    whole: Trip
    short: Trip


def drawn(rng: Random, ages_only: bool = False) -> Drawn:
    """Three children, three restraints, one car."""
    children = [_child(rng, f"Child {k}", ages_only) for k in range(3)]
    restraints = [_restraint(rng, f"Seat {k}", kind) for k, kind in enumerate(rng.sample(DRAWN, 3))]
    car, short_car = _car(rng)

    def trip(vehicle: Vehicle, which: int) -> Trip:
        return Trip.model_validate({
            "trip": "Drawn", "vehicle": vehicle, "drives": "1L", "on": DAY, "front": {"1L": {"forward_at_most": 0}},
            "riders": [pair[which] for pair in children], "restraints": [pair[which] for pair in restraints]})

    return Drawn(trip(car, 0), trip(short_car, 1))


def _at(rows: Any, stature: float, column: int) -> float:
    """Straight between the rows of a table."""
    below = max((row for row in rows if row[0] <= stature), default=rows[0])
    above = min((row for row in rows if row[0] >= stature), default=rows[-1])
    part = 0 if above[0] == below[0] else (stature - below[0]) / (above[0] - below[0])
    return float(below[column] + part * (above[column] - below[column]))


def _child(rng: Random, name: str, ages_only: bool) -> tuple[Rider, Rider]:
    """Stature and mass of CDC 2000, correlated by 0.7 (from memory); lengths of the seated body about the means of
    Snyder et al. 1977 and UN R129 Annex 18 with the SD that they give."""
    months = rng.uniform(4, 120)
    sex = rng.choice(("girl", "boy"))
    tall = rng.gauss(0, 1)
    heavy = 0.7 * tall + (1 - 0.7 ** 2) ** 0.5 * rng.gauss(0, 1)
    stature = round(value_at(lms_at("height", sex, months), max(-3, min(3, tall))))
    mass = round(value_at(lms_at("mass", sex, months), max(-3, min(3, heavy))), 1)
    z = rng.gauss(0, 1)
    e1, e2 = _at(ANNEX_18, stature, 4), _at(ANNEX_18, stature, 5)
    if stature < 850:
        high = _at(ANNEX_18, stature, 1)
        low = min(high - 50, 0.654 * stature)
        sitting = rng.uniform(low + 0.2 * (high - low), high - 0.3 * (high - low))
        breadth = _at(ANNEX_18, stature, 2), _at(ANNEX_18, stature, 3)
        shoulders, hips = (value - 20 + 10 * rng.gauss(0, 1) for value in breadth)
    else:
        middle, low = _at(SNYDER, stature, 2), _at(SNYDER, stature, 1)
        sitting = middle + (middle - low) / 1.645 * rng.gauss(0, 1)
        shoulders, hips = (_at(SNYDER, stature, column) + (
            _at(ANNEX_18, stature, annex) - _at(SNYDER, stature, column)) / 1.645 * rng.gauss(0, 1)
            for column, annex in ((3, 2), (4, 3)))
    shoulder = min((e1 + e2) / 2 + (e2 - e1) / 2 / 1.645 * z, 0.68 * sitting)
    body = {"sitting_height": sitting, "shoulder_height": shoulder, "ear_height": sitting - rng.uniform(85, 110),
            "shoulders": shoulders, "hips": hips}
    if stature >= BUTTOCK_KNEE[0][0]:
        body["buttock_knee"] = _at(BUTTOCK_KNEE, stature, 1) + _at(BUTTOCK_KNEE, stature, 2) * rng.gauss(0, 1)
    told: dict[str, Any] = {"rider": name, "age": f"{int(months)} months", "sits_upright": True}
    sized = {"mass": f"{mass} kg", "height": stature}
    whole = Rider.model_validate({**told, **sized, **{field: round(value) for field, value in body.items()},
                                  "sure": {}})
    return whole, Rider.model_validate(told if ages_only else {**told, **sized})


#: what labels print, kg and mm, by mode: assumed, from memory
_LABELS = {"rear-facing-harness": ((2, 3), (13, 18), (450, 500), (800, 1050)),
           "forward-facing-harness": ((9, 11), (18, 29), (700, 800), (1050, 1250)),
           "high-back-booster": ((15, 18), (36, 50), (950, 1050), (1350, 1500)),
           "backless-booster": ((18, 22), (36, 50), (1000, 1150), (1350, 1500))}


def _restraint(rng: Random, name: str, kind: str) -> tuple[Restraint, Restraint]:
    """Widths of 420 to 530 mm, 600 to 820 mm from the seatback rear-facing, boosters of 380 to 440 mm (the
    literature at hand, from memory); what its label says decides how high straps and head support go, for the middle
    body and beyond."""
    width = round(rng.uniform(380, 440) if kind == "backless" else rng.uniform(420, 530))
    adjusts, leg = True, False
    limits: dict[str, Any] = {}
    modes = []
    for mode, ways in KINDS[kind].modes:       # type: ignore[index]
        low, high, short, tall = (tuple(map(float, end)) for end in _LABELS[mode])
        most = round(rng.uniform(*tall))
        label = {"mass": [f"{round(rng.uniform(*low), 1)} kg", f"{round(rng.uniform(*high), 1)} kg"],
                 "height": [round(rng.uniform(*short)), most]}
        key = {"rear-facing-harness": "rear_facing", "forward-facing-harness": "forward_facing"}.get(mode, "booster")
        limits[key] = label
        modes.append(_mode(rng, mode, ways, label, most, width, kind))
    anchors = f"{round(rng.uniform(13.6, 22), 1)} kg"
    for one in modes:
        for way in one["installations"]:
            if way["by"] == "lower-anchors":
                way["mass_limit"] = anchors
    whole = Restraint.model_validate({
        "restraint": name, "mass": f"{round(_mass(rng, kind), 1)} kg", "condition": _WELL, "made": "2024-03-01",
        "expires": "2030-01-01",
        "modes": modes})
    told = next(iter(limits.values())) if len(limits) == 1 else limits
    held = {"on_lower_anchors": anchors} if any("harness" in one["mode"] for one in modes) else {}
    short_one = Restraint.model_validate({
        "restraint": name, "kind": kind, "width": width, "limits": {**told, **held}, "level_adjusts": adjusts,
        **({"support_leg": leg} if any("harness" in one["mode"] for one in modes) else {}), "in_order": True,
        "made": "2024-03-01"})
    return whole, short_one


def _mass(rng: Random, kind: str) -> float:
    return rng.uniform(*{"infant-carrier": (6, 9), "high-back": (5, 10), "backless": (1, 3)}.get(kind, (7, 14)))


def _mode(rng: Random, mode: str, ways: Any, label: dict[str, Any], tallest: int, width: int,
          kind: str) -> dict[str, Any]:
    rear, harness = mode == "rear-facing-harness", "harness" in mode
    middle = (_at(ANNEX_18, tallest, 4) + _at(ANNEX_18, tallest, 5)) / 2
    head = _at(SNYDER, tallest, 2) if tallest >= 850 else 0.6 * tallest
    seat_up = round(rng.uniform(70, 130))
    long = round(rng.uniform(600, 720) if kind == "infant-carrier" else rng.uniform(600, 820) if rear else
                 rng.uniform(420, 580) if harness else rng.uniform(360, 430))
    top = round(head + 25 + rng.uniform(0, 40)) if rear else round(head - 97 + rng.uniform(0, 60))
    base = (round(rng.uniform(0, 40)), round(rng.uniform(380, 460)))
    parts = [{"part": "base", "along": list(base), "up": [0, 110], "width": round(rng.uniform(0.7, 1) * width)}]
    up = [100, 300] if mode == "backless-booster" else [100, top + seat_up + 20]
    parts.append({"part": "shell", "along": [max(20, long - 540), long], "up": up, "width": width})
    if up[1] - up[0] > 600:
        parts[-1]["up"] = [100, 500]
        parts.append({"part": "head", "along": [20, min(long, 500)], "up": [500, up[1]], "width": width})
    found: dict[str, Any] = {"mode": mode, "limits": label, "seat_up": seat_up, "parts": parts}
    if mode != "backless-booster":
        found |= {"shoulder_slots": [round(rng.uniform(140, 240) if rear else rng.uniform(220, 290)),
                                     round(middle + rng.uniform(-20, 40))], "shell_height": top}
    if rear:
        found |= {"recline": {"reference": 45, "allowed": [30, 45], "settings": [26, 30, 34, 38, 42, 46, 50, 54],
                              "packing": "none"}, "touch_ahead": rng.choice(("may", "gap"))}
    elif harness:
        found |= {"recline": {"reference": 20, "allowed": "none"}, "tether_strap": True,
                  "tether_length": round(rng.uniform(1300, 1800)), "tether_from": [80, round(rng.uniform(450, 560))]}
    found["installations"] = [_way(rng, by, mode, harness, rear) for by in ways]
    return found


def _way(rng: Random, by: str, mode: str, harness: bool, rear: bool) -> dict[str, Any]:
    way: dict[str, Any] = {"by": by, "inflatable_belt": rng.choice(("allowed", "forbidden"))}
    if harness:
        way |= {"needs_tether": False if rear else rng.random() < 0.3, "support_leg": False}
    if harness and by == "lap-shoulder-belt":
        way |= {"belt_path": round(rng.uniform(140, 320)), "belt_needed": round(rng.uniform(1700, 2500)),
                "lock_off": rng.random() < 0.5}
    if by == "lower-anchors":
        way["connectors"] = rng.choice(("flexible", "rigid"))
    return way


def _car(rng: Random) -> tuple[Vehicle, Vehicle]:
    """Benches of 1,300 to 1,550 mm between the trims, positions 330 to 420 mm apart (from memory, low confidence);
    cushions of 455 mm, SD 38 (Huang, Reed 2006, from memory); angles of 14 and 20 degrees, SD 4 (NHTSA rear-seat
    study, from memory)."""
    wide, apart = round(rng.uniform(1300, 1550)), round(rng.uniform(345, 420))
    centre = wide // 2
    middles = [centre - apart, centre, centre + apart]
    seats = ("2L", "2C", "2R")
    bars = [{"bar": bar, "across": middles[k] + side * 140} for bar, k, side in (
        ("a", 0, -1), ("b", 0, 1), ("c", 2, -1), ("d", 2, 1))]
    free = round(rng.uniform(620, 900))
    anchored = rng.choice(((-450, 0), (-350, 480), (-300, 650), (-600, 100)))
    said = {"facing": "forward", "tip_up": False, "slides": False, "belt": "lap-shoulder",
            "retractor": rng.choice(("switchable", "emergency", "automatic")), "inflatable": False, "forbids": "none"}
    front = [{"position": seat, "lower_anchors": "none", "tether": "none", "airbag": {"front": "active"},
              "support_leg": "allowed"} for seat in ("1L", "1R")]
    ahead = {"gap": [[0, free], [900, free]], "travel": 0}
    short_seats: list[dict[str, Any]] = []
    seats_whole: list[dict[str, Any]] = []
    for k, seat in enumerate(seats):
        own: dict[str, Any] = {
            "position": seat, "tether": f"t{k}", "support_leg": "allowed",
            "lower_anchors": "none" if k == 1 else (["a", "b"], None, ["c", "d"])[k]}
        if k != 1:
            own["ahead"] = {**ahead, "seat": "1L" if k == 0 else "1R"}
        short_seats.append(own)
        aside = round(rng.uniform(150, 220)) * (1 if k == 0 or (k == 1 and rng.random() < 0.5) else -1)
        belt = {"kind": "lap-shoulder", "latchplate": "sliding", "anchors": [middles[k] - 200, middles[k] + 200],
                "buckle": {"across": middles[k] + aside, "stalk": round(rng.uniform(40, 150))},
                "length": round(rng.uniform(2400, 3200))}
        seats_whole.append({**own, "centre": middles[k], "belt": belt, "head_restraint": {
            "fitted": True, "removable": rng.random() < 0.5, "juts": round(rng.uniform(20, 70)),
            "top": round(rng.uniform(650, 800))}, **({} if k != 1 else {
                "ahead": {"gap": [[0, free], [900, free]]}})})
    tethers = [{"tether": f"t{k}"} for k in range(3)]
    row = {"row": 2, "trim": [{"name": "door", "left": 0, "right": wide}], "lower_anchors": bars,
           "cushion": {"left": 30, "right": wide - 30, "length": round(max(400, min(540, rng.gauss(455, 38)))),
                       "angle": round(max(7.0, min(23.0, rng.gauss(14, 4))), 1),
                       "above_floor": round(rng.uniform(280, 360)), "raised": "none"},
           "seatback": {"angle": round(max(12.0, min(28.0, rng.gauss(20, 4))), 1),
                        "height": round(rng.uniform(520, 640))},
           "tethers": [{**tether, "across": middles[k], "along": anchored[0], "up": anchored[1]}
                       for k, tether in enumerate(tethers)], "positions": seats_whole}
    first = {"row": 1, "lower_anchors": "none", "tethers": "none", "positions": front}
    whole = Vehicle.model_validate({"vehicle": "Drawn car", "invented": True, "every_seat": said, "rows": [first, row]})
    short = Vehicle.model_validate({
        "vehicle": "Drawn car", "invented": True, "every_seat": said, "not_measured": "estimate",
        "rows": [first, {"row": 2, "trim": row["trim"], "lower_anchors": [{"bar": bar["bar"]} for bar in bars],
                         "tethers": tethers, "positions": short_seats}]})
    return whole, short
