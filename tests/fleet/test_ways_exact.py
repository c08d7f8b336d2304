"""The ways of a class against every seating of it, one by one."""

from __future__ import annotations

import os
from random import Random

import pytest
from small_worlds import child, degree, random_class, slow_ways, world_of

from seatplan.fleet import refusal
from seatplan.fleet.classes import Engine, canonical
from seatplan.fleet.records import BEFORE, GRADES, Party, serves
from seatplan.fleet.ways import ways_of
from seatplan.solver.solve import Solve
from seatplan.store import Store

MANY = int(os.environ.get("SEATPLAN_RANDOM_TRIPS", "24"))
SEEN = {"ways": 0, "classes": 0, "served": 0}


@pytest.mark.parametrize("seed", range(MANY))
def test_the_ways_of_a_class_are_those_of_all_its_seatings(seed: int) -> None:
    world, vehicle, party = random_class(seed)
    engine = Engine(world, Store())
    answer = engine.ask(vehicle, party)
    found = ways_of(answer.solve, answer.names)
    told = {(way.level, way.kit, serves(way)): degree(way) for way in found.ways}
    assert len(told) == len(found.ways)
    assert told == slow_ways(engine, vehicle, party)
    assert found.complete


def test_many_of_these_classes_have_ways() -> None:
    kits = {seed: len(Engine(world, Store()).answer(vehicle, party).ways)
            for seed, (world, vehicle, party) in ((seed, random_class(seed)) for seed in range(24))}
    assert sum(n > 1 for n in kits.values()) >= 6, kits


@pytest.mark.parametrize("seed", range(0, 12))
def test_the_verdict_is_that_of_the_best_arrangement(seed: int) -> None:
    world, vehicle, party = random_class(seed)
    engine = Engine(world, Store())
    trip, _ = engine.trip(vehicle, party)
    first = next(Solve(trip, world.profile, world.day, store=Store()).ranked(), None)
    verdicts = ("fits", "close", "likely", "unmeasured")
    assert engine.verdict(vehicle, party) == ("rejected" if first is None else verdicts[first.level])


@pytest.mark.parametrize("seed", range(0, 8))
def test_a_class_is_one_question_in_any_order(seed: int) -> None:
    """Riders, kinds and what is brought along, in any order."""
    world, vehicle, party = random_class(seed)
    rng = Random(seed)
    members, kinds = list(party.members), list(world.kinds)
    rng.shuffle(members)
    rng.shuffle(kinds)
    other = canonical(members, party.brings[::-1])
    assert other == party
    shuffled = type(world)(world.types, {kind: world.kinds[kind] for kind in kinds}, world.drives, world.profile,
                           world.tried, world.driver, world.day)
    assert Engine(shuffled, Store()).answer(vehicle, other) == Engine(world, Store()).answer(vehicle, party)


@pytest.mark.parametrize("seed", range(0, 6))
def test_an_order_that_is_not_canonical_has_the_same_levels_and_kits(seed: int) -> None:
    """So nothing is lost by asking about one order alone."""
    world, vehicle, party = random_class(seed)
    turned = Party(party.members[::-1], party.brings)
    assert slow_ways(Engine(world, Store()), vehicle, turned) == slow_ways(Engine(world, Store()), vehicle, party)


def test_each_stage_comes_before_what_a_booster_has_for_a_back() -> None:
    """Steps 2 to 5 of the order of all children first, then high-back before backless."""
    world = world_of(["lindholm-estate"], ["forward-solo", "perch-high", "cushion-44"])
    ways = Engine(world, Store()).answer("lindholm-estate", canonical([child(62, 19, 1120), child(75, 21, 1170)])).ways
    by_kit = {way.kit: way for way in ways}
    mixed = by_kit[("cushion-44", 1), ("forward-solo", 1)]
    high = by_kit[(("perch-high", 2),)]
    assert mixed.level < high.level
    assert mixed.level[:BEFORE] == high.level[:BEFORE] == (0, 0, 0, 0)
    grades = {GRADES[seat.grade] for seat in mixed.seats if seat.grade >= 0}
    assert grades == {"forward-facing harness", "backless booster"}


def test_five_year_olds_get_no_backless_booster_where_pieces_are_fewer() -> None:
    world = world_of(["lindholm-estate"], ["perch-high", "cushion-44"])
    ways = Engine(world, Store()).answer("lindholm-estate", canonical([child(62, 19, 1120)])).ways
    assert [GRADES[seat.grade] for seat in ways[0].seats if seat.grade >= 0] == ["high-back booster"]


def test_what_is_brought_along_is_in_no_kit() -> None:
    world = world_of(["lindholm-estate"], ["forward-solo"])
    party = canonical([child(30, 13, 900), child(42, 15, 980)], ["forward-solo"])
    ways = Engine(world, Store()).answer("lindholm-estate", party).ways
    assert ways[0].kit == (("forward-solo", 1),)
    children = [seat for seat in ways[0].seats if seat.member < 2]
    assert sorted((seat.kind or "", seat.own) for seat in children) == [("", 0), ("forward-solo", -1)]


def test_nobody_can_be_carried_for_a_reason() -> None:
    world = world_of(["dowel-coupe"], ["cradle-13"])
    answer = Engine(world, Store()).answer("dowel-coupe", canonical([child(30, 13.5, 920), child(62, 19, 1120)]))
    assert answer.verdict == "rejected"
    assert not answer.ways
    assert answer.conflict is not None
    group, rules = answer.conflict
    assert group
    assert rules


def test_a_conflict_that_is_not_found_in_time_keeps_its_group(monkeypatch: pytest.MonkeyPatch) -> None:
    engine = Engine(world_of(["dowel-coupe"], ["cradle-13"]), Store())
    party = canonical([child(30, 13.5, 920), child(62, 19, 1120)])
    whole = engine.answer("dowel-coupe", party).conflict
    assert whole is not None
    told = []
    for most in range(200):
        monkeypatch.setattr(refusal, "_MOST_STEPS", most)
        told.append(engine.answer("dowel-coupe", party).conflict)
    assert told[-1] == whole
    assert set(told) <= {None, (whole[0], ()), whole}
    assert (whole[0], ()) in told
