"""The chain along the car: witness and squeeze against linear programming and by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.geometry.ahead import Need, Profile, room_needed
from seatplan.geometry.chain import Addend, Solution, Squeeze
from seatplan.geometry.lengthwise import (
    FRONT,
    Behind,
    Mover,
    behind,
    lengthwise_steps,
    solve_lengthwise,
    stands_mm,
)
from seatplan.geometry.shapes import Box, Shape, side_box

DRIVER = Mover("1L", 230, 90, "driver forward at most")
PASSENGER = Mover("1R", 230)
ROW_2 = Mover("row 2", 150)


def sits(rider, position, seat_ahead, need, braced=False):
    return Behind(rider, position, seat_ahead, need, braced, (Addend(f"{rider} needs", need),))


@st.composite
def cars(draw):
    movers = [
        Mover(key, draw(st.integers(0, 250)), draw(st.none() | st.integers(0, 250)), f"limit of {key}")
        for key in draw(st.sets(st.sampled_from(["1L", "1R", "row 2", "2R", "row 3"])))
    ]
    bodies = []
    for i in range(draw(st.integers(0, 5))):
        row = draw(st.sampled_from([2, 3]))
        position = f"{row}{draw(st.sampled_from('LCR'))}"
        ahead = f"{row - 1}{draw(st.sampled_from('LR'))}"
        bodies.append(sits(f"rider {i}", position, ahead, draw(st.integers(-150, 250)), draw(st.booleans())))
    return bodies, sorted(movers, key=lambda m: m.key)


def by_linear_programming(bodies, movers):
    """Least sum of all x, written down from the words of the task: x of a seat ahead less x of the own seat
    is at least the need, and no more where the body braces. None: infeasible."""
    keys = [m.key for m in movers]

    def column(position):
        for key in (position, f"row {position[0]}"):
            if key in keys:
                return keys.index(key)
        return None

    linprog = pytest.importorskip("scipy.optimize").linprog

    rows, limits = [], []
    for body in bodies:
        row = np.zeros(len(keys) + 1)
        for place, sign in ((column(body.seat_ahead), 1), (column(body.position), -1)):
            if place is not None:
                row[place] += sign
        rows.append(-row)
        limits.append(-body.need_mm)
        if body.braced:
            rows.append(row)
            limits.append(body.need_mm)
    bounds = [(0, min(m.travel_mm, m.travel_mm if m.limit_mm is None else m.limit_mm)) for m in movers]
    found = linprog(
        np.ones(len(keys) + 1), A_ub=rows or None, b_ub=limits or None, bounds=[*bounds, (0, 0)],
        method="highs",
    )
    assert found.status in (0, 2)
    return dict(zip(keys, found.x, strict=False)) if found.status == 0 else None


@settings(max_examples=300)
@given(cars())
def test_seats_stand_as_far_back_as_linear_programming_lets_them(car):
    """The system is a lattice: whoever makes the sum least makes every seat's place least."""
    bodies, movers = car
    expected, answer = by_linear_programming(bodies, movers), solve_lengthwise(bodies, movers)
    if expected is None:
        assert isinstance(answer, Squeeze)
    else:
        assert isinstance(answer, Solution)
        assert stands_mm(answer) == pytest.approx(expected, abs=1e-6)
        assert answer.at[FRONT] == 0


@settings(max_examples=200)
@given(cars())
def test_certificates_add_up(car):
    bodies, movers = car
    steps, answer = lengthwise_steps(bodies, movers), solve_lengthwise(bodies, movers)
    assert all(2 * sum(a.mm for a in s.addends) == s.need for s in steps)
    if isinstance(answer, Squeeze):
        assert [s.start for s in answer.steps] == [s.end for s in (answer.steps[-1], *answer.steps[:-1])]
        assert answer.short == sum(s.need for s in answer.steps) / 2 > 0
        assert answer.need - answer.have == answer.short
        assert FRONT not in [s.start for s in answer.steps[1:]]  # read from the front
        return
    assert all(answer.at[s.end] - answer.at[s.start] >= s.need for s in steps)
    if answer.spare is not None:
        less = by_linear_programming([grown(b, int(answer.spare)) for b in bodies], movers)
        more = by_linear_programming([grown(b, int(answer.spare) + 1) for b in bodies], movers)
        assert less is not None
        assert more is None


def grown(body, mm):
    return body if body.braced else sits(body.rider, body.position, body.seat_ahead, body.need_mm + mm)


def test_a_tall_driver_leaves_too_little():
    """The shell needs 760 and finds 700 and 50 more: 760 - 750 = 10 short."""
    shell = behind("Wren", "2L", "1L", Need(60, 430, "Nook 35 head-end", 760, 0, 700))
    answer = solve_lengthwise([shell], [Mover("1L", 230, 50, "driver forward at most"), PASSENGER])
    assert isinstance(answer, Squeeze)
    assert [(a.label, a.mm) for s in answer.steps for a in s.addends] == [
        ("Nook 35 head-end (430 mm up)", 760),
        ("free to 1L at rearmost", -700),
        ("driver forward at most", -50),
    ]
    assert (answer.need, answer.have, answer.short) == (760, 750, 10)


