"""What the whole car lacks lengthwise is said in words of its own: no single part of it is too long."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan.files.load import load_trip
from seatplan.rules.finding import Finding, cautions
from seatplan.rules.load import bundled_profile
from seatplan.solver.noted import standing
from seatplan.views.manner import speaking
from seatplan.views.words import sentence


def test_a_car_that_is_too_short_says_both_sides_and_no_dash() -> None:
    """Nook reaches 589 mm and keeps a gap of 25; 560 are free behind 1R, which a child before its airbag keeps back."""
    trip = load_trip("three-across-school-run")
    found = standing(trip, trip.installed, bundled_profile("us"), date(2026, 11, 30))
    assert not found.possible
    (finding,) = found.against["Wren"]
    assert (finding.rule, finding.result.limit, finding.result.measured, finding.result.shortfall) == (
        "no-room-ahead", 614, 560, 54)
    assert sentence(finding) == ("along the car 614 mm are needed for 2R with what is ahead as far forward as it may "
                                 "be, and 560 mm are there: 54 mm short")


@pytest.mark.parametrize(("lang", "words"), [("en", "less than the lengths may be off"),
                                             ("es", "menos de lo que pueden desviarse las medidas")])
def test_short_by_less_than_measuring_can_be_off_says_so(lang: str, words: str) -> None:
    result = cautions(1690, 1697, "mm", 7, whole_car=True)
    with speaking(lang):
        told = sentence(Finding("no-room-ahead", "caution", ("Wren", "Oslo"), ("2R", "3R"), result, ""))
    assert words in told
    assert "7 mm" in told
    assert "-" not in told
