"""What a try changes: a failed one closes a placement and nothing else, one that held opens nothing."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan.files.load import load_trip
from seatplan.model import Tried, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.after_try import AfterTry, after_try
from seatplan.solver.changes import as_current, rides_of, rides_today
from seatplan.solver.plan import plan
from seatplan.solver.ranking import unpack
from seatplan.solver.results import Arrangement

DAY = date(2026, 11, 24)
TRIPS = ("three-across-school-run", "twins-small-hatch", "two-children-one-tether", "grandparents-old-car")
WAYS = [pytest.param(name, *way, id=f"{name}-{'-'.join(way)}") for name in TRIPS for way in sorted({
    (r.restraint, p.position, k.by) for trip in [load_trip(name)] for r in trip.restraints for m in r.modes
    for k in m.installations for p in trip.vehicle.positions()[2:]})[::9]]


def entry(restraint: str, position: str, by: str, **told: object) -> Tried:
    return Tried.model_validate({"restraint": restraint, "position": position, "by": by, "on": DAY,
                                 "recorded": True, **told})


def tried(trip: Trip, *entries: Tried) -> Trip:
    return trip.model_copy(update={"tried": [*trip.tried, *entries]})


def after(trip: Trip, told: Tried) -> AfterTry:
    return after_try(trip, tried(trip, told), told, load_profile(trip.rules), DAY)


def everything(trip: Trip) -> list[Arrangement]:
    return list(plan(trip, load_profile(trip.rules), DAY, top=None).arrangements)


def placed(arrangement: Arrangement) -> frozenset[tuple[object, ...]]:
    return frozenset((p.rider.rider, p.position.position, p.restraint.restraint if p.restraint else None, p.mode_name)
                     for p in (seat.placement for seat in arrangement.seats))


def ways(arrangement: Arrangement) -> set[tuple[str, str, str]]:
    return {(p.restraint.restraint, p.position.position, p.by)
            for p in (seat.placement for seat in arrangement.seats) if p.restraint}


@pytest.mark.parametrize(("name", "restraint", "position", "by"), WAYS)
@pytest.mark.parametrize("told", [{"moved": 26}, {"moved": 5, "level": False}, {"failed": True}], ids=str)
def test_what_would_not_hold_is_gone_and_nothing_is_new(name: str, restraint: str, position: str, by: str, told: dict):
    trip = load_trip(name)
    before = {placed(a) for a in everything(trip)}
    left = everything(tried(trip, entry(restraint, position, by, **told)))
    assert {placed(a) for a in left} <= before
    assert all((restraint, position, by) not in ways(a) for a in left)


@pytest.mark.parametrize(("name", "restraint", "position", "by"), WAYS)
def test_what_held_opens_no_seating_and_shuts_none(name: str, restraint: str, position: str, by: str):
    trip = load_trip(name)
    held = tried(trip, entry(restraint, position, by, moved=0, level=True))
    before, now = ({placed(a): (a.verdict, a.spare_mm) for a in everything(t)} for t in (trip, held))
    assert now == before


def test_what_held_comes_first_among_those_that_protect_as_well():
    trip = load_trip("three-across-school-run")
    told = entry("Slim", "2C", "lap-shoulder-belt", mode="rear-facing-harness", moved=3, level=True)
    first = plan(tried(trip, told), load_profile("us"), DAY, top=1).arrangements[0]
    assert ("Slim", "2C", "lap-shoulder-belt") in ways(first)
    assert ("Slim", "2C", "lap-shoulder-belt") not in ways(plan(trip, load_profile("us"), DAY, top=1).arrangements[0])
    assert [s.placement.position.position for s in first.seats if s.cell.confirmed] == ["2C"]


def test_what_held_never_outranks_more_protection():
    """Wren could ride facing forwards in nothing that holds better than rear-facing in what nobody tried."""
    trip = load_trip("three-across-school-run")
    held = [entry(r.restraint, p, k.by, mode=m.mode, moved=0, level=True) for r in trip.restraints for m in r.modes
            if not m.rear_facing for k in m.installations for p in ("2L", "2C", "2R")]
    plain, confirmed = (unpack(everything(t)[0].cost)["protection"] for t in (trip, tried(trip, *held)))
    assert plain == confirmed


def test_the_next_one_has_the_fewest_moves_of_the_best():
    trip = load_trip("three-across-school-run")
    told = entry("Nook", "2C", "lap-shoulder-belt", moved=38)
    done = after(trip, told)
    assert (done.outcome, done.installing) == ("blocked", "plan")
    base = next(a for a in everything(trip) if ("Nook", "2C", "lap-shoulder-belt") in ways(a))
    rides = as_current(rides_of(base))
    left = everything(tried(trip, told).model_copy(update={"current": rides}))

    def moves(arrangement: Arrangement) -> int:
        return sum((p.position.position != rides[p.rider.rider].position)
                   + ((p.restraint.restraint if p.restraint else None) != rides[p.rider.rider].restraint)
                   for p in (seat.placement for seat in arrangement.seats))

    leading = ("certainty", "protection", "cautions", "tried", "wishes")
    best = [a for a in left if all(unpack(a.cost)[c] == unpack(left[0].cost)[c] for c in leading)]
    assert done.next is not None
    assert moves(done.next) == min(map(moves, best)) == 1
    assert [c.what for c in done.changes if c.what] == [("restraint",)]


def test_what_they_ride_in_today_is_what_was_being_installed_where_it_was_tried():
    trip = load_trip("three-across-school-run")
    told = entry("Nook", "2R", "lower-anchors", failed=True)
    done = after(trip, told)
    assert done.installing == "today"
    assert {c.rider: c.before for c in done.changes if c.before} == rides_today(trip)


@pytest.mark.parametrize(("way", "told", "outcome", "missing"), [
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 25, "level": True, "mode": "rear-facing-harness"}, "confirmed", ()),
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 25, "mode": "rear-facing-harness"}, "held", ("level",)),
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 25, "level": True}, "held", ("mode",)),
    (("Nook", "2C", "lap-shoulder-belt"), {"level": True}, "open", ()),
    (("Cushion", "2R", "lap-shoulder-belt"), {"moved": 1}, "held", ()),
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 26, "level": True}, "blocked", ()),
])
def test_outcome(way: tuple[str, str, str], told: dict, outcome: str, missing: tuple[str, ...]):
    done = after(load_trip("three-across-school-run"), entry(*way, **told))
    assert (done.outcome, done.missing) == (outcome, missing)


def test_tightened_and_tried_again_on_the_same_day():
    trip = load_trip("three-across-school-run")
    loose = entry("Nook", "2C", "lap-shoulder-belt", moved=38)
    tight = entry("Nook", "2C", "lap-shoulder-belt", moved=8, level=True, mode="rear-facing-harness")
    before = tried(trip, loose)
    done = after_try(before, tried(before, tight), tight, load_profile("us"), DAY)
    assert done.outcome == "confirmed"
    assert done.now.tally.valid > done.was.tally.valid


def test_nothing_left():
    """With every way out, nobody is told to try anything."""
    trip = load_trip("two-seater-airbag-off")
    entries = [entry(r.restraint, "1R", k.by, failed=True) for r in trip.restraints for m in r.modes
               for k in m.installations]
    done = after_try(trip, tried(trip, *entries), entries[-1], load_profile("us"), DAY)
    assert done.next is None
    assert done.changes == ()
    assert done.now.verdict == "rejected"
