"""Whatever can tell two arrangements apart has words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache

import pytest

from seatplan import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.contrast import Criterion, contrast
from seatplan.solver.kinds import alike
from seatplan.solver.plan import plan
from seatplan.solver.ranking import CRITERIA
from seatplan.solver.results import Plan
from seatplan.views.contrast_text import against_text

TRIP = load_trip("three-across-school-run")


@cache
def found() -> Plan:
    return plan(TRIP, load_profile("us"), date(2026, 11, 30), top=None)


# what lacks room is never held against anything; what is under way stands before the steps of the order
@pytest.mark.parametrize("name", [criterion.name for criterion in CRITERIA if criterion.name != "squeeze"])
def test_every_criterion_is_told_on_its_own_side(name: str) -> None:
    pair = contrast(found().arrangements[1], found().arrangements[0], alike(TRIP))
    told = [against_text(found(), replace(pair, criteria=(Criterion(name, *points),), only_one=(), only_other=()))
            for points in ((1, 0), (0, 1))]
    loses, gains = (text.partition(" gains\n")[0].partition(" loses\n")[2] for text in told)
    assert ("- nothing" in loses, "- nothing" in gains) == (False, True)


def test_every_arrangement_can_be_held_against_the_best() -> None:
    for other in found().arrangements[1:]:
        assert "loses" in against_text(found(), contrast(other, found().arrangements[0], alike(TRIP)))
