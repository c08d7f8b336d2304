"""An outlook against the planner itself: what it says of a day is what `arrange` says on that day."""

from __future__ import annotations

import json
from datetime import date, timedelta
from itertools import pairwise, product
from random import Random

import pytest
from families import looked

from seatplan import load_trip
from seatplan.growth.course import course, moves_between
from seatplan.growth.family import trip_on
from seatplan.growth.outlook import Outlook
from seatplan.growth.solved import Place, Rated, Seating, Solved
from seatplan.growth.stretches import Stretch
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan

TRIPS = (("third-child-on-the-way", 2), ("two-seater-airbag-off", 4), ("tall-driver", 3))


def arranged(name: str, day: date) -> dict[Seating, str]:
    """Every arrangement of a day with its verdict, as `seatplan arrange NAME --on DAY --all` lists them."""
    trip = load_trip(name)
    assert trip.on is not None
    found = plan(trip_on(trip, day, trip.on), load_profile(trip.rules), day, top=None)
    told = {}
    for arrangement in found.arrangements:
        by_name = {s.placement.rider.rider: s.placement for s in arrangement.seats}
        told[tuple(Place(r.rider, p.position.position, p.restraint.restraint if p.restraint else None, p.mode_name)
                   for r in found.trip.riders for p in (by_name[r.rider],))] = arrangement.verdict
    return told


@pytest.mark.parametrize(("name", "n"), TRIPS)
def test_every_event_is_reproduced_on_its_day(name: str, n: int) -> None:
    """Both ways: each arrangement is there on the first and last day of its leg, and gone when a limit or room ended
    it; the day before a gap something works, and in it nothing does."""
    found = looked(name, n)
    checked = 0
    for way in (found.protection, found.moves):
        for step in way.steps:
            for day in {step.leg.first, step.leg.last}:
                there = arranged(name, day)
                if step.leg.seating is None:
                    assert there == {}, day
                else:
                    assert step.leg.seating in there, day
                checked += 1
            change = step.change
            if change is not None and (change.limits or change.room):
                assert step.leg.seating not in arranged(name, change.day), change.day
    assert checked >= 2


@pytest.mark.parametrize(("name", "n"), TRIPS)
def test_a_doubt_begins_on_its_day(name: str, n: int) -> None:
    for step in looked(name, n).protection.steps:
        for doubt in step.doubts:
            assert step.leg.seating is not None
            assert arranged(name, doubt.first)[step.leg.seating] == "unmeasured"
        if step.leg.seating is not None and all(doubt.first > step.leg.first for doubt in step.doubts):
            assert arranged(name, step.leg.first)[step.leg.seating] in ("fits", "close", "likely")


@pytest.mark.parametrize(("name", "n"), TRIPS)
def test_stretches_are_the_whole_truth_day_by_day(name: str, n: int) -> None:
    """Whole solves on days drawn by chance, and on both sides of every cut."""
    found, rng = looked(name, n), Random(name)
    days = {found.start + timedelta(rng.randrange((found.end - found.start).days)) for _ in range(12)}
    for stretch in found.stretches:
        days |= {stretch.first, stretch.last}
    for day in sorted(days):
        there = next(s for s in found.stretches if s.first <= day <= s.last).solved.seatings
        told = arranged(name, day)
        assert set(there) == set(told), day
        unsure = {seating for seating, rated in there.items() if rated.unsure}
        assert unsure == {seating for seating, verdict in told.items() if verdict == "unmeasured"}, day


@pytest.mark.parametrize(("name", "n"), TRIPS)
def test_legs_and_stretches_follow_without_a_gap(name: str, n: int) -> None:
    found = looked(name, n)
    for spans in (found.stretches, found.protection.course.legs, found.moves.course.legs):
        assert spans[0].first == found.start
        assert spans[-1].last == found.end
        for before, after in pairwise(spans):
            assert after.first == before.last + timedelta(1)


def test_nothing_reckoned_is_better_than_likely() -> None:
    found = looked("two-seater-airbag-off", 4)
    assert "fits" in arranged("two-seater-airbag-off", found.start).values()
    assert set(arranged("two-seater-airbag-off", found.start + timedelta(1)).values()) <= {"likely", "unmeasured"}


# --- the two ways against trying all of them ---


