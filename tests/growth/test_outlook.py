"""An outlook against the planner itself: what it says of a day is what `arrange` says on that day."""

from __future__ import annotations

import json
from datetime import date, timedelta
from itertools import pairwise, product
from random import Random

import pytest
from families import looked

from seatplan import load_trip
from seatplan.growth.course import course
from seatplan.growth.family import trip_on
from seatplan.growth.outlook import Outlook
from seatplan.growth.solved import Place, Rated, Seating, Solved, solved
from seatplan.growth.stretches import Stretch
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.solve import Solve

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

#: how far a mode is from the most protective one
EXPOSED = {"rear-facing-harness": 0, "forward-facing-harness": 1, "high-back-booster": 4}


def made(rng: Random) -> list[Stretch]:
    """Some stretches of two riders, the younger first, two seats and two restraints."""
    places = [[Place(rider, seat, held, mode) for seat in ("2L", "2R") for held, mode in (
        ("A", "rear-facing-harness"), ("A", "forward-facing-harness"), ("B", "high-back-booster"))]
        for rider in ("Wren", "Oslo")]
    every = [(a, b) for a, b in product(*places) if a.position != b.position and a.restraint != b.restraint]
    day, stretches = date(2027, 1, 1), []
    for _ in range(rng.randint(1, 4)):
        days = rng.randint(1, 200)
        kept = rng.sample(every, rng.randint(1, 4))
        rated = {s: Rated(rng.random() < 0.3, EXPOSED[s[0].mode] << 32 | EXPOSED[s[1].mode], rng.randint(0, 1),
                          rng.randint(0, 1), rank) for rank, s in enumerate(kept)}
        stretches.append(Stretch(day, day + timedelta(days - 1), Solved(day, rated, True, (len(kept),))))
        day += timedelta(days)
    return stretches


@pytest.mark.parametrize("seed", range(40))
def test_the_two_ways_are_the_best_of_all(seed: int) -> None:
    """Every way through, by what each promises. Protection begins with the first arrangement of the first day; then
    count the days of the younger child in lesser modes, those of the older one, those that hang on something to
    measure, cautions, moves, wishes. The other way counts the moves first, and the first day's is any."""
    stretches = made(Random(seed))

    def told(way: tuple[Seating, ...]) -> dict[str, int]:
        days = [(s.solved.seatings[seating], seating, (s.last - s.first).days + 1)
                for s, seating in zip(stretches, way, strict=True)]
        return {
            "today": days[0][0].rank,
            "unsure": sum(n for rated, _, n in days if rated.unsure),
            "younger": sum(n * EXPOSED[seating[0].mode] for _, seating, n in days),
            "older": sum(n * EXPOSED[seating[1].mode] for _, seating, n in days),
            "cautions": sum(n * rated.cautions for rated, _, n in days),
            "moves": sum(one != other for a, b in pairwise(way) for one, other in zip(a, b, strict=True)),
            "wishes": sum(n * rated.wishes for rated, _, n in days),
            "ranks": sum(rated.rank for rated, _, _ in days),
        }

    ways = [told(way) for way in product(*(s.solved.seatings for s in stretches))]
    for aim, order in (
            ("protection", ("today", "younger", "older", "unsure", "cautions", "moves", "wishes", "ranks")),
            ("moves", ("moves", "unsure", "younger", "older", "cautions", "wishes", "ranks"))):
        best = course(stretches, {}, aim)
        chosen = tuple(seating for s in stretches for seating in (best.on(s.first).seating,) if seating is not None)
        assert best.complete
        assert best.moves == told(chosen)["moves"]
        assert [told(chosen)[name] for name in order] == min([way[name] for name in order] for way in ways), aim


def test_of_twins_neither_counts_before_the_other() -> None:
    """Written in the other order they are rated alike: of one age it is the worse mode that counts first."""
    trip = load_trip("three-across-school-run")
    assert trip.on is not None
    oslo = next(rider for rider in trip.riders if rider.rider == "Oslo")
    twins = trip.model_copy(update={"riders": [
        rider.model_copy(update={"age": oslo.age, "born": oslo.born}) if rider.rider == "Tamsin" else rider
        for rider in trip.riders]})
    turned = twins.model_copy(update={"riders": twins.riders[::-1]})
    told = [{frozenset(seating): rated[:4] for seating, rated in solved(
        Solve(one, load_profile(trip.rules), trip.on, each_copy=True), trip.on).seatings.items()}
        for one in (twins, turned)]
    assert told[0] == told[1]
    assert len({protection for _, protection, _, _ in told[0].values()}) > 1


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
