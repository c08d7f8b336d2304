"""The floor: what it is made of, and that nothing which a plan serves is below it."""

from __future__ import annotations

import sys
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_days import invented, party_of, way_of

from seatplan.fleet.extras import ExtraMissing
from seatplan.fleet.floor import floor_of, floors
from seatplan.fleet.planning import planned
from seatplan.fleet.records import (
    Accept,
    Booking,
    ClassAnswer,
    CopyUnit,
    Cover,
    Day,
    Member,
    Party,
    VehicleUnit,
    serves,
)

ALONE = party_of(60)
BAND = Party((Member(months=(60, 84)),))
SHELL, BOOSTER = ("shell", "2A", "belt"), ("booster", "2A", "belt")
BOTH = frozenset({"shell", "booster"})


def booking(party: Party = ALONE) -> Booking:
    return Booking("b", 600, 630, "north", "south", party)


def day_of(*answers: ClassAnswer, copies: tuple[CopyUnit, ...] = (), accepted: tuple[Accept, ...] = (),
           party: Party = ALONE) -> Day:
    """One booking; each answer is of a type with one vehicle."""
    places = ("home", "north", "south")
    return Day("2026-11-30", (booking(party),),
               tuple(VehicleUnit(f"v{n}", f"type {n}", "home") for n in range(len(answers))), copies,
               {(f"type {n}", party): answer for n, answer in enumerate(answers)},
               {(a, b): 5 for a in places for b in places}, {"belt": (3, 2)}, accepted=accepted)


def test_the_best_that_any_type_gives_is_the_floor_of_all():
    good = way_of(SHELL, level=(1,))._replace(level=(0, 0, 0, 0, 1))
    less = way_of(BOOSTER, level=(4,))._replace(level=(0, 0, 0, 0, 4))
    floor = floor_of(booking(), {"a": ClassAnswer("fits", (good, less)), "b": ClassAnswer("fits", (less,))}, BOTH)
    assert floor.level == (0, 0, 0, 0, 1)
    assert {kind: [one.way for one in told] for kind, told in floor.choices.items()} == {"a": [good]}
    assert [(offer.way, offer.gives_up[0][1:], offer.placed_worse) for offer in floor.offers] == [(less, (1, 4), False)]


def test_how_many_copies_there_are_lowers_no_floor():
    good = way_of(SHELL, ("shell", "2C", "belt"), level=(1, 1))
    less = way_of(SHELL, ("booster", "2C", "belt"), level=(1, 4))
    copies = (CopyUnit("c1", "shell", "home"), CopyUnit("c2", "booster", "home"))
    plan = planned(day_of(ClassAnswer("fits", (good, less)), copies=copies))
    why = plan.unserved["b"]
    assert (why.why, why.depot, why.copies) == ("no usable copies", "home", (("shell", 1),))


@pytest.mark.parametrize(("copy", "level"), [
    (CopyUnit("c", "shell", "home"), (1,)),
    (CopyUnit("c", "shell", "home", usable=False), (4,)),
    (CopyUnit("c", "shell", "home", last="2026-11-30"), (1,)),
    (CopyUnit("c", "shell", "home", last="2026-11-29"), (4,)),
    (CopyUnit("c", "shell", "home", since=600), (1,)),
    (CopyUnit("c", "shell", "home", since=601), (4,))])
def test_a_kind_counts_while_a_copy_may_be_used_to_the_end_of_the_booking(copy: CopyUnit, level: tuple[int, ...]):
    answer = ClassAnswer("fits", (way_of(SHELL, level=(1,)), way_of(BOOSTER, level=(4,))))
    assert floors(day_of(answer, copies=(copy, CopyUnit("d", "booster", "home"))))[0].level == level


def test_a_copy_that_runs_out_at_midnight_carries_nobody_beyond():
    answer = ClassAnswer("fits", (way_of(SHELL, level=(1,)),))
    day = day_of(answer, copies=(CopyUnit("c", "shell", "home", last="2026-11-30"),))
    late = replace(day, bookings=(day.bookings[0]._replace(start=1430, end=1441),))
    assert planned(late).served == 0
    assert planned(replace(day, bookings=(day.bookings[0]._replace(start=1430, end=1440),))).served == 1


def test_what_is_not_sure_serves_nobody_and_says_what_would():
    close = way_of(SHELL, verdict="close")
    told = floor_of(booking(), {"a": ClassAnswer("close", (close,))}, BOTH)
    assert (told.choices, told.why.why, told.why.way) == ({}, "try", close)
    assert floor_of(booking(), {"a": ClassAnswer("close", (close._replace(held=True),))}, BOTH).choices
    likely = way_of(SHELL, verdict="likely", bodies_only=False)
    assert not floor_of(booking(), {"a": ClassAnswer("likely", (likely,))}, BOTH).choices
    reading = ("rider.mass", 0, "18 kg")
    told = floor_of(booking(), {"a": ClassAnswer("unmeasured", (), reading=reading)}, BOTH)
    assert (told.why.why, told.why.reading) == ("reading", reading)
    assert (told.why.readings, told.why.vehicle_type) == ((reading,), "a")
    assert floor_of(booking(), {"a": None}, BOTH).why.why == "no type"


