"""The readings that settle an arrangement: with values that would do it is what was promised, and no fewer do."""

from __future__ import annotations

import sys
from datetime import date
from itertools import combinations
from pathlib import Path
from random import Random

import pytest
from worlds import drawn

from seatplan import load_trip
from seatplan.files.errors import InputError
from seatplan.files.library import names
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.judge import Judge, Pick, picks_of
from seatplan.solver.measure import measure, measured_again
from seatplan.solver.plan import plan, planned
from seatplan.solver.settle import Settle, with_values
from seatplan.solver.would_do import with_field

sys.path[:0] = [str(Path(__file__).parent.parent), str(Path(__file__).parent.parent / "absence")]
from absence import fields, without  # noqa: E402
from pinned import Pinned  # noqa: E402

DAY = date(2026, 11, 28)
DECIDED = ("fits", "close", "likely")
#: nine seats take seconds each time
TRIPS = [name for name in names("trip") if name != "nine-seat-shuttle"]


def _promised(trip: Trip, settle: Settle) -> tuple[str, str]:
    """The verdict of the arrangement with the values that would do, and that of the trip."""
    changed = with_values(trip, {one.asked.path: one.would_do for one in settle.readings})
    judged = Judge(changed, load_profile(trip.rules), DAY).best([
        Pick(pick.rider, pick.position, pick.restraint, pick.mode, pick.installation, pick.by)
        for pick in picks_of(settle.arrangement)])
    assert judged is not None
    return judged.verdict, planned(changed, load_profile(trip.rules), DAY, top=1).verdict


def _holds(trip: Trip) -> tuple[str, bool]:
    """Held against what was promised: the verdict as it is, and whether anything was promised."""
    found = measure(trip, load_profile(trip.rules), DAY)
    settled = [one for one in (found.best, found.sooner, *found.opens) if one is not None and one.verdict is not None]
    for one in settled:
        verdict, of_trip = _promised(found.trip, one)
        assert verdict == one.verdict
        assert of_trip in DECIDED
    return found.verdict, bool(settled)


@pytest.mark.parametrize("name", TRIPS)
def test_a_bundled_trip_with_fields_blanked_is_settled_as_promised(name: str) -> None:
    pinned = Pinned(load_trip(name))
    given = [one for one in fields(pinned) if one.given] if pinned.picks else []
    rng = Random(name)
    for many in (1, 5) if given else ():
        trip = pinned.trip
        for one in sorted(rng.sample(given, min(len(given), many)), key=lambda field: -len(field.path)):
            trip = without(trip, one)
        try:
            plan(trip, pinned.profile, pinned.day, top=1)
        except InputError:
            continue                               # no file is without it
        _holds(trip)


def test_a_hundred_random_trips_are_settled_as_promised() -> None:
    told = [_holds(drawn(seed)) for seed in range(100)]
    open_ = [promised for verdict, promised in told if verdict == "unmeasured"]
    assert len(open_) > 20
    assert sum(open_) > 10       # of the others nobody can say which value would do, or none that is likely for them


def test_no_fewer_readings_do() -> None:
    shown = 0
    for seed in range(60):
        found = measure(drawn(seed), load_profile("us"), DAY)
        best = found.best
        if best is None or best.smallest != "proven" or not 1 <= len(best.readings) <= 6:
            continue
        shown += 1
        values = {one.asked.path: one.would_do for one in best.readings}
        for some in combinations(values, len(values) - 1):
            judged = Judge(with_values(found.trip, {path: values[path] for path in some}), found.profile, DAY).best([
                Pick(pick.rider, pick.position, pick.restraint, pick.mode, pick.installation, pick.by)
                for pick in picks_of(best.arrangement)])
            assert judged is None or judged.verdict in ("unmeasured", "rejected")
    assert shown > 3


def test_asked_again_the_rest_of_the_readings_is_left() -> None:
    trip = load_trip("half-measured-car")
    before = measure(trip, load_profile(trip.rules), DAY)
    assert before.best is not None
    left = list(before.best.readings)
    now, changed = before, before.trip
    while left:
        taken = left.pop(0)
        changed = with_field(changed, taken.asked.path, taken.would_do)
        now = measured_again(now, changed)
        anew = measure(changed, load_profile(trip.rules), DAY)
        assert now.verdict == anew.verdict
        assert now.best is not None
        assert anew.best is not None
        assert {one.asked.same for one in now.best.readings} == {one.asked.same for one in anew.best.readings}
        left = list(now.best.readings)
    assert now.verdict in DECIDED
    assert now.best is not None
    assert not now.best.readings


def test_a_length_tips_where_it_is_said_to() -> None:
    found = measure(load_trip("half-measured-car"), load_profile("us"), DAY)
    assert found.best is not None
    ahead = next(one for one in found.best.readings if one.asked.key == "position.ahead")
    [tip] = ahead.settles
    assert (tip.unit, tip.keeps) == ("mm", "least")
    values = {one.asked.path: one.would_do for one in found.best.readings}
    picks = [Pick(pick.rider, pick.position, pick.restraint, pick.mode, pick.installation, pick.by)
             for pick in picks_of(found.best.arrangement)]

    def verdict(mm: int) -> str:
        gap = {"gap": [[height, mm] for height in (0, 300, 600, 900)]}
        judged = Judge(with_values(found.trip, values | {ahead.asked.path: gap}), found.profile, DAY).best(picks)
        assert judged is not None
        return judged.verdict

    assert verdict(int(tip.value)) in DECIDED
    assert verdict(int(tip.value) - 5) == "rejected"
