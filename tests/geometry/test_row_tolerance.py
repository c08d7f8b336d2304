"""What the tape may be off: which rows are close, which fit and which do not, at exact limits and against every sum."""

from dataclasses import replace
from math import floor, hypot

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from made_rows import block, body, filled_rows, made_row, seat

from seatplan.geometry.across import ORIGIN, Fit, RowSpace
from seatplan.geometry.chain import Addend, Solution, Squeeze, solve
from seatplan.geometry.prefix import FAR
from seatplan.geometry.shapes import Shapes
from seatplan.geometry.tolerance import combined, estimates_in, hangs_on, of_steps

CAP_MM = 60


def space_of(trim, tolerance=0, **how):
    return RowSpace(made_row(trim), Shapes(), tolerance, **how)


def off_by(s, mm, hung_mm=0):
    """A body whose parts were measured to within ``mm`` and its middle to within ``hung_mm``."""
    boxes = tuple(replace(b, tolerance=mm) for b in s.shape.boxes)
    return replace(s, shape=replace(s.shape, boxes=boxes), tolerance=hung_mm)


def between_doors(width_mm, body_mm, door_mm, part_mm, **how):
    """One body with play enough between doors that may be off by ``door_mm`` each."""
    space = space_of([{"name": "door", "left": 0, "right": width_mm}], door_mm, **how)
    alone = off_by(seat("Wren", "2L", block("Wren", body_mm), body_mm / 2, 300), part_mm)
    return space.fit([alone], CAP_MM)


def test_lengths_are_squared_and_the_halves_of_one_width_are_one_length():
    half = Addend("half of Nook", 220, 2.0)
    assert combined([Addend("left door", 0, 6), half, half, Addend("right door", -1360, 12)]).likely == hypot(6, 4, 12)
    assert combined([Addend("left door", 0, 6), half, half, Addend("right door", -1360, 12)]).worst == 22
    assert combined([]) == combined([Addend("play", -25)])
    assert combined([]).likely == 0


def test_a_length_that_is_there_and_needed_is_off_by_nothing():
    """The middle of a body between the two ends of its own play."""
    assert combined([Addend("belt line", 230, 5), Addend("belt line", -230, 5)]).worst == 0
    held = off_by(seat("Wren", "2L", block("Wren", 400), 400, 0), 0, 5)
    assert space_of([{"name": "door", "left": 0, "right": 1360}]).fit([held], CAP_MM) == Fit(0.0, None, False)


def test_two_names_of_one_length_are_one_length():
    assert combined([Addend("need", 60, 5, "reach"), Addend("to brace: need", -60, 5, "reach")]).worst == 0


# doors off by 4 each, the width by 7: the root of 16 + 16 + 49 is 9, the sum 15
@pytest.mark.parametrize(("how", "off"), [({}, 9), ({"worst_case": True}, 15)], ids=["likely", "worst"])
def test_exact_limits(how, off):
    def verdict(room):
        return between_doors(500 + room, 500, 4, 7, **how)

    assert not verdict(off).close
    assert verdict(off - 1).close
    assert verdict(0).close
    assert verdict(-off).close
    assert verdict(-off).short_mm == 0
    assert verdict(-off).spare_mm < 0
    assert verdict(-off - 1) == Fit(off + 1, None, False)


def test_the_limits_hold_to_the_half_millimetre():
    """Two bodies on fixed middles that may each be off by 0.5: worst 1 mm, likely 0.7."""
    def pair(gap_half_mm):
        one = replace(seat("Wren", "2L", block("Wren", 400), 300, 0), tolerance=0.5)
        other = replace(seat("Oslo", "2C", block("Oslo", 400), 700, 0), tolerance=0.5)
        return [one, replace(other, centre=other.centre + gap_half_mm)]

    worst = space_of([{"name": "door", "left": 0, "right": 1360}], worst_case=True)
    assert [worst.fit(pair(gap), CAP_MM).close for gap in (-2, -1, 0, 1, 2)] == [True, True, True, True, False]
    assert worst.fit(pair(-3), CAP_MM) == Fit(1.5, None, False)
    likely = space_of([{"name": "door", "left": 0, "right": 1360}])
    assert [likely.fit(pair(gap), CAP_MM).close for gap in (-1, 1, 2)] == [True, True, False]
    assert likely.fit(pair(-2), CAP_MM) == Fit(1.0, None, False)


