"""Along the car on bundled trips: a tall driver, an upright setting, a sliding row, a close call."""

from __future__ import annotations

from typing import Any

import pytest

from seatplan import arrange, load_trip
from seatplan.geometry.chain import Squeeze
from seatplan.model import Rider, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.solve import Solve


def seats(plan: Plan) -> set[tuple[str, str]]:
    return {(s.placement.rider.rider, s.placement.position.position) for a in plan.arrangements for s in a.seats}


def stands(arrangement: Arrangement) -> dict[str, int]:
    return dict(arrangement.ahead.stands) if arrangement.ahead else {}


def with_front(trip: Trip, seat: str, forward: int) -> Trip:
    front = {**trip.front, seat: trip.front[seat].model_copy(update={"forward_at_most": forward})}
    return trip.model_copy(update={"front": front})


def with_settings(trip: Trip, settings: list[float]) -> Trip:
    def narrowed(mode: Any) -> Any:
        if mode.recline is None:
            return mode
        return mode.model_copy(update={"recline": mode.recline.model_copy(update={"settings": settings})})
    restraints = [r.model_copy(update={"modes": [narrowed(m) for m in r.modes]}) for r in trip.restraints]
    return trip.model_copy(update={"restraints": restraints})


def _stays(position: Any) -> Any:
    return position.model_copy(update={"ahead": position.ahead.model_copy(update={"travel": 0})})


def test_a_tall_driver_leaves_no_room_behind_but_the_free_seat_does() -> None:
    plan = arrange(load_trip("tall-driver"), top=None)
    assert ("Mina", "2R") in seats(plan)
    assert ("Mina", "2L") not in seats(plan)
    # 678 forward, 25 clear of the seat, 593 free with the seat rearmost: added up by hand
    sums = [(s.squeeze.need, s.squeeze.have, s.squeeze.short) for s in plan.squeezes if s.row is None]
    assert sums == [(703, 593, 110)]
    behind = next(a for a in plan.arrangements if ("Mina", "2R") in
                  {(s.placement.rider.rider, s.placement.position.position) for s in a.seats})
    assert stands(behind) == {"1R": 110}


def test_a_driver_who_can_sit_forward_makes_room() -> None:
    trip = load_trip("tall-driver")
    for forward, there in ((100, False), (140, True)):
        assert (("Mina", "2L") in seats(arrange(with_front(trip, "1L", forward), top=None))) is there


def test_only_the_upright_setting_fits() -> None:
    trip = load_trip("upright-only")
    plan = arrange(trip)
    nela = next(s.placement for s in plan.arrangements[0].seats if s.placement.rider.rider == "Nela")
    assert nela.rear_facing
    assert nela.recline is not None
    assert nela.recline.setting == 32
    for settings in ([38.0], [45.0], [38.0, 45.0]):
        found = arrange(with_settings(trip, settings), top=None)
        assert not any(s.placement.rear_facing for a in found.arrangements for s in a.seats)


def test_the_sliding_row_decides() -> None:
    plan = arrange(load_trip("slide-decides"), top=None)
    assert ("Mina", "2L") not in seats(plan)           # the driver's seat cannot come as far forward as row 2 must
    assert ("Mina", "2R") in seats(plan)
    assert all(stands(a)["row 2"] > 0 for a in plan.arrangements)
    trip = load_trip("slide-decides")
    fixed = load_trip("slide-decides").vehicle
    rows = [r.model_copy(update={
        "slides": 0, "positions": [_stays(p) for p in r.positions] if r.row == 3 else r.positions}) for r in fixed.rows]
    still = trip.model_copy(update={"vehicle": fixed.model_copy(update={"rows": rows})})
    assert not arrange(still, top=None).arrangements


