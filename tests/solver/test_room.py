"""Room for a restraint: what the table says is what a whole solve says, to the millimetre."""

from __future__ import annotations

from datetime import date

import pytest

from seatplan.doubt import believed
from seatplan.files.load import load_trip, shelf
from seatplan.model import Restraint, Trip, Wish
from seatplan.rules.load import load_profile
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.room.generic import banded, generic, leaning, outline_of, reach_of
from seatplan.solver.room.largest import Largest, Width
from seatplan.solver.room.tables import LONGEST, SHORTEST, WIDEST, Room, RoomFor, room

DAY = date(2026, 11, 30)
SHELF = shelf()
#: how sure a whole solve is, better first
_ORDER = ("fits", "close", "likely", "unmeasured", "rejected")


def room_at(name: str, rider: str, position: str) -> tuple[Trip, Room]:
    trip = load_trip(name)
    return trip, room(trip, load_profile(trip.rules), DAY, rider, SHELF, position)


def verdict_with(trip: Trip, rider: str, position: str, restraint: Restraint, full: bool = False) -> str:
    """The surest verdict of the trip with a restraint more, which the rider must have at the position; ``full``: with
    somebody at each other seat of the row."""
    wishes = [*trip.wishes, Wish(rider=rider, at=[position], must=True),
              Wish(rider=rider, uses=[restraint.restraint], must=True)]
    more = believed(trip, DAY).model_copy(update={"restraints": [*trip.restraints, restraint], "wishes": wishes})
    solved = plan(more, load_profile(trip.rules), DAY, top=None if full else 0)
    if not full:
        return next((verdict for verdict in _ORDER[:-1] if solved.tally.sure[verdict]), "rejected")
    row = {p.position for p in trip.vehicle.row_of(position).positions}
    verdicts = [a.verdict for a in solved.arrangements
                if row <= {seat.placement.position.position for seat in a.seats}]
    return min(verdicts, key=_ORDER.index, default="rejected")


def one_wide(one: RoomFor, mm: int, reach: int | None) -> Restraint:
    bands = outline_of(one.ways[0].mode, SHELF.values())
    return generic(one.ways[0], banded(bands, [mm] * len(bands), reach), DAY, "us")


CASES = [("three-across-school-run", "Wren", "2C"), ("three-across-school-run", "Tamsin", "2R"),
         ("three-across-school-run", "Oslo", "2L"), ("tall-driver", "Mina", "2L"),
         ("two-children-one-tether", "Freya", "2R"), ("twins-small-hatch", "", "2L")]


@pytest.mark.parametrize(("name", "rider", "position"), CASES)
def test_one_more_millimetre_does_not_fit(name: str, rider: str, position: str) -> None:
    trip = load_trip(name)
    rider = rider or next(r.rider for r in trip.riders if not r.adult)
    rooms = [one for one in room(trip, load_profile(trip.rules), DAY, rider, SHELF, position).rooms
             if one.width and one.width.likely]
    assert rooms
    for one in rooms:
        reach = SHORTEST if one.ways[0].mode == "rear-facing-harness" else None
        for full, most in ((False, one.width), (True, one.full)):
            if most is None or most.likely is None or most.open:
                continue
            if most.fits:
                assert verdict_with(trip, rider, position, one_wide(one, most.fits, reach), full) == "fits"
                if most.fits < WIDEST:
                    assert verdict_with(trip, rider, position, one_wide(one, most.fits + 1, reach), full) != "fits"
            for widest, verdicts in ((most.close, ("fits", "close")), (most.likely, ("fits", "close", "likely"))):
                if widest is None:
                    continue
                assert verdict_with(trip, rider, position, one_wide(one, widest, reach), full) in verdicts
                if widest < WIDEST:
                    assert verdict_with(trip, rider, position, one_wide(one, widest + 1, reach), full) not in verdicts


@pytest.mark.parametrize(("name", "rider"), [
    ("three-across-school-run", "Tamsin"), ("sliding-row-outing", "Emre"), ("boosters-by-the-handbook", "Aino")])
