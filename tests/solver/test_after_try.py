"""What a try changes: a failed one closes a placement and nothing else, one that held opens nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from seatplan.files.load import load_trip
from seatplan.model import Tried, Trip
from seatplan.model.trip import Installed
from seatplan.rules.load import load_profile
from seatplan.solver.after_try import AfterTry, after_try
from seatplan.solver.changes import rides_of, rides_today
from seatplan.solver.judged_try import against
from seatplan.solver.plan import plan
from seatplan.solver.ranking import unpack
from seatplan.solver.results import Arrangement
from seatplan.units import Quantity

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
    return list(plan(trip, load_profile(trip.rules), DAY, top=None, each_copy=True).arrangements)


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


@pytest.mark.parametrize("told", [{"moved": 38}, {"moved": 5, "level": True}], ids=str)
@pytest.mark.parametrize(("name", "restraint", "position", "by"), WAYS)
def test_the_next_one_is_the_first_of_the_list(name: str, restraint: str, position: str, by: str, told: dict):
    """What to try next is what `seatplan arrange` puts first once the entry is in the file."""
    trip, made = load_trip(name), entry(restraint, position, by, **told)
    first = plan(tried(trip, made), load_profile(trip.rules), DAY, top=1).arrangements
    following = after(trip, made).next
    assert ([] if following is None else [placed(following)]) == [placed(a) for a in first]


def test_what_they_ride_in_today_is_what_was_being_installed_where_it_was_tried():
    trip = load_trip("three-across-school-run")
    told = entry("Nook", "2R", "lower-anchors", failed=True)
    done = after(trip, told)
    assert done.base == "today"
    today = rides_today(trip)
    assert {c.rider: c.before for c in done.changes if c.before} == {
        **today, "Wren": replace(today["Wren"], by="lower-anchors")}


@pytest.mark.parametrize(("way", "told", "outcome", "missing"), [
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 25, "level": True, "mode": "rear-facing-harness"}, "confirmed", ()),
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 25, "mode": "rear-facing-harness"}, "held", ("level",)),
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 25, "level": True}, "held", ("mode",)),
    (("Lattice", "2L", "lap-shoulder-belt"), {"moved": 25}, "held", ("mode",)),
    (("Nook", "2C", "lap-shoulder-belt"), {"level": True}, "open", ()),
    (("Cushion", "2R", "lap-shoulder-belt"), {"moved": 1}, "held", ()),
    (("Nook", "2C", "lap-shoulder-belt"), {"moved": 26, "level": True}, "blocked", ()),
])
def test_outcome(way: tuple[str, str, str], told: dict, outcome: str, missing: tuple[str, ...]):
    done = after(load_trip("three-across-school-run"), entry(*way, **told))
    assert (done.judged.outcome, done.judged.missing) == (outcome, missing)


RULED_OUT = [
    pytest.param("three-across-school-run", ("Nook", "1R", "lap-shoulder-belt"), "rear-facing-harness",
                 {("Wren", "rear-facing-before-airbag")}, id="airbag"),
    pytest.param("three-across-school-run", ("Nook", "2C", "lower-anchors"), "rear-facing-harness",
                 {("Wren", "no-lower-anchors")}, id="no anchors"),
    pytest.param("three-across-school-run", ("Nook", "1L", "lap-shoulder-belt"), "rear-facing-harness",
                 {("Wren", "driver-seat-taken"), ("Wren", "rear-facing-before-airbag")}, id="driver"),
]


@pytest.mark.parametrize(("name", "way", "mode", "reasons"), RULED_OUT)
def test_what_the_rules_forbid_is_never_confirmed_however_well_it_held(
        name: str, way: tuple[str, str, str], mode: str, reasons: set[tuple[str, str]]):
    done = after(load_trip(name), entry(*way, mode=mode, moved=0, level=True))
    assert (done.judged.outcome, done.judged.riders, done.judged.nearest) == ("forbidden", (), None)
    assert done.judged.leads
    assert {(c.placement.rider.rider, f.rule) for c in done.judged.ruled_out for f in against(c)} == reasons
    assert not any(cell.confirmed for cell in done.now.choices.cells())
    assert done.now.tally == done.was.tally


#: more than children of that age weigh; somebody is sure of it
HEAVY = Quantity("19.5 kg")


def test_a_child_that_is_too_heavy_is_ruled_out_and_the_one_who_is_not_gets_the_seat():
    """Nook is tried where Oslo rides in it today; the rear-facing shell is too small for him and right for Wren."""
    trip = load_trip("three-across-school-run")
    heavy = trip.model_copy(update={"riders": [
        r.model_copy(update={"mass": HEAVY, "sure": {"mass": HEAVY}}) if r.rider in ("Wren", "Oslo") else r
        for r in trip.riders]})
    told = entry("Nook", "2C", "lap-shoulder-belt", mode="rear-facing-harness", moved=0, level=True)
    done = after(heavy, told)
    assert done.judged.outcome == "forbidden"
    assert "child-too-heavy" in {f.rule for c in done.judged.ruled_out for f in against(c)}
    current = {"Oslo": Installed(restraint="Nook", position="2C")}
    done = after(trip.model_copy(update={"installed": current}), told)
    assert (done.judged.outcome, done.judged.riders, done.judged.leads) == ("confirmed", ("Wren",), True)
    assert {c.placement.rider.rider for c in done.judged.ruled_out} == {"Oslo"}


def test_a_mode_that_the_entry_does_not_name_and_nobody_may_use_is_told():
    done = after(load_trip("three-across-school-run"), entry("Nook", "1R", "lap-shoulder-belt", moved=0, level=True))
    assert (done.judged.outcome, done.judged.missing, done.judged.leads) == ("held", ("mode",), False)
    assert [(c.placement.mode_name, [f.rule for f in against(c)]) for c in done.judged.ruled_out] == [
        ("rear-facing-harness", ["rear-facing-before-airbag"])]


def test_what_was_not_measured_stays_open_however_well_it_held():
    trip = load_trip("half-measured-car")
    told = entry("Nook", "2R", "lap-shoulder-belt", mode="rear-facing-harness", moved=0, level=True)
    done = after(trip, told)
    assert (done.judged.outcome, done.judged.riders) == ("unsettled", ())
    assert done.judged.nearest is not None
    assert done.judged.nearest.unmeasured
    assert done.judged.nearest.held
    assert not any(cell.confirmed for cell in done.now.choices.cells())


def test_a_try_that_held_outranks_no_wish():
    """Wren is wished to 2R; Slim holds at 2C."""
    trip = load_trip("three-across-school-run")
    kerb = trip.model_copy(update={"wishes": [wish for wish in trip.wishes if wish.rider == "Wren"], "installed": {}})
    held = entry("Slim", "2C", "lap-shoulder-belt", mode="rear-facing-harness", moved=13, level=True)
    assert (after(kerb, held).has, after(kerb.model_copy(update={"wishes": []}), held).has) == ("no", "as tried")


def test_changes_are_counted_from_today_where_what_was_tried_was_never_proposed():
    trip = load_trip("three-across-school-run")
    done = after(trip, entry("Slim", "2C", "lap-shoulder-belt", mode="rear-facing-harness", moved=13, level=True))
    assert (done.base, done.has) == ("today", "as tried")
    assert {c.rider: c.before for c in done.changes if c.before} == rides_today(trip)
    assert {c.rider for c in done.changes if c.what} >= {"Tamsin"}


@pytest.mark.parametrize(("way", "base"), [
    (("Slim", "2C", "lap-shoulder-belt"), "proposed"),
    (("Nook", "2C", "lap-shoulder-belt"), "likely"),
    (("Nook", "2C", "lower-anchors"), "best"),
])
def test_what_changes_are_counted_from_where_nobody_says_how_they_ride_today(way: tuple[str, str, str], base: str):
    trip = load_trip("three-across-school-run").model_copy(update={"installed": {}, "wishes": []})
    done = after(trip, entry(*way, moved=38))
    assert done.base == base
    before = next(a for a in done.was.arrangements if base == "best" or way in ways(a))
    assert (before is done.was.arrangements[0]) == (base != "likely")
    assert {c.rider: c.before for c in done.changes} == rides_of(before)
    assert done.today == ()


def test_who_rides_otherwise_today_is_told_where_changes_are_counted_from_what_was_proposed():
    trip = load_trip("three-across-school-run")
    done = after(trip, entry("Nook", "2C", "lap-shoulder-belt", mode="rear-facing-harness", moved=13, level=True))
    assert (done.base, done.has) == ("proposed", "as tried")
    assert [c.rider for c in done.changes if c.what] == []
    assert {c.rider for c in done.today} == {"Wren", "Tamsin"}


def test_held_in_another_way_than_was_tried():
    done = after(load_trip("three-across-school-run"), entry("Lattice", "2L", "lap-shoulder-belt", moved=10))
    assert (done.has, done.base) == ("otherwise held", "today")
    assert {c.rider: c.what for c in done.changes}["Oslo"] == ("held",)


def test_tightened_and_tried_again_on_the_same_day():
    trip = load_trip("three-across-school-run")
    loose = entry("Nook", "2C", "lap-shoulder-belt", moved=38)
    tight = entry("Nook", "2C", "lap-shoulder-belt", moved=8, level=True, mode="rear-facing-harness")
    before = tried(trip, loose)
    done = after_try(before, tried(before, tight), tight, load_profile("us"), DAY)
    assert done.judged.outcome == "confirmed"
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
