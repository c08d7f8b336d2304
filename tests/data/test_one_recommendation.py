"""Every command recommends the same arrangement of a bundled trip: the first of ``Solve.ranked``."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import pytest
from bundled import TRIPS

from seatplan.app.arrange import picked
from seatplan.app.documents import Draw
from seatplan.app.notices import QUIET
from seatplan.app.reading import read
from seatplan.files.load import shelf
from seatplan.growth.outlook import outlook
from seatplan.model import Tried, Trip
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Placement
from seatplan.solver.after_try import after_try
from seatplan.solver.assemble import assemble
from seatplan.solver.compare import compare
from seatplan.solver.placements import open_choices
from seatplan.solver.plan import plan
from seatplan.solver.repairs.catalogue import applied
from seatplan.solver.repairs.verify import repairs_of
from seatplan.solver.results import Arrangement
from seatplan.solver.solve import Solve

#: who rides where in what and how; of like restraints any may be meant
Ridden = frozenset[tuple[object, ...]]
#: too large to be looked at day by day in a test
LARGE = {"nine-seat-shuttle"}
FITTING = [name for name in TRIPS if name not in LARGE
           and name not in ("three-too-wide", "three-boosters-two-belts", "two-children-one-tether")]
REFUSED = ["three-too-wide", "three-boosters-two-belts", "two-children-one-tether"]


def day_of(trip: Trip) -> date:
    assert trip.on is not None
    return trip.on


def kind(trip: Trip, name: str | None) -> object:
    """What a restraint is, whichever copy."""
    return None if name is None else trip.restraint(name).model_copy(update={"restraint": ""}).content


def ridden(trip: Trip, arrangement: Arrangement) -> Ridden:
    def one(p: Placement) -> tuple[object, ...]:
        return (p.rider.rider, p.position.position, kind(trip, p.restraint.restraint if p.restraint else None),
                p.mode_name)

    return frozenset(one(seat.placement) for seat in arrangement.seats)


@cache
def arranged(name: str) -> Ridden:
    """The first of `seatplan arrange`."""
    trip = TRIPS[name]
    return ridden(trip, plan(trip, load_profile(trip.rules), day_of(trip), top=1).arrangements[0])


@pytest.mark.parametrize("name", [*FITTING, *LARGE])
def test_sheet_and_draw_take_the_first(name: str) -> None:
    request = Draw(trip=name)
    _, first = picked(read(request), request, 1, QUIET, beyond=3)
    assert first is not None
    assert ridden(TRIPS[name], first) == arranged(name)


@pytest.mark.parametrize("name", FITTING)
def test_the_first_is_the_best_however_many_are_asked_for(name: str) -> None:
    """As report, why and what is solved again, without a count, ask."""
    trip, profile = TRIPS[name], load_profile(TRIPS[name].rules)
    uncounted = Solve(trip, profile, day_of(trip), choices_of=open_choices, counted=False)
    one = assemble(uncounted, 1, next(uncounted.ranked()), None)
    several = [plan(trip, profile, day_of(trip), top=top).arrangements[0] for top in (2, 20)]
    assert {ridden(trip, arrangement) for arrangement in (one, *several)} == {arranged(name)}
    assert {arrangement.cost for arrangement in several} == {one.cost}


@pytest.mark.parametrize("name", FITTING)
def test_the_outlook_begins_with_it(name: str) -> None:
    trip = TRIPS[name]
    start = day_of(trip)
    leg = outlook(trip, load_profile(trip.rules), start, start + timedelta(30)).protection.course.legs[0]
    assert leg.first == start
    assert leg.seating is not None
    assert {(p.rider, p.position, kind(trip, p.restraint), p.mode) for p in leg.seating} == arranged(name)


@pytest.mark.parametrize("name", FITTING)
def test_compare_has_it_in_the_own_vehicle(name: str) -> None:
    trip = TRIPS[name]
    own = compare([trip], load_profile(trip.rules), day_of(trip)).vehicles[0]
    assert own.best is not None
    assert ridden(trip, own.best) == arranged(name)


@pytest.mark.parametrize("name", FITTING)
def test_record_goes_on_with_it(name: str) -> None:
    """Whatever was tried, held or not, what comes next is the first arrangement of the trip with the entry."""
    trip, profile = TRIPS[name], load_profile(TRIPS[name].rules)
    seats = plan(trip, profile, day_of(trip), top=1).arrangements[0].seats
    p = next(seat.placement for seat in seats if seat.placement.restraint is not None)
    assert p.restraint is not None
    for how in ({"failed": True}, {"moved": 10, "level": True}):
        tried = Tried.model_validate({"restraint": p.restraint.restraint, "position": p.position.position, "by": p.by,
                                      "mode": p.mode_name, "on": day_of(trip), "recorded": True, **how})
        noted = trip.model_copy(update={"tried": [*trip.tried, tried]})
        done = after_try(trip, noted, tried, profile, day_of(trip))
        first = plan(noted, profile, day_of(trip), top=1).arrangements
        assert [ridden(noted, a) for a in (done.next,) if a] == [ridden(noted, a) for a in first]


@pytest.mark.parametrize("name", REFUSED)
def test_a_repair_comes_with_the_first_of_the_trip_as_it_would_be(name: str) -> None:
    trip, profile = TRIPS[name], load_profile(TRIPS[name].rules)
    found = repairs_of(Solve(trip, profile, day_of(trip)), shelf())
    assert found.repairs
    for repair in found.repairs:
        changed = applied(trip, repair.changes)
        first = plan(changed, profile, day_of(trip), top=1).arrangements[0]
        assert ridden(changed, repair.arrangement) == ridden(changed, first)
        assert repair.arrangement.cost == first.cost


@pytest.mark.parametrize("name", ["three-too-wide", "two-children-one-tether"])
def test_no_repair_is_what_would_not_hold(name: str) -> None:
    """Every restraint that a repair would have bought and installed failed at that seat: it is offered there no more,
    under whatever name."""
    trip, profile = TRIPS[name], load_profile(TRIPS[name].rules)

    def bought(of: Trip) -> set[tuple[str, str, str]]:
        told = set()
        for repair in repairs_of(Solve(of, profile, day_of(trip)), shelf()).repairs:
            new = {change.restraint: change.word for change in repair.changes if change.new is not None}
            told |= {(new[p.restraint.restraint], p.position.position, p.by) for p in (
                seat.placement for seat in repair.arrangement.seats)
                if p.restraint is not None and p.restraint.restraint in new and p.by is not None}
        return told

    offered = bought(trip)
    assert offered
    models = shelf()
    owned = [models[word].model_copy(update={"restraint": f"Own {word}", "made": date(1990, 1, 1),
                                             "expires": date(1991, 1, 1)})
             for word in sorted({word for word, _, _ in offered})]
    failed = [Tried.model_validate({"restraint": f"Own {word}", "position": position, "by": by, "failed": True,
                                    "on": day_of(trip)}) for word, position, by in offered]
    assert not offered & bought(trip.model_copy(update={
        "restraints": [*trip.restraints, *owned], "tried": [*trip.tried, *failed]}))