def made(rng: Random) -> tuple[list[Stretch], dict[str, object]]:
    """Some stretches of two riders, two seats and two restraints."""
    places = [[Place(rider, seat, held, mode) for seat in ("2L", "2R") for held, mode in (
        ("A", "rear-facing-harness"), ("B", "high-back-booster"))] for rider in ("Wren", "Oslo")]
    every = [tuple(pair) for pair in product(*places) if pair[0].position != pair[1].position]
    day, stretches = date(2027, 1, 1), []
    for _ in range(rng.randint(1, 4)):
        days = rng.randint(1, 200)
        kept = rng.sample(every, rng.randint(1, 4))
        rated = {s: Rated(rng.random() < 0.3, sum(2 * (p.mode != "rear-facing-harness") for p in s), rng.randint(0, 1),
                          0, rank) for rank, s in enumerate(kept)}
        stretches.append(Stretch(day, day + timedelta(days - 1), Solved(day, rated, True, (len(kept),))))
        day += timedelta(days)
    return stretches, {}


@pytest.mark.parametrize("seed", range(40))
def test_the_two_ways_are_the_best_of_all(seed: int) -> None:
    stretches, current = made(Random(seed))
    def moved(way: tuple[Seating, ...]) -> int:
        return sum(moves_between(a, b) for a, b in pairwise(way))

    def exposed(way: tuple[Seating, ...]) -> int:
        return sum(s.solved.seatings[seating].protection * s.days for s, seating in zip(stretches, way, strict=True))

    ways = list(product(*(s.solved.seatings for s in stretches)))
    assert course(stretches, current, "moves").moves == min(map(moved, ways))  # type: ignore[arg-type]
    best = course(stretches, current, "protection")  # type: ignore[arg-type]
    chosen = tuple(leg.seating for s in stretches for leg in (best.on(s.first),))
    assert None not in chosen
    assert exposed(chosen) == min(map(exposed, ways))  # type: ignore[arg-type]


def test_turning_a_child_early_saves_no_move() -> None:
    """Liv rides rear-facing today; forward-facing from the start would be one move, not none."""
    found: Outlook = looked("third-child-on-the-way", 2)
    liv = [p for p in found.moves.course.legs[0].seating or () if p.rider == "Liv"]
    assert [(p.restraint, p.mode) for p in liv] == [("Nook", "rear-facing-harness")]


def test_the_first_purchase_works_on_its_day() -> None:
    """The pool is at its end on that day and not the day before; each restraint that is named opens a seating."""
    found = looked("third-child-on-the-way", 2)
    bought = found.purchase
    assert bought is not None
    assert bought.must
    assert arranged("third-child-on-the-way", bought.day) == {}
    assert arranged("third-child-on-the-way", bought.day - timedelta(1)) != {}
    trip = load_trip("third-child-on-the-way")
    from seatplan.growth.purchase import bundled, with_new

    assert trip.on is not None
    for offer in bought.offers:
        wider, copy = with_new(trip_on(trip, bought.day, trip.on), bundled()[offer.model], bought.day)
        best = plan(wider, load_profile("us"), bought.day, top=1).arrangements[0]
        used = {(s.placement.rider.rider, s.placement.mode_name) for s in best.seats
                if s.placement.restraint is not None and s.placement.restraint.restraint == copy.restraint}
        assert (offer.rider, offer.mode) in used


def test_the_same_trip_gives_the_same_answer() -> None:
    from seatplan.growth.outlook import outlook
    from seatplan.views.outlook_json import outlook_json

    trip = load_trip("two-seater-airbag-off")
    assert trip.on is not None
    told = [json.dumps(outlook_json(outlook(trip, load_profile("us"), trip.on, date(2028, 3, 1)))) for _ in range(2)]
    assert told[0] == told[1]


@pytest.mark.parametrize(("name", "n"), TRIPS)
def test_a_change_for_a_limit_comes_on_its_likely_day(name: str, n: int) -> None:
    """The window of a limit that ends a leg: the likely day is that of the change, between the other two."""
    for way in (looked(name, n).protection, looked(name, n).moves):
        for step in way.steps:
            for limit in step.change.limits if step.change else ():
                early, likely, late = limit.window
                assert step.change is not None
                assert likely == step.change.day
                assert early is not None
                assert early <= likely
                assert late is None or likely <= late
