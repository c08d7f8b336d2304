"""A placement that takes more positions than its own, or needs one empty, and restraints that live at one seat: the
search, its grid and its enumeration against the slow solver, which knows sets of positions only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from itertools import product
from random import Random

import pytest
from compared import same_everywhere
from copied import with_copies
from explained import Explained
from places import all_seatings, places_do
from refused import refused_data, shelf_of
from solved import DAY, problems_of, whole_plan
from test_cpsat import same
from worlds import trip_data, trip_of

from seatplan import load_trip
from seatplan.model import Restraint, Trip
from seatplan.rules import footprints
from seatplan.rules.footprints import Footprint
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Placement
from seatplan.solver.explain import explain
from seatplan.solver.judge import Judge, pick_of
from seatplan.solver.kinds import Kinds
from seatplan.solver.placements import Assignment
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.resources import Resources
from seatplan.solver.solve import Solve
from seatplan.views.plan_json import plan_json

Needs = Callable[[Placement], Footprint]


def drawn(rng: Random, trip: Trip, share: float) -> tuple[Needs, Callable[[Restraint], str | None]]:
    """What placements need, by seat and mode, and where restraints live: mostly in the same row, sometimes not."""
    seats = [position.position for position in trip.vehicle.positions()]
    modes = ["seat-belt", *(mode.mode for restraint in trip.restraints for mode in restraint.modes)]
    needed: dict[tuple[str, str], Footprint] = {}
    for seat, mode in product(seats, sorted(set(modes))):
        if rng.random() < share:
            near = [other for other in seats if other != seat and (other[0] == seat[0] or rng.random() < 0.4)]
            some = rng.sample(near, min(len(near), rng.choice((1, 1, 2))))
            split = rng.choice((0, len(some), 1))
            needed[seat, mode] = Footprint(frozenset(some[:split]), frozenset(some[split:]))
    # copies live where their kind does: what is alike is so in this, too
    homes = {restraint.modes[0].model_dump_json(): rng.choice(seats)
             for restraint in trip.restraints if rng.random() < share / 2}
    return (lambda p: needed.get((p.position.position, p.mode_name), footprints.NOTHING),
            lambda restraint: homes.get(restraint.modes[0].model_dump_json()))


def spread(monkeypatch: pytest.MonkeyPatch, rng: Random, trip: Trip, share: float = 0.35) -> None:
    needs, home = drawn(rng, trip, share)
    monkeypatch.setattr(footprints, "footprint", needs)
    monkeypatch.setattr(footprints, "home", home)


def of_seed(seed: int) -> Trip:
    rng = Random(seed)
    data = trip_data(rng, 900 if seed % 2 else 3000)
    return trip_of(with_copies(rng, data, 3000) if seed % 2 else data)


@pytest.mark.parametrize("seeds", [range(start, start + 20) for start in range(0, 200, 20)],
                         ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_same_as_the_slow_solver(seeds: range, monkeypatch: pytest.MonkeyPatch) -> None:
    for seed in seeds:
        trip = of_seed(seed)
        spread(monkeypatch, Random(seed), trip)
        same_everywhere(trip, seed)


def test_what_is_drawn_matters(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: Counter[str] = Counter()
    for seed in range(200):
        trip = of_seed(seed)
        before = whole_plan(trip).tally
        with monkeypatch.context() as patched:
            spread(patched, Random(seed), trip)
            solved = whole_plan(trip)
            everyone = [[s.placement for s in a.seats] for a in solved.arrangements]
            needs = [[footprints.footprint(p) for p in placements] for placements in everyone]
            seen["fewer arrangements"] += solved.tally.valid < before.valid
            seen["some left"] += 0 < solved.tally.valid < before.valid
            seen["taken"] += any(need.takes for own in needs for need in own)
            seen["kept empty"] += any(need.empties for own in needs for need in own)
            seen["built in"] += solved.tally.seatings < before.seatings
            seen["position contests"] += solved.tally.contests["position"] > before.contests["position"]
            assert all(places_do(placements, trip) for placements in everyone)
    assert min(seen.values()) >= 8, seen
    assert len(seen) == 6


def test_cp_sat_finds_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    for seed in range(1000, 1040):
        trip = of_seed(seed)
        spread(monkeypatch, Random(seed), trip)
        same(whole_plan(trip), 25)


def test_refusals(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: Counter[str] = Counter()
    for seed in range(60):
        rng = Random(seed)
        trip, shelf = trip_of(refused_data(rng, 150)), shelf_of(rng, 1)
        spread(monkeypatch, rng, trip, 0.2)
        profile = load_profile(trip.rules)
        solved = plan(trip, profile, DAY, top=2)
        told = plan_json(solved, explain(solved, shelf))
        assert problems_of(solved) == [], seed
        if told["explanation"] is not None:
            assert Explained(trip, profile, told, shelf, seen).problems() == [], seed
    assert seen["groups"] > 20


def test_the_judge_refuses_what_the_search_does_not_list(monkeypatch: pytest.MonkeyPatch) -> None:
    """An arrangement of before, asked again where one of its riders needs the seat of another."""
    trip = load_trip("three-across-school-run")
    profile = load_profile("us")
    first = whole_plan(trip).arrangements[0]
    picks = [pick_of(seat.placement) for seat in first.seats]
    assert Judge(trip, profile, DAY).arrangement(picks).verdict == "fits"
    for needed in (Footprint(takes=frozenset({"1L"})), Footprint(empties=frozenset({"1L"}))):
        monkeypatch.setattr(footprints, "footprint", lambda p, needed=needed: (
            needed if p.position.position == "2C" else footprints.NOTHING))
        judged = Judge(trip, profile, DAY).arrangement(picks)
        assert {finding.rule for finding in judged.refused_by} == {"position-wanted-twice"}
        assert not any(seat.placement.position.position == "2C" for a in whole_plan(trip).arrangements
                       for seat in a.seats)


def test_nobody_needs_the_seat_of_an_unlisted_driver(monkeypatch: pytest.MonkeyPatch) -> None:
    trip = load_trip("three-across-school-run")
    alone = trip.model_copy(update={"riders": [r for r in trip.riders if not r.drives], "wishes": [], "installed": {}})
    assert alone.drives == "1L"
    before = whole_plan(alone)
    assert any(s.placement.position.position == "2C" for a in before.arrangements for s in a.seats)
    monkeypatch.setattr(footprints, "footprint", lambda p: (
        Footprint(empties=frozenset({"1L"})) if p.position.position == "2C" else footprints.NOTHING))
    after = whole_plan(alone)
    assert after.arrangements
    assert not any(s.placement.position.position == "2C" for a in after.arrangements for s in a.seats)
    judge = Judge(alone, load_profile("us"), DAY)
    centre = next(a for a in before.arrangements if any(s.placement.position.position == "2C" for s in a.seats))
    assert judge.arrangement(pick_of(s.placement) for s in centre.seats).verdict == "rejected"


def test_a_mode_whose_installations_need_other_seats_is_as_many_choices(monkeypatch: pytest.MonkeyPatch) -> None:
    """On the belt it takes 2C as well, on lower anchors it does not: two letters of a seating, counted apart."""
    trip = load_trip("three-across-school-run")
    profile = load_profile("us")
    before = Solve(trip, profile, DAY).choices.per_rider[1]
    monkeypatch.setattr(footprints, "footprint", lambda p: (
        Footprint(takes=frozenset({"2C"})) if p.position.position == "2L" and p.held_by_belt else footprints.NOTHING))
    after = Solve(trip, profile, DAY).choices.per_rider[1]
    both = [c for c in before
            if c.position == 2 and {cell.placement.held_by_belt for cell in c.all_cells} == {True, False}]
    assert both
    assert len(after) == len(before) + len(both)
    assert all(len({footprints.footprint(cell.placement) for cell in c.all_cells}) == 1 for c in after)


def test_a_built_in_restraint_is_offered_at_its_seat_only(monkeypatch: pytest.MonkeyPatch) -> None:
    trip = load_trip("three-across-school-run")
    monkeypatch.setattr(footprints, "home", lambda restraint: "2R" if restraint.restraint == "Perch" else None)
    solved = whole_plan(trip)
    assert {c.placement.position.position for c in solved.choices.cells()
            if c.placement.restraint and c.placement.restraint.restraint == "Perch"} == {"2R"}
    assert solved.tally.seatings == all_seatings(trip, {r.restraint: r.restraint for r in trip.restraints}) < 455_625


def test_counters_of_seats() -> None:
    """By hand: rider 0 takes b from a; rider 1 needs b empty from c; rider 2 sits at b."""
    cell = (object(),)
    takes, empties, sits, other = (
        Assignment(rider, position, None, "mode", cell, cell, needed) for rider, position, needed in (  # type: ignore[arg-type]
            (0, 0, Footprint(takes=frozenset("b"))), (1, 2, Footprint(empties=frozenset("b"))),
            (2, 1, Footprint()), (3, 3, Footprint(empties=frozenset("b")))))
    resources = Resources((takes, empties, sits, other), {}, "abcd", "d")
    assert [resources.clash(a, b) for a, b in ((takes, empties), (takes, sits), (empties, sits), (empties, other))] == [
        True, True, True, False]
    assert not any(map(resources.never, (takes, empties, sits, other)))
    assert Resources((takes,), {}, "abcd", "b").never(takes)
    assert Kinds((), ()).copies(7) == (7,)
