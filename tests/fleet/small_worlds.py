"""Small worlds of a fleet: bundled, invented vehicles and restraints, and random parties; and a slow way to find ways.

The slow way looks at every seating by itself, in every pick of its installations, and keeps what no other one makes
needless, word for word as ``ClassAnswer.ways`` is described.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import product
from random import Random
from typing import Any

from seatplan.files.load import load_restraint, load_vehicle
from seatplan.fleet.classes import Engine, World, canonical
from seatplan.fleet.records import Kit, Level, Member, Party, Way, serves
from seatplan.fleet.ways import way_of
from seatplan.model import Restraint, Vehicle
from seatplan.rules.load import load_profile
from seatplan.solver.placements import all_choices
from seatplan.solver.rowplans import TOO_TIGHT, UNSURE, bests
from seatplan.solver.seatings import every_seating
from seatplan.solver.solve import Solve
from seatplan.store import Store

DAY = date(2026, 11, 25)
VEHICLES = ("lindholm-estate", "dowel-coupe", "quarry-saloon", "marlow-saloon", "pipkin-hatch", "skiff-two",
            "amberley-electric", "half-measured-hatch")
KINDS = ("forward-solo", "lattice-combo", "nook-35", "cradle-13", "perch-high", "cushion-44", "perch-slim",
         "bastion", "tallow", "harness-vest", "brindle")
#: (level, kit, whether it serves)
Done = tuple[Level, Kit, bool]


def world_of(vehicles: Sequence[str], kinds: Sequence[str], profile: str = "us", **changed: Any) -> World:
    """A world of bundled files, each by its file's name."""
    types: Mapping[str, Vehicle] = {name: load_vehicle(name) for name in vehicles}
    told: Mapping[str, Restraint] = {name: load_restraint(name) for name in kinds}
    return World(**{"types": types, "kinds": told, "drives": dict.fromkeys(vehicles, "1L"),
                    "profile": load_profile(profile), "tried": {}, "driver": {}, "day": DAY, **changed})


def child(months: int | tuple[int, int], kg: float | None = None, mm: int | None = None,
          upright: bool | None = True) -> Member:
    low, high = (months, months) if isinstance(months, int) else months
    return Member(False, (low, high), None if kg is None else round(kg * 1000), mm, upright)


def random_member(rng: Random) -> Member:
    """A child of a believable size, of which now and then something is not known; or an adult."""
    months = rng.choice((4, 9, 16, 22, 30, 42, 55, 63, 75, 90, 108, 130))
    if rng.random() < 0.15:
        return Member(adult=True)
    mm = round(500 + 76 * months ** 0.5 + rng.randint(-25, 25))
    kg = round(15.6 * (mm / 1000) ** 2 * (1.05 + rng.random() * 0.1), 1)
    known = rng.random()
    return child(months, kg if known < 0.94 else None, mm if known < 0.97 else None, rng.random() < 0.9 or None)


def random_class(seed: int, most: int = 3, kinds: int = 3) -> tuple[World, str, Party]:
    """A type, a few kinds, and a party of up to so many."""
    rng = Random(seed)
    vehicle = rng.choice(VEHICLES)
    world = world_of([vehicle], rng.sample(KINDS, kinds), "us" if rng.random() < 0.85 else "un")
    members = [random_member(rng) for _ in range(rng.randint(1, most))]
    brings = [rng.choice(sorted(world.kinds))] if rng.random() < 0.2 else []
    return world, vehicle, canonical(members, brings)


def slow_ways(engine: Engine, vehicle_type: str, party: Party) -> dict[Done, int]:
    """What no other seating makes needless, each with how sure the surest such seating is."""
    found: dict[Done, int] = {}
    for way in every_way(engine, vehicle_type, party):
        done = way.level, way.kit, serves(way)
        found[done] = min(found.get(done, 9), degree(way))
    return {done: sure for done, sure in found.items()
            if not any(other != done and needless(done, other) for other in found)}


def needless(done: Done, other: Done) -> bool:
    """Whether another one does as much with a part of the kit, or with the kit itself."""
    part, whole = dict(other[1]), dict(done[1])
    return (other[0] <= done[0] and other[2] >= done[2]
            and all(whole.get(kind, 0) >= n for kind, n in part.items()))


def degree(way: Way) -> int:
    if way.verdict == "fits" or (way.verdict == "close" and way.held):
        return 0
    return 1 if way.verdict == "close" else 2 if way.bodies_only else 3


def every_way(engine: Engine, vehicle_type: str, party: Party) -> Iterator[Way]:
    """Every seating, in every pick of its installations, that stands as a whole and asks for nothing."""
    asked = engine.ask(vehicle_type, party)
    solve = Solve(asked.solve.trip, engine.world.profile, engine.world.day, store=Store(),
                  choices_of=lambda trip, runner, _: all_choices(trip, runner, asked.solve.kinds))
    rows = [{frozenset(plan.choices): plan for plan in plans} for plans in solve.rows]
    for seating in every_seating(solve):
        plans = tuple(row[frozenset(c for c in seating if solve.row_at[c.position] == n)]
                      for n, row in enumerate(rows))
        for fills in product(*(bests(plan, solve.cost_of) for plan in plans)):
            pick = solve.picked_as(plans, fills)
            whole = None if pick.level >= TOO_TIGHT else solve.whole_as(plans, pick)
            if whole is not None and whole.level < UNSURE:
                yield way_of(solve, whole, pick, asked.names)
