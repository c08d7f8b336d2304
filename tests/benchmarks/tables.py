"""One trip boiled down to tables, from which every contender starts: nothing of rules or shapes is timed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.placements import Assignment
from seatplan.solver.rowplans import TOO_TIGHT
from seatplan.solver.seatings import forbidden_threes, seatings
from seatplan.solver.solve import Solve

#: a whole seating: one choice for everybody, as indexes of ``Tables.choices``
Seating = tuple[int, ...]

@dataclass(frozen=True)
class Tables:
    """``per_rider[r]`` are indexes of r's choices; ``together`` holds the pairs (low, high) that may share the car;
    ``not_all_three`` the triples of one row that may not although each pair may."""

    choices: tuple[Assignment, ...]
    per_rider: tuple[tuple[int, ...], ...]
    rows: tuple[tuple[tuple[int, ...], ...], ...]         # row -> position -> indexes
    together: frozenset[tuple[int, int]]
    not_all_three: frozenset[tuple[int, int, int]]
    beside: tuple[int, ...]                               # the same as bitmasks
    not_with: dict[int, dict[int, int]]

    @property
    def everybody(self) -> int:
        return (1 << len(self.per_rider)) - 1


def tables_of(name: str) -> Tables:
    """The tables of a bundled trip."""
    trip = load_trip(name)                                # no restraint in two copies: pairs say all
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
        if solve.resources.clash(one, other):
            return False
        return (a, b) in fitting if row_at[one.position] == row_at[other.position] else along(one, other)

    def along(one: Assignment, other: Assignment) -> bool:
        """Whether two of different rows have room along the car, in some way of installing."""
        return any(solve.lanes.judge(solve.lanes.lane_of([c.placement, d.placement])).level < TOO_TIGHT
                   for c in one.cells for d in other.cells)

    indexes = range(len(choices))
    together = frozenset((a, b) for a, b in combinations(indexes, 2) if may(a, b))
    by_row = [[i for i in indexes if row_at[choices[i].position] == r] for r in range(len(trip.vehicle.rows))]
    not_all_three = frozenset(
        three for row in by_row for three in combinations(row, 3)
        if all(pair in together for pair in combinations(three, 2)) and three not in fitting)
    at = 0
    rows = []
    for row in trip.vehicle.rows:
        places = range(at, at + len(row.positions))
        rows.append(tuple(tuple(i for i in indexes if choices[i].position == place) for place in places))
        at += len(row.positions)
    per_rider = tuple(tuple(i for i in indexes if choices[i].rider == r) for r in range(len(trip.riders)))
    masks = [0] * len(choices)
    for a, b in together:
        masks[a] |= 1 << b
        masks[b] |= 1 << a
    return Tables(choices, per_rider, tuple(rows), together, not_all_three, tuple(masks),
                  forbidden_threes(not_all_three))


def ours(tables: Tables) -> list[Seating]:
    """The planner's own enumeration, from the bitmasks that it compiles of the same pairs and threes."""
    return list(seatings(tables.per_rider, tables.beside, tables.not_with))


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
