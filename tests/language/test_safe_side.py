"""What is shown in inches and pounds lies on the safe side of what it stands for."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from seatplan.fields import Missing
from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.message import Amount, Way, beside
from seatplan.rules.finding import Finding, Result, at_least, at_most, lacks, sense
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.units import KG_PER_POUND, MM_PER_INCH
from seatplan.views.manner import speaking
from seatplan.views.say import shown
from seatplan.views.text import bare, mm, quantity, spare
from seatplan.views.words import held, held_at, limit_of

MM = st.integers(0, 6000)
KG = st.fractions(0, 200, max_denominator=1000)
VALUES = st.one_of(st.tuples(MM, MM, st.just("mm")), st.tuples(KG, KG, st.just("kg")))
#: values written alike, or nearly so, are where rounding misleads
NEAR = st.tuples(MM, st.integers(-3, 3)).map(lambda pair: (pair[0], max(0, pair[0] + pair[1]), "mm"))
ONES = {"mm": (MM_PER_INCH, " in"), "kg": (KG_PER_POUND, " lb")}


def back(told: object, unit: str) -> Fraction:
    """``17 1/4 in`` in mm, ``39.9 lb`` in kg, exactly."""
    one, sign = ONES[unit]
    text = str(told)
    assert text.endswith(sign)
    return sum((Fraction(part) for part in text.removesuffix(sign).split()), Fraction(0)) * one


def in_customary(value: object, unit: str) -> Fraction:
    with speaking("en", "customary"):
        return back(shown(value), unit)


@given(st.one_of(st.tuples(MM, st.just("mm")), st.tuples(KG, st.just("kg"))), st.booleans())
def test_up_is_never_less_and_down_never_more(given_value: tuple[float | Fraction, str], fine: bool):
    value, unit = given_value
    step = ONES[unit][0] / (100 if fine else 8 if unit == "mm" else 10)
    up, down, near = (in_customary(Amount(value, unit, way, fine), unit) for way in ("up", "down", "near"))
    assert 0 <= up - value < step
    assert 0 <= value - down < step
    assert abs(near - value) <= step / 2


@given(st.one_of(VALUES, NEAR), st.sampled_from(["up", "down", "near"]), st.sampled_from(["up", "down", "near"]))
@example((Fraction("18.143"), 40 * KG_PER_POUND, "kg"), "up", "down")
def test_two_held_against_each_other_keep_their_order(values: tuple[float, float, str], one_way: Way, other_way: Way):
    one, other, unit = values
    a, b = (in_customary(amount, unit) for amount in beside(Amount(one, unit, one_way), Amount(other, unit, other_way)))
    assert (a < b, a == b) == (one < other, one == other)


@given(st.one_of(VALUES, NEAR), st.sampled_from([at_most, at_least]))
def test_what_a_rule_says_is_on_the_safe_side(values: tuple[float, float, str], rule: object):
    value, limit, unit = values
    result: Result = rule(value, limit, unit)  # type: ignore[operator]
    measured, against = (in_customary(amount, unit) for amount in held(result))
    assert (measured <= against) == (value <= limit)
    most = rule is at_most
    assert against <= limit if most else against >= limit
    alone = in_customary(limit_of(result), unit)
    assert alone <= limit if most else alone >= limit
    if value != limit:                       # alike, both are told as the limit may be
        assert measured >= value if most else measured <= value
    if result.shortfall is not None:
        assert in_customary(Amount(result.shortfall, unit, "up"), unit) >= Fraction(str(result.shortfall))


@given(MM, st.sampled_from(["most", "least"]))
def test_what_would_settle_it_is_on_the_safe_side(value: int, keeps: str):
    result = lacks(Missing("belt length", "measure it", "mm"), value, keeps)  # type: ignore[arg-type]
    told = in_customary(limit_of(result), "mm")
    assert told == in_customary(held_at(value, "mm", keeps), "mm")  # type: ignore[arg-type]
    assert told <= value if keeps == "most" else told >= value


@given(MM)
def test_lengths_of_the_views(value: int):
    with speaking("en", "customary"):
        assert back(mm(value, "up"), "mm") >= value >= back(mm(value, "down"), "mm")
        assert back(spare(value), "mm") <= value
        assert back(f"{bare(value, 'up')} in", "mm") >= value
        assert back(quantity(value, "mm", "down", fine=True), "mm") <= value


@cache
def findings(trip: str) -> tuple[Finding, ...]:
    loaded = load_trip(trip)
    solved = plan(loaded, load_profile(loaded.rules), loaded.on)
    return tuple({(f.rule, f.result.measured, f.result.limit, f.result.settles_at): f
                  for cell in solved.choices.cells() for f in cell.findings}.values())


#: rules whose limit is neither a most nor a least: a length as standards have it
EITHER_WAY = {"lower-anchors-off-spacing", "rigid-on-borrowed-bars"}


@pytest.mark.parametrize("trip", sorted(names("trip")))
def test_every_limit_of_a_bundled_trip_is_a_most_or_a_least(trip: str):
    seen = 0
    for finding in findings(trip):
        result = finding.result
        limit = result.limit if result.limit is not None else result.settles_at
        if result.unit not in ONES or not isinstance(limit, (int, float, Fraction)) or finding.rule in EITHER_WAY:
            continue
        seen += 1
        assert sense(result) or result.measured == limit or not isinstance(result.measured, (int, float, Fraction)), (
            finding)
        if result.field:
            assert result.keeps, finding
        told = in_customary(limit_of(result), result.unit)
        if sense(result) == "most":
            assert told <= limit
        elif sense(result) == "least":
            assert told >= limit
    assert seen
