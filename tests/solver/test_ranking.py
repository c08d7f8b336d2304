"""Packed costs, and what each criterion counts, on a trip small enough to count by hand."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import pytest
from solved import DAY
from worlds import trip_of

from seatplan.rules.finding import Finding, Result
from seatplan.rules.load import load_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.run import Runner
from seatplan.rules.subjects import RuleContext
from seatplan.solver.kinds import alike
from seatplan.solver.placements import Choices, JudgedPlacement, all_choices
from seatplan.solver.ranking import (
    AGES,
    CRITERIA,
    NEARLY,
    OPEN,
    PERHAPS,
    ROOM_CAP_MM,
    STAGES,
    SURE,
    CellCost,
    cost,
    decided_by,
    room_points,
    safety,
    squeeze,
    stages_of,
    surely,
    unpack,
    weighed,
)

#: names of the criteria with the step of the order that each belongs to, in order
ORDER = [("squeeze", 0), ("under_way", 0), ("open", 1), ("front_young", 2), ("under_two", 3),
         ("front_under_nine", 4), ("doubtful", 5), ("protection", 5), ("front_older", 6),
         ("front_who", 6), ("grave", 7), ("slight", 7), ("sure", 8),
         ("wishes", 9), ("tried", 9), ("moves", 9), ("method", 9), ("centre", 9), ("room", 9)]


def test_the_order_of_the_criteria() -> None:
    assert [(criterion.name, criterion.step) for criterion in CRITERIA] == ORDER
    assert all(criterion.title and criterion.why and criterion.source for criterion in CRITERIA)


def test_each_criterion_has_room_of_its_own() -> None:
    """As many bits as it says, and not one more: the largest value of each, all together, unpack to what they were."""
    largest = {criterion.name: (1 << criterion.bits) - 1 for criterion in CRITERIA}
    packed = cost(**largest)
    assert unpack(packed) == largest
    assert packed.bit_length() == sum(criterion.bits for criterion in CRITERIA)
    assert cost() == 0
    assert cost(room=1) == 1
    assert squeeze(packed) == largest["squeeze"]
    assert squeeze(cost(**largest | {"squeeze": 0})) == 0


def test_what_comes_first_outweighs_all_that_follows() -> None:
    for earlier, later in pairwise(CRITERIA):
        assert cost(**{earlier.name: 1}) > cost(**{later.name: (1 << later.bits) - 1})


def test_safety_is_what_comes_before_wishes() -> None:
    """All of steps 1 to 8, and nothing of step 9, of room or of what is under way."""
    for criterion in CRITERIA:
        assert (safety(cost(**{criterion.name: 1})) > 0) == (0 < criterion.step < 9), criterion.name
    assert safety(cost(sure=1)) == 1


def test_how_sure_a_whole_arrangement_is() -> None:
    """What is open comes after all that is not; else being less sure weighs more than a wish, and less than good
    practice."""
    assert SURE < NEARLY < PERHAPS < OPEN
    assert [surely(one) for one in (SURE, NEARLY, PERHAPS)] == [0, cost(sure=1), cost(sure=2)]
    assert unpack(surely(OPEN))["open"] == 1
    assert surely(OPEN) > cost(front_young=200, under_two=200, protection=1 << 200)
    assert cost(slight=1) > surely(PERHAPS) > surely(NEARLY) > cost(wishes=9)


def test_what_decided() -> None:
    assert decided_by(cost(wishes=1, room=5), cost(wishes=1, room=5)) is None
    assert decided_by(cost(wishes=1, room=5), cost(wishes=1, room=6)) == "room"
    assert decided_by(cost(protection=1, room=9), cost(protection=2, room=1)) == "protection"
    assert decided_by(cost(protection=2), cost(open=1)) == "open"
    assert decided_by(cost(wishes=2, room=5), cost(wishes=1, room=6)) == "wishes"


@pytest.mark.parametrize(("spare", "points"), [
    (None, 0), (0, 100), (0.9, 100), (1, 99), (99, 1), (99.9, 1), (100, 0), (250, 0)])
def test_room_counts_up_to_a_cap(spare: float | None, points: int) -> None:
    assert ROOM_CAP_MM == 100
    assert room_points(spare) == points


MODES = ["rear-facing-harness", "forward-facing-harness", "high-back-booster", "backless-booster", "lying-flat-bed",
         "harness-vest"]


def trip(**more: Any) -> dict[str, Any]:
    """Two children and an adult, one restraint of every mode and one more, a row of two and a row of three."""
    rows = [{"row": 1, "positions": [{"position": "1L"}, {"position": "1R", "tether": "front"}],
             "tethers": [{"tether": "front"}]},
            {"row": 2, "lower_anchors": [{"bar": "a", "across": 175}, {"bar": "b", "across": 455}], "positions": [
                {"position": "2L", "lower_anchors": ["a", "b"]}, {"position": "2C"},
                {"position": "2R", "tether": "t"}], "tethers": [{"tether": "t"}]}]
    restraint = {"restraint": "all", "modes": [
        {"mode": mode, "tether_strap": mode == "forward-facing-harness",
         "installations": [{"by": "lower-anchors"}, {"by": "lap-shoulder-belt"}]} for mode in MODES]}
    other = {"restraint": "other", "condition": {"crash": "minor"}, "modes": [
        {"mode": "rear-facing-harness", "installations": [{"by": "lap-shoulder-belt"}]},
        {"mode": "forward-facing-harness", "installations": [{"by": "lap-shoulder-belt", "support_leg": True}]}]}
    return {"trip": "Count", "vehicle": {"vehicle": "Bench", "invented": True, "rows": rows}, "drives": "1L",
            "riders": [{"rider": "Wren", "age": "2y"}, {"rider": "Oslo", "age": "4y"},
                       {"rider": "Ada", "adult": True}],
            "restraints": [restraint, other], **more}


def judged(data: dict[str, Any]) -> tuple[RuleContext, Choices]:
    """Every placement of a trip with its findings; nothing is searched."""
    trip = trip_of(data)
    world = RuleContext(trip, trip.vehicle, load_profile("us"), DAY)
    return world, all_choices(trip, Runner(world), alike(trip))


def cell_of(choices: Choices, rider: str, position: str, mode: str, by: str = "lap-shoulder-belt",
            restraint: str = "all") -> JudgedPlacement:
    cells = [cell for cell in choices.cells() if (
        cell.placement.rider.rider, cell.placement.position.position, cell.placement.mode_name) == (
            rider, position, mode) and (mode == "seat-belt" or (
                cell.placement.by == by and cell.placement.restraint.restraint == restraint))]
    assert len(cells) == 1
    return cells[0]


def told(data: dict[str, Any], rider: str, position: str, mode: str, by: str = "lap-shoulder-belt",
         restraint: str = "all") -> dict[str, int]:
    """What one placement counts, by criterion."""
    world, choices = judged(data)
    cell, of = cell_of(choices, rider, position, mode, by, restraint), CellCost(world)
    assert of(cell) == of(cell)
    counted = unpack(of(cell))
    weights = [rule_by_id(f.rule).weight for f in cell.findings
               if f.outcome == "caution" and not rule_by_id(f.rule).own_step]
    assert counted["grave"] == weights.count("grave")
    assert counted["slight"] == weights.count("slight") + (mode == "backless-booster")
    assert counted["doubtful"] == (restraint == "other")
    # how sure and how roomy it is, a whole arrangement tells
    assert [counted[name] for name in ("squeeze", "open", "sure", "room")] == [0, 0, 0, 0]
    return counted


def stages(counted: dict[str, int]) -> dict[int, Counter[str]]:
    """How many children ride how, by the turn of their age, as a number packs it."""
    found: dict[int, Counter[str]] = {}
    for turn in range(AGES):
        for n, stage in enumerate(STAGES):
            many = counted["protection"] >> ((AGES - 1 - turn) * len(STAGES) + n) * 4 & 15
            if many:
                found.setdefault(turn, Counter())[stage] += many
    return found


BARE = "forward-facing harness without a tether below five"


@pytest.mark.parametrize(("rider", "position", "mode", "stage"), [
    ("Wren", "2L", "rear-facing-harness", "rear-facing harness"),
    ("Wren", "2L", "forward-facing-harness", BARE), ("Wren", "2R", "forward-facing-harness", "forward-facing harness"),
    ("Wren", "2L", "harness-vest", "vest or shield"), ("Wren", "2L", "high-back-booster", "booster"),
    ("Wren", "2L", "backless-booster", "booster"), ("Wren", "2L", "seat-belt", "vehicle belt"),
    ("Wren", "2L", "lying-flat-bed", "bed for a child who need not lie")])
def test_how_a_child_rides(rider: str, position: str, mode: str, stage: str) -> None:
    """The youngest of two ages has turn 0."""
    assert stages(told(trip(), rider, position, mode)) == {0: {stage: 1}}


def test_stages_come_in_order_of_protection() -> None:
    """And no number of children at one stage is as bad as one at the next."""
    ways = [told(trip(), "Wren", position, mode)["protection"] for position, mode in [
        ("2R", "rear-facing-harness"), ("2R", "forward-facing-harness"), ("2L", "forward-facing-harness"),
        ("2R", "harness-vest"), ("2R", "high-back-booster"), ("2R", "seat-belt"), ("2R", "lying-flat-bed")]]
    assert ways == sorted(ways)
    assert all(15 * better < worse for better, worse in pairwise(ways))


@pytest.mark.parametrize(("age", "stage"), [
    ("59 months", BARE), ("60 months", "forward-facing harness"), (None, BARE)])
def test_a_tether_counts_for_the_stage_below_five(age: str | None, stage: str) -> None:
    assert stages(told(trip(riders=ages(age, "3y")), "Wren", "2L", "forward-facing-harness")).popitem()[1] == {stage: 1}


def test_a_leg_holds_a_harness_as_a_tether_does() -> None:
    assert stages(told(trip(), "Wren", "2L", "forward-facing-harness", restraint="other")) == {
        0: {"forward-facing harness": 1}}


def test_a_bed_stands_first_for_a_child_who_must_lie() -> None:
    lies = trip(riders=[{"rider": "Wren", "age": "2 months", "lies": True}, {"rider": "Oslo", "age": "4y"}])
    assert stages(told(lies, "Wren", "2L", "lying-flat-bed")) == {0: {"rear-facing harness": 1}}
    assert told(lies, "Wren", "2L", "lying-flat-bed")["under_two"] == 0
    assert stages(told(lies, "Oslo", "2L", "lying-flat-bed")) == {1: {"bed for a child who need not lie": 1}}


@pytest.mark.parametrize(("given", "turns"), [
    (("2y", "4y", "3y"), (0, 2, 1)), (("4y", "4y", "3y"), (1, 1, 0)), (("5y", None, "0 months"), (2, 0, 1)),
    ((None, "1 month", None), (0, 1, 0)), (("24 months", "25 months", "2y"), (0, 1, 0))])
def test_children_have_their_turn_by_age(given: tuple[str | None, ...], turns: tuple[int, ...]) -> None:
    """The youngest first, one of unknown age before all others; of one age together, whatever their names."""
    world, _ = judged(trip(riders=ages(*given)))
    of = CellCost(world)
    assert tuple(map(of.turn, range(3))) == turns
    for name, turn in zip(("Wren", "Oslo", "Pim"), turns, strict=True):
        assert stages(told(trip(riders=ages(*given)), name, "2R", "high-back-booster")) == {turn: {"booster": 1}}


def test_a_younger_child_outweighs_all_older_ones() -> None:
    """One step for the youngest against the best and the worst way for two others."""
    family = trip(riders=ages("2y", "4y", "6y"))
    one, other = (told(family, "Wren", "2R", mode)["protection"]
                  for mode in ("rear-facing-harness", "forward-facing-harness"))
    worst, best = (sum(told(family, name, "2R", mode)["protection"] for name in ("Oslo", "Pim"))
                   for mode in ("lying-flat-bed", "rear-facing-harness"))
    assert one + worst < other + best


def test_children_of_one_age_are_compared_worst_first() -> None:
    """Two in harnesses facing forward before one facing the rear and one on a booster."""
    twins = trip(riders=ages("4y", "4y"))
    def both(one: str, other: str) -> int:
        return sum(told(twins, name, "2R", mode)["protection"] for name, mode in (("Wren", one), ("Oslo", other)))

    even = both("forward-facing-harness", "forward-facing-harness")
    uneven = both("rear-facing-harness", "high-back-booster")
    assert even < uneven == both("high-back-booster", "rear-facing-harness")


def test_more_ages_than_are_told_apart_count_as_the_oldest() -> None:
    many = [{"rider": f"Child {n}", "age": f"{n + 1} y"} for n in range(AGES + 2)]
    world, _ = judged(trip(riders=many))
    assert [CellCost(world).turn(n) for n in range(AGES + 2)] == [*range(AGES), AGES - 1, AGES - 1]


def test_stages_are_read_from_what_a_cost_says_of_protection() -> None:
    """Wren, the youngest, and two of one age, of whom the one less protected stands first."""
    family = trip(riders=ages("2y", "4y", "4y"))
    modes = {"Wren": "rear-facing-harness", "Oslo": "rear-facing-harness", "Pim": "high-back-booster"}
    whole = sum(told(family, name, "2R", mode)["protection"] for name, mode in modes.items())
    assert [STAGES[n] for n in stages_of(whole)] == ["rear-facing harness", "booster", "rear-facing harness"]
    assert stages_of(0) == ()


def test_an_adult_is_not_asked_for_a_restraint() -> None:
    counted = told(trip(), "Ada", "1R", "seat-belt")
    assert {counted[name] for name, step in ORDER if step in (2, 3, 4, 5, 6)} == {0}


@pytest.mark.parametrize(("age", "position", "mode", "counts"), [
    ("4y", "1R", "high-back-booster", "front_young"), ("59 months", "1R", "seat-belt", "front_young"),
    ("60 months", "1R", "high-back-booster", "front_under_nine"),
    ("60 months", "1R", "forward-facing-harness", "front_young"),
    ("8y", "1R", "rear-facing-harness", "front_young"), ("8y", "1R", "harness-vest", "front_young"),
    ("8y", "1R", "seat-belt", "front_under_nine"), ("107 months", "1R", "seat-belt", "front_under_nine"),
    ("9y", "1R", "seat-belt", "front_older"), ("9y", "1R", "forward-facing-harness", "front_young"),
    ("155 months", "1R", "seat-belt", "front_older"), ("13y", "1R", "seat-belt", None),
    (None, "1R", "seat-belt", "front_young"), (None, "2R", "seat-belt", None),
    ("4y", "2R", "rear-facing-harness", None), ("8y", "2L", "high-back-booster", None),
    ("10y", "2C", "seat-belt", None)])
def test_a_child_in_front_counts_once(age: str | None, position: str, mode: str, counts: str | None) -> None:
    counted = told(trip(riders=ages(age, "14y")), "Wren", position, mode)
    steps = ("front_young", "front_under_nine", "front_older")
    assert {name: counted[name] for name in steps} == {name: int(name == counts) for name in steps}


def test_in_front_is_where_no_row_is_ahead() -> None:
    data = trip()
    data["vehicle"]["rows"].pop(0)
    data |= {"drives": "2L"}
    assert told(data, "Wren", "2R", "rear-facing-harness")["front_young"] == 1


@pytest.mark.parametrize(("age", "mode", "counts"), [
    ("23 months", "forward-facing-harness", 1), ("23 months", "rear-facing-harness", 0),
    ("23 months", "harness-vest", 1),
    ("24 months", "forward-facing-harness", 0), (None, "forward-facing-harness", 1), (None, "rear-facing-harness", 0),
    ("2 months", "lying-flat-bed", 1)])
def test_under_two_and_not_facing_the_rear(age: str | None, mode: str, counts: int) -> None:
    assert told(trip(riders=ages(age, "14y")), "Wren", "2L", mode)["under_two"] == counts


def in_front(height: int | None, age: str | None, fit: dict[str, Any] | None = None) -> dict[str, Any]:
    more = {"height": height, "age": age, "belt_fit": fit}
    return {key: value for key, value in more.items() if value is not None}


FITS_HERE = {"passed": True, "position": "1R"}


@pytest.mark.parametrize(("better", "worse"), [
    ((in_front(1400, "9y", FITS_HERE), "seat-belt"), (in_front(1480, "12y"), "seat-belt")),
    ((in_front(1400, "9y", FITS_HERE), "seat-belt"), (in_front(1480, "12y"), "high-back-booster")),
    ((in_front(1400, "9y"), "high-back-booster"), (in_front(1480, "12y"), "seat-belt")),
    ((in_front(1400, "9y"), "backless-booster"),
     (in_front(1480, "12y", {"passed": True, "position": "2L"}), "seat-belt")),
    ((in_front(1400, "9y"), "backless-booster"), (in_front(1480, "12y", FITS_HERE | {"passed": False}), "seat-belt")),
    ((in_front(1410, "9y"), "seat-belt"), (in_front(1400, "12y"), "seat-belt")),
    ((in_front(1410, "9y"), "high-back-booster"), (in_front(1400, "12y"), "high-back-booster")),
    ((in_front(1410, "9y"), "seat-belt"), (in_front(None, "12y"), "seat-belt")),
    ((in_front(1400, "10y"), "seat-belt"), (in_front(1400, "9y"), "seat-belt")),
    ((in_front(None, "10y"), "seat-belt"), (in_front(None, "9y"), "seat-belt"))])
@pytest.mark.parametrize("turned", [False, True])
def test_who_must_sit_in_front(better: tuple[dict[str, Any], str], worse: tuple[dict[str, Any], str],
                               turned: bool) -> None:
    """Whom the belt fits best, then the tallest, then the oldest, whoever comes first in the file."""
    riders = [{"rider": "Wren", **better[0]}, {"rider": "Oslo", **worse[0]}]
    family = trip(riders=riders[::-1] if turned else riders)
    assert told(family, "Wren", "1R", better[1])["front_who"] < told(family, "Oslo", "1R", worse[1])["front_who"]


def test_children_that_are_alike_are_alike_in_front() -> None:
    family = trip(riders=[{"rider": name, "height": 1400, "age": "10y"} for name in ("Wren", "Oslo")])
    assert told(family, "Wren", "1R", "seat-belt") == told(family, "Oslo", "1R", "seat-belt")


def test_of_several_in_front_the_smallest_counts_first() -> None:
    """Of the twins and two others, the tallest with the smallest are worse than the two between."""
    family = trip(riders=[{"rider": name, "height": height, "age": "10y"} for name, height in (
        ("Wren", 1400), ("Oslo", 1420), ("Pim", 1420), ("Tam", 1440))])
    wren, oslo, pim, tam = (told(family, name, "1R", "seat-belt")["front_who"]
                            for name in ("Wren", "Oslo", "Pim", "Tam"))
    assert oslo == pim
    assert tam + oslo < oslo + pim < tam + wren < oslo + wren


@pytest.mark.parametrize(("age", "position", "counts"), [
    ("12y", "1R", True), ("155 months", "1R", True), ("4y", "1R", True), ("13y", "1R", False), ("12y", "2R", False)])
def test_who_sits_in_front_matters_below_thirteen(age: str, position: str, counts: bool) -> None:
    assert (told(trip(riders=ages(age, "4y")), "Wren", position, "seat-belt")["front_who"] > 0) == counts


def test_cautions_by_weight() -> None:
    """A toddler of 20 months who faces forward: grave. A booster without a back is slight beside what rules say."""
    assert told(trip(riders=ages("20 months", "3y")), "Wren", "2R", "forward-facing-harness")["grave"] >= 1
    # both: a raised cushion, a side airbag; with a back the head restraint juts, without one nothing is behind the head
    high, low = (told(trip(riders=ages("7y", "3y")), "Wren", "2R", mode)
                 for mode in ("high-back-booster", "backless-booster"))
    assert [(one["grave"], one["slight"]) for one in (high, low)] == [(0, 3), (1, 2 + 1)]
    assert told(trip(), "Wren", "2L", "rear-facing-harness", restraint="other")["grave"] == told(
        trip(), "Wren", "2L", "rear-facing-harness")["grave"] + 1


def test_cautions_of_a_whole_arrangement_by_weight() -> None:
    passed = Result("pass")
    found = [Finding(rule, outcome, (), (), passed, "") for rule, outcome in [
        ("forward-facing-before-two", "caution"), ("still-fits-rear-facing", "caution"),
        ("way-out-blocked", "caution"), ("belts-cross", "caution"),
        ("seats-too-near-to-be-tested", "caution"),
        ("front-seat-under-13", "caution"), ("forward-facing-before-two", "pass"),
        ("still-fits-rear-facing", "unmeasured"), ("restraint-crashed", "block")]]
    assert weighed(found) == cost(grave=1, slight=2)
    assert weighed([]) == 0


@pytest.mark.parametrize(("unmeasured", "estimates", "close", "held", "sure"), [
    (False, (), False, False, SURE), (False, (), False, True, SURE), (False, (), True, True, SURE),
    (False, (), True, False, NEARLY), (False, ("mass",), False, False, PERHAPS),
    (False, ("mass",), True, True, PERHAPS),
    (True, (), False, True, OPEN), (True, ("mass",), True, False, OPEN)])
def test_how_sure_a_placement_counts_as(unmeasured: bool, estimates: tuple[str, ...], close: bool, held: bool,
                                        sure: int) -> None:
    """What is close and held when it was tried counts as fitting; trying measures nothing."""
    told: Any = SimpleNamespace(unmeasured=unmeasured, estimates=estimates, close=close, held=held)
    assert CellCost(judged(trip())[0]).sure(told) == sure


def test_what_held_when_it_was_tried_counts_before_what_nobody_tried() -> None:
    entry = {"restraint": "all", "position": "2L", "by": "lap-shoulder-belt", "mode": "rear-facing-harness",
             "moved": 3, "level": True}
    held = trip(tried=[entry])
    assert told(held, "Wren", "2L", "rear-facing-harness")["tried"] == 0
    assert told(held, "Wren", "2R", "rear-facing-harness")["tried"] == 1
    assert told(trip(tried=[entry | {"moved": 40}]), "Wren", "2L", "rear-facing-harness")["tried"] == 1
    assert told(trip(), "Ada", "1R", "seat-belt")["tried"] == 1


def test_the_belt_counts_after_the_lower_anchors() -> None:
    assert told(trip(), "Wren", "2L", "rear-facing-harness", "lower-anchors")["method"] == 0
    assert told(trip(), "Wren", "2L", "rear-facing-harness")["method"] == 1
    assert told(trip(), "Wren", "2L", "high-back-booster")["method"] == 0


@pytest.mark.parametrize(("wishes", "unkept"), [
    ([{"rider": "Wren", "at": ["2L"]}], 0), ([{"rider": "Wren", "at": ["2R"]}], 1),
    ([{"rider": "Wren", "not_at": ["2L"]}], 1), ([{"rider": "Wren", "not_at": ["2R"]}], 0),
    ([{"rider": "Wren", "uses": ["all"]}], 0), ([{"rider": "Wren", "uses": ["other"]}], 1),
    ([{"rider": "Wren", "at": ["2R"]}, {"rider": "Wren", "not_at": ["2L"]}, {"rider": "Wren", "uses": ["other"]}], 3),
    ([{"rider": "Oslo", "at": ["2R"]}], 0), ([{"rider": "Ada", "at": ["2R"]}, {"rider": "Wren", "at": ["2L"]}], 0),
    ([{"rider": "Wren", "at": ["2R"], "must": True}], 0), ([{"apart": ["Wren", "Oslo"]}], 0)])
def test_wishes_that_are_not_kept(wishes: list[dict[str, Any]], unkept: int) -> None:
    assert told(trip(wishes=wishes), "Wren", "2L", "rear-facing-harness")["wishes"] == unkept


def test_wishes_of_others_count_for_them() -> None:
    wish = [{"rider": "Wren", "at": ["2R"]}]
    assert told(trip(wishes=wish), "Oslo", "2L", "rear-facing-harness")["wishes"] == 0


def test_adults_alone_have_no_youngest() -> None:
    assert told(trip(riders=[{"rider": "Ada", "adult": True}]), "Ada", "2L", "seat-belt")["centre"] == 0


@pytest.mark.parametrize(("now", "moves"), [
    ({"position": "2L", "restraint": "all"}, 0), ({"position": "2R", "restraint": "all"}, 1),
    ({"position": "2C", "restraint": "all"}, 1), ({"position": "2L", "restraint": "other"}, 1),
    ({"position": "2L", "restraint": None}, 1), ({"position": "2R", "restraint": "other"}, 2)])
def test_changes_from_today(now: dict[str, Any], moves: int) -> None:
    assert told(trip(installed={"Wren": now}), "Wren", "2L", "rear-facing-harness")["moves"] == moves
    assert told(trip(installed={"Oslo": now}), "Wren", "2L", "rear-facing-harness")["moves"] == 0


def test_on_the_adult_belt_as_today() -> None:
    assert told(trip(installed={"Ada": {"position": "1L", "restraint": None}}), "Ada", "1L", "seat-belt")["moves"] == 0


def ages(*given: Any) -> list[dict[str, Any]]:
    names = ("Wren", "Oslo", "Pim")
    return [{"rider": name, **({} if age is None else {"age": age})} for name, age in zip(names, given, strict=False)]


@pytest.mark.parametrize(("riders", "position", "mode", "counts"), [
    (ages("2y", "4y"), "2L", "rear-facing-harness", 1), (ages("2y", "4y"), "2R", "forward-facing-harness", 1),
    (ages("2y", "4y"), "2C", "rear-facing-harness", 0), (ages("2y", "4y"), "1R", "rear-facing-harness", 0),
    (ages("2y", "4y"), "2L", "high-back-booster", 0), (ages("4y", "2y"), "2L", "rear-facing-harness", 0),
    (ages("2y", "2y"), "2L", "rear-facing-harness", 1), (ages("2y"), "2L", "rear-facing-harness", 0),
    (ages("2y", None), "2L", "rear-facing-harness", 0), (ages(None, "2y"), "2L", "rear-facing-harness", 1),
    (ages(None, None), "2L", "rear-facing-harness", 1), (ages(None, "2y", None), "2R", "rear-facing-harness", 1),
    ([*ages("2y"), {"rider": "Ada", "adult": True, "age": "30y"}], "2L", "rear-facing-harness", 0)])
def test_the_youngest_in_a_harness_beside_a_centre_seat(riders: list[dict[str, Any]], position: str, mode: str,
                                                        counts: int) -> None:
    assert told(trip(riders=riders), "Wren", position, mode)["centre"] == counts


def test_each_cell_has_a_cost_of_its_own() -> None:
    world, choices = judged(trip())
    of = CellCost(world)
    cells = list(choices.cells())
    assert [of(cell) for cell in cells] == [CellCost(world)(cell) for cell in cells] == [of(cell) for cell in cells]
