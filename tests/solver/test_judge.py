"""One judge of whole arrangements against the search: the same verdict, the same findings, and nothing that is listed
holds a block, whatever the options. Bundled and random trips."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from random import Random

import pytest
from solved import DAY, seating_of
from worlds import random_trip

import seatplan
from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.load import load_profile
from seatplan.rules.options import Options
from seatplan.solver.aboard import with_built_in
from seatplan.solver.judge import Judge, Pick, picks_of
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.results import Plan
from seatplan.solver.why import why

BUNDLED = sorted(path.stem for path in (Path(seatplan.__file__).parent / "data" / "trips").glob("*.yaml"))
OPTIONS = [Options(strict, worst_case) for strict, worst_case in product((False, True), repeat=2)]
EVERY_OPTION = pytest.mark.parametrize("options", OPTIONS, ids=["usual", "worst-case", "strict", "strict-worst-case"])


def _planned(trip: Trip, options: Options, top: int | None) -> tuple[Plan, Judge]:
    profile = load_profile(trip.rules)
    solved = plan(trip, profile, DAY, top=top, strict=options.strict, worst_case=options.worst_case)
    return solved, Judge(trip, profile, DAY, options)


def _told(findings: tuple[Finding, ...]) -> list[object]:
    return [(f.rule, f.outcome, f.riders, f.positions, f.restraint, f.result.measured, f.result.limit)
            for f in findings]


def _hold(solved: Plan, judge: Judge) -> int:
    """Every arrangement of a plan, judged anew from names alone."""
    for arrangement in solved.arrangements:
        judged = judge.arrangement(picks_of(arrangement))
        assert judged.verdict == arrangement.verdict
        assert judged.refused_by == ()
        assert not any(finding.outcome == "block" for finding in judged.findings)
        # what is to be measured along the car is among what is told of the whole
        along = (judged.lengthwise,) if judged.along.lacking and judged.lengthwise else ()
        assert _told((*judged.together, *along)) == _told(arrangement.findings)
        for cell, seat in zip(judged.cells, arrangement.seats, strict=True):
            assert _told(cell.findings) == _told(seat.cell.findings)
            assert not seat.cell.blocked
        assert [row.row for row in judged.rows] == [row.row.row for row in arrangement.rows]
    return len(solved.arrangements)


@EVERY_OPTION
@pytest.mark.parametrize("name", BUNDLED)
def test_what_is_listed_of_a_bundled_trip_holds_no_block(name: str, options: Options) -> None:
    _hold(*_planned(load_trip(name), options, 40))


@EVERY_OPTION
def test_what_is_listed_of_random_trips_holds_no_block(options: Options) -> None:
    judged = sum(_hold(*_planned(random_trip(Random(seed), 1500), options, 60)) for seed in range(200))
    assert judged > 40


@EVERY_OPTION
def test_every_way_to_seat_them_comes_to_what_the_search_says(options: Options) -> None:
    """Also of what the search turns down: then something is said against it."""
    rng, seen = Random(5), {"listed": 0, "turned down": 0}
    for seed in range(60):
        trip = random_trip(Random(seed), 1500)
        solved, judge = _planned(trip, options, None)
        listed = {seating_of(trip, arrangement): arrangement for arrangement in solved.arrangements}
        names = [position.position for position in solved.choices.positions]
        held = [restraint.restraint for restraint in with_built_in(trip).restraints]
        keys = [[(names[c.position], None if c.restraint is None else held[c.restraint], c.mode) for c in choices]
                for choices in solved.choices.per_rider]
        some = [tuple(rng.choice(own) for own in keys) for _ in range(12)]
        for seating in [*rng.sample(sorted(listed, key=str), min(6, len(listed))), *some]:
            judged = judge.best([Pick(rider.rider, *key) for rider, key in zip(trip.riders, seating, strict=True)])
            assert judged is not None
            told = listed[seating].verdict if seating in listed else "rejected"
            assert judged.verdict == told, (seed, seating)
            assert bool(judged.refused_by) == (told == "rejected")
            seen["listed" if seating in listed else "turned down"] += 1
    assert min(seen.values()) > 20, seen


@pytest.mark.parametrize("name", ["half-measured-car", "three-too-wide", "slide-decides", "twins-small-hatch"])
def test_what_why_calls_impossible_is_refused_by_a_finding(name: str) -> None:
    trip = load_trip(name)
    judge = Judge(trip, load_profile(trip.rules), DAY)
    first = trip.riders[-1].rider
    for mode in why(trip, load_profile(trip.rules), DAY, first).modes:
        if not any(not cell.blocked for cell in mode.cells):
            judged = judge.best([Pick(first, mode.position, mode.restraint, mode.mode)])
            assert judged is not None
            assert {f.rule for f in judged.refused_by} & {f.rule for cell in mode.cells for f in cell.findings}


def test_a_pick_that_means_several_is_not_guessed() -> None:
    trip = load_trip("three-across-school-run")
    solved, judge = _planned(trip, Options(), 1)
    picks = picks_of(solved.arrangements[0])
    vague = [Pick(pick.rider, pick.position, pick.restraint, pick.mode) for pick in picks]
    assert any(len(judge.cells(pick)) > 1 for pick in vague)
    with pytest.raises(LookupError, match="means"):
        judge.arrangement(vague)
    best = judge.best(vague)
    assert best is not None
    assert best.verdict == solved.verdict


def test_somebody_left_behind_or_seated_twice_is_refused() -> None:
    trip = load_trip("three-across-school-run")
    solved, judge = _planned(trip, Options(), 1)
    picks = picks_of(solved.arrangements[0])
    assert {f.rule for f in judge.arrangement(picks[:-1]).refused_by} == {"rider-without-place"}
    assert "rider-without-place" not in {f.rule for f in judge.arrangement(picks).findings if f.outcome == "block"}
    front, *others = picks
    twice = next(p for p in others if p.restraint is not None)
    moved = [Pick(p.rider, twice.position, p.restraint, p.mode, p.installation, p.by) if p is not twice and p.restraint
             else p for p in picks]
    judged = judge.best(moved)
    assert judged is not None
    assert "position-wanted-twice" in {f.rule for f in judged.refused_by}
    assert front in picks


def test_a_setting_that_does_not_pass_means_no_placement() -> None:
    trip = load_trip("slide-decides")
    solved, judge = _planned(trip, Options(), 1)
    pick = next(p for p in picks_of(solved.arrangements[0]) if p.setting is not None)
    assert judge.best([Pick(pick.rider, pick.position, pick.restraint, pick.mode, setting=pick.setting)]) is not None
    assert judge.best([Pick(pick.rider, pick.position, pick.restraint, pick.mode, setting=89)]) is None
