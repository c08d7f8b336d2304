"""Results that compare two numbers: at the limit, one over, one under, and the shortfall as it is told."""

from __future__ import annotations

import pytest

from seatplan.rules.finding import Finding, Result, at_least, at_most


@pytest.mark.parametrize(("over", "outcome", "shortfall"), [
    (0.0, "pass", None), (-1.0, "pass", None), (1.0, "fail", 1.0), (0.126, "fail", 0.13), (0.121, "fail", 0.13)])
def test_limits_from_both_sides(over: float, outcome: str, shortfall: float | None) -> None:
    """The shortfall is told to a hundredth; whether there is one is not rounded."""
    above, below = at_most(10 + over, 10, "kg", by="label"), at_least(10 - over, 10, "kg", by="label")
    assert (above.outcome, above.shortfall) == (below.outcome, below.shortfall) == (outcome, shortfall)
    assert (above.measured, above.limit, above.unit, above.facts) == (10 + over, 10, "kg", {"by": "label"})
    assert (below.measured, below.limit, below.unit, below.facts) == (10 - over, 10, "kg", {"by": "label"})


def test_the_least_too_much_fails() -> None:
    assert at_most(10.0001, 10, "kg").outcome == "fail"
    assert at_least(9.9999, 10, "kg").outcome == "fail"


def test_findings_alike_are_equal() -> None:
    one, other = (Finding("no-belt", "block", ("Wren",), ("2L",), Result("fail"), "a source") for _ in range(2))
    assert one == other
    assert one.restraint is None
