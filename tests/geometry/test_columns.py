"""Many bodies at once, held against the same sums worked out body by body."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from made_rows import body, filled_rows, made_row, seat
from test_row_tolerance import OFFS, rough

from seatplan.geometry.across import RowSpace
from seatplan.geometry.prefix import FAR, most_guessed, most_off
from seatplan.geometry.shapes import Shapes


def others(last, widths):
    """The last body of a row, and bodies of other widths that could sit there."""
    return (last, *(seat(last.rider, last.position, body("another", ((0, 700), (0, 600), width)), width + 300)
                    for width in widths))


def same_as_one_by_one(space, sums, rows, worst_case):
    """``rows``: the bodies of every sum, in as many rows and columns."""
    over, spare = sums.shortfall(), sums.spare_mm(100)
    off, guessed, meeting = sums.most_off(worst_case), sums.most_guessed(), sums.meeting
    for at, bodies in rows:
        alone = space.prefix(bodies)
        assert over[at] == alone.shortfall()
        assert off[at] == pytest.approx(most_off(alone.ends_off, alone.widths_off, worst_case), rel=1e-12)
        assert guessed[at] == pytest.approx(most_guessed(alone.ends_off, alone.widths_off), rel=1e-12)
        assert max(meeting[at], -FAR // 2) == max(alone.meeting, -FAR // 2)      # where nobody meets, no limit is told
        if alone.shortfall() <= 0:
            told = alone.spare_mm(100)
            assert min(spare[at], 100) == (100 if told is None else told)


@given(filled_rows(), OFFS, st.lists(st.integers(150, 500), max_size=4), st.integers(0, 12), st.booleans())
def test_columns_are_prefixes_side_by_side(filled, offs, widths, tolerance, worst_case):
    _, trim, seats = filled
    space = RowSpace(made_row(trim), Shapes(), tolerance, worst_case=worst_case)
    *before, last = rough(seats, offs)
    coming = others(last, widths)
    sums = space.sums_of_many(space.prefix(before), before, [coming])
    same_as_one_by_one(space, sums, [(i, [*before, one]) for i, one in enumerate(coming)], worst_case)


@given(filled_rows(), OFFS, *[st.lists(st.integers(150, 500), max_size=3)] * 2, st.integers(0, 12), st.booleans())
def test_two_places_are_prefixes_in_rows_and_columns(filled, offs, widths, more_widths, tolerance, worst_case):
    _, trim, seats = filled
    assume(len(seats) > 1)
    space = RowSpace(made_row(trim), Shapes(), tolerance, worst_case=worst_case)
    *before, last_but_one, last = rough(seats, offs)
    places = [others(last_but_one, more_widths), others(last, widths)]
    sums = space.sums_of_many(space.prefix(before), before, places)
    same_as_one_by_one(space, sums, [((i, j), [*before, one, other]) for i, one in enumerate(places[0])
                                     for j, other in enumerate(places[1])], worst_case)


@given(filled_rows(), OFFS, st.lists(st.integers(150, 500), max_size=4), st.integers(0, 12), st.booleans())
def test_what_is_plain_of_one_more_is_what_all_sums_say(filled, offs, widths, tolerance, worst_case):
    _, trim, seats = filled
    space = RowSpace(made_row(trim), Shapes(), tolerance, worst_case=worst_case)
    *before, last = rough(seats, offs)
    prefix = space.prefix(before)
    for one in others(last, widths):
        alone, told = space.prefix([*before, one]), space.tight_with(prefix, before, one)
        over, most = alone.shortfall(), 2 * most_off(alone.ends_off, alone.widths_off, True)
        assert told in (None, space.tight([*before, one], alone))
        assert (told is False) == (over <= 0)
        assert told is not None or over <= most + 1