def test_an_estimate_counts_by_its_spread():
    door = [{"name": "door", "left": 0, "right": 459}]
    person = body("Ines", ((0, 350), (0, 250), 400, 60))
    assert space_of(door).fit([seat("Ines", "2L", person, 230)], CAP_MM).close
    assert not space_of([{**door[0], "right": 460}]).fit([seat("Ines", "2L", person, 230)], CAP_MM).close


def test_a_sum_that_has_room_counts_where_it_may_be_off_by_more():
    """One body sits between doors with 3 to spare and is measured well; the other has 20 to spare, and is not."""
    door = [{"name": "door", "left": 0, "right": 1000}]
    well = seat("Wren", "2L", block("Wren", 400), 203, 0)
    badly = off_by(seat("Oslo", "2R", block("Oslo", 400), 780, 0), 50)
    assert space_of(door).fit([well, badly], CAP_MM).close
    assert not space_of(door).fit([well], CAP_MM).close


def rough(filled, offs):
    """The bodies of a row with tolerances drawn."""
    return [off_by(s, off, hung) for s, (off, hung) in zip(filled, offs, strict=False)]


OFFS = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=4, max_size=4)


def every_sum(steps):
    """(overshoot in half-mm, steps) of every way from the left wall through bodies and back, by trying all."""
    found = []

    def walk(path):
        for step in steps:
            if step.start != path[-1].end or step.end in [s.end for s in path]:
                continue
            if step.end == ORIGIN:
                found.append([*path, step])
            else:
                walk([*path, step])

    for step in steps:
        if step.start == ORIGIN:
            walk([step])
    return [(sum(s.need for s in path), path) for path in found]


def spread_of(path, worst_case):
    """What a path may be off, mm, from its addends."""
    off = {}
    for addend in [a for s in path for a in s.addends]:
        off[addend.label] = off.get(addend.label, 0) + (-1 if addend.mm < 0 else 1) * addend.tolerance
    return sum(map(abs, off.values())) if worst_case else hypot(*off.values())


@settings(max_examples=200)
@given(filled_rows(), OFFS, st.integers(0, 12), st.booleans())
def test_the_rule_over_every_sum(filled, offs, tolerance, worst_case):
    _, trim, seats = filled
    seats = rough(seats, offs)
    space = space_of(trim, tolerance, worst_case=worst_case)
    sums = [(over / 2, spread_of(path, worst_case)) for over, path in every_sum(space.steps(seats))]
    fit = space.fit(seats, CAP_MM)
    assert (fit.short_mm > 0) == any(over > off for over, off in sums)
    if fit.short_mm > 0:
        assert fit == Fit(max(over for over, _ in sums), None, False)
        assert isinstance(space.solve(seats), Squeeze)
    else:
        assert fit.close == any(over > -off for over, off in sums)
        assert isinstance(space.solve(seats), Solution)


@settings(max_examples=200)
@given(filled_rows(), OFFS, st.lists(st.sampled_from([0, 0, 15, 60]), min_size=4, max_size=4), st.integers(0, 12),
       st.booleans())
