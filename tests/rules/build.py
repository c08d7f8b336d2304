"""Turns a case of ``cases/*.yaml`` into what a rule looks at.

A case gives only what matters; the rest is Wren in Nook 35, a forward-facing harness by lap-shoulder
belt, at 2L of a car with the rows ``1L 1R`` and ``2L 2C 2R``, and ``3L 3C 3R`` where a case names one of
these.

Keys of a placement: rider, restraint (``null``: the seat belt), mode, installation, position, bars,
borrowed, tether, recline (setting, packing and angle), reckoned (for a later day). Beside them: options,
row (more about the row of the first placement), rows (more about others, by number), vehicle, trip, profile,
thresholds (values of a profile of one's own). A pair has ``left`` and ``right``, a row or trip has ``seated``, each
with the keys of a placement; ``left_out`` names riders of the trip without a place.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

from seatplan.geometry.recline import Setting
from seatplan.model import Believed, Position, Reckoned, Restraint, Rider, Row, Vehicle
from seatplan.rules.load import bundled_profile
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.rule import Rule
from seatplan.rules.subjects import Pair, Placement, RuleContext, Seated

DAY = date(2026, 11, 25)
ROWS = {1: "LR", 2: "LCR", 3: "LCR"}
NAMES = ("Wren", "Oslo")
Case = dict[str, Any]


def subject(rule: Rule, case: Case) -> tuple[Placement | Pair | Seated, RuleContext]:
    """What the rule looks at, and its world."""
    if rule.scope == "placement":
        given = [case]
    elif rule.scope == "pair":
        given = [case["left"], case["right"]]
    else:
        given = case["seated"]
    placements, world = _placements(case, given)
    if rule.scope == "placement":
        return placements[0], world
    return (Pair(*placements) if rule.scope == "pair" else Seated(tuple(placements))), world


def _placements(case: Case, given: list[Case]) -> tuple[list[Placement], RuleContext]:
    spots = [{"position": "2L", **part.get("position", {})} for part in given]
    vehicle = _vehicle(spots, case)
    riders = [_rider({"rider": name, **part.get("rider", {})}, bool(part.get("reckoned")))
              for part, name in zip(given, (*NAMES, *"ABCDEFG"), strict=False)]
    restraints = [_restraint(part) for part in given]
    own = {restraint.restraint: restraint for restraint in restraints if restraint is not None}
    trip = Believed.model_validate({
        "trip": "Case", "vehicle": vehicle, "drives": "1L", "restraints": list(own.values()),
        "riders": [*riders, *(Rider(rider=name) for name in case.get("left_out", []))],
        **case.get("trip", {}),
    })
    world = RuleContext(trip, vehicle, _profile(case), DAY, Options(**case.get("options", {})))
    placements = []
    for part, spot, rider, restraint in zip(given, spots, riders, restraints, strict=True):
        row = vehicle.row_of(spot["position"])
        mode = restraint.modes[0] if restraint else None
        installation = mode.installations[0] if mode else None
        placements.append(Placement(
            rider, vehicle.position(spot["position"]), row, restraint, mode, installation,
            tuple(part.get("bars", ())), part.get("borrowed", False), part.get("tether"),
            Setting(**part["recline"]) if "recline" in part else None,
            _second(row, spot["position"]) if installation and installation.by == "two-belts" else None,
        ))
    return placements, world


def _second(row: Row, position: str) -> Position | None:
    """The place at the right of another."""
    return next((right for left, right in pairwise(row.positions) if left.position == position), None)


def _rider(given: Case, reckoned: bool) -> Rider:
    rider = Rider.model_validate(given)
    return Reckoned.model_validate({**given, "since": DAY, "smaller": rider, "larger": rider}) if reckoned else rider


def _profile(case: Case) -> Profile:
    """A bundled profile, with the thresholds of the case instead of its own."""
    bundled = bundled_profile(case.get("profile", "us"))
    own = {name: replace(bundled.thresholds[name], value=value) for name, value in case.get("thresholds", {}).items()}
    return replace(bundled, thresholds={**bundled.thresholds, **own})


def _vehicle(spots: list[Case], case: Case) -> Vehicle:
    said = {spot["position"]: spot for spot in spots}
    rows: list[Case] = []
    last = max(2, *(int(name[0]) for name in said))
    for number, sides in list(ROWS.items())[:last]:
        positions = [said.get(f"{number}{side}", {"position": f"{number}{side}"}) for side in sides]
        own = case.get("row", {}) if number == int(spots[0]["position"][0]) else {}
        more = {**case.get("rows", {}).get(number, {}), **own}
        rows.append({"row": number, "positions": positions, **more})
    return Vehicle.model_validate({"vehicle": "Bench", "invented": True, "rows": rows,
                                   "every_seat": {"facing": "forward", "tip_up": False, "slides": False},
                                   **case.get("vehicle", {})})


def _restraint(part: Case) -> Restraint | None:
    if part.get("restraint", {}) is None:
        return None
    mode = {
        "mode": "forward-facing-harness", **part.get("mode", {}),
        "installations": [{"by": "lap-shoulder-belt", **part.get("installation", {})}],
    }
    return Restraint.model_validate({"restraint": "Nook 35", "invented": True, "modes": [mode],
                                     **part.get("restraint", {})})