@pytest.mark.parametrize("strict", [False, True])
def test_widths_from_sums_are_those_found_by_halving(
        name: str, rider: str, strict: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    trip = load_trip(name)
    profile = load_profile(trip.rules)
    reckoned = room(trip, profile, DAY, rider, SHELF, "2R", strict=strict)
    monkeypatch.setattr(Width, "_last", Largest._last)
    halved = room(trip, profile, DAY, rider, SHELF, "2R", strict=strict)
    assert [(one.width, one.full, one.heights) for one in reckoned.rooms] == [
        (one.width, one.full, one.heights) for one in halved.rooms]


def test_the_middle_of_three_names_a_width() -> None:
    """The middle with both neighbours there is narrower than with one of them elsewhere."""
    _, answer = room_at("three-across-school-run", "Wren", "2C")
    by_belt = next(one for one in answer.rooms if one.width)
    assert by_belt.full is not None
    assert by_belt.width is not None
    assert (by_belt.full.fits or 0) < (by_belt.width.fits or 0)


def test_each_height_is_the_most_beside_the_width_elsewhere() -> None:
    trip, answer = room_at("three-across-school-run", "Wren", "2C")
    one = next(one for one in answer.rooms if one.width)
    uniform = (one.full or one.width)
    assert uniform is not None
    assert uniform.fits is not None
    bands = outline_of(one.ways[0].mode, SHELF.values())
    for i, band in enumerate(one.heights):
        assert band.width.fits is not None

        def shaped(mm: int, i: int = i) -> Restraint:
            widths = [mm if k == i else uniform.fits for k in range(len(bands))]
            return generic(one.ways[0], banded(bands, widths, SHORTEST), DAY, "us")

        assert verdict_with(trip, "Wren", "2C", shaped(band.width.fits), True) == "fits"
        if band.width.fits < WIDEST:
            assert verdict_with(trip, "Wren", "2C", shaped(band.width.fits + 1), True) != "fits"


def test_length_at_each_recline() -> None:
    """The tall driver leaves room for an upright shell of any length and bounds one that leans."""
    trip, answer = room_at("tall-driver", "Mina", "2L")
    one = next(one for one in answer.rooms if one.width)
    lengths = [at.length.fits or 0 for at in one.reclines]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[-1] < LONGEST
    for at in one.reclines:
        if at.length.fits and at.length.fits < LONGEST:
            fits = generic(one.ways[0], leaning(at.length.fits, at.recline, 250), DAY, "us", at.recline)
            over = generic(one.ways[0], leaning(at.length.fits + 1, at.recline, 250), DAY, "us", at.recline)
            assert verdict_with(trip, "Mina", "2L", fits) == "fits"
            assert verdict_with(trip, "Mina", "2L", over) != "fits"
            assert (at.reach, at.top) == reach_of(at.length.fits, at.recline)


def test_bundled_restraints_that_would_do() -> None:
    """Each one named does as well in a whole solve, and each one not named does not."""
    from seatplan.solver.repairs.catalogue import get_restraint

    trip, answer = room_at("twins-small-hatch", load_trip("twins-small-hatch").riders[1].rider, "2L")
    rider = answer.rider
    named: dict[str, str] = {}
    for one in answer.rooms:
        for word, level in one.fitting:
            named[word] = min(named.get(word, "rejected"), _ORDER[level], key=_ORDER.index)
    for change in get_restraint.offers(trip, SHELF):
        assert change.new is not None
        found = verdict_with(trip, rider, "2L", change.new)
        assert named.get(change.word, "rejected") == found, change.word


def test_what_rules_a_seat_out_is_said() -> None:
    _, answer = room_at("tall-driver", "Mina", "1L")
    assert all(one.width is None for one in answer.rooms)
    assert {f.rule for one in answer.rooms for f in one.against} >= {"driver-seat-taken"}


def test_an_unknown_rider() -> None:
    trip = load_trip("tall-driver")
    with pytest.raises(KeyError):
        room(trip, load_profile("us"), DAY, "Nobody", SHELF)


@pytest.mark.parametrize(("field", "ways"), [
    ("belt", ("lap-shoulder-belt",)), ("manual", ("lap-shoulder-belt",)), ("lower_anchors", ("lower-anchors",)),
    ("ahead", ("lap-shoulder-belt",))])
def test_what_nobody_measured_never_fits(field: str, ways: tuple[str, ...]) -> None:
    """Room is told as far as measured, and what to measure first is named."""
    trip = load_trip("three-across-school-run")
    rows = [row.model_copy(update={"positions": [
        p.model_copy(update={field: None}) if p.position == "2C" else p for p in row.positions]})
        for row in trip.vehicle.rows]
    trip = trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"rows": rows})})
    told = [one for one in room(trip, load_profile("us"), DAY, "Wren", SHELF, "2C").rooms
            if one.width and {way.by for way in one.ways} & set(ways)]
    assert told
    for one in told:
        assert one.width is not None
        assert one.width.open
        assert one.width.fits is None
        assert one.missing
    strict = room(trip, load_profile("us"), DAY, "Wren", SHELF, "2C", strict=True)
    assert not any(one.width and {way.by for way in one.ways} & set(ways) for one in strict.rooms)


@pytest.mark.parametrize(("name", "rider"), [("three-across-school-run", "Wren"), ("twins-small-hatch", "Kit"),
                                             ("three-too-wide", "Ludo")])
def test_where_the_others_then_sit_is_an_arrangement_that_is_as_sure(name: str, rider: str) -> None:
    trip = load_trip(name)
    found = room(trip, load_profile(trip.rules), DAY, rider, SHELF)
    first = {one.position: one for one in reversed(found.rooms) if one.width and one.width.likely}
    assert [then.position for then in found.then] == list(reversed(first))
    for then in found.then:
        most = first[then.position].width
        assert most is not None
        assert then.width == most.sure
        # with the knees of an adult who is only estimated no width in the middle is sure
        assert then.arrangement.verdict == (
            "unmeasured" if most.open else "fits" if most.fits else "close" if most.close else "likely")
        seats = {seat.placement.rider.rider: seat.placement for seat in then.arrangement.seats}
        assert set(seats) == {one.rider for one in trip.riders}
        assert seats[rider].position.position == then.position
        assert seats[rider].restraint is not None
        assert seats[rider].restraint.restraint == "a restraint of that size"
        assert not any(finding.outcome == "block" for finding in then.arrangement.findings)
