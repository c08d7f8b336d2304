"""What rules of the whole trip change, asked of a made-up solve: each seating looked at by itself."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from types import SimpleNamespace
from typing import Any

import pytest
from solved import DAY

from seatplan import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver import solve
from seatplan.solver.placements import Assignment
from seatplan.solver.ranking import OPEN, SURE, cost, weighed
from seatplan.solver.resources import Resources
from seatplan.solver.rowplans import CLOSE_FIT, FITS, TOO_TIGHT, UNSURE, RowAssignment
from seatplan.solver.whole import Whole, judge_whole, may_matter

SLIGHT, GRAVE = "way-out-blocked", "forward-facing-before-two"


def plan(rider: int, position: int, restraint: int | None = None, level: int = FITS,
         way: int | None = None) -> RowAssignment:
    choice = Assignment(rider, position, restraint, "mode", (), ())
    return RowAssignment((choice,), 1 << rider, 0, level, 0, (), level if way is None else way)


class Solve:
    """Riders of known or unknown age; rules that give each seating, known by its held seats, an outcome."""

    def __init__(self, rows: list[list[RowAssignment]], outcomes: dict[tuple[int, ...], str], bites: bool = True,
                 riders: tuple[Any, ...] = ()) -> None:
        self.rows, self.outcomes, self.asked = rows, outcomes, 0
        self.everybody = 0b11
        self.resources = Resources((), {})
        self.lanes = SimpleNamespace(join=max, level=lambda way: way)
        self.runner = SimpleNamespace(trip_rules_bite=lambda: bites)
        self.trip = SimpleNamespace(riders=riders)
        self.world = SimpleNamespace(age_months=lambda rider: rider.age)

    def seated(self, plans: tuple[RowAssignment, ...]) -> tuple[int, ...]:
        return tuple(choice.position for plan in plans for choice in plan.choices)

    def trip_findings(self, seated: tuple[int, ...]) -> list[Any]:
        self.asked += 1
        told = self.outcomes.get(seated, "pass")
        rule = {"caution": SLIGHT, "grave": GRAVE}.get(told, SLIGHT)
        return [SimpleNamespace(rule=SLIGHT, outcome="pass"),
                SimpleNamespace(rule=rule, outcome="caution" if told == "grave" else told)]

    def blocks(self, findings: list[Any]) -> bool:
        return any(finding.outcome == "block" for finding in findings)


def judged(solve: Solve) -> Whole:
    made: Any = solve
    return judge_whole(made)


FRONT = [plan(0, 0), plan(0, 1, level=CLOSE_FIT), plan(0, 2, level=UNSURE), plan(0, 3, level=TOO_TIGHT)]


def test_nothing_is_asked_where_nothing_can_matter() -> None:
    solve = Solve([FRONT, [plan(1, 5)]], {(0, 5): "block"}, bites=False)
    assert judged(solve) == Whole([0] * 6, [0] * 6, {})
    assert solve.asked == 0


def test_turned_down_by_level() -> None:
    solve = Solve([FRONT, [plan(1, 5)]], {(0, 5): "block", (2, 5): "block", (3, 5): "block"})
    assert judged(solve) == Whole([1, 0, 0, 1, 0, 0], [0] * 6, {
        (0, 0): [-1, 0, 0, 0, 0, 0], (0, 2): [0, 0, 0, -1, 0, 0], (1, 5): [-1, 0, 0, -1, 0, 0]})
    assert solve.asked == 3                            # what does not fit is not asked about


def test_left_in_doubt_by_level() -> None:
    """What is unmeasured anyway stays so."""
    solve = Solve([FRONT, [plan(1, 5)]], dict.fromkeys([(0, 5), (1, 5), (2, 5)], "unmeasured"))
    assert judged(solve) == Whole([0] * 6, [1, 1, 0, 0, 0, 0], {
        (0, 0): [-1, 0, 0, 1, 0, 0], (0, 1): [0, -1, 0, 1, 0, 0], (1, 5): [-1, -1, 0, 2, 0, 0]}, 0, OPEN)


def test_too_long_for_the_car_is_not_asked_about() -> None:
    solve = Solve([[plan(0, 0)], [plan(1, 5, way=TOO_TIGHT), plan(1, 6, way=CLOSE_FIT)]],
                  {(0, 5): "block", (0, 6): "block"})
    assert judged(solve) == Whole([0, 1, 0, 0, 0, 0], [0] * 6, {
        (0, 0): [0, -1, 0, 0, 0, 0], (1, 6): [0, -1, 0, 0, 0, 0]})
    assert solve.asked == 1


def test_seatings_that_differ_in_nothing_the_rules_see_are_asked_about_once() -> None:
    """Two modes of one restraint; another restraint is another question."""
    solve = Solve([[plan(0, 0, 1), plan(0, 0, 1, CLOSE_FIT), plan(0, 0, 2)], [plan(1, 5)]], {(0, 5): "block"})
    assert judged(solve).blocked == [2, 1, 0, 0, 0, 0]
    assert solve.asked == 2


def test_each_answer_goes_on_to_the_next_seating() -> None:
    """One that passes between two that do not."""
    solve = Solve([[plan(0, 0), plan(0, 1), plan(0, 2)], [plan(1, 5)]], {(0, 5): "block", (2, 5): "unmeasured"})
    found = judged(solve)
    assert (found.blocked, found.doubted) == ([1, 0, 0, 0, 0, 0], [1, 0, 0, 0, 0, 0])


@pytest.mark.parametrize(("bites", "ages", "matters"), [
    (False, [], False), (True, [], True), (False, [(False, 30)], False), (False, [(False, None)], True),
    (False, [(True, None)], False), (False, [(False, 30), (False, None)], True), (True, [(False, 30)], True)])
def test_when_it_may_matter(bites: bool, ages: list[tuple[bool, int | None]], matters: bool) -> None:
    riders = tuple(SimpleNamespace(adult=adult, age=age) for adult, age in ages)
    solve: Any = Solve([], {}, bites, riders)
    assert may_matter(solve) is matters


SEATS = [(0, 5), (1, 5), (2, 5)]


def test_what_every_seating_owes_is_what_the_best_of_them_owes() -> None:
    """A cost that all have brings nothing into another order; one that only some have is owed by none."""
    def owed(*outcomes: str) -> int:
        return judged(Solve([FRONT, [plan(1, 5)]], dict(zip(SEATS, outcomes, strict=True)))).owed

    assert owed("caution", "caution", "caution") == cost(slight=1)
    assert owed("grave", "grave", "grave") == cost(grave=1)
    assert owed("grave", "caution", "grave") == cost(slight=1)
    assert owed("caution", "unmeasured", "caution") == 0
    assert owed("grave", "caution", "block") == cost(slight=1)


@pytest.mark.parametrize(("outcomes", "least"), [
    (("unmeasured", "unmeasured", "unmeasured"), OPEN), (("unmeasured", "pass", "unmeasured"), SURE),
    (("unmeasured", "caution", "unmeasured"), SURE), (("unmeasured", "block", "unmeasured"), OPEN),
    (("block", "block", "block"), SURE), (("pass", "pass", "pass"), SURE)])
def test_none_is_surer_than_the_surest_of_those_that_pass(outcomes: tuple[str, ...], least: int) -> None:
    assert judged(Solve([FRONT, [plan(1, 5)]], dict(zip(SEATS, outcomes, strict=True)))).least == least


@pytest.mark.parametrize(("name", "must"), [
    ("three-across-school-run", ()), ("three-across-school-run", ("front-seat-under-13",)), ("sliding-row-outing", ()),
    ("third-child-on-the-way", ())])
def test_what_only_tells_changes_no_seating(name: str, must: tuple[str, ...]) -> None:
    """The order asks fewer rules than are told: what it leaves out turns nothing down, leaves nothing open and costs
    nothing, unless a local file makes it a must."""
    trip = load_trip(name)
    profile = replace(load_profile(trip.rules), must=frozenset(must))
    real = solve.Solve(trip, profile, trip.on or DAY)
    for one in islice(real.best_first(real.rows), 40):
        seated = real.seated(one[1])
        told, asked = real.trip_findings(seated), real.runner.trip_in_order(seated)
        assert real.blocks(told) == real.blocks(asked)
        assert [f for f in told if f.outcome == "unmeasured"] == [f for f in asked if f.outcome == "unmeasured"]
        assert weighed(told) == weighed(asked)
        assert ("front-seat-under-13" in {f.rule for f in asked}) <= bool(must)