def test_several_open_readings_are_told_of_the_type_that_asks_for_fewest():
    """None of them settles it alone; a conflict elsewhere is no answer to that."""
    two, three = (tuple((key, 0, "") for key in keys) for keys in (
        ("rider.mass", "rider.height"), ("rider.mass", "rider.height", "rider.age")))
    answers = {"a": ClassAnswer("unmeasured", (), readings=three), "b": ClassAnswer("unmeasured", (), readings=two),
               "c": ClassAnswer("rejected", (), conflict=((0,), ("rider-too-tall",)))}
    why = floor_of(booking(), answers, BOTH).why
    assert (why.why, why.reading, why.readings, why.vehicle_type) == ("reading", None, two, "b")
    assert floor_of(booking(), {"c": answers["c"]}, BOTH).why.why == "no type"


def test_an_offer_is_served_only_when_it_is_accepted_and_only_where_the_floor_is_not_reached():
    good, less = way_of(SHELL, level=(1,)), way_of(BOOSTER, level=(4,))
    answer = ClassAnswer("fits", (good, less))
    booster, shell = CopyUnit("d", "booster", "home"), CopyUnit("c", "shell", "elsewhere")
    assert planned(day_of(answer, copies=(booster, shell))).served == 0
    accepted = (Accept("b", (4,), "the parents agreed"),)
    plan = planned(day_of(answer, copies=(booster, shell), accepted=accepted))
    assert (plan.served, plan.below) == (1, 1)
    plan = planned(day_of(answer, copies=(booster, shell, CopyUnit("e", "shell", "home")), accepted=accepted))
    assert (plan.served, plan.below) == (1, 0)


@pytest.mark.parametrize(("low", "high", "above", "served"), [
    ((1,), (4,), SHELL, True),                       # both at the floor of their end, the same piece
    ((2,), (4,), SHELL, False),                      # another type does better at the lower end
    ((1,), (5,), SHELL, False),                      # and at the upper one
    ((1,), (4,), ("shell", "2C", "belt"), False)])   # something would have to be moved at the door
def test_modes_aboard_may_cover_a_band(low, high, above, served):
    below, over = way_of(SHELL, level=low), way_of(above, level=high)
    cover = Cover(below, over, ("rider.mass", 0, "18 kg"))
    best = ((way_of(SHELL, level=(1,)),), (way_of(SHELL, level=(4,)),))
    answers = ClassAnswer("fits", (), by_end=((below,), (over,)), covers=(cover,)), ClassAnswer("fits", (), by_end=best)
    plan = planned(day_of(*answers, copies=(CopyUnit("c", "shell", "home"),), party=BAND))
    assert plan.served == served
    if served:
        assert plan.routes["v0"][0].cover == cover
    else:
        assert plan.unserved["b"].reading == ("rider.age", 0, "")


def test_both_ends_alone_cover_nothing():
    ends = (way_of(SHELL, level=(1,)),), (way_of(SHELL, level=(4,)),)
    told = floor_of(booking(BAND), {"a": ClassAnswer("fits", (), by_end=ends)}, BOTH)
    assert (told.choices, told.why.why) == ({}, "reading")


@settings(max_examples=30)
@given(seed=st.integers(0, 10**6), levels=st.integers(2, 5), copies=st.integers(0, 6))
def test_nothing_is_served_below_the_floor(seed: int, levels: int, copies: int):
    day = invented(seed, bookings=6, vehicles=3, copies=copies, levels=levels, parties=4, driver=True)
    plan = planned(day)
    keys = {one.key: one for one in day.bookings}
    may = {copy.kind for copy in day.copies if copy.usable}
    for legs in plan.routes.values():
        for leg in legs:
            there = [way.level for unit in day.vehicles
                     for way in day.answers[unit.vehicle_type, keys[leg.booking].party].ways
                     if serves(way) and all(kind in may for kind, _ in way.kit)
                     and all(any(copy.kind == kind and copy.usable and (copy.since or 0) <= keys[leg.booking].start
                                 for copy in day.copies) for kind, _ in way.kit)]
            assert leg.way.level == min(there)


def test_what_would_serve_a_booking_does():
    seen = set()
    for seed in range(12):
        day = invented(seed, bookings=8, vehicles=3, copies=3, span=200, driver=True)
        plan = planned(day)
        for why in plan.unserved.values():
            if not why.verified:
                continue
            seen.add(why.why)
            more = [CopyUnit(f"more {kind} {n}", kind, why.depot) for kind, number in why.copies for n in range(number)]
            units = [VehicleUnit("more", why.vehicle_type, why.depot)] if why.why == "no vehicle free" else []
            helped = replace(day, vehicles=(*day.vehicles, *units), copies=(*day.copies, *more))
            assert planned(helped).served > plan.served
    assert seen == {"no vehicle free", "no copy free"}


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(sys.modules, "ortools.sat.python.cp_model", None)
    with pytest.raises(ExtraMissing, match=r"seatplan\[fleet\]"):
        planned(invented(0))
