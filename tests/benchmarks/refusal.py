"""An invented refusal with about 40 rule occasions, and every smallest conflict and correction of it.

Three children, two restraints that would do, and five that would not: each of their modes is ruled out by one to three
limits. All contenders start from the same options of each rider, each with the occasions that speak against it.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from seatplan.model import Believed, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.conflict import Group, smallest_groups
from seatplan.solver.minimal import bits, hitting_sets
from seatplan.solver.seater import solve_seater
from seatplan.solver.solve import Solve

DAY = date(2026, 11, 25)
_FINE = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}
#: what a child of 13 kg, 90 cm and 30 months is beyond
_BEYOND: tuple[dict[str, Any], ...] = (
    {"mass": ["2 kg", "10 kg"]}, {"height": [400, 700]}, {"age": ["0 months", "12 months"]})
_WIDE = {"mass": ["2 kg", "30 kg"], "height": [400, 1250]}
#: for each restraint that would not do, how many limits rule out its modes
_LIMITS = ((1, 1), (1, 1), (1, 1), (1, 2), (1, 1))


def _position(name: str, centre: int) -> dict[str, Any]:
    return {
        "position": name, "centre": centre, "lower_anchors": "none", "tether": "none",
        "belt": {"kind": "lap-shoulder", "retractor": "switchable", "latchplate": "sliding", "inflatable": False,
                 "anchors": [centre - 150, centre + 150], "buckle": {"across": centre + 150, "stalk": 70},
                 "length": 3000}}


def _mode(name: str, limits: dict[str, Any]) -> dict[str, Any]:
    return {
        "mode": name, "limits": limits, "shoulder_slots": [150, 520], "shell_height": 720,
        "parts": [{"part": "shell", "along": [0, 500], "up": [0, 600], "width": 380}],
        "installations": [{"by": "lap-shoulder-belt", "belt_path": 200, "belt_needed": 2300, "lock_off": True,
                           "needs_tether": False, "inflatable_belt": "allowed", "support_leg": False}]}


def _restraint(name: str, *limits: dict[str, Any]) -> dict[str, Any]:
    kinds = ("forward-facing-harness", "rear-facing-harness")
    # a note each, so that no two are alike
    return {"restraint": name, "invented": True, "notes": name, "mass": "6 kg", "made": "2024-01-01",
            "expires_after": "9y", "condition": _FINE,
            "modes": [_mode(kind, own) for kind, own in zip(kinds, limits, strict=False)]}


def trip() -> Trip:
    """Everything in it is invented."""
    beyond = [tuple({**_WIDE, **{k: v for one in _BEYOND[:n] for k, v in one.items()}} for n in limits)
              for limits in _LIMITS]
    return Believed.model_validate({
        "trip": "Forty reasons", "on": DAY, "drives": "1L", "rules": "us",
        "vehicle": {"vehicle": "Wide Wagon", "invented": True,
                    "every_seat": {"facing": "forward", "tip_up": False, "slides": False}, "rows": [
            {"row": 1, "trim": [{"name": "door", "left": 0, "right": 1600}], "positions": [_position("1L", 400)]},
            {"row": 2, "trim": [{"name": "door", "left": 0, "right": 1600}], "lower_anchors": "none",
             "positions": [_position("2L", 300), _position("2C", 800), _position("2R", 1300)]}]},
        "riders": [
            {"rider": "Bram", "adult": True, "drives": True, "age": "40y", "height": 1750, "mass": "75 kg"},
            *({"rider": name, "age": "30 months", "mass": "13 kg", "height": 900, "sitting_height": 520,
               "shoulder_height": 330, "ear_height": 440, "sits_upright": True} for name in ("Ada", "Bo", "Cy"))],
        "restraints": [
            *(_restraint(f"Good {n}", _WIDE) for n in (1, 2)),
            *(_restraint(f"Outgrown {n}", *limits) for n, limits in enumerate(beyond, 1))]})


class Refusal:
    """The smallest group of the trip: ``options[r]`` are (position, restraint, mask of occasions) of its riders."""

    def __init__(self) -> None:
        self.seater = solve_seater(Solve(trip(), load_profile("us"), DAY))
        self.riders = smallest_groups(self.seater)[0]
        self.options = [[(o.position, o.restraint, o.mask) for o in self.seater.domains[r]] for r in self.riders]
        self.occasions = sorted({bit for own in self.options for _, _, mask in own for bit in bits(mask)})


def ours(refusal: Refusal) -> tuple[set[int], set[int]]:
    """(conflicts, corrections) as bitmasks: one sweep over the seatings, and what hits all that it finds."""
    corrections = Group(refusal.seater, refusal.riders).corrections()
    return set(hitting_sets(corrections)), set(corrections)


def marco(refusal: Refusal) -> tuple[set[int], set[int]]:
    """The same by CPMpy's MARCO over CP-SAT (Liffiton et al. 2016), a boolean of its own for each occasion."""
    import cpmpy
    from cpmpy.tools.explain import marco as enumerate_all

    obeyed = {bit: cpmpy.boolvar(name=f"o{bit.bit_length()}") for bit in refusal.occasions}
    hard, users = [], {}
    for own in refusal.options:
        taken = [cpmpy.boolvar() for _ in own]
        hard.append(cpmpy.sum(taken) == 1)
        for way, (position, restraint, mask) in zip(taken, own, strict=True):
            users.setdefault(("position", position), []).append(way)
            if restraint >= 0:
                users.setdefault(("restraint", restraint), []).append(way)
            hard += [~way | ~obeyed[bit] for bit in bits(mask)]
    hard += [cpmpy.sum(ways) <= 1 for ways in users.values()]
    bit_of = {variable.name: bit for bit, variable in obeyed.items()}
    conflicts, corrections = set(), set()
    for kind, some in enumerate_all(list(obeyed.values()), hard, solver="ortools", map_solver="ortools"):
        (conflicts if kind == "MUS" else corrections).add(sum(bit_of[variable.name] for variable in some))
    return conflicts, corrections
