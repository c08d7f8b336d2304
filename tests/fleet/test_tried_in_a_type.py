"""What was tried in one vehicle of a type counts for every class of it: what is close, and held, serves."""

from __future__ import annotations

from typing import Any

from small_worlds import child, degree, slow_ways, world_of

from seatplan.fleet.classes import Engine, canonical
from seatplan.fleet.records import Way, serves
from seatplan.fleet.ways import ways_of
from seatplan.model import Tried
from seatplan.store import Store

CAR = "marlow-saloon"
PARTY = canonical([child(16, 10, 790)])


def tried(**changed: Any) -> Tried:
    return Tried.model_validate({
        "restraint": "nook-35", "position": "2R", "by": "lower-anchors", "mode": "rear-facing-harness",
        "readings": {"sideways": 10, "forwards": 8, "level": True}, "on": "2026-11-02", **changed})


def engine(*entries: Tried) -> Engine:
    return Engine(world_of([CAR], ["nook-35", "bastion"], tried={CAR: entries}), Store())


def best_of(asked: Engine, kind: str) -> Way:
    return next(way for way in asked.answer(CAR, PARTY).ways if way.kit == ((kind, 1),))


def test_what_is_close_serves_nobody_before_it_was_tried() -> None:
    way = best_of(engine(), "nook-35")
    assert (way.verdict, way.held, serves(way)) == ("close", False, False)


def test_what_is_close_and_held_serves() -> None:
    way = best_of(engine(tried()), "nook-35")
    assert (way.verdict, way.held, serves(way)) == ("close", True, True)
    child_seat = next(seat for seat in way.seats if seat.member == 0)
    assert (child_seat.position, child_seat.by) == ("2R", "lower-anchors")


def test_another_kind_was_not_tried() -> None:
    assert not serves(best_of(engine(tried()), "bastion"))


def test_a_try_in_another_type_says_nothing() -> None:
    asked = Engine(world_of([CAR], ["nook-35"], tried={"another type": [tried()]}), Store())
    assert not serves(best_of(asked, "nook-35"))


def test_a_try_that_lacks_a_reading_or_failed_serves_nobody() -> None:
    for changed in ({"readings": {"sideways": 10, "level": True}}, {"failed": True},
                    {"readings": {"sideways": 60, "forwards": 8, "level": True}}, {"on": "2027-03-01"}):
        ways = engine(tried(**changed)).answer(CAR, PARTY).ways
        assert not any(serves(way) for way in ways if way.kit == (("nook-35", 1),)), changed


def test_every_copy_of_a_kind_is_taken_to_hold_as_the_one_that_was_tried() -> None:
    """Two children in two copies, one on each side where both were tried."""
    both = Engine(world_of([CAR], ["nook-35"], tried={CAR: (tried(), tried(position="2L"))},
                           front={CAR: {"1L": {"forward_at_most": 150}, "1R": {"forward_at_most": 150}}}), Store())
    party = canonical([child(16, 10, 790), child(17, 10.2, 800)])
    ways = [way for way in both.answer(CAR, party).ways if way.kit == (("nook-35", 2),)]
    assert any(way.held for way in ways)


def test_ways_with_tries_are_those_of_all_seatings() -> None:
    for entries in ((tried(),), (tried(), tried(position="2L", restraint="bastion")), (tried(failed=True),)):
        asked = engine(*entries)
        for party in (PARTY, canonical([child(16, 10, 790), child(62, 19, 1120)])):
            solved = asked.ask(CAR, party)
            found = ways_of(solved.solve, solved.names).ways
            assert {(way.level, way.kit, serves(way)): degree(way) for way in found} == slow_ways(asked, CAR, party)
