"""Ages as parents say them; every month is said and none is rounded up."""

from __future__ import annotations

import pytest

from seatplan.message import Amount, in_mm, said
from seatplan.views.ages import age
from seatplan.views.manner import speaking
from seatplan.views.say import fill, shown

SAID = [
    (0, "0 months", "0 meses"), (1, "1 month", "1 mes"), (8, "8 months", "8 meses"), (12, "12 months", "12 meses"),
    (14, "14 months", "14 meses"), (18, "18 months", "18 meses"), (23, "23 months", "23 meses"),
    (24, "2 years", "2 años"), (25, "2 years 1 month", "2 años y 1 mes"), (27, "2 years 3 months", "2 años y 3 meses"),
    (29, "2 years 5 months", "2 años y 5 meses"), (30, "2 1/2 years", "2 años y medio"),
    (31, "2 years 7 months", "2 años y 7 meses"), (35, "2 years 11 months", "2 años y 11 meses"),
    (42, "3 1/2 years", "3 años y medio"), (144, "12 years", "12 años"),
]


@pytest.mark.parametrize(("months", "english", "spanish"), SAID)
def test_said(months: int, english: str, spanish: str) -> None:
    assert age(months) == english
    with speaking("es"):
        assert age(months) == spanish


def test_no_two_ages_are_said_alike() -> None:
    assert len({age(months) for months in range(300)}) == 300


@pytest.mark.parametrize("months", [23.99, 29.9, 35.999])
def test_what_has_not_passed_is_not_said(months: float) -> None:
    assert age(months) == age(int(months))


def test_an_amount_of_months_is_said_so_and_stays_a_number_below() -> None:
    limit = Amount(24, "months")
    assert shown(limit) == "2 years"
    assert str(limit) == "24 months"                       # for JSON
    assert fill("{low:bare} to {high}", {"low": Amount(18, "months"), "high": limit}) == "18 months to 2 years"
    assert shown(said("is {age} old", age=Amount(27, "months"))) == "is 2 years 3 months old"
    assert shown(Amount(0, "months", unknown=True)) == "? months"
    with speaking("en", "customary"):
        assert shown(limit) == "2 years"
        assert shown(in_mm(254)) == "10 in"