def test_the_rule_over_every_sum_where_bodies_are_estimated(filled, offs, spreads, tolerance, worst_case):
    """Widths of some bodies are estimated: what is told of them comes from every sum that they could turn."""
    _, trim, seats = filled
    seats = [replace(s, shape=replace(s.shape, boxes=tuple(
        replace(box, spread=spread, estimated=bool(spread)) for box in s.shape.boxes)))
        for s, spread in zip(rough(seats, offs), spreads, strict=False)]
    space = space_of(trim, tolerance, worst_case=worst_case)
    told = []
    for over, path in every_sum(space.steps(seats)):
        off = of_steps(path)
        told.append((hangs_on(over, 2 * (off.worst if worst_case else off.likely), 2 * off.guess), path))
    fit = space.fit(seats, CAP_MM)
    outcomes = {outcome for outcome, _ in told}
    assert (fit.short_mm > 0) == ("short" in outcomes) == space.tight(seats)
    if fit.short_mm == 0:
        assert (fit.close, fit.open) == ("close" in outcomes, "open" in outcomes)
        assert set(fit.estimates) == {
            name for outcome, path in told if outcome in ("open", "likely") for name in estimates_in(path)}


@given(filled_rows(), OFFS)
def test_the_sums_in_which_bodies_meet_are_all_but_those_of_one_between_its_own_limits(filled, offs):
    _, trim, seats = filled
    seats = rough(seats, offs)
    space = space_of(trim)
    alone = [path for one in seats for _, path in every_sum(space.steps([one]))]
    meeting = [over for over, path in every_sum(space.steps(seats)) if path not in alone]
    assert space.prefix(seats).meeting == max(meeting) if meeting else space.prefix(seats).meeting < -FAR // 2
    for one in seats:
        fit, told = space.fit([one], CAP_MM), space.alone(one)
        assert told.plain == (fit.short_mm <= 0 and not fit.estimates)
        assert told.close == fit.close or not told.plain


@settings(max_examples=200)
@given(filled_rows(), OFFS, st.integers(0, 20))
def test_a_witness_never_lacks_more_than_the_spare(filled, offs, tolerance):
    _, trim, seats = filled
    seats = rough(seats, offs)
    space = space_of(trim, tolerance, worst_case=True)
    answer = space.solve(seats)
    assume(isinstance(answer, Solution) and answer.spare is not None)
    share = floor(2 * answer.spare)
    for step in space.steps(seats):
        assert answer.at[step.end] - answer.at[step.start] >= step.need + share * step.stretch
    assert space.fit(seats, CAP_MM).spare_mm == (None if answer.spare >= CAP_MM else answer.spare // 1)


def test_the_least_lack_is_shared_out():
    """Three of 454 between doors 1360 apart lack 2 mm at four places: half a mm each."""
    door = [{"name": "door", "left": 0, "right": 1360}]
    seats = [off_by(seat(name, f"2{side}", block(name, 454), centre, 30), 5)
             for name, side, centre in (("Wren", "L", 230), ("Oslo", "C", 680), ("Ines", "R", 1130))]
    answer = space_of(door, 5).solve(seats)
    assert answer.spare == -0.5
    assert [answer.at[s.rider] for s in seats] == [453, 1360, 2267]
    assert space_of(door, 5).fit(seats, CAP_MM) == Fit(0.0, -1, True)


@settings(max_examples=200)
@given(filled_rows())
@example((380, [{"name": "door", "left": 0, "right": 380}], [seat("Wren", "2L", block("Wren", 380), 190)]))
def test_without_tolerance_a_fit_is_what_the_chain_says(filled):
    _, trim, seats = filled
    seats = [replace(s, shape=replace(s.shape, boxes=tuple(replace(b, spread=0) for b in s.shape.boxes)))
             for s in seats]
    space = space_of(trim)
    answer, fit = solve(space.steps(seats), ORIGIN), space.fit(seats, CAP_MM)
    assert not fit.close
    if isinstance(answer, Squeeze):
        assert fit.short_mm >= answer.short
        assert fit.short_mm == space.solve(seats).short
    else:
        assert space.solve(seats) == answer
        assert fit == Fit(0.0, None if answer.spare is None or answer.spare >= CAP_MM else answer.spare // 1, False)
