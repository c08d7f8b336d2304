"""Restraints that are alike are one kind with a count: against the slow solver, which lists every copy by itself."""

from __future__ import annotations

from collections import Counter
from datetime import date
from random import Random

import pytest
from compared import same_everywhere
from copied import one_more, siblings, with_copies
from explained import Explained
from likes import kinds_of
from refused import refused_data, shelf_of
from solved import DAY, problems_of, seatings_of, whole_plan
from test_cpsat import same
from worlds import random_trip, trip_data, trip_of

from seatplan import arrange, load_trip, seatings
from seatplan.model import Tried, Trip
from seatplan.model.doubt import Doubt
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Placement
from seatplan.solver.after_try import after_try
from seatplan.solver.contrast import contrast
from seatplan.solver.explain import explain
from seatplan.solver.kinds import alike, named_by
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.solve import Solve
from seatplan.solver.why import why
from seatplan.views.plan_json import plan_json
from seatplan.views.why_json import why_json

#: as few choices as the slow solver can take with every copy by itself
_MOST = 4000
TWINS = "twins-small-hatch"


def copied(seed: int) -> Trip:
    """Of every three trips two have children who want one restraint."""
    rng = Random(seed)
    data = siblings(rng, rng.choice((2, 3, 3))) if seed % 3 else trip_data(rng, 400)
    return trip_of(with_copies(rng, data, _MOST))