@pytest.mark.parametrize(("forward", "verdict"), [(110, "close"), (109, "close"), (102, "close"), (101, None)])
def test_a_sum_within_the_tape_is_close(forward: int, verdict: str | None) -> None:
    """703 - 593 = 110; three lengths of 5 mm tolerance each, reach, free and limit, may be off by 8.66 together."""
    plan = arrange(with_front(load_trip("tall-driver"), "1L", forward), top=None)
    behind = [a for a in plan.arrangements for s in a.seats
              if (s.placement.rider.rider, s.placement.position.position) == ("Mina", "2L")]
    assert [a.verdict for a in behind] == ([verdict] if verdict else [])


def test_every_bundled_answer_along_the_car_meets_its_needs() -> None:
    for name in ("slide-decides", "tall-driver", "sliding-row-outing", "twins-small-hatch"):
        trip = load_trip(name)
        assert trip.on is not None
        solve = Solve(trip, load_profile(trip.rules), trip.on)
        for arrangement in arrange(trip, top=50).arrangements:
            placements = [s.placement for s in arrangement.seats]
            along = solve.judge.along(placements)
            if along.answer is None or isinstance(along.answer, Squeeze):
                continue
            at = {key: half / 2 for key, half in along.answer.at.items()}
            for row in arrangement.rows:
                for seat in row.seats:
                    p = seat.placement
                    need = solve.lanes.need(p)
                    if need is None or need.mm is None or p.position.ahead is None or p.position.ahead.seat is None:
                        continue
                    ahead = p.position.ahead.seat
                    forward = at.get(ahead, at.get(f"row {ahead[0]}", 0)) - at.get(f"row {p.position.position[0]}", 0)
                    assert forward >= need.mm


@pytest.mark.parametrize(("forward", "verdict"), [(96, "close"), (95, None)])
def test_the_worst_case_adds_tolerances_up(forward: int, verdict: str | None) -> None:
    """Three lengths of 5 mm tolerance: 15 at worst, so 14 short may still be the tape and 15 may not."""
    plan = arrange(with_front(load_trip("tall-driver"), "1L", forward), top=None, worst_case=True)
    behind = [a for a in plan.arrangements for s in a.seats
              if (s.placement.rider.rider, s.placement.position.position) == ("Mina", "2L")]
    assert [a.verdict for a in behind] == ([verdict] if verdict else [])


@pytest.mark.parametrize(("beyond", "there"), [(None, False), (12, False), (30, True), (47, True)])
def test_a_seat_pushed_beyond_use_makes_room_and_stays_empty(beyond: int | None, there: bool) -> None:
    """703 - 593 = 110 of 1R, which somebody may sit in up to 80 forward; three lengths may be off by 8.66 together."""
    trip = with_beyond_use(load_trip("tall-driver"), beyond)
    plan = arrange(trip, top=None)
    assert (("Mina", "2R") in seats(plan)) is there
    for arrangement in plan.arrangements:
        shown = {(s.placement.rider.rider, s.placement.position.position) for s in arrangement.seats}
        ahead = arrangement.ahead
        assert (ahead.beyond if ahead else ()) == (("1R",) if ("Mina", "2R") in shown else ())
    guest = Rider(rider="Ines", adult=True, height=1650, hips=380, shoulders=430)
    both = arrange(trip.model_copy(update={"riders": [*trip.riders, guest]}), top=None)
    together = [{(s.placement.rider.rider, s.placement.position.position) for s in a.seats} for a in both.arrangements]
    assert together
    assert not any({("Mina", "2R"), ("Ines", "1R")} <= shown for shown in together)
    assert any({("Mina", "2R")} <= shown for shown in together) is there


def with_beyond_use(trip: Trip, mm: int | None) -> Trip:
    """The trip with 1R coming 80 mm forward, and so much further with nobody in it."""
    def told(position: Any) -> Any:
        ahead = position.ahead
        if ahead is None or ahead.seat != "1R":
            return position
        return position.model_copy(update={"ahead": ahead.model_copy(update={"travel": 80, "beyond_use": mm})})
    rows = [row.model_copy(update={"positions": [told(p) for p in row.positions]}) for row in trip.vehicle.rows]
    return trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"rows": rows})})
