"""The chain engine, and the sums along the car, on systems small enough to solve on paper."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations
from math import hypot

import pytest

from seatplan.geometry.ahead import Need
from seatplan.geometry.chain import Addend, Solution, Squeeze, Step, solve, squeeze_of
from seatplan.geometry.lengthwise import (
    FRONT,
    Behind,
    Mover,
    behind,
    lengthwise_steps,
    mover_of,
    solve_lengthwise,
    stands_mm,
    sums,
)
from seatplan.geometry.tolerance import Tolerance, combined, of_steps


def step(start: str, end: str, need: int, stretch: bool = False) -> Step:
    return Step(start, end, need, stretch, (Addend(f"{start} to {end}", need / 2),))


def solved(steps: list[Step], anchor: str, overlap: bool = False) -> Solution:
    answer = solve(steps, anchor, overlap=overlap)
    assert isinstance(answer, Solution)
    return answer


def squeezed(steps: list[Step], anchor: str, overlap: bool = False) -> Squeeze:
    answer = solve(steps, anchor, overlap=overlap)
    assert isinstance(answer, Squeeze)
    return answer


def test_an_addend_is_exact_unless_it_says_otherwise() -> None:
    assert Addend("a", 1) == Addend("a", 1, 0.0, "")


def test_without_a_limit_everything_stands_where_it_must() -> None:
    assert solved([step("a", "b", 100, True)], "a") == Solution({"a": 0, "b": 100}, None, ())


def test_the_spare_of_a_single_step_is_all_that_is_there() -> None:
    """50 mm of room and nothing that needs it."""
    steps = [step("left", "body", 0, True), step("body", "left", -100)]
    assert solved(steps, "left").spare == 50


def test_a_body_without_play_stands_where_it_is_held() -> None:
    assert solved([step("left", "body", 100), step("body", "left", -100)], "left").at == {"left": 0, "body": 100}


@pytest.mark.parametrize(("most", "middle"), [(200, 150), (201, 150), (202, 151), (99, None), (100, 100)])
def test_a_body_stands_in_the_middle_of_its_play(most: int, middle: int | None) -> None:
    answer = solve([step("left", "body", 100), step("body", "left", -most)], "left")
    if middle is None:
        assert isinstance(answer, Squeeze)
        assert (answer.need, answer.have, answer.short) == (50, 49.5, 0.5)
    else:
        assert isinstance(answer, Solution)
        assert answer.at == {"left": 0, "body": middle}
        assert isinstance(answer.at["body"], int)


def test_bodies_on_both_sides_of_the_anchor_stand_in_their_middle() -> None:
    """Their names come before and after it in the alphabet."""
    steps = [step("m", "z", 10), step("z", "m", -30), step("a", "m", 10), step("m", "a", -50)]
    assert solved(steps, "m").at == {"a": -30, "m": 0, "z": 20}


def test_the_middle_leaves_the_spare_at_each_step_that_stretches() -> None:
    """Each gap gets 20 half-mm of spare; the free body between bounds of its own stands between those."""
    steps = [step("left", "a", 10, True), step("a", "left", -30), step("left", "b", 10), step("b", "left", -70)]
    answer = solved(steps, "left")
    assert (answer.spare, answer.at) == (10, {"left": 0, "a": 30, "b": 40})


def test_what_has_no_upper_limit_stands_as_near_as_it_may() -> None:
    """a is held with 20 half-mm to spare, so that each step that stretches gets as much; in whichever order they are
    told, and the larger of two needs counts."""
    steps = [step("b", "c", 5), step("left", "b", 10, True), step("left", "b", 5, True), step("left", "d", 10),
             step("left", "a", 10, True), step("a", "left", -30)]
    for told in (steps, steps[::-1]):
        answer = solved(told, "left")
        assert (answer.spare, answer.at) == (10, {"left": 0, "a": 30, "b": 30, "c": 35, "d": 10})


def test_the_middle_between_a_step_that_stretches_and_one_that_does_not() -> None:
    """With 20 half-mm of spare, from 10 to 70 - 20."""
    steps = [step("left", "a", 10, True), step("a", "left", -30), step("left", "b", 10), step("b", "left", -70, True)]
    assert solved(steps, "left").at == {"left": 0, "a": 30, "b": 30}


@pytest.mark.parametrize(("there", "fits"), [(50, True), (49, False)])
def test_exactly_enough_and_half_a_millimetre_less(there: int, fits: bool) -> None:
    steps = [step("left", "body", 50, True), step("body", "left", -there, True)]
    assert isinstance(solve(steps, "left"), Solution) is fits


@pytest.mark.parametrize("names", list(permutations("abc")))
def test_a_squeeze_goes_all_the_way_round(names: tuple[str, ...]) -> None:
    one, two, three = names
    steps = [step(one, two, 10, True), step(two, three, 10), step(three, one, -19), step(two, one, -10)]
    answer = squeezed(steps, one)
    assert {s.start for s in answer.steps} == {one, two, three}
    assert (answer.need, answer.have, answer.short) == (10, 9.5, 0.5)


def test_what_must_not_stretch_cannot_overlap() -> None:
    steps = [step("left", "body", 100), step("body", "left", -99)]
    assert squeezed(steps, "left", overlap=True).short == 0.5


def test_an_overlap_is_shared_out() -> None:
    """Two gaps lack 3 half-mm: three quarters of a mm each, and no gap lacks more than that rounded up."""
    steps = [step("left", "body", 50, True), step("body", "left", -47, True)]
    assert squeezed(steps, "left").short == 1.5
    answer = solved(steps, "left", overlap=True)
    assert answer.spare == Fraction(-3, 4)
    assert answer.at == {"left": 0, "body": 48}
    assert {s.end for s in answer.tight} == {"left", "body"}


def test_a_squeeze_adds_up_what_is_needed_and_what_is_there() -> None:
    one = Step("a", "b", 20, True, (Addend("wide", 15), Addend("there", -5)))
    other = Step("b", "a", -10, False, (Addend("also there", -5), Addend("nothing", 0)))
    assert squeeze_of([one, other]) == Squeeze((one, other), 15, 10, 5)
    half = Step("a", "a", 1, True, (Addend("wide", 1.0), Addend("there", -0.5)))
    assert squeeze_of([half]) == Squeeze((half,), 1.0, 0.5, 0.5)


def test_the_later_cycle_that_limits_more_decides() -> None:
    """20 half-mm shared by one gap leave more than 21 shared by two."""
    steps = [step("left", "a", 0, True), step("a", "left", -20), step("a", "b", 0, True), step("b", "left", -21)]
    answer = solved(steps, "left")
    assert answer.spare == Fraction(21, 4)
    assert [s.start for s in answer.tight] in (["left", "a", "b"], ["a", "b", "left"], ["b", "left", "a"])


# along the car

SHELL = Need(60, 430, "Nook 35 shell", 750, 10, 700, off=4)


def test_the_limit_of_a_seat_is_the_smaller_of_travel_and_occupant() -> None:
    assert Mover("1L", 230, 230, "driver allows", 5).most == Addend("driver allows", -230, 5)
    assert Mover("1L", 230, 231, "driver allows", 5).most == Addend("1L slides at most", -230, 5)
    assert Mover("1L", 230).most == Addend("1L slides at most", -230, 0)
    assert Mover("1L", 230, 0).most == Addend("1L forward at most", 0)


def test_a_body_names_its_lengths_with_what_each_may_be_off() -> None:
    told = behind("Wren", "2L", "1L", SHELL, free_off_mm=5).addends
    assert told == (
        Addend("Nook 35 shell (430 mm up)", 750, 4, "reach at 2L"), Addend("gap to 1L", 10),
        Addend("free to 1L at rearmost", -700, 5, "free at 2L"))
    console = behind("Wren", "2C", FRONT, SHELL).addends
    assert [a.label for a in console] == [
        "Nook 35 shell (430 mm up)", "gap to what stands ahead", "free to what stands ahead"]
    assert console[-1].tolerance == 0
    assert not behind("Wren", "2L", "1L", SHELL).braced


def test_the_steps_of_two_seats_and_a_braced_body() -> None:
    """Bounds first, two a mover and in half-mm; only the room of a body that need not touch stretches."""
    held = Behind("Oslo", "2R", "1R", 60, True, (Addend("Oslo needs", 60, 3.0),))
    free = Behind("Wren", "2L", "1L", 40, False, (Addend("Wren needs", 40),))
    movers = [Mover("1L", 230, 90, "driver"), Mover("1R", 200)]
    told = [(s.start, s.end, s.need, s.stretch) for s in lengthwise_steps([held, free], movers)]
    assert told == [
        (FRONT, "1L", 0, False), ("1L", FRONT, -180, False), (FRONT, "1R", 0, False), ("1R", FRONT, -400, False),
        (FRONT, "1R", 120, False), ("1R", FRONT, -120, False), (FRONT, "1L", 80, True)]
    brace = lengthwise_steps([held], movers)[-1].addends
    assert brace == (Addend("to brace: Oslo needs", -60, 3.0, "Oslo needs"),)


def test_every_sum_of_a_body_and_nothing_else() -> None:
    """40 needed of 90: 50 to spare, off by the root of 3 and 4 squared, or by 7; the bounds alone are no sum."""
    body = Behind("Wren", "2L", "1L", 40, False, (Addend("Wren needs", 40, 3.0),))
    movers = [Mover("1L", 230, 90, "driver", 4.0), Mover("1R", 230)]
    (found,) = sums([body], movers)
    assert (found.over, found.off) == (-50, 5)
    assert [(s.start, s.end) for s in found.steps] == [(FRONT, "1L"), ("1L", FRONT)]
    assert [s.off for s in sums([body], movers, worst_case=True)] == [7]
    assert sums([], movers) == []


def test_a_brace_and_its_own_body_are_no_sum() -> None:
    braced = Behind("Wren", "2L", "1L", 60, True, (Addend("Wren needs", 60, 3.0),))
    told = sorted((s.over, [step.start for step in s.steps]) for s in sums([braced], [Mover("1L", 230)]))
    assert told == [(-170, [FRONT, "1L"]), (-60, [FRONT, "1L"])]
    other = Behind("Oslo", "2C", "1L", 70, False, (Addend("Oslo needs", 70),))
    over = sorted(s.over for s in sums([braced, other], [Mover("1L", 230)]))
    assert over == [-170, -160, -60, 10]                       # 70 needed, and 60 is where the brace holds the seat


def test_a_sum_through_two_rows_starts_at_the_front() -> None:
    bodies = [Behind("Wren", "2L", "1L", 40, False, (Addend("Wren needs", 40),)),
              Behind("Oslo", "3R", "2R", 110, False, (Addend("Oslo needs", 110),))]
    told = sorted((s.over, [step.start for step in s.steps])
                  for s in sums(bodies, [Mover("1L", 90), Mover("row 2", 150)]))
    assert told == [(-50, [FRONT, "row 2", "1L"]), (-40, [FRONT, "row 2"]), (60, [FRONT, "row 2", "1L"])]


def test_a_body_behind_what_cannot_move_is_a_sum_of_its_own() -> None:
    body = Behind("Wren", "2C", FRONT, 20, False, (Addend("Wren needs", 20, 3.0),))
    (found,) = sums([body], [])
    assert (found.over, found.off, [s.end for s in found.steps]) == (20, 3, [FRONT])


def test_of_two_sums_that_overshoot_alike_the_shorter_is_named() -> None:
    """150 of 100 at 1R, and 40 + 110 of 100 through row 2 at 1L: both are 50 short."""
    needs = [("2L", "1L", 40), ("3R", "2R", 110), ("2R", "1R", 150)]
    bodies = [Behind(here, here, ahead, mm, False, (Addend(here, mm),)) for here, ahead, mm in needs]
    for movers in ([Mover("1L", 100), Mover("1R", 210), Mover("row 2", 110), Mover("3C", 50)],
                   [Mover("3C", 50), Mover("row 2", 110), Mover("1R", 210), Mover("1L", 100)]):
        answer = solve_lengthwise([*bodies, Behind("B", "3L", "3C", 100, False, (Addend("B", 100),))], movers)
        assert isinstance(answer, Squeeze)
        assert (answer.short, [s.start for s in answer.steps]) == (50, [FRONT, "3C"])


def test_seats_stand_as_far_back_as_they_may() -> None:
    bodies = [Behind("Wren", "2L", "1L", 40, False, (Addend("Wren needs", 40),))]
    answer = solve_lengthwise(bodies, [Mover("1L", 230), Mover("1R", 230)])
    assert isinstance(answer, Solution)
    assert (dict(answer.at), answer.spare) == ({FRONT: 0, "1L": 80, "1R": 0}, 190)
    assert stands_mm(answer) == {"1L": 40, "1R": 0}


def test_seats_take_along_what_stands_on_a_sliding_row() -> None:
    """Row 2 comes 100 forward for the row behind it, whichever is told first; whole mm."""
    bodies = [Behind("Wren", "2L", "1L", 40, False, (Addend("Wren needs", 40),)),
              Behind("Oslo", "3R", "2R", 100, False, (Addend("Oslo needs", 100),))]
    for told in (bodies, bodies[::-1]):
        answer = solve_lengthwise(told, [Mover("1L", 230), Mover("row 2", 150)])
        assert isinstance(answer, Solution)
        stands = stands_mm(answer)
        assert stands == {"1L": 140, "row 2": 100}
        assert {type(mm) for mm in stands.values()} == {int}


@pytest.mark.parametrize("told", [59, 61])
def test_addends_must_come_to_the_need(told: int) -> None:
    with pytest.raises(ValueError, match="do not come to 60"):
        Behind("Wren", "2L", "1L", 60, False, (Addend("Wren needs", told),))


@pytest.mark.parametrize(("position", "mover"), [("2L", "2L"), ("2R", "row 2"), ("1L", FRONT), ("3L", FRONT)])
def test_what_a_position_moves_with(position: str, mover: str) -> None:
    assert mover_of(position, {"2L", "row 2"}) == mover


# tolerances

def test_lengths_are_off_by_the_root_of_their_squares() -> None:
    assert combined([Addend("a", 10, 3), Addend("b", -10, 4), Addend("c", 5)]) == Tolerance(5, 7)


def test_one_length_counts_once_however_it_is_called() -> None:
    halves = [Addend("half of a", 10, 1.5, "a"), Addend("other half of a", 10, 1.5, "a")]
    assert combined(halves) == Tolerance(3, 3)
    assert combined([*halves, Addend("a", -20, 3)]) == Tolerance(0, 0)
    assert combined([Addend("a", 0, 3)]) == Tolerance(3, 3)
    for there in (0, 0.5):                           # needed, both of them
        assert combined([Addend("a", there, 3), Addend("a", 10, 3)]) == Tolerance(6, 6)
    assert combined([Addend("a", -0.5, 3), Addend("a", 10, 3)]) == Tolerance(0, 0)
    assert combined([Addend("a", 10, 0.5), Addend("b", 10, 0.5)]) == Tolerance(hypot(0.5, 0.5), 1)


def test_the_tolerance_of_steps_is_that_of_all_their_lengths() -> None:
    steps = [Step("a", "b", 0, False, (Addend("a", 10, 3),)), Step("b", "a", 0, False, (Addend("b", -10, 4),))]
    assert of_steps(steps) == Tolerance(5, 7)
    assert of_steps([]) == Tolerance(0, 0)