@pytest.mark.parametrize("seeds", [range(start, start + 20) for start in range(0, 200, 20)],
                         ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_same_as_the_slow_solver(seeds: range) -> None:
    for seed in seeds:
        trip = copied(seed)
        same_everywhere(trip, seed)


def test_the_trips_have_something_of_everything() -> None:
    seen: Counter[str] = Counter()
    for seed in range(200):
        trip = copied(seed)
        solved = whole_plan(trip)
        names = alike(trip).alike()
        held = [[p.restraint.restraint for p in (s.placement for s in a.seats) if p.restraint]
                for a in solved.arrangements]
        seen["alike"] += bool(names)
        seen["a copy that is not alike"] += len(set(kinds_of(trip).values())) > 1 and any(
            "Copy" in r.restraint and len([k for k in kinds_of(trip).values() if k == r.restraint]) == 1
            for r in trip.restraints)
        seen["two copies in one seating"] += any(len(set(own) & set(some)) > 1 for own in names for some in held)
        seen["more want a kind than there are"] += any(
            len(contest.example) > 2 for contest in solved.contests)
        seen["short of copies"] += bool(solved.shortage and solved.shortage.thing == "restraint"
                                        and any(set(own) <= set(solved.shortage.have) for own in names))
    assert min(seen.values()) >= 3, seen
    assert len(seen) == 5


@pytest.mark.parametrize("seeds", [range(start, start + 25) for start in range(0, 100, 25)],
                         ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_refusals_with_copies(seeds: range) -> None:
    """Groups, reasons and repairs, by brute force over every copy."""
    seen: Counter[str] = Counter()
    for seed in seeds:
        rng = Random(seed)
        trip, shelf, strict = trip_of(with_copies(rng, refused_data(rng, 150), 1000)), shelf_of(rng, 2), seed % 3 == 0
        profile = load_profile(trip.rules)
        solved = plan(trip, profile, DAY, top=2, strict=strict)
        told = plan_json(solved, explain(solved, shelf))
        assert problems_of(solved) == [], seed
        if told["explanation"] is not None:
            seen["with copies"] += bool(told["alike"])
            assert Explained(trip, profile, told, shelf, seen).problems() == [], seed
    assert seen["with copies"] > 3


def test_cp_sat_finds_the_same() -> None:
    for seed in range(60):
        same(whole_plan(copied(seed)), 25)


@pytest.mark.parametrize("seed", range(40))
def test_one_more_than_can_be_used_changes_nothing(seed: int) -> None:
    """As many copies as riders are enough: another one changes nothing but the list of what is alike."""
    trip = random_trip(Random(seed), 400)
    if not trip.restraints:
        return
    first = next((r.restraint for r in trip.restraints if r.restraint not in named_by(trip)), None)
    if first is None:
        return
    for n in range(len(trip.riders)):
        trip = one_more(trip, f"Copy {n}", first)
    told = [plan_json(whole_plan(some)) for some in (trip, one_more(trip, "One more", first))]
    for one in told:
        one.pop("alike")
    assert told[0] == told[1]


@pytest.mark.parametrize("seed", range(60))
def test_a_copy_never_loses_an_arrangement(seed: int) -> None:
    """The choices stay; what was a contest for the restraint may now be something else."""
    trip = random_trip(Random(seed), 400)
    free = [r.restraint for r in trip.restraints if r.restraint not in named_by(trip)]
    if not free:
        return
    before, after = whole_plan(trip), whole_plan(one_more(trip, "Copy", free[0]))
    kinds = kinds_of(after.trip)
    assert kinds["Copy"] == kinds[free[0]]
    assert (before.tally.seatings, before.tally.placement) == (after.tally.seatings, after.tally.placement)
    assert before.tally.contests["position"] == after.tally.contests["position"]
    assert before.tally.contests["restraint"] >= after.tally.contests["restraint"]
    assert seatings_of(before).items() <= seatings_of(after).items()


def test_copies_are_given_out_left_to_right() -> None:
    found = arrange(load_trip(TWINS), top=None)
    assert {tuple(p.restraint.restraint for p in (seat.placement for seat in a.seats)
                  if p.restraint and p.restraint.restraint.startswith("Slim")) for a in found.arrangements} == {
        ("Slim one",), ("Slim one", "Slim two")}
    assert all(finding.restraint in (None, seat.placement.restraint and seat.placement.restraint.restraint)
               for a in found.arrangements for seat in a.seats for finding in seat.cell.findings)
    every = [sorted(held for _, held, _ in one.values() if held) for one in seatings(load_trip(TWINS))]
    assert all(len(set(held)) == len(held) for held in every)


def test_which_copy_somebody_has_is_no_contrast() -> None:
    """Nothing is said to be moved or lost where only the name of the copy differs."""
    found = arrange(load_trip(TWINS), top=None)
    kinds = {None: None, **kinds_of(found.trip)}

    def told(p: Placement) -> tuple[object, ...]:
        held = p.restraint.restraint if p.restraint else None
        return p.position.position, p.mode_name, p.by, p.tether, p.bars, kinds[held]

    for other in found.arrangements[1:]:
        for one, there in contrast(found.arrangements[0], other, found.choices.kinds).moved:
            assert told(one) != told(there)


@pytest.mark.parametrize("asked", ["Slim one", "Slim two"])
def test_why_of_either_copy(asked: str) -> None:
    """The one asked for is named, and its answer is that of its kind."""
    trip = load_trip(TWINS)
    told = [why_json(why(trip, load_profile("us"), DAY, "Ivo", restraint=name)) for name in (asked, "Slim one")]
    assert {mode["restraint"] for mode in told[0]["modes"]} == {asked}
    assert {cell["restraint"] for mode in told[0]["modes"] for cell in mode["placements"]} == {asked}
    assert [mode["verdict"] for mode in told[0]["modes"]] == [mode["verdict"] for mode in told[1]["modes"]]
    every = why(trip, load_profile("us"), DAY, "Ivo").modes
    assert {mode.copies for mode in every} >= {("Slim one", "Slim two"), ("Perch",), ()}


def test_named_ones_and_other_content_are_kinds_by_themselves() -> None:
    trip = load_trip(TWINS)
    assert alike(trip).alike() == (("Slim one", "Slim two"),)
    for update in ({"wishes": [{"rider": "Ivo", "uses": ["Slim two"]}]},
                   {"installed": {"Ivo": {"restraint": "Slim two", "position": "2L"}}},
                   {"tried": [{"restraint": "Slim two", "position": "2L", "by": "lap-shoulder-belt", "moved": 3}]}):
        read = Trip.model_validate({**trip.model_dump(), **update})
        assert alike(read).alike() == (), update
    for content in ({"made": date(2024, 5, 5)}, {"expires": date(2030, 1, 1)}, {"notes": "the blue one"}):
        other = [r.model_copy(update=content) if r.restraint == "Slim two" else r for r in trip.restraints]
        assert alike(trip.model_copy(update={"restraints": other})).alike() == ()


def test_what_is_doubted_of_both_alike_leaves_them_alike() -> None:
    def doubt(name: str) -> Doubt:
        return Doubt("restraint", name, ("mass",), "mass", 1, 2, 3, "kg", "", "", "", 1, False, ("mass",))

    trip = trip_of(load_trip(TWINS).model_dump())
    both, one = (trip.model_copy(update={"doubted": tuple(map(doubt, names))})
                 for names in (("Slim one", "Slim two"), ("Slim two",)))
    assert alike(both).alike() == (("Slim one", "Slim two"),)
    assert alike(one).alike() == ()


def test_whatever_of_a_trip_can_name_a_restraint_is_looked_at() -> None:
    """A new field of a trip: does it name a restraint? Then `named_by` must know; `arrived` is history, and no plan
    hangs on it."""
    assert set(Trip.model_fields) - {"sure"} == {
        "trip", "notes", "vehicle", "on", "drives", "riders", "restraints", "front", "airbags_off", "wishes",
        "installed", "arrived", "under_way", "tried", "rules"}
    trip = load_trip(TWINS)
    assert Solve(trip, load_profile("us"), DAY).kinds.named("Slim two") == ("Slim one", "Slim two")
    assert Solve(trip, load_profile("us"), DAY, each_copy=True).kinds.alike() == ()


@pytest.mark.parametrize("tried", ["Slim one", "Slim two"])
def test_a_try_of_either_copy_is_the_one_that_was_proposed(tried: str) -> None:
    """The best arrangements name one copy at 2L; whoever tried the other one there tried the same."""
    trip = load_trip(TWINS)
    assert trip.on is not None
    entry = Tried.model_validate({"restraint": tried, "position": "2L", "by": "lap-shoulder-belt", "moved": 5,
                                  "level": True, "on": trip.on, "mode": "rear-facing-harness"})
    found = after_try(trip, trip.model_copy(update={"tried": [entry]}), entry, load_profile("us"), trip.on)
    assert found.base in ("proposed", "likely")
    assert found.has == "as tried"
    assert not any(change.what for change in found.changes)
