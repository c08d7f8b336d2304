"""One trip boiled down to tables, from which every contender starts: nothing of rules or shapes is timed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.combine import every
from seatplan.solver.placements import Cell, Choice
from seatplan.solver.plan import Solve
from seatplan.solver.rowplans import TOO_TIGHT, Room, RowPlan, row_plans

#: a whole seating: one choice for everybody, as indexes of ``Tables.choices``
Seating = tuple[int, ...]

_FREE = Room(0, None, False, False)
_FULL = Room(1, None, False, False)


@dataclass(frozen=True)
class Tables:
    """``per_rider[r]`` are indexes of r's choices; ``together`` holds the pairs (low, high) that may share the car;
    ``not_all_three`` the triples of one row that may not although each pair may."""

    choices: tuple[Choice, ...]
    per_rider: tuple[tuple[int, ...], ...]
    rows: tuple[tuple[tuple[int, ...], ...], ...]         # row -> position -> indexes
    together: frozenset[tuple[int, int]]
    not_all_three: frozenset[tuple[int, int, int]]

    @property
    def everybody(self) -> int:
        return (1 << len(self.per_rider)) - 1


def tables_of(name: str) -> Tables:
    """The tables of a bundled trip."""
    trip = load_trip(name)
    solve = Solve(trip, load_profile(trip.rules), date(2026, 11, 25))
    alone = {id(plan.choices[0]) for plans in solve.rows for plan in plans
             if len(plan.choices) == 1 and plan.level < TOO_TIGHT}
    choices = tuple(choice for own in solve.choices.per_rider for choice in own if id(choice) in alone)
    index = {id(choice): i for i, choice in enumerate(choices)}
    fitting = {tuple(sorted(index[id(c)] for c in plan.choices))
               for plans in solve.rows for plan in plans if plan.level < TOO_TIGHT}
    row_at = [r for r, row in enumerate(trip.vehicle.rows) for _ in row.positions]

    def may(a: int, b: int) -> bool:
        one, other = choices[a], choices[b]
        if one.rider == other.rider or one.position == other.position:
            return False
        if one.restraint is not None and one.restraint == other.restraint:
            return False
        return row_at[one.position] != row_at[other.position] or (a, b) in fitting

    indexes = range(len(choices))
    together = frozenset((a, b) for a, b in combinations(indexes, 2) if may(a, b))
    by_row = [[i for i in indexes if row_at[choices[i].position] == r] for r in range(len(trip.vehicle.rows))]
    not_all_three = frozenset(
        three for row in by_row for three in combinations(row, 3)
        if all(pair in together for pair in combinations(three, 2)) and three not in fitting)
    at = 0
    rows = []
    for row in trip.vehicle.rows:
        rows.append(tuple(tuple(i for i in indexes if choices[i].position == at + k) for k in range(len(row.positions))))
        at += len(row.positions)
    return Tables(choices, tuple(tuple(i for i in indexes if choices[i].rider == r) for r in range(len(trip.riders))),
                  tuple(rows), together, not_all_three)


class _Judge:
    """Answers the search's questions about a row from the tables."""

    def __init__(self, tables: Tables, index: dict[int, int]) -> None:
        self._together, self._not_all_three, self._index = tables.together, tables.not_all_three, index

    def kind(self, cell: Cell) -> int:
        return self._index[id(cell)]

    def clash(self, left: Cell, right: Cell) -> tuple[bool, int, bool]:
        a, b = self._index[id(left)], self._index[id(right)]
        return ((a, b) if a < b else (b, a)) not in self._together, 0, False

    def room(self, cells: Sequence[Cell]) -> Room:
        if len(cells) == 3 and tuple(sorted([self._index[id(c)] for c in cells])) in self._not_all_three:
            return _FULL
        return _FREE


def ours(tables: Tables) -> list[Seating]:
    """Row plans, then every combination of them; for a vehicle of two or three rows."""
    index: dict[int, int] = {}
    single: list[Choice] = []
    for i, choice in enumerate(tables.choices):
        cell = choice.cells[0]
        index[id(cell)] = i
        single.append(Choice(choice.rider, choice.position, choice.restraint, choice.mode, (cell,), (cell,)))
    judge = _Judge(tables, index)
    rows: list[list[RowPlan]] = []
    for positions in tables.rows:
        found = row_plans([[single[i] for i in at] for at in positions], judge, lambda cell: 0, 10_000_000)
        rows.append([plan for plan in found.plans if plan.level < TOO_TIGHT])
    numbers = {id(choice): i for i, choice in enumerate(single)}
    seats = {plan: tuple([numbers[id(choice)] for choice in plan.choices]) for plans in rows for plan in plans}
    if len(rows) == 2:
        return [seats[front] + seats[rear] for front, rear in every(rows, tables.everybody)]
    return [seats[front] + seats[middle] + seats[rear] for front, middle, rear in every(rows, tables.everybody)]


def cp_sat(tables: Tables) -> list[Seating]:
    """OR-Tools CP-SAT: all solutions of a model of clauses, taken in a callback."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in tables.choices]
    chosen = []
    for own in tables.per_rider:
        model.add_exactly_one(taken[i] for i in own)
        rider = model.new_int_var_from_domain(cp_model.Domain.from_values(list(own)), "")
        model.add(rider == sum(i * taken[i] for i in own))
        chosen.append(rider)
    for key in (lambda c: c.position, lambda c: c.restraint):
        groups: dict[int | None, list[int]] = {}
        for i, choice in enumerate(tables.choices):
            groups.setdefault(key(choice), []).append(i)
        for thing, group in groups.items():
            if thing is not None:
                model.add_at_most_one(taken[i] for i in group)
    for a, b in combinations(range(len(taken)), 2):
        one, other = tables.choices[a], tables.choices[b]
        alike = one.rider == other.rider or one.position == other.position or (
            one.restraint is not None and one.restraint == other.restraint)
        if not alike and (a, b) not in tables.together:
            model.add_bool_or(~taken[a], ~taken[b])
    for three in tables.not_all_three:
        model.add_bool_or(~taken[i] for i in three)

    class Collect(cp_model.CpSolverSolutionCallback):
        def __init__(self) -> None:
            super().__init__()
            self.found: list[Seating] = []

        def on_solution_callback(self) -> None:
            self.found.append(tuple([self.value(rider) for rider in chosen]))

    collect = Collect()
    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    solver.solve(model, collect)
    return collect.found


def constraint2(tables: Tables) -> list[Seating]:
    """python-constraint2 with its default solver: a function for each pair and, where needed, each triple."""
    import constraint

    problem = constraint.Problem()
    riders = range(len(tables.per_rider))
    for r in riders:
        problem.addVariable(r, list(tables.per_rider[r]))
    together, not_all_three = tables.together, tables.not_all_three
    for r, s in combinations(riders, 2):
        problem.addConstraint(constraint.FunctionConstraint(lambda a, b: (a, b) in together), (r, s))
    if not_all_three:
        for three in combinations(riders, 3):
            problem.addConstraint(constraint.FunctionConstraint(lambda a, b, c: (a, b, c) not in not_all_three), three)
    return [tuple([found[r] for r in riders]) for found in problem.getSolutions()]


CONTENDERS: dict[str, Callable[[Tables], list[Seating]]] = {"ours": ours, "cp-sat": cp_sat, "constraint2": constraint2}
