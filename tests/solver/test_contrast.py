"""One arrangement against another, and why not as somebody asks."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan.files.library import names
from seatplan.files.load import load_trip, shelf
from seatplan.model import Wish
from seatplan.rules.load import load_profile
from seatplan.solver.contrast import contrast, why_not
from seatplan.solver.plan import plan
from seatplan.solver.ranking import CRITERIA

DAY = date(2026, 11, 30)
SHELF = shelf()


@pytest.mark.parametrize("name", [name for name in names("trip") if name != "nine-seat-shuttle"])
def test_neighbours_in_the_list(name: str) -> None:
    """The first criterion in which two differ is the one that put them in order, and it speaks for the better."""
    trip = load_trip(name)
    solved = plan(trip, load_profile(trip.rules), DAY, top=12)
    order, kinds = [criterion.name for criterion in CRITERIA], solved.choices.kinds
    for better, worse in zip(solved.arrangements, solved.arrangements[1:], strict=False):
        found = contrast(worse, better, kinds)
        assert [c.name for c in found.criteria] == sorted((c.name for c in found.criteria), key=order.index)
        assert (found.criteria[0].name if found.criteria else None) == worse.decided_by
        assert all(c.one > c.other for c in found.criteria[:1])
        assert found.moved
        back = contrast(better, worse, kinds)
        assert (back.only_one, back.only_other) == (found.only_other, found.only_one)
        assert [(b, a) for a, b in back.moved] == sorted(
            found.moved, key=lambda pair: [q.rider.rider for _, q in back.moved].index(pair[0].rider.rider)) or (
            {(id(a), id(b)) for a, b in found.moved} == {(id(b), id(a)) for a, b in back.moved})


def test_what_can_be_had_is_the_best_that_has_it() -> None:
    trip = load_trip("three-across-school-run")
    asked = why_not(trip, load_profile("us"), DAY, Wish(rider="Tamsin", at=["2C"]), SHELF)
    every = plan(trip, load_profile("us"), DAY, top=None).arrangements
    first = next(a for a in every if any(
        s.placement.rider.rider == "Tamsin" and s.placement.position.position == "2C" for s in a.seats))
    assert asked.contrast is not None
    assert asked.contrast.one.cost == first.cost
    assert asked.contrast.other.cost == every[0].cost
    assert not asked.same
    assert asked.explanation is None


def test_what_is_so_already() -> None:
    trip = load_trip("three-across-school-run")
    best = plan(trip, load_profile("us"), DAY, top=1).arrangements[0]
    wren = next(s.placement for s in best.seats if s.placement.rider.rider == "Wren")
    asked = why_not(trip, load_profile("us"), DAY, Wish(rider="Wren", at=[wren.position.position]), SHELF)
    assert asked.same


def test_what_cannot_be_had_names_the_wish_among_the_reasons() -> None:
    trip = load_trip("tall-driver")
    asked = why_not(trip, load_profile("us"), DAY, Wish(rider="Mina", at=["1R"]), SHELF)
    assert asked.contrast is None
    assert asked.best is not None
    assert asked.explanation is not None
    assert "wish-for-seat-not-met" in {reason.occasion.rule for reason in asked.explanation.conflict.reasons}
    for repair in asked.explanation.repairs.repairs:
        assert not any(change.kind == "drop-wish" and "Mina" in change.riders for change in repair.changes)
        assert not any(change.kind == "ride-elsewhere" and "Mina" in change.riders for change in repair.changes)
