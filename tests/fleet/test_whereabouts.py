"""Where a copy comes from that is put in: worked by hand on a morning of two vehicles that share two shells."""

from __future__ import annotations

from seatplan.fleet.records import Booking, CopyUnit, Leg, Load, Party, Way
from seatplan.fleet.whereabouts import Place, put_in_from

_WAY = Way((), (), "fits", False, ())
_COPIES = [CopyUnit("S-1", "shell", "north"), CopyUnit("S-2", "shell", "north", "V2", position="2R"),
           CopyUnit("C-1", "carrier", "north")]


def _leg(booking: str, *pieces: tuple[str, str, str], by_depot: bool = True) -> Leg:
    """A booking with pieces aboard: kind, position and copy of each."""
    load: Load = tuple((kind, position, "lower-anchors") for kind, position, _ in pieces)
    return Leg(booking, _WAY, load, tuple(copy for _, _, copy in pieces), by_depot, 0, 0)


def _bookings(*starts: tuple[str, int]) -> dict[str, Booking]:
    return {key: Booking(key, start, start + 30, "a", "b", Party(())) for key, start in starts}


def test_what_no_vehicle_had_is_on_the_shelf_and_what_a_parked_one_has_is_there() -> None:
    routes = {"V1": [_leg("one", ("shell", "2L", "S-1")), _leg("two", ("shell", "2L", "S-1"), ("shell", "2R", "S-2"))]}
    told = put_in_from(routes, _bookings(("one", 500), ("two", 600)), _COPIES)
    assert told == {("one", "S-1"): None, ("two", "S-2"): Place("V2", "2R")}


def test_what_another_vehicle_brought_back_is_in_it_until_it_leaves_without() -> None:
    first = _leg("one", ("shell", "2L", "S-1"))
    routes = {"V1": [first, _leg("three", ("carrier", "2L", "C-1"))], "V3": [_leg("two", ("shell", "2C", "S-1"))]}
    early = _bookings(("one", 500), ("two", 600), ("three", 700))
    assert put_in_from(routes, early, _COPIES)["two", "S-1"] == Place("V1", "2L")
    late = _bookings(("one", 500), ("three", 600), ("two", 700))
    assert put_in_from(routes, late, _COPIES)["two", "S-1"] is None


def test_what_stays_where_it_is_comes_from_nowhere_and_what_moves_comes_from_its_old_seat() -> None:
    routes = {"V2": [_leg("one", ("shell", "2R", "S-2")), _leg("two", ("shell", "2L", "S-2")),
                     _leg("three", ("shell", "2L", "S-2"), by_depot=False)]}
    told = put_in_from(routes, _bookings(("one", 500), ("two", 600), ("three", 700)), _COPIES)
    assert told == {("two", "S-2"): Place("V2", "2R")}


def test_a_piece_without_a_copy_comes_from_nowhere_that_is_known() -> None:
    assert put_in_from({"V1": [_leg("one", ("shell", "2L", ""))]}, _bookings(("one", 500)), _COPIES) == {}