def test_the_same_shell_passes_behind_the_other_seat():
    shell = behind("Wren", "2R", "1R", Need(60, 430, "Nook 35 shell", 750, 10, 700))
    assert [a.label for a in shell.addends][1] == "gap to 1R"
    answer = solve_lengthwise([shell], [DRIVER, PASSENGER])
    assert stands_mm(answer) == {"1L": 0, "1R": 60}
    assert answer.spare == 230 - 60


def test_a_sliding_row_lies_between_the_front_and_the_third_row():
    """Row 2 must come 100 forward for row 3 and then takes its own rider along: 1L stands at 100 + 40."""
    bodies = [sits("Wren", "2L", "1L", 40), sits("Oslo", "3R", "2R", 100)]
    answer = solve_lengthwise(bodies, [PASSENGER, Mover("1L", 230), ROW_2])
    assert stands_mm(answer) == {"1L": 140, "1R": 0, "row 2": 100}
    squeezed = solve_lengthwise(bodies, [PASSENGER, DRIVER, ROW_2])
    assert squeezed.short == 100 + 40 - 90
    assert [(s.start, s.end) for s in squeezed.steps] == [(FRONT, "row 2"), ("row 2", "1L"), ("1L", FRONT)]


def test_a_row_that_both_slides_and_carries_needs_its_travel():
    answer = solve_lengthwise([sits("Oslo", "3R", "2R", 151)], [ROW_2])
    assert (answer.short, answer.steps[-1].addends[0].label) == (1, "row 2 slides at most")


def test_two_sliding_rows_keep_their_difference():
    bodies = [sits("Oslo", "3R", "2R", 100)]
    assert stands_mm(solve_lengthwise(bodies, [ROW_2, Mover("row 3", 80)])) == {"row 2": 100, "row 3": 0}


def test_a_seat_that_moves_alone_leaves_its_row_where_it_is():
    answer = solve_lengthwise([sits("Oslo", "3R", "2R", 100)], [ROW_2, Mover("2R", 120)])
    assert stands_mm(answer) == {"2R": 100, "row 2": 0}


def test_a_braced_shell_brings_the_seat_to_it_and_holds_it_there():
    braced = sits("Wren", "2L", "1L", 60, braced=True)
    answer = solve_lengthwise([braced], [DRIVER])
    assert stands_mm(answer) == {"1L": 60}
    assert answer.spare is None  # it touches: there is nothing to spare
    beside = sits("Ines", "2C", "1L", 70)
    squeezed = solve_lengthwise([braced, beside], [DRIVER])
    assert squeezed.short == 10
    assert {s.start for s in squeezed.steps} == {FRONT, "1L"}


def test_a_short_shell_cannot_brace_against_a_seat_that_is_rearmost():
    short = behind("Wren", "2L", "1L", Need(-140, 430, "Nook shell", 560, 0, 700), braced=True)
    answer = solve_lengthwise([short], [DRIVER])
    assert (answer.need, answer.have, answer.short) == (700, 560, 140)
    assert [a.label for s in answer.steps for a in s.addends] == [
        "to brace: Nook shell (430 mm up)", "to brace: free to 1L at rearmost"]


@pytest.mark.parametrize(("need", "fits"), [(0, True), (1, False)])
def test_a_seat_ahead_that_does_not_move(need, fits):
    assert isinstance(solve_lengthwise([sits("Wren", "2C", "1C", need)], []), Solution) is fits


def test_the_sum_that_overshoots_by_most_is_named():
    bodies = [sits("Wren", "2L", "1L", 100), sits("Oslo", "2R", "1R", 260)]
    answer = solve_lengthwise(bodies, [DRIVER, PASSENGER])
    assert (answer.short, answer.steps[-1].start) == (30, "1R")


def test_a_limit_beyond_the_travel_does_not_lengthen_it():
    assert Mover("1L", 230, 400, "driver forward at most").most == Addend("1L slides at most", -230)
    assert Mover("1L", 230, 80).most == Addend("1L forward at most", -80)


def test_sums_that_do_not_come_out_are_refused():
    with pytest.raises(ValueError, match="do not come to 60"):
        Behind("Wren", "2L", "1L", 60, False, (Addend("Nook needs", 760),))
    with pytest.raises(ValueError, match="nothing is known"):
        behind("Wren", "2L", "1L", Need(None, 0, "", 0, 0, 0, "free length to the seat ahead"))


def test_from_shape_to_witness():
    shell = Shape("Nook", (Box("Nook shell", side_box((60, 730), (170, 560)), 440),))
    need = room_needed(shell, Profile(((0, 700), (300, 660), (600, 720))), 10)
    answer = solve_lengthwise([behind("Wren", "2L", "1L", need)], [DRIVER])
    assert stands_mm(answer) == {"1L": 80}  # 730 + 10 - 660
    assert answer.spare == 10
