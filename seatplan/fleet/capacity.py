"""How many bookings any plan could serve at most, with regard to types of vehicle and to stock at every minute.

A booking that a group of like vehicles carries holds one of them, and a copy of each kind in its kit, from its start
until whatever could follow it anywhere. So at any minute the bookings under way hold no more than there is. All that as
a linear program is a relaxation of every plan. The prices that it puts on a vehicle or a copy at a minute are rounded
to whole parts and summed up again in whole numbers (a Lagrangian bound): whatever the prices are, that is a bound, so
it hangs on no accuracy of the program.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np

from .extras import linear
from .flow import Group
from .records import Day, Kit

#: minutes that are looked at: none of them makes it a bound, more of them make it a better one
_MINUTES = 240
#: of the program that finds the prices: so near to the best, and so many steps; never a time
_PARAMETERS = ("termination_criteria { simple_optimality_criteria { eps_optimal_relative: 1e-5 "
               "eps_optimal_absolute: 1e-5 } iteration_limit: 4000 }")
#: a price is a whole number of parts of one booking
_PARTS = 10**6
_NEVER = 10**7


class Able(NamedTuple):
    """That a group may carry a booking with a kit."""

    booking: int
    group: int
    kit: Kit


class _Row(NamedTuple):
    """What may be held at a minute: so many in all, and how many of it each way holds that is under way."""

    most: int
    held: Mapping[int, int]


def most_at_once(day: Day, groups: Sequence[Group], vehicles: Mapping[int, int],
                 stock: Mapping[tuple[str, str], Sequence[int]], able: Iterable[Able]) -> int:
    """No plan serves more. ``vehicles``: by group, how many; ``stock``: as ``flow.stock_of`` tells."""
    ways = _smallest(able)
    if not ways:
        return 0
    rows = _rows(day, groups, vehicles, stock, ways)
    return _summed(ways, rows, _prices(ways, rows))


def _smallest(able: Iterable[Able]) -> list[Able]:
    """Without those whose kit holds all of another one and more."""
    of: dict[tuple[int, int], list[Kit]] = {}
    for way in able:
        kits = of.setdefault((way.booking, way.group), [])
        if way.kit not in kits:
            kits.append(way.kit)
    return [Able(*key, kit) for key, kits in sorted(of.items()) for kit in kits
            if not any(other != kit and _within(other, kit) for other in kits)]


def _within(part: Kit, whole: Kit) -> bool:
    there = dict(whole)
    return all(there.get(kind, 0) >= n for kind, n in part)


def _until(day: Day, depots: Iterable[str]) -> list[int]:
    """By booking, the minute before which nothing follows it, neither in its vehicle nor with its copies: on the
    shortest way to where another one begins, directly or by a depot."""
    origins = sorted({booking.origin for booking in day.bookings})
    told = []
    known: dict[str, int] = {}
    for booking in day.bookings:
        goal = booking.goal
        if goal not in known:
            direct = min(day.travel.get((goal, place), _NEVER) for place in origins)
            by_depot = min((day.travel.get((goal, depot), _NEVER) + day.travel.get((depot, place), _NEVER)
                            for depot in depots for place in origins), default=_NEVER)
            known[goal] = min(direct, by_depot)
        told.append(booking.end + known[goal])
    return told


def _rows(day: Day, groups: Sequence[Group], vehicles: Mapping[int, int],
          stock: Mapping[tuple[str, str], Sequence[int]], ways: Sequence[Able]) -> list[_Row]:
    """What could run short at the minutes that are looked at."""
    start = np.array([day.bookings[way.booking].start for way in ways])
    until = _until(day, sorted({group.depot for group in groups}))
    end = np.array([until[way.booking] for way in ways])
    holds: dict[tuple[str, ...], dict[int, int]] = {}
    for n, way in enumerate(ways):
        holds.setdefault(("", str(way.group)), {})[n] = 1
        for kind, number in way.kit:
            holds.setdefault((groups[way.group].depot, kind), {})[n] = number
    found: list[_Row] = []
    for minute in _minutes(start):
        there = set(np.flatnonzero((start <= minute) & (minute < end)).tolist())
        for key, held in sorted(holds.items()):
            most = vehicles.get(int(key[1]), 0) if key[0] == "" else sum(
                since <= minute for since in stock.get((key[0], key[1]), ()))
            now = {n: number for n, number in held.items() if n in there}
            if sum(now.values()) > most:
                found.append(_Row(most, now))
    return found


def _minutes(start: Any) -> list[int]:
    """Minutes at which bookings begin: all of them, or so many, evenly taken."""
    told = sorted({int(minute) for minute in start})
    if len(told) <= _MINUTES:
        return told
    return [told[n * (len(told) - 1) // (_MINUTES - 1)] for n in range(_MINUTES)]


def _prices(ways: Sequence[Able], rows: Sequence[_Row]) -> list[int]:
    """What one of each row is worth, in parts of a booking; none is less than nothing."""
    program = linear().Solver.CreateSolver("PDLP")
    most = program.infinity()
    variables = [program.NumVar(0, 1, "") for _ in ways]
    bookings: dict[int, Any] = {}
    for way, var in zip(ways, variables, strict=True):
        if way.booking not in bookings:
            bookings[way.booking] = program.Constraint(-most, 1)
        bookings[way.booking].SetCoefficient(var, 1)
        program.Objective().SetCoefficient(var, 1)
    limits = []
    for row in rows:
        limits.append(program.Constraint(-most, row.most))
        for n, number in row.held.items():
            limits[-1].SetCoefficient(variables[n], number)
    program.Objective().SetMaximization()
    program.SetSolverSpecificParametersAsString(_PARAMETERS)
    if program.Solve() not in (program.OPTIMAL, program.FEASIBLE):
        return [0] * len(rows)
    return [max(0, round(limit.dual_value() * _PARTS)) for limit in limits]


def _summed(ways: Sequence[Able], rows: Sequence[_Row], prices: Sequence[int]) -> int:
    """What all rows are worth, and what the best way of each booking is worth beyond what it holds: in whole parts."""
    left = [_PARTS] * len(ways)
    total = 0
    for row, price in zip(rows, prices, strict=True):
        total += row.most * price
        if price:
            for n, number in row.held.items():
                left[n] -= number * price
    best: dict[int, int] = {}
    for way, worth in zip(ways, left, strict=True):
        best[way.booking] = max(worth, best.get(way.booking, 0))
    return (total + sum(best.values())) // _PARTS
