"""Every rule about a placement says what it reads of the world beside the parts of the placement: its answers are kept
by that, and one that read more would give somebody else's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from build import Case, subject
from test_cases import ALL

from seatplan.estimate import estimated
from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.model import Rider, Trip
from seatplan.model.estimated import EstimatedRow
from seatplan.model.trip import LENGTHS
from seatplan.rules.ahead import need_ahead
from seatplan.rules.load import load_profile
from seatplan.rules.reads import READS, SAME_FOR_ALL, around, of_rider
from seatplan.rules.registry import RULES, rule_by_id
from seatplan.rules.rule import Rule
from seatplan.rules.run import Runner, sizes_of
from seatplan.rules.side_by_side import side_by_side
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.kinds import alike
from seatplan.solver.placements import all_choices
from seatplan.solver.ways import placements_of, ways_of
from seatplan.store import Store
from seatplan.units import Quantity, Stature

#: kept apart by all answers: the profile, the options; ``store`` and ``kept`` hold answers that have keys of their own
FREE = {"profile", "limit", "options", "store", "kept"}
DAY = date(2026, 11, 28)
PLACEMENT = [rule for rule in RULES if rule.scope == "placement"]


class Recorded:
    """A world that notes what of it is read, of trip and vehicle one step further down."""

    def __init__(self, of: Any, within: str, seen: set[str]) -> None:
        self.__dict__.update(_of=of, _within=within, _seen=seen)

    def __getattr__(self, name: str) -> Any:
        if self._within:
            self._seen.add(f"{self._within}.{name}")
        elif name in ("trip", "vehicle"):
            return Recorded(getattr(self._of, name), name, self._seen)
        elif name not in FREE:
            self._seen.add(name)
        return getattr(self._of, name)


def beyond(rule: Rule, placement: Any, world: RuleContext) -> set[str]:
    """What a rule reads of the world and does not say."""
    seen: set[str] = set()
    recorded: Any = Recorded(world, "", seen)
    if rule.when(placement, recorded):
        rule.check(placement, recorded)
    allowed = {read for name in rule.world for read in READS[name][1]}
    return {read for read in seen if read not in allowed and read.split(".")[0] not in allowed}


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_a_rule_reads_no_more_of_the_world_than_it_says(rule_id: str, case: Case, outcome: str) -> None:
    rule = rule_by_id(rule_id)
    if rule.scope == "placement":
        placement, world = subject(rule, case)
        assert beyond(rule, placement, world) == set()


def small_bundled_trips() -> Iterator[tuple[Trip, RuleContext]]:
    """The bundled trips with six riders or fewer, each with its world."""
    for name in names("trip"):
        trip = load_trip(name)
        if len(trip.riders) <= 6:
            yield trip, RuleContext(trip, trip.vehicle, load_profile(trip.rules), trip.on or DAY)


def test_no_rule_reads_more_in_the_bundled_trips() -> None:
    asked = 0
    for trip, world in small_bundled_trips():
        for cell in list(all_choices(trip, Runner(world), alike(trip)).cells())[::7]:
            for rule in PLACEMENT:
                if world.profile.base in rule.profiles:
                    assert beyond(rule, cell.placement, world) == set(), rule.id
                    asked += 1
    assert asked > 10_000


def sizes_read(rule: Rule, placement: Any, world: RuleContext, monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Which parts of the rider's sizes a rule reads; all where it reads the rider as a whole."""
    seen: set[str] = set()
    found = Rider.__getattribute__

    def noted(self: Rider, name: str) -> Any:
        seen.add(name)
        return found(self, name)

    with monkeypatch.context() as reading:
        reading.setattr(Rider, "__getattribute__", noted)
        if rule.when(placement, world):
            rule.check(placement, world)
    if seen & {"content", "__dict__", "model_dump", "model_copy", "data", "key"}:
        return {"mass", "lengths"}
    return {"mass"} & seen | ({"lengths"} if seen & set(LENGTHS) else set())


def reads_no_other_size(rule: Rule, placement: Any, world: RuleContext, monkeypatch: pytest.MonkeyPatch) -> bool:
    """Whether a rule reads no size that it does not say. Who sits in no harness is looked at as a whole by some rules,
    and so is a trip in which anything is doubted."""
    read = sizes_read(rule, placement, world, monkeypatch)
    whole = rule.not_in_harness or read <= sizes_of(rule)
    return not read or "doubted" in rule.world or ("rider" in rule.depends and whole)


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_a_rule_reads_no_other_size_of_a_rider_than_it_says(
        rule_id: str, case: Case, outcome: str, monkeypatch: pytest.MonkeyPatch) -> None:
    rule = rule_by_id(rule_id)
    if rule.scope == "placement":
        placement, world = subject(rule, case)
        if isinstance(placement, Placement) and type(placement.rider) is Rider:
            assert reads_no_other_size(rule, placement, world, monkeypatch)


def test_no_rule_reads_another_size_in_the_bundled_trips(monkeypatch: pytest.MonkeyPatch) -> None:
    sized = 0
    for trip, world in small_bundled_trips():
        alone = replace(world, store=Store(1))           # nothing that was asked before hides what is read
        for cell in list(all_choices(trip, Runner(world), alike(trip)).cells())[::13]:
            for rule in PLACEMENT:
                if world.profile.base in rule.profiles and type(cell.placement.rider) is Rider:
                    assert reads_no_other_size(rule, cell.placement, alone, monkeypatch), rule.id
                    sized += bool(sizes_of(rule))
    assert sized > 3_000


