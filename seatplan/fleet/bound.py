"""How many bookings any plan could serve at most: a flow in which the number of copies and of vehicles of each type are
forgotten (``capacity.py`` remembers those, and forgets what follows what).

Whatever vehicles do is a set of paths from booking to booking, one a vehicle. Two bookings may follow each other where
vehicles of one group could carry both, and drive from one to the other with a load that goes with both, or come by
their depot between. The most bookings on so many paths is a flow of least cost in whole numbers: no plan serves more.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

import numpy as np

from .extras import min_cost_flow
from .flow import Group
from .records import Day, Load

#: by booking, the groups that could carry it, with the loads of each
Carries = Mapping[int, Mapping[int, Collection[Load]]]


def most_served(day: Day, groups: Sequence[Group], vehicles: int, carries: Carries) -> int:
    """No plan serves more. ``vehicles``: how many there are."""
    numbers = [number for number in range(len(day.bookings)) if carries.get(number)]
    if not numbers or not vehicles:
        return 0
    follows = _follows(day, groups, numbers, carries)
    # what leads there by a third one needs no arc of its own: passing a booking without serving it is free
    single = follows.astype(np.float32)
    tails, heads = np.nonzero(follows & ~((single @ single) > 0))
    return _paths(len(numbers), tails, heads, vehicles)


def _follows(day: Day, groups: Sequence[Group], numbers: Sequence[int], carries: Carries) -> Any:
    """Which booking may come after which in one vehicle, as a table of yes and no."""
    bookings = [day.bookings[number] for number in numbers]
    start = np.array([booking.start for booking in bookings])
    end = np.array([booking.end for booking in bookings])
    never = 10**7
    places = sorted({place for booking in bookings for place in (booking.origin, booking.goal)})
    at = {place: n for n, place in enumerate(places)}
    minutes = np.array([[day.travel.get((a, b), never) for b in places] for a in places])
    origin, goal = (np.array([at[getattr(booking, name)] for booking in bookings]) for name in ("origin", "goal"))
    direct = end[:, None] + minutes[goal[:, None], origin[None, :]] <= start[None, :]
    follows = np.zeros((len(numbers), len(numbers)), dtype=bool)
    for number, group in enumerate(groups):
        able = np.array([number in carries[one] for one in numbers])
        back = np.array([day.travel.get((place, group.depot), never) for place in places])[goal]
        out = np.array([day.travel.get((group.depot, place), never) for place in places])[origin]
        by_depot = (end + back)[:, None] <= (start - out)[None, :]
        follows |= able[:, None] & able[None, :] & by_depot | _alike(number, numbers, carries) & direct
    return follows


def _alike(group: int, numbers: Sequence[int], carries: Carries) -> Any:
    """Which bookings a group could carry with one and the same load, as a table of yes and no."""
    known: dict[Load, int] = {}
    pairs = [(n, known.setdefault(load, len(known))) for n, number in enumerate(numbers)
             for load in carries[number].get(group, ())]
    with_load = np.zeros((len(numbers), max(1, len(known))), dtype=np.float32)
    for n, load in pairs:
        with_load[n, load] = 1
    return (with_load @ with_load.T) > 0


def _paths(count: int, tails: Any, heads: Any, vehicles: int) -> int:
    """The most nodes on so many paths: each node is an arc that pays once, and one beside it that pays nothing."""
    source, sink = 2 * count, 2 * count + 1
    into, out = 2 * np.arange(count), 2 * np.arange(count) + 1
    arcs = [(into, out, 1, -1), (into, out, vehicles, 0), (np.full(count, source), into, 1, 0),
            (out, np.full(count, sink), vehicles, 0), (2 * tails + 1, 2 * heads, vehicles, 0),
            (np.array([source]), np.array([sink]), vehicles, 0)]
    flow = min_cost_flow().SimpleMinCostFlow()
    for start, end, most, cost in arcs:
        flow.add_arcs_with_capacity_and_unit_cost(start, end, np.full(len(start), most), np.full(len(start), cost))
    flow.set_nodes_supplies(np.array([source, sink]), np.array([vehicles, -vehicles]))
    status = flow.solve()
    if status != flow.OPTIMAL:
        raise AssertionError(f"the flow of nobody is always there, and none was found: {status}")
    return int(-flow.optimal_cost())
