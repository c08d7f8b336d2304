"""Bands of ages: what is said to hold holds at both ends, and between them where two ways share a band."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from small_worlds import VEHICLES, child, every_way, world_of

from seatplan.files.load import load_restraint
from seatplan.fleet.bands import at_end
from seatplan.fleet.classes import Engine, canonical
from seatplan.fleet.records import Member, Party, Way, serves
from seatplan.model import Restraint
from seatplan.model.restraint import Limits
from seatplan.solver.judge import Pick
from seatplan.store import Store

ESTATE = "lindholm-estate"


def where(way: Way) -> tuple[object, ...]:
    """Who sits where in what, whatever that is worth."""
    return tuple(seat._replace(grade=0) for seat in way.seats)


def banded(seed: int) -> tuple[Engine, str, Party]:
    rng = Random(seed)
    kinds = rng.sample(("forward-solo", "lattice-combo", "nook-35", "perch-high", "cushion-44", "bastion", "tallow"), 2)
    low = rng.choice((6, 14, 26, 40, 50, 62, 76, 90))
    high = low + rng.choice((3, 8, 14))
    mm = round(500 + 76 * ((low + high) / 2) ** 0.5)
    kg = round(15.8 * (mm / 1000) ** 2 * 1.08, 1)
    members = [child((low, high), kg if rng.random() < 0.75 else None, mm if rng.random() < 0.75 else None)]
    if rng.random() < 0.5:
        members.append(child(70, 21.5, 1160))
    vehicle = rng.choice(VEHICLES)
    return Engine(world_of([vehicle], kinds), Store()), vehicle, canonical(members)


@pytest.mark.parametrize("seed", range(24))
def test_what_holds_for_a_band_is_what_holds_at_both_ends(seed: int) -> None:
    engine, vehicle, party = banded(seed)
    band = {where(way) for way in every_way(engine, vehicle, party)}
    low, high = ({where(way) for way in every_way(engine, vehicle, at_end(party, end))} for end in (0, 1))
    assert band == low & high


def test_these_bands_hold_now_and_then_and_not_always() -> None:
    answers = []
    for seed in range(24):
        engine, vehicle, party = banded(seed)
        answers.append(engine.answer(vehicle, party))
    assert sum(any(map(serves, answer.ways)) for answer in answers) >= 4
    assert sum(answer.by_end is not None for answer in answers) >= 4


def test_a_band_is_ranked_by_its_youngest_age() -> None:
    """Under two at the lower end: facing forward counts as such."""
    engine = Engine(world_of([ESTATE], ["lattice-combo", "nook-35"]), Store())
    party = canonical([child((22, 30), 12, 870)])
    levels = {way.kit: way.level for way in engine.answer(ESTATE, party).ways}
    younger = {way.kit: way.level for way in engine.answer(ESTATE, at_end(party, 0)).ways}
    assert levels
    assert levels.items() <= younger.items()


def test_the_ends_are_told_where_no_way_serves_at_both() -> None:
    """A small shell at one end, a booster at the other."""
    engine = Engine(world_of([ESTATE], ["cradle-13", "perch-high"]), Store())
    answer = engine.answer(ESTATE, canonical([child((6, 84))]))
    assert not any(map(serves, answer.ways))
    assert answer.by_end is not None
    assert answer.covers == ()
    assert answer.readings


def test_a_child_whom_nobody_measured_is_served_where_only_its_body_is_estimated() -> None:
    """The breadth of a body is one of its sizes, too."""
    engine = Engine(world_of([ESTATE], ["perch-high", "cushion-44"]), Store())
    ways = engine.answer(ESTATE, canonical([child(90, 25), child(92, 26)])).ways
    assert ways
    assert (ways[0].verdict, ways[0].bodies_only, serves(ways[0])) == ("likely", True, True)


@pytest.mark.parametrize("mm", [1500, 1550, 1600, 1650])
def test_the_breadth_of_an_adult_is_a_body_too(mm: int) -> None:
    """Between two restraints it is only estimated: the booking is served, or what is asked is said with its owner."""
    engine = Engine(world_of(["tidewater-carrier"], ["lattice-combo", "perch-high", "nook-35"]), Store())
    party = canonical([child(22, 12.4, 890), child(71, 23.7, 1170), Member(True, height_mm=mm), Member(True)])
    answer = engine.answer("tidewater-carrier", party)
    for way in answer.ways:
        assert way.bodies_only or way.verdict != "likely", way
    assert all(key for key, _, _ in answer.readings)
    assert all(member >= 0 for key, member, _ in answer.readings if key.startswith("rider."))


def test_known_ages_have_no_ends() -> None:
    engine = Engine(world_of([ESTATE], ["cradle-13"]), Store())
    answer = engine.answer(ESTATE, canonical([child(84)]))
    assert answer.by_end is None
    assert answer.covers == ()


def combination(below: int, above: int) -> Restraint:
    """An invented seat: a harness up to one stature, a booster from another, mm."""
    known = load_restraint("lattice-combo")
    harness, booster = known.modes
    return known.model_copy(update={"modes": [
        harness.model_copy(update={"limits": Limits.model_validate({
            "mass": ["9 kg", "29 kg"], "height": [800, below], "age": ["24 months", "12 y"]}),
            "installations": harness.installations[1:]}),
        booster.model_copy(update={"limits": Limits.model_validate({
            "mass": ["18.1 kg", "45 kg"], "height": [above, 1480], "age": ["48 months", "14 y"]})})]})


def asked_about(below: int, above: int) -> tuple[Engine, Party]:
    world = replace(world_of([ESTATE], []), kinds={"combination": combination(below, above)})
    return Engine(world, Store()), canonical([child((48, 72), 21)])


@pytest.fixture(scope="module")
def covered() -> tuple[Engine, Party]:
    return asked_about(1200, 1020)


def test_two_modes_of_one_piece_cover_a_band(covered: tuple[Engine, Party]) -> None:
    engine, party = covered
    answer = engine.answer(ESTATE, party)
    assert not any(map(serves, answer.ways))
    assert answer.covers
    for cover in answer.covers:
        assert serves(cover.below)
        assert serves(cover.above)
        assert cover.below.kit == cover.above.kit
        assert ([(seat.position, seat.kind, seat.by) for seat in cover.below.seats]
                == [(seat.position, seat.kind, seat.by) for seat in cover.above.seats])
        assert cover.reading[:2] in {("rider.mass", 0), ("rider.height", 0), ("rider.born", 0)}


def test_no_modes_cover_a_band_with_a_gap_between_them() -> None:
    engine, party = asked_about(1180, 1190)
    answer = engine.answer(ESTATE, party)
    assert not any(map(serves, answer.ways))
    assert answer.covers == ()


def test_a_cover_holds_for_every_child_between(covered: tuple[Engine, Party]) -> None:
    """Asked age by age and height by height, on its own side of the value."""
    engine, party = covered
    cover = engine.answer(ESTATE, party).covers[0]
    key, member, value = cover.reading
    assert (key, member) == ("rider.height", 0)
    asked = 0
    for months in range(48, 73, 6):
        for mm in (960, 1000, 1050, 1080, 1100, 1140, 1180, 1199, 1200, 1220, 1260, 1300):
            one = replace(party, members=(child(months, 21, mm),))
            way = cover.below if mm < int(value) else cover.above
            solve = engine.ask(ESTATE, one).solve
            judged = solve.judge.best([
                Pick(solve.trip.riders[seat.member].rider, seat.position,
                     None if seat.kind is None else f"{seat.kind} 0", seat.mode, by=seat.by) for seat in way.seats])
            if not solve.trip.doubted:           # a height that no child of the age has counts as unknown
                asked += 1
                assert judged is not None
                assert judged.verdict in ("fits", "likely"), (months, mm)
    assert asked >= 15
