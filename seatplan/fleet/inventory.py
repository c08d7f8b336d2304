"""The cheapest stock of restraints with which a day's bookings are served, for each number of them.

The stock is bought anew: so many pieces of each kind at each depot, none of them installed when the day begins. What a
plan may do is what ``planning`` says, and nobody rides below the best that any of the kinds could give them, whether it
is bought or not. Solved exactly with CP-SAT, the numbers of pieces beside the flow; where the limit cuts it off, a
lower bound of the price is told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil
from typing import Any

from .flow import Net, kinds_in, net_of, nodes_of
from .optimum import _SEED, Question, _Model
from .planning import work_of
from .records import CopyUnit, Day

#: deterministic time for each point of a curve
LIMIT = 4.0


@dataclass(frozen=True, slots=True)
class Point:
    """The cheapest stock that serves so many bookings: its price, a price below which none does, and by depot and kind
    how many pieces."""

    served: int
    price: int
    bound: int
    stock: Mapping[tuple[str, str], int]

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper does."""
        return self.price <= self.bound


@dataclass(frozen=True, slots=True)
class Curve:
    """``points`` by bookings served; ``most``: as many as any stock serves that was found, ``bound``: no stock serves
    more."""

    points: tuple[Point, ...]
    most: int
    bound: int


def curve(day: Day, prices: Mapping[str, int], levels: Iterable[int], limit: float = LIMIT) -> Curve:
    """The cheapest stock for each of some numbers of bookings served; those that no stock reaches are left out, and the
    most that can be served is always there. ``prices``: by kind, in whole units; other kinds are not bought."""
    bought = _with_ample(day, prices)
    work = work_of(bought)
    net = net_of(bought, work.groups, work.entries, list(nodes_of(bought, work.groups, work.entries, work.choices)))
    model = _Buying(Question(net, work.stock, work.vehicles, {}), prices)
    most, bound = model.most(limit)
    told = sorted({level for level in levels if 0 < level <= most} | ({most} if most else set()))
    return Curve(tuple(model.points(told, limit)), most, bound)


def _with_ample(day: Day, prices: Mapping[str, int]) -> Day:
    """The day with empty vehicles, and with as many pieces at each depot as its vehicles could ever have aboard."""
    needs: Counter[tuple[str, str]] = Counter()
    parties = {booking.party for booking in day.bookings}
    for (vehicle_type, party), answer in day.answers.items():
        if party in parties:
            for way in answer.ways:
                for kind, n in way.kit:
                    needs[vehicle_type, kind] = max(needs[vehicle_type, kind], n)
    ample: Counter[tuple[str, str]] = Counter()
    for vehicle in day.vehicles:
        for kind in prices:
            ample[vehicle.depot, kind] += needs[vehicle.vehicle_type, kind]
    copies = tuple(CopyUnit(f"{depot} {kind} {n}", kind, depot)
                   for (depot, kind), number in sorted(ample.items()) for n in range(number))
    vehicles = tuple(unit._replace(installed=()) for unit in day.vehicles)
    return replace(day, vehicles=vehicles, copies=copies, nobody_installs=frozenset())


class _Buying(_Model):
    """The flow of a day in which the stock is to be found, too."""

    def __init__(self, question: Question, prices: Mapping[str, int]) -> None:
        self.prices = prices
        self.own: dict[tuple[str, str], Any] = {}
        super().__init__(question)
        self.served = sum(self.nodes[n] for n in self.free)
        self.price = sum(prices[kind] * var for (_, kind), var in self.own.items())

    def _kinds(self) -> set[tuple[str, str]]:
        """All that anybody could have aboard: each piece is paid for."""
        net: Net = self.net
        return {(net.groups[node.group].depot, kind) for node in net.nodes for kind in kinds_in(node.load)}

    def _stock(self, depot: str, kind: str) -> None:
        most = len(self.asked.stock.get((depot, kind), ()))
        own = self.own[depot, kind] = self.model.new_int_var(0, most, "")
        before = len(self.other)
        super()._stock(depot, kind)
        for away in self.other[before:]:
            self.model.add(away <= own)

    def most(self, limit: float) -> tuple[int, int]:
        """How many bookings an ample stock serves, and no stock more than."""
        if not self.free:
            return 0, 0
        solver = self._solver(limit)
        self._stay()
        self.model.maximize(self.served)
        solver.solve(self.model)
        self._again(solver)
        return round(solver.objective_value), int(solver.best_objective_bound + 1e-6)

    def points(self, levels: Iterable[int], limit: float) -> Iterator[Point]:
        """The cheapest stock for each level, from the lowest up."""
        for level in levels:
            solver = self._solver(limit)
            self.model.add(self.served >= level)
            self.model.minimize(self.price)
            if solver.solve(self.model) not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
                return
            self._again(solver)
            stock = {key: n for key, var in sorted(self.own.items()) if (n := solver.value(var))}
            price = sum(self.prices[kind] * n for (_, kind), n in stock.items())
            yield Point(level, price, ceil(solver.best_objective_bound - 1e-6), stock)

    def _solver(self, limit: float) -> Any:
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = _SEED
        solver.parameters.max_deterministic_time = limit
        solver.parameters.linearization_level = 2
        return solver
