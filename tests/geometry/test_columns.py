"""Many bodies at once, held against the same sums worked out body by body."""

from hypothesis import given
from hypothesis import strategies as st
from made_rows import body, filled_rows, made_row, seat
from test_row_tolerance import OFFS, rough

from seatplan.geometry.across import RowSpace
from seatplan.geometry.prefix import most_off
from seatplan.geometry.shapes import Shapes


def others(last, widths):
    """The last body of a row, and bodies of other widths that could sit there."""
    return (last, *(seat(last.rider, last.position, body("another", ((0, 700), (0, 600), width)), width + 300)
                    for width in widths))


@given(filled_rows(), OFFS, st.lists(st.integers(150, 500), max_size=4), st.integers(0, 12), st.booleans())
def test_columns_are_prefixes_side_by_side(filled, offs, widths, tolerance, worst_case):
    _, trim, seats = filled
    space = RowSpace(made_row(trim), Shapes(), tolerance, worst_case=worst_case)
    *before, last = rough(seats, offs)
    coming = others(last, widths)
    prefix = space.prefix(before)
    columns = space.columns(prefix, before, coming, 100)
    for i, one in enumerate(coming):
        alone = space.prefix([*before, one])
        assert columns.over[i] == alone.shortfall()
        assert columns.most_off[i] == most_off(alone.ends_off, alone.widths_off, worst_case)
        assert columns.meeting[i] == alone.meeting
        if alone.shortfall() <= 0:
            spare = alone.spare_mm(100)
            assert min(columns.spare[i], 100) == (100 if spare is None else spare)


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
