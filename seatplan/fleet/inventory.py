"""The cheapest stock of restraints with which a day's bookings are served, for each number of them.

The stock is bought anew: so many pieces of each kind at each depot, none of them installed when the day begins. What a
plan may do is what ``planning`` says, and nobody rides below the best that any of the kinds could give them, whether it
is bought or not. The numbers of pieces stand beside the flow: CP-SAT finds stocks, and SCIP, which branches on a
linear relaxation, a price below which there is none. Where the two do not meet within their limits, both are told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from math import ceil, floor, gcd, inf
from typing import Any

from seatplan.frozen import frozen

from .extras import linear
from .flow import Net, kinds_in, net_of, nodes_of
from .optimum import Question, _Model
from .planning import work_of
from .records import CopyUnit, Day

#: deterministic time for the stock of each point of a curve
LIMIT = 1.0
#: nodes of the search for a bound: never a time, so that the same day has the same curve
MOST_NODES = 200
#: a model with so many variables at most is solved whole where that is left open; a larger one takes minutes, and has
#: fewer nodes
_MOST_COLUMNS, _FEW_NODES = 5_000, 20
#: SCIP keeps to whole numbers and rows as nearly as this
_TOLERANCE = 1e-4


#: by depot and kind, how many pieces
Stock = Mapping[tuple[str, str], int]


#: places of variables, their factors, and the least and the most that the sum may be
Row = tuple[list[int], list[int], float, float]


@frozen
class Point:
    """The cheapest stock that serves so many bookings: its price, a price below which none does, and by depot and kind
    how many pieces."""

    served: int
    price: int
    bound: int
    stock: Stock

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper does."""
        return self.price <= self.bound


@frozen
class Curve:
    """``points`` by bookings served; ``most``: as many as any stock serves that was found, ``bound``: no stock serves
    more."""

    points: tuple[Point, ...]
    most: int
    bound: int


def curve(day: Day, prices: Mapping[str, int], levels: Iterable[int], limit: float = LIMIT,
          nodes: int = MOST_NODES) -> Curve:
    """The cheapest stock for each of some numbers of bookings served; those that no stock reaches are left out, and the
    most that can be served is always there. ``prices``: by kind, in whole units; other kinds are not bought."""
    bought = _with_ample(day, prices)
    work = work_of(bought)
    net = net_of(bought, work.groups, work.entries, list(nodes_of(bought, work.groups, work.entries, work.choices)))
    model = _Buying(Question(net, work.stock, work.vehicles, {}), prices)
    most, bound = model.linear.most(MOST_NODES) if model.free else (0, 0)
    told = sorted({level for level in levels if 0 < level <= most} | ({most} if most else set()))
    ample = {key: len(times) for key, times in work.stock.items()}
    return Curve(model.points(told, ample, limit, nodes) if told else (), most, bound)


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
    """The flow of a day in which the stock is to be found, too. Beside CP-SAT, whoever prices it sees all of it as
    rows of one matrix."""

    def __init__(self, question: Question, prices: Mapping[str, int]) -> None:
        self.prices = prices
        self.own: dict[tuple[str, str], Any] = {}
        self.rows: list[Row] = []
        super().__init__(question)
        self.linear = _Rows(self)

    def _at_most_one(self, terms: Sequence[Any]) -> None:
        super()._at_most_one(terms)
        self.rows.append(([var.index for var in terms], [1] * len(terms), -inf, 1))

    def _row(self, terms: Sequence[Any], factors: Sequence[int], low: int | None, high: int) -> None:
        super()._row(terms, factors, low, high)
        self.rows.append(([var.index for var in terms], list(factors), -inf if low is None else low, high))

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
            self._row([away, own], [1, -1], None, 0)

    def begin_with(self, told: Sequence[int] | None) -> None:
        """Where CP-SAT begins: what each variable is."""
        if told is not None:
            self.model.clear_hints()
            for var in [*self._variables(), *self.own.values()]:
                self.model.add_hint(var, told[var.index])

    def points(self, levels: Sequence[int], ample: Stock, limit: float, nodes: int) -> tuple[Point, ...]:
        """The cheapest stock for each level. ``ample`` serves them all. A bound of an earlier level is one of a later
        level, and what serves more serves less, too: so bounds are found from the lowest level up, stocks from the
        highest down, each beginning with the one before."""
        rows, bounds, bound = self.linear, list[tuple[int, Stock]](), 0
        small = len(rows.ends) <= _MOST_COLUMNS
        for level in levels:
            relaxed, least = rows.cheapest(level, nodes if small else min(nodes, _FEW_NODES), False)
            bound = max(bound, least)
            bounds.append((bound, relaxed or {}))
        best, told = dict(ample), list[Point]()
        for level, (bound, relaxed) in zip(reversed(levels), reversed(bounds), strict=True):
            if self._price_of(relaxed) < self._price_of(best) and self._serves(level, relaxed, limit):
                best = dict(relaxed)
            if self._price_of(best) > bound and (small or level == levels[-1]):
                stock, least = rows.cheapest(level, nodes if small else min(nodes, _FEW_NODES), True)
                best, bound = min(best, dict(stock or best), key=self._price_of), max(bound, least)
            elif self._price_of(best) > bound:
                best = min(best, dict(self._searched(level, bound, limit) or best), key=self._price_of)
            told.append(Point(level, self._price_of(best), bound, best))
        return _bounded(reversed(told))

    def _serves(self, level: int, stock: Stock, limit: float) -> bool:
        """Whether so many bookings are found to be served with a stock."""
        model, solver = self.model.clone(), self._solver(limit)
        for key, var in self.own.items():
            model.add(var == stock.get(key, 0))
        model.add(sum(self.nodes[n] for n in self.free) >= level)
        found = solver.solve(model) in (self.cp.OPTIMAL, self.cp.FEASIBLE)
        if found:
            self._begin(self.model, self._found(solver))
        return found

    def _searched(self, level: int, bound: int, limit: float) -> Stock | None:
        """A stock that serves so many bookings, by CP-SAT from the flow that was found last; None: none in time."""
        price = sum(self.prices[kind] * var for (_, kind), var in self.own.items())
        model, solver = self.model.clone(), self._solver(limit)
        model.add(sum(self.nodes[n] for n in self.free) >= level)
        model.add(price >= bound)
        model.minimize(price)
        if solver.solve(model) not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        self._begin(self.model, self._found(solver))
        return {key: n for key, var in sorted(self.own.items()) if (n := solver.value(var))}

    def _price_of(self, stock: Stock) -> int:
        return sum(self.prices[kind] * n for (_, kind), n in stock.items())


