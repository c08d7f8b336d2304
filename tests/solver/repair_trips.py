"""Tiny invented trips for changes, and what is asked of them."""

from __future__ import annotations

from typing import Any

from changes import changed
from solved import DAY
from test_openings import as_json
from worlds import EVERY_SEAT, Data

from seatplan.model import Believed, Restraint, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.repairs.change import Change
from seatplan.solver.repairs.verify import Repair, repairs_of
from seatplan.solver.solve import Solve

RECLINE = {"reference": 40, "allowed": [35, 45], "settings": [40], "packing": "none"}
FINE = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}


def position_at(name: str, centre: int, **more: Any) -> Data:
    return {
        "position": name, "centre": centre, "lower_anchors": "none", "tether": "none",
        "belt": {"kind": "lap-shoulder", "retractor": "switchable", "latchplate": "sliding", "inflatable": False,
                 "anchors": [centre - 200, centre + 200], "buckle": {"across": centre + 200, "stalk": 70},
                 "length": 3000},
        "head_restraint": {"removable": True, "juts": 0, "top": 800}, "airbag": {"front": "none", "side": "none"},
        "support_leg": "allowed", "manual": {"forbids": [], "allows": ["rear-facing-tether"]},
        **({} if name == "1L" else {"ahead": {"gap": [[0, 900], [300, 900], [600, 900]]}}), **more}


def row_of(number: int, width: int, positions: list[Data], tethers: list[Data] | None = None) -> Data:
    return {"row": number, "trim": [{"name": "door", "left": 0, "right": width}], "positions": positions,
            "lower_anchors": "none", "tethers": tethers or "none",
            "cushion": {"left": 0, "right": width, "length": 500, "angle": 15, "above_floor": 320,
                        "raised": "none"},
            "seatback": {"height": 700, "angle": 24}}


def harness(name: str, mode: str, width: int, **installation: Any) -> Data:
    """A harness restraint of one box, held by the belt."""
    return {
        "restraint": name, "invented": True, "mass": "6 kg", "made": "2024-01-01", "expires_after": "9y",
        "condition": FINE, "tolerance": 0,
        "modes": [{
            "mode": mode, "recline": RECLINE if mode.startswith("rear") else {"reference": 30, "allowed": "none"},
            "seat_up": 0,
            "limits": {"mass": ["2 kg", "30 kg"], "height": [400, 1250]}, "shoulder_slots": [150, 520],
            "shell_height": 650, "touch_ahead": "may", "tether_strap": installation.get("needs_tether", False),
            "tether_length": 1800,
            "parts": [{"part": "shell", "along": [0, 600], "up": [0, 600], "width": width, "tolerance": 0}],
            "installations": [{"by": "lap-shoulder-belt", "belt_path": 200, "belt_needed": 2300, "lock_off": True,
                               "needs_tether": False, "inflatable_belt": "allowed", "support_leg": False,
                               **installation}]}]}


def child(name: str, **more: Any) -> Data:
    return {"rider": name, "age": "30 months", "mass": "13 kg", "height": 900, "sitting_height": 520,
            "shoulder_height": 330, "ear_height": 440, "sits_upright": False, **more}


DRIVER: Data = {"rider": "Bram", "adult": True, "drives": True, "age": "40y", "height": 1750, "mass": "75 kg",
                "hips": 380, "shoulders": 450, "buttock_knee": 600}


def trip_with(rows: list[Data], riders: list[Data], restraints: list[Data], driver: Data = DRIVER, **more: Any) -> Trip:
    """Bram drives at 1L; the front row holds nobody else unless the rows say so."""
    return Believed.model_validate({
        "trip": "tiny", "on": DAY, "drives": "1L", "rules": "us",
        "vehicle": {"vehicle": "Tiny Wagon", "invented": True, "measured": {"tolerance": 0},
                    "every_seat": EVERY_SEAT, "rows": rows},
        "riders": [driver, *riders], "restraints": restraints, **more})


def front(*others: Data) -> Data:
    return row_of(1, 1500, [position_at("1L", 350), *others])


def solved(trip: Trip) -> Solve:
    return Solve(trip, load_profile(trip.rules), DAY)


def verdict(trip: Trip) -> str:
    return plan(trip, load_profile(trip.rules), DAY, top=1).verdict


def told_repairs(trip: Trip, **shelf: Data) -> list[Repair]:
    assert verdict(trip) == "rejected"
    return list(repairs_of(solved(trip), shelf_of(**shelf), shown=9).repairs)


def shelf_of(**shelf: Data) -> dict[str, Restraint]:
    return {word: Restraint.model_validate(data) for word, data in shelf.items()}


def kinds(repairs: list[Repair]) -> list[tuple[str, ...]]:
    return [tuple(change.kind for change in repair.changes) for repair in repairs]


def only_one(repairs: list[Repair], kind: str) -> Change:
    """The one repair that is a single change of this kind."""
    found = [repair.changes[0] for repair in repairs if [change.kind for change in repair.changes] == [kind]]
    assert len(found) == 1, kinds(repairs)
    return found[0]


def verdict_with(trip: Trip, change: Change, mm: int) -> str:
    """The verdict with another number in the change, made by code of the test's own."""
    return verdict(changed(trip, [{**as_json(change), "to_mm": mm}], {}))


# ---- sit further forward


def two_seater(airbag: str | None) -> Trip:
    seat = front(position_at("1R", 1150, airbag={"front": airbag, "side": "none"}))
    return trip_with([seat], [child("Ada")], [harness("Shell", "rear-facing-harness", 400)])


def needs_tether_trip(retrofit: str | None) -> Trip:
    position = position_at("2L", 350, **({"retrofit_tether": retrofit} if retrofit else {}))
    row = row_of(2, 1500, [position], [{"tether": "t1", "across": 350, "along": -250, "up": 650}])
    return trip_with([front(), row], [child("Ada")],
                 [harness("Shell", "forward-facing-harness", 400, needs_tether=True)])


def squeezed(**more: Any) -> Trip:
    """Two shells of 480 mm abreast, bound to belts 400 mm apart with 50 mm of play, in a wide row."""
    row = row_of(2, 1500, [position_at("2L", 500), position_at("2R", 900)])
    first, second = (harness(f"Shell {n}", "forward-facing-harness", 480, play=0, **more) for n in (1, 2))
    return trip_with([front(), row], [child("Ada"), child("Bo")], [first, second])
