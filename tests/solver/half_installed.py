"""Random trips in which an arrangement is under way, some of it installed with readings, some of it impossible."""

from __future__ import annotations

from random import Random
from typing import Any

from solved import whole_plan
from worlds import drawn

from seatplan.model import Installed, Trip, UnderWay

#: what was read at the car: all of it, some of it, nothing, or what speaks against it
_READ: tuple[dict[str, Any] | None, ...] = (
    {"sideways": 12, "forwards": 9, "level": True}, {"sideways": 25, "forwards": 25, "angle": 40},
    {"moved": 20, "level": True}, {"sideways": 26, "forwards": 9, "level": True}, {"sideways": 3, "level": True},
    {"sideways": 12, "forwards": 9, "level": False}, {"sideways": 12, "forwards": 9, "angle": 70}, {"belt_fits": True},
    {"belt_fits": False}, None)


def half_installed(seed: int) -> Trip:
    """The trip of ``worlds.drawn`` with something under way in it: four in five of what is an arrangement, else
    whatever comes. What is drawn here has a dice of its own."""
    trip, rng = drawn(seed), Random(f"under way {seed}")
    arrangements = whole_plan(trip).arrangements if rng.random() < 0.8 else ()
    if not arrangements:
        return with_under_way(trip, rng)
    seats = [seat.placement for seat in rng.choice(arrangements).seats if not seat.placement.rider.drives]
    aims = {p.rider.rider: UnderWay(
        position=p.position.position, restraint=p.restraint.restraint if p.restraint else None,
        mode=p.mode.mode if p.mode else None, by=p.installation.by if p.installation else None)
        for p in rng.sample(seats, rng.randint(min(1, len(seats)), len(seats))) if not p.built_in}
    return _noted(trip, aims, rng)


def with_under_way(trip: Trip, rng: Random) -> Trip:
    """The same trip with one to all of its riders noted as they are to ride, each in a place and a restraint of its
    own."""
    aims: dict[str, UnderWay] = {}
    children = [rider for rider in trip.riders if not rider.drives]
    for rider in rng.sample(children, rng.randint(min(1, len(children)), min(len(children), rng.choice((1, 2, 5))))):
        taken = [one for aim in aims.values() for one in (aim.position, aim.restraint)]
        places = [p.position for p in trip.vehicle.positions() if p.position not in (*taken, trip.drives)]
        ways = [(restraint.restraint, mode.mode, way.by) for restraint in trip.restraints for mode in restraint.modes
                for way in mode.installations if restraint.restraint not in taken]
        if not places:
            break
        if not ways or rider.adult or rng.random() < 0.15:
            aims[rider.rider] = UnderWay(position=rng.choice(places))
        else:
            held, mode, by = rng.choice(ways)
            aims[rider.rider] = UnderWay(position=rng.choice(places), restraint=held, mode=mode, by=by)
    return _noted(trip, aims, rng)


def _noted(trip: Trip, aims: dict[str, UnderWay], rng: Random) -> Trip:
    """With the aims, some of them installed already; what stood in their way is not installed any more."""
    installed = dict(trip.installed)
    for rider, aim in aims.items():
        if aim.restraint is not None and rng.random() < 0.6:
            installed = {name: here for name, here in installed.items()
                         if here.position != aim.position and here.restraint != aim.restraint}
            installed[rider] = Installed.model_validate({**aim.data(), "readings": rng.choice(
                _READ[:3] if rng.random() < 0.5 else _READ)})
    return trip.model_copy(update={"under_way": aims, "installed": installed})