class _Rows:
    """The rows of a model as a linear program for SCIP. A flow is nearly whole where it is linear: with whole numbers
    of pieces alone it gives a steep bound soon, and mostly the cheapest stock itself. Prices are divided by what all of
    them have in common, which makes it steeper."""

    def __init__(self, model: _Buying) -> None:
        self._model, self._programs = model, linear()
        self.ends = [(one.domain[0], one.domain[len(one.domain) - 1]) for one in model.model.proto.variables]
        self._unit = gcd(*model.prices.values()) or 1
        self._own = {var.index: model.prices[kind] // self._unit for (_, kind), var in model.own.items()}
        self._free = [model.nodes[n].index for n in model.free]

    def most(self, nodes: int) -> tuple[int, int]:
        """How many bookings an ample stock serves, and no stock more than."""
        told, bound = self._solved(dict.fromkeys(self._free, -1), 0, nodes, True)
        self._model.begin_with(told)
        return 0 if told is None else sum(told[n] for n in self._free), floor(-bound + _TOLERANCE)

    def cheapest(self, level: int, nodes: int, whole: bool) -> tuple[Stock | None, int]:
        """A stock that may serve so many bookings, and a price below which none does. ``whole``: vehicles and bookings
        are whole, too, and it does serve them. None: the limit of ``nodes`` came before there was one."""
        told, bound = self._solved(self._own, level, nodes, whole)
        least = max(0, ceil(bound - _TOLERANCE)) * self._unit
        if whole:
            self._model.begin_with(told)
        return None if told is None else {
            key: told[var.index] for key, var in sorted(self._model.own.items()) if told[var.index]}, least

    def _solved(self, goal: Mapping[int, int], level: int, nodes: int, whole: bool) -> tuple[list[int] | None, float]:
        """What each variable is, so that a sum is least, and what it is never less than."""
        program = self._programs.Solver.CreateSolver("SCIP")
        most = program.infinity()
        variables = [program.IntVar(low, high, "") if whole or n in self._own else program.NumVar(low, high, "")
                     for n, (low, high) in enumerate(self.ends)]
        rows = [*self._model.rows, (self._free, [1] * len(self._free), level, inf)]
        for terms, factors, low, high in rows:
            row = program.Constraint(max(low, -most), min(high, most))
            for term, factor in zip(terms, factors, strict=True):
                row.SetCoefficient(variables[term], factor)
        for n, factor in goal.items():
            program.Objective().SetCoefficient(variables[n], factor)
        program.Objective().SetMinimization()
        program.SetSolverSpecificParametersAsString(f"limits/nodes = {nodes}\n")
        status = program.Solve()
        if status == program.INFEASIBLE:
            raise AssertionError("a flow that serves so many was known, and none was found")
        if status not in (program.OPTIMAL, program.FEASIBLE):
            return None, sum(min(0, factor) for factor in goal.values())
        bound = program.Objective().BestBound()
        told = [round(var.solution_value()) for var in variables]
        return (told if not whole or _holds(rows, told) else None), bound


def _holds(rows: Iterable[Row], told: Sequence[int]) -> bool:
    """Whether rows hold in whole numbers."""
    return all(low <= sum(factor * told[term] for term, factor in zip(terms, factors, strict=True)) <= high
               for terms, factors, low, high in rows)


def _bounded(points: Iterable[Point]) -> tuple[Point, ...]:
    """Points from the lowest level up, each with no bound less than that of one before."""
    told, bound = list[Point](), 0
    for point in points:
        bound = max(bound, point.bound)
        told.append(replace(point, bound=bound))
    return tuple(told)
