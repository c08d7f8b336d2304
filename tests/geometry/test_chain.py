"""The chain engine against a linear-programming solver, and its certificates re-added by hand."""

from fractions import Fraction
from math import floor

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.geometry.chain import Addend, Solution, Squeeze, Step, solve

POINTS = "abcdef"
#: more spare than any limited system below can have, half-mm
NO_LIMIT = 10_000


@st.composite
def systems(draw):
    points = POINTS[: draw(st.integers(2, len(POINTS)))]
    steps = []
    for _ in range(draw(st.integers(1, 14))):
        start = draw(st.sampled_from(points))
        end = draw(st.sampled_from([p for p in points if p != start]))
        need = draw(st.integers(-60, 40))
        steps.append(Step(start, end, need, draw(st.booleans()), (Addend("some length", need / 2),)))
    return steps


def by_linear_programming(steps):
    """The largest spare in half-mm; None: infeasible. NO_LIMIT stands for no limit."""
    linprog = pytest.importorskip("scipy.optimize").linprog

    points = sorted({p for s in steps for p in (s.start, s.end)})
    rows = np.zeros((len(steps), len(points) + 1))
    for row, s in zip(rows, steps, strict=True):
        row[points.index(s.start)] += 1
        row[points.index(s.end)] -= 1
        row[-1] = s.stretch
    bounds = [(None, None)] * len(points) + [(0, NO_LIMIT)]
    bounds[0] = (0, 0)
    goal = np.zeros(len(points) + 1)
    goal[-1] = -1
    found = linprog(goal, A_ub=rows, b_ub=[-s.need for s in steps], bounds=bounds, method="highs")
    assert found.status in (0, 2)
    return found.x[-1] if found.status == 0 else None


@settings(max_examples=300)
@given(systems())
def test_feasibility_and_spare_are_those_of_linear_programming(steps):
    spare = by_linear_programming(steps)
    answer = solve(steps, steps[0].start)
    if spare is None:
        assert isinstance(answer, Squeeze)
    else:
        assert isinstance(answer, Solution)
        found = NO_LIMIT if answer.spare is None else float(answer.spare * 2)
        assert found == pytest.approx(spare, abs=1e-5)


@settings(max_examples=300)
@given(systems())
def test_certificates_hold(steps):
    answer = solve(steps, "a")
    if isinstance(answer, Squeeze):
        assert_simple_cycle(answer.steps, steps)
        assert sum(s.need for s in answer.steps) > 0
        addends = [a.mm for s in answer.steps for a in s.addends]
        assert answer.need == sum(mm for mm in addends if mm > 0)
        assert answer.have == sum(-mm for mm in addends if mm < 0)
        assert answer.short == sum(s.need for s in answer.steps) / 2
        return
    assert answer.at["a"] == 0
    extra = 0 if answer.spare is None else floor(answer.spare * 2)
    assert all(answer.at[s.end] - answer.at[s.start] >= s.need + extra * s.stretch for s in steps)
    if answer.spare is None:
        assert answer.tight == ()
    else:
        assert_simple_cycle(answer.tight, steps)
        stretched = sum(s.stretch for s in answer.tight)
        assert sum(s.need for s in answer.tight) + stretched * 2 * answer.spare == 0


def assert_simple_cycle(cycle, steps):
    assert cycle
    assert all(any(s is known for known in steps) for s in cycle)
    assert [s.start for s in cycle] == [s.end for s in (cycle[-1], *cycle[:-1])]
    assert len({s.start for s in cycle}) == len(cycle)


def row_of(width, *bodies):
    """Bodies of the given widths in mm between two walls."""
    names = ["left", *(f"body {i}" for i in range(len(bodies)))]
    halves = [0, *bodies]
    steps = [
        Step(
            names[i],
            names[i + 1],
            halves[i] + halves[i + 1],
            True,
            (Addend("half", halves[i] / 2), Addend("half", halves[i + 1] / 2)),
        )
        for i in range(len(bodies))
    ]
    last = (Addend("half", bodies[-1] / 2), Addend("right door", -width))
    return [*steps, Step(names[-1], "left", bodies[-1] - 2 * width, True, last)]


@pytest.mark.parametrize(
    ("width", "spare"), [(1323, Fraction(0)), (1324, Fraction(1, 4)), (1363, Fraction(10))]
)
def test_the_spare_is_shared_between_all_gaps(width, spare):
    answer = solve(row_of(width, 441, 441, 441), "left")
    assert isinstance(answer, Solution)
    assert answer.spare == spare


def test_one_mm_too_little_is_a_squeeze_of_one_mm():
    answer = solve(row_of(1322, 441, 441, 441), "left")
    assert isinstance(answer, Squeeze)
    assert (answer.need, answer.have, answer.short) == (1323, 1322, 1)
    assert len(answer.steps) == 4


def test_the_witness_leaves_the_spare_at_every_gap():
    answer = solve(row_of(1363, 441, 441, 441), "left")
    assert [answer.at[f"body {i}"] for i in range(3)] == [461, 1363, 2265]


def test_bounds_of_play_do_not_stretch():
    held = [Step("left", "body", 100, False, ()), Step("body", "left", -120, False, ())]
    assert solve(held, "left").spare is None
    assert solve([*held, Step("left", "body", 90, True, ())], "left").spare == 15


def test_a_lone_anchor_is_a_solution():
    assert solve([], "left") == Solution({"left": 0}, None, ())


def test_a_longer_cycle_is_found_behind_a_slack_one():
    """Two sliding seats one behind the other: each alone has room, both together do not."""
    steps = [
        Step("dash", "first", 700, True, ()),
        Step("first", "second", 800, True, ()),
        Step("first", "dash", -900, False, ()),
        Step("second", "dash", -1499, False, ()),
    ]
    answer = solve(steps, "dash")
    assert isinstance(answer, Squeeze)
    assert [s.need for s in sorted(answer.steps, key=lambda s: s.need)] == [-1499, 700, 800]