def test_reading_another_size_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    trip = load_trip("three-across-school-run")
    world = RuleContext(trip, trip.vehicle, load_profile(trip.rules), DAY)
    heavy = rule_by_id("child-too-heavy")
    every = [cell.placement for cell in all_choices(trip, Runner(world), alike(trip)).cells()]
    made = next(p for p in every if heavy.when(p, world))
    silent = Rule(**{**{name: getattr(heavy, name) for name in Rule.__slots__}, "reads": ("rider.height",)})
    assert reads_no_other_size(heavy, made, world, monkeypatch)
    assert not reads_no_other_size(silent, made, world, monkeypatch)


def test_a_size_read_anew_asks_only_who_looks_at_it() -> None:
    rider = Rider.model_validate({"rider": "Wren", "age": "3y", "mass": "14 kg", "height": 950})
    person, mass, lengths = rider.in_parts
    heavier = rider.model_copy(update={"mass": Quantity.of_kg(15)}).in_parts
    taller = rider.model_copy(update={"height": Stature(951)}).in_parts
    older = rider.model_copy(update={"adult": True}).in_parts
    assert [one == other for one, other in zip(heavier, (person, mass, lengths), strict=True)] == [True, False, True]
    assert [one == other for one, other in zip(taller, (person, mass, lengths), strict=True)] == [True, True, False]
    assert [one == other for one, other in zip(older, (person, mass, lengths), strict=True)] == [False, True, True]


def test_what_is_said_is_known_and_needed() -> None:
    assert {name for rule in RULES for name in rule.world} == set(READS)
    assert set(READS) > SAME_FOR_ALL


def test_reading_more_would_be_found() -> None:
    trip = load_trip("three-across-school-run")
    world = RuleContext(trip, trip.vehicle, load_profile(trip.rules), DAY)
    expired = rule_by_id("restraint-expired")
    every = all_choices(trip, Runner(world), alike(trip)).cells()
    made = next(cell.placement for cell in every if cell.placement.restraint)
    silent = Rule(**{**{name: getattr(expired, name) for name in Rule.__slots__}, "world": ()})
    assert beyond(silent, made, world) == {"day"}


def test_a_place_hangs_on_its_own_position_and_on_the_row_beside_the_positions() -> None:
    """What is said of a placement is kept by these, so nothing of it may look at the other positions of the row."""
    asked = 0
    for trip, world in small_bundled_trips():
        apart = RuleContext(trip, trip.vehicle, world.profile, world.day, store=Store())
        for cell in list(all_choices(trip, Runner(world), alike(trip)).cells())[::7]:
            whole = cell.placement
            alone = replace(whole, row=whole.row.model_copy(update={"positions": [whole.position]}))
            assert alone.row.frame == whole.row.frame
            # shapes in it are equal to themselves alone
            assert repr(side_by_side(alone.row, apart).body(alone)) == repr(side_by_side(whole.row, world).body(whole))
            assert need_ahead(alone, apart) == need_ahead(whole, world)
            for rule in PLACEMENT:
                if world.profile.base in rule.profiles and rule.when(whole, world):
                    assert rule.check(alone, world) == rule.check(whole, world), rule.id
                    asked += 1
    assert asked > 10_000


def test_a_row_has_another_frame_where_anything_beside_its_positions_is_another() -> None:
    row = load_trip("three-across-school-run").vehicle.rows[1]
    seat = row.positions[0].model_copy(update={"centre": 300})
    assert row.model_copy(update={"positions": [seat, *row.positions[1:]]}).frame == row.frame
    for changed in ({"slides": 40}, {"trim": []}, {"cushion": row.cushion.model_copy(update={"angle": 9})}):
        assert row.model_copy(update=changed).frame != row.frame


def test_a_row_that_is_only_estimated_is_looked_at_as_a_whole() -> None:
    row = estimated(load_trip("first-answer-tight"), DAY).vehicle.rows[1]
    assert isinstance(row, EstimatedRow)
    near, far = row.corners
    seat = near.positions[0].model_copy(update={"centre": 300})
    other = near.model_copy(update={"positions": [seat, *near.positions[1:]]})
    assert row.model_copy(update={"corners": (other, far)}).frame != row.frame


def test_a_rule_that_says_so_does_not_look_at_a_rider_in_a_harness() -> None:
    silent = [rule for rule in PLACEMENT if rule.not_in_harness]
    asked = 0
    for trip, world in small_bundled_trips():
        other = Rider.model_validate({"rider": "somebody else", "mass": "2 kg", "height": 1900, "age": "9y"})
        for cell in all_choices(trip, Runner(world), alike(trip)).cells():
            if cell.placement.harness:
                for rule in silent:
                    at = cell.placement.for_rider(other, cell.placement.recline)
                    assert rule.when(at, world) == rule.when(cell.placement, world)
                    if rule.when(at, world):
                        assert rule.check(at, world) == rule.check(cell.placement, world)
                        asked += 1
    assert silent
    assert asked > 100


def test_ways_are_kept_by_all_that_their_placements_hang_on() -> None:
    """What is read to choose a setting and to make the keys of a placement is in what a way is kept by."""
    asked = 0
    for trip, world in small_bundled_trips():
        apart = replace(world, store=Store())
        by: set[str] = set()
        recorded: Any = Recorded(apart, "", by)
        around(recorded)
        for name in SAME_FOR_ALL:
            by |= READS[name][1]
        for rider in trip.riders:
            of_rider(rider, recorded)
            for way in ways_of(trip, rider, alike(trip)):
                seen: set[str] = set()
                reading: Any = Recorded(apart, "", seen)
                for placement in placements_of(reading, rider, way):
                    for name in READS.keys() - SAME_FOR_ALL:
                        READS[name][0](placement, reading)
                        asked += 1
                # who sits in front is told by the rows that there are
                assert seen <= by | {"vehicle.in_front"}, (rider.rider, way)
    assert asked > 20_000
