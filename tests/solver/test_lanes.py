"""Along the car as the search sees it: lanes and ways by number, and verdicts on sums worked out by hand.

The car: 1L drives and slides 230, 1R slides 230, row 2 slides 110; a tape is off by 5 mm.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from solved import DAY
from worlds import trip_of

from seatplan.geometry.chain import Addend, Solution, Squeeze
from seatplan.geometry.lengthwise import FRONT, Behind, mover_of, stands_mm
from seatplan.rules.load import load_profile
from seatplan.rules.options import Options
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.solver.lane import Along, Ask, LengthwiseDemand
from seatplan.solver.lanes import Lanes, forward_at_most
from seatplan.solver.rowplans import CLOSE_FIT, FITS, LIKELY_FIT, TOO_TIGHT, UNSURE


def world(*, front: dict[str, Any] | None = None, riders: list[dict[str, Any]] | None = None,
          rows: dict[int, dict[str, Any]] | None = None, tolerance: float = 5, drives: str = "1L") -> RuleContext:
    ahead = {"gap": [[0, 700], [600, 700]]}
    car = [
        {"row": 1, "positions": [{"position": "1L"}, {"position": "1R"}]},
        {"row": 2, "slides": 110, "positions": [
            {"position": "2L", "ahead": {"seat": "1L", "travel": 230, **ahead}}, {"position": "2C"},
            {"position": "2R", "ahead": {"seat": "1R", "travel": 230, **ahead}}]},
        {"row": 3, "positions": [{"position": "3L", "ahead": {"seat": "2L", "travel": 230, **ahead}}]},
    ]
    for row in car:
        row.update((rows or {}).get(row["row"], {}))
    trip = trip_of({
        "trip": "Along", "drives": drives, "front": front or {},
        "riders": riders or [{"rider": "Wren"}], "restraints": [],
        "vehicle": {"vehicle": "Bench", "invented": True, "measured": {"tolerance": tolerance},
                    "every_seat": {"facing": "forward", "tip_up": False, "slides": False}, "rows": car}})
    return RuleContext(trip, trip.vehicle, load_profile("us"), DAY)


def body(position: str, ahead: str, mm: int, braced: bool = False, off: float = 0.0) -> Behind:
    return Behind(position, position, ahead, mm, braced, (Addend(f"need at {position}", mm, off),))


KNOWN = {"1L": {"forward_at_most": 90}}


@pytest.mark.parametrize(("stature", "forward"), [
    (1870, 0), (2000, 0), (1525, 230), (1400, 230), (1697, 115), (1698, 115), (1869, 1), (1526, 229)])
def test_a_driver_sits_further_forward_the_shorter(stature: int, forward: int) -> None:
    assert forward_at_most(stature, 230) == forward


def test_an_estimate_is_worked_out_straight_between() -> None:
    """45 of 345 mm above the foremost: 1 - 45 / 345 of the travel."""
    assert forward_at_most(1570, 345) == 300
    assert forward_at_most(1570, 0) == 0


# numbers of lanes and ways

def test_lanes_and_ways_have_one_number_each() -> None:
    lanes = Lanes(world())
    ask = Ask("2L", "1L", 40, False, 5.0)
    assert lanes.number(LengthwiseDemand()) == lanes.empty
    assert lanes.number(LengthwiseDemand((ask,))) == lanes.number(LengthwiseDemand((Ask("2L", "1L", 40, False,
                                                                                        5.0),))) != lanes.empty
    assert lanes.way(frozenset({(lanes.empty, FITS)})) == lanes.nothing
    assert lanes.way(frozenset({(lanes.empty, CLOSE_FIT)})) != lanes.nothing
    # a lane at a worse level adds nothing to itself at a better one
    assert lanes.way(frozenset({(lanes.empty, FITS), (lanes.empty, UNSURE)})) == lanes.nothing


def test_together_is_what_both_ask_and_take() -> None:
    lanes = Lanes(world(front=KNOWN))
    ask, other = Ask("2L", "1L", 40, False, 0.0), Ask("3L", "2L", 20, False, 0.0)
    one, two = lanes.number(LengthwiseDemand((ask,), ("1R",))), lanes.number(LengthwiseDemand((other,), ("1L",)))
    whole = lanes.number(LengthwiseDemand((ask, other), ("1L", "1R")))
    assert lanes.together([one, two]) == lanes.together([two, one]) == whole
    assert lanes.together([]) == lanes.empty
    assert lanes.together([one]) == one


def test_ways_join_lane_by_lane_with_the_worse_level() -> None:
    lanes = Lanes(world(front=KNOWN))
    ask, other = Ask("2L", "1L", 40, False, 0.0), Ask("3L", "2L", 20, False, 0.0)
    one, two = lanes.number(LengthwiseDemand((ask,))), lanes.number(LengthwiseDemand((other,)))
    a, b = lanes.way(frozenset({(one, CLOSE_FIT), (lanes.empty, UNSURE)})), lanes.way(frozenset({(two, FITS)}))
    assert lanes.join(a, lanes.nothing) == lanes.join(lanes.nothing, a) == a
    joined = lanes.way(frozenset({(lanes.together([one, two]), CLOSE_FIT), (two, UNSURE)}))
    assert lanes.join(a, b) == lanes.join(b, a) == lanes.join(a, b) == joined
    assert lanes.asks(a)
    assert not lanes.asks(lanes.nothing)
    assert not lanes.asks(lanes.way(frozenset({(lanes.number(LengthwiseDemand((), ("1L",))), FITS)})))


def test_the_level_of_a_way_is_that_of_its_best_lane() -> None:
    """80 forward of 90 fits, 100 does not; a way that can choose takes what fits, at the level of its own row."""
    lanes = Lanes(world(front=KNOWN))
    fits, tight = (lanes.number(LengthwiseDemand((Ask("2L", "1L", mm, False, 0.0),))) for mm in (60, 120))
    for chosen, level in (({(fits, FITS)}, FITS), ({(tight, FITS)}, TOO_TIGHT), ({(fits, UNSURE)}, UNSURE),
                          ({(fits, UNSURE), (tight, FITS)}, UNSURE), ({(fits, CLOSE_FIT), (tight, FITS)}, CLOSE_FIT)):
        way = lanes.way(frozenset(chosen))
        assert lanes.level(way) == lanes.level(way) == level
    assert lanes.level(lanes.nothing) == FITS
    assert lanes.judge(fits) is lanes.judge(fits)


# verdicts; the limit of 90 is off by 5

@pytest.mark.parametrize(("needs", "off", "level"), [
    (84, 0, FITS), (85, 0, FITS), (86, 0, CLOSE_FIT), (90, 0, CLOSE_FIT), (91, 0, CLOSE_FIT),
    (94, 0, CLOSE_FIT), (95, 0, TOO_TIGHT), (96, 0, TOO_TIGHT), (77, 12, FITS),
    (78, 12, CLOSE_FIT), (102, 12, CLOSE_FIT), (103, 12, TOO_TIGHT)])
def test_what_the_tape_may_be_off_is_close(needs: int, off: float, level: int) -> None:
    """5 and 12 are 13 together."""
    along = Lanes(world(front=KNOWN)).solve([body("2L", "1L", needs, off=off)], [])
    assert along.level == level
    assert along.off_mm == (13 if off else 5)
    assert isinstance(along.answer, Squeeze if needs > 90 else Solution)
    assert along.unknown == ""


@pytest.mark.parametrize(("needs", "level"), [(73, FITS), (74, CLOSE_FIT), (106, CLOSE_FIT), (107, TOO_TIGHT)])
def test_the_worst_case_adds_up(needs: int, level: int) -> None:
    worst = replace(world(front=KNOWN), options=Options(worst_case=True))
    along = Lanes(worst).solve([body("2L", "1L", needs, off=12)], [])
    assert (along.level, along.off_mm) == (level, 17)


def test_nobody_asks() -> None:
    assert Lanes(world()).solve([], ["1L"]) == Along(FITS, None) == Along(FITS, None, 0.0, "")


def test_the_sum_that_is_shown_is_the_one_that_is_close() -> None:
    """1L has 88 of 90, off by 5; 1R has 100 of 230: the first is shown with its spare of 2, whatever the rest has."""
    along = Lanes(world(front=KNOWN)).solve([body("2L", "1L", 88), body("2R", "1R", 100)], [])
    assert along.level == CLOSE_FIT
    assert isinstance(along.answer, Solution)
    assert along.answer.spare == Fraction(2)
    assert {step.end for step in along.answer.tight} == {"1L", "row 2", FRONT}


def test_the_sum_with_most_room_can_be_the_close_one() -> None:
    """1L has 10 to spare and is off by 5; 1R has 12, but its body may be off by 12: 13 together."""
    along = Lanes(world(front=KNOWN)).solve([body("2L", "1L", 80), body("2R", "1R", 218, off=12)], [])
    assert (along.level, along.off_mm) == (CLOSE_FIT, 13)
    assert isinstance(along.answer, Solution)
    assert along.answer.spare == 12


def test_the_spare_of_a_close_sum_is_shared_by_its_bodies() -> None:
    """Through both rows 43 and 44 of 90; a braced body takes up none of it."""
    along = Lanes(world(front=KNOWN)).solve([body("2L", "1L", 43), body("3L", "2L", 44)], [])
    assert along.level == CLOSE_FIT
    assert isinstance(along.answer, Solution)
    assert along.answer.spare == Fraction(3, 2)
    braced = Lanes(world(front=KNOWN)).solve([body("2L", "1L", 88, braced=True)], [])
    assert braced.level == CLOSE_FIT
    assert isinstance(braced.answer, Solution)
    assert braced.answer.spare == 2


def test_a_sum_that_comes_out_exactly_is_no_lack() -> None:
    """230 of 230 by an exact tape, beside 3 short where a body may be off by 5."""
    along = Lanes(world(front=KNOWN, tolerance=0)).solve([body("2R", "1R", 230), body("2L", "1L", 93, off=5)], [])
    assert along.level == CLOSE_FIT
    assert isinstance(along.answer, Squeeze)
    assert along.answer.short == 3


def test_of_sums_that_lack_room_the_one_beyond_the_tape_is_shown() -> None:
    """20 short where a body may be off by 40, and 10 short where nothing may: only the second is a no."""
    along = Lanes(world(front={**KNOWN, "1R": {"forward_at_most": 90}})).solve(
        [body("2L", "1L", 110, off=40), body("2R", "1R", 100)], ["1R"])
    assert along.level == TOO_TIGHT
    assert isinstance(along.answer, Squeeze)
    assert (along.answer.short, along.off_mm) == (10, 5)
    close = Lanes(world(front=KNOWN)).solve([body("2L", "1L", 110, off=40)], [])
    assert isinstance(close.answer, Squeeze)
    assert (close.level, close.answer.short) == (CLOSE_FIT, 20)


def test_of_two_sums_that_lack_alike_the_shorter_is_shown() -> None:
    """110 of 90 at 1R, and 60 + 50 of 90 through row 2 at 1L."""
    front = {"1L": {"forward_at_most": 90}, "1R": {"forward_at_most": 90}}
    asks = [body("2L", "1L", 60), body("3L", "2L", 50), body("3C", "1R", 110)]
    for told in (asks, asks[::-1]):
        along = Lanes(world(front=front)).solve(told, ["1R"])
        assert along.level == TOO_TIGHT
        assert isinstance(along.answer, Squeeze)
        assert (along.answer.short, len(along.answer.steps)) == (20, 2)


# whose limit nobody gave

def test_a_limit_that_nobody_gave_leaves_it_open_where_it_counts() -> None:
    """With the driver rearmost and no further, 40 are lacking; strict: then it does not fit."""
    asks = [body("2L", "1L", 40)]
    along = Lanes(world()).solve(asks, [])
    assert (along.level, along.unknown) == (UNSURE, "1L")
    assert Lanes(replace(world(), options=Options(strict=True))).solve(asks, []).level == TOO_TIGHT
    # a free seat moves as it likes, a taken one does not
    assert Lanes(world()).solve([body("2R", "1R", 40)], []).level == FITS
    taken = Lanes(world()).solve([body("2R", "1R", 40)], ["1R"])
    assert (taken.level, taken.unknown) == (UNSURE, "1R")


def test_a_limit_that_makes_no_difference_is_not_asked_for() -> None:
    """6 to spare even with everything rearmost, off by 5; 5 are close, and then the limit would tell."""
    assert Lanes(world()).solve([body("2L", "1L", -6)], []).level == FITS
    assert Lanes(world()).solve([body("2L", "1L", -5)], []).level == FITS
    close = Lanes(world()).solve([body("2L", "1L", -4)], [])
    assert (close.level, close.unknown) == (UNSURE, "1L")


def test_beyond_all_travel_no_limit_helps() -> None:
    along = Lanes(world()).solve([body("2L", "1L", 240)], [])
    assert along.level == TOO_TIGHT
    within = Lanes(world()).solve([body("2L", "1L", 232)], [])
    assert (within.level, within.unknown) == (UNSURE, "1L")


def test_estimated_from_stature_is_never_better_than_likely() -> None:
    """1,697 mm: 115 mm forward of rearmost, and from 45 to 185 for 98 of a hundred drivers."""
    lanes = Lanes(world(front={"1L": {"stature": 1697}}))
    limit = lanes.limits([])["1L"]
    assert (limit.label, limit.mm, limit.tolerance) == ("the driver (estimated from 169.7 cm) allows", -115, 70)
    assert [lanes.solve([body("2L", "1L", mm)], []).level for mm in (-40, 20, 45, 46, 184, 185)] == [
        FITS, LIKELY_FIT, LIKELY_FIT, UNSURE, UNSURE, TOO_TIGHT]
    strict = Lanes(replace(world(front={"1L": {"stature": 1697}}), options=Options(strict=True)))
    assert [strict.solve([body("2L", "1L", mm)], []).level for mm in (-40, 20, 100)] == [FITS, TOO_TIGHT, TOO_TIGHT]


def test_the_stature_of_a_rider_who_drives() -> None:
    riders = [{"rider": "Ada", "adult": True, "drives": True, "height": 1697}, {"rider": "Bo", "adult": True,
                                                                            "height": 1525}]
    assert Lanes(world(riders=riders)).limits(["1R"])["1L"].mm == -115
    assert Lanes(world(riders=riders)).limits(["1R"])["1R"].label == "1R slides at most"
    given = Lanes(world(riders=riders, front={"1L": {"forward_at_most": 200}})).limits([])["1L"]
    assert (given.label, given.mm, given.tolerance) == ("the driver allows", -200, 5)
    own = Lanes(world(riders=riders, front={"1L": {"stature": 1870}})).limits([])["1L"]
    assert own.mm == 0


def test_limits_of_taken_seats_only() -> None:
    front = {"1L": {"forward_at_most": 90}, "1R": {"forward_at_most": 50}}
    lanes = Lanes(world(front=front))
    assert {key: limit.mm for key, limit in lanes.limits([]).items()} == {"1L": -90, "1R": -230, "row 2": -110}
    taken = lanes.limits(["1R"])
    assert (taken["1R"].label, taken["1R"].mm) == ("whoever sits at 1R allows", -50)
    assert (taken["1L"].label, taken["1L"].mm) == ("the driver allows", -90)


def test_a_driver_on_the_right() -> None:
    """The seat on the left is free like any other, and the driver's stature says nothing of it."""
    riders = [{"rider": "Ada", "adult": True, "drives": True, "height": 1697}]
    lanes = Lanes(world(front={"1L": {"forward_at_most": 90}}, drives="1R", riders=riders))
    assert {key: limit.mm for key, limit in lanes.limits([]).items()} == {"1L": -230, "1R": -115, "row 2": -110}
    assert (lanes.limits(["1L"])["1L"].label, lanes.limits(["1L"])["1L"].mm) == ("whoever sits at 1L allows", -90)
    assert Lanes(world(drives="1R", riders=riders)).limits(["1L"])["1L"].label == "1L slides at most"


# rows that slide as a whole

SLIDING = {1: {"slides": 150}}


def test_the_seats_of_a_sliding_front_row_are_one_mover() -> None:
    """The tightest of its occupants counts; one given in mm counts before one estimated alike."""
    front = {"1L": {"forward_at_most": 90}, "1R": {"forward_at_most": 50}}
    lanes = Lanes(world(front=front, rows=SLIDING))
    assert {key: limit.mm for key, limit in lanes.limits([]).items()} == {"row 1": -90, "row 2": -110}
    assert lanes.limits(["1R"])["row 1"] == Addend("whoever sits at 1R allows", -50, 5)
    tall = {"1L": {"forward_at_most": 50}, "1R": {"forward_at_most": 90}}
    assert Lanes(world(front=tall, rows=SLIDING)).limits(["1R"])["row 1"] == Addend("the driver allows", -50, 5)


def test_a_sliding_front_row_asks_for_its_occupants_limits_and_a_row_behind_does_not() -> None:
    lanes = Lanes(world(rows=SLIDING))
    along = lanes.solve([body("2L", "1L", 40)], [])
    assert (along.level, along.unknown) == (UNSURE, "1L")
    assert lanes.solve([body("3L", "2L", 40)], ["2L"]).level == FITS
    alike = Lanes(world(front={"1L": {"forward_at_most": 50}, "1R": {"forward_at_most": 50}}, rows=SLIDING))
    assert alike.limits(["1R"])["row 1"].label == "the driver allows"


@pytest.mark.parametrize("front", [
    {"1L": {"forward_at_most": 0}, "1R": {"stature": 1870}}, {"1L": {"stature": 1870}, "1R": {"forward_at_most": 0}}])
def test_of_two_limits_alike_the_estimated_one_counts_with_what_it_is_off(front: dict[str, Any]) -> None:
    limit = Lanes(world(front=front, rows=SLIDING)).limits(["1R"])["row 1"]
    assert (limit.mm, limit.tolerance) == (0, 70)
    assert "estimated" in limit.label


def test_a_row_behind_is_held_where_the_trip_says_so() -> None:
    given = Lanes(world(front={**KNOWN, "2C": {"forward_at_most": 30}}))
    assert given.limits([])["row 2"].mm == -110
    assert given.limits(["2C"])["row 2"].mm == -30
    assert given.limits(["2L"])["row 2"].mm == -110
    assert given.solve([body("3L", "2L", 40)], ["2C"]).level == TOO_TIGHT
    assert given.solve([body("3L", "2L", 40)], []).level == FITS


def test_movers_are_the_seats_that_have_a_travel() -> None:
    still = {2: {"slides": 0, "positions": [
        {"position": "2L", "ahead": {"seat": "1L", "travel": 230, "gap": []}},
        {"position": "2C", "ahead": {"gap": []}}, {"position": "2R", "ahead": {"seat": "1R", "gap": []}}]}}
    assert sorted(Lanes(world(rows=still)).limits([])) == ["1L", "2L"]
    assert sorted(Lanes(world(rows=SLIDING)).limits([])) == ["row 1", "row 2"]


# the placements of a row

def placed(given: RuleContext, position: str, reaches: int, **more: Any) -> Any:
    from seatplan.model import Mode, Restraint
    from seatplan.rules.subjects import Placement

    mode = {"mode": "rear-facing-harness", "touch_ahead": "may", "installations": [{"by": "lap-shoulder-belt"}],
            "parts": [{"part": "shell", "along": [60, reaches], "up": [0, 500], "width": 440, "tolerance": 12}], **more}
    shell = Restraint.model_validate({"restraint": "Nook", "invented": True, "modes": [mode]})
    own: Mode = shell.modes[0]
    return Placement(given.trip.riders[0], given.vehicle.position(position), given.vehicle.row_of(position), shell, own,
                     own.installations[0])


#: a second row that stays where it is, and nothing behind it
LEVEL_CUSHION = {2: {"slides": 0, "cushion": {"angle": 15}}, 3: {"positions": [{"position": "3L"}]}}


@pytest.mark.parametrize(("reaches", "asks"), [(760, 60), (700, 0), (679, -21), (678, None), (600, None)])
def test_what_a_shell_asks_of_the_seat_ahead(reaches: int, asks: int | None) -> None:
    """700 free. With 12 mm of its own and twice the tape to spare, 22 together, it can make no sum close."""
    given = world(front=KNOWN, rows=LEVEL_CUSHION)
    lanes = Lanes(given)
    found = lanes.behind(placed(given, "2L", reaches))
    assert (None if found is None else found.need_mm) == asks
    lane = lanes.lane_of([placed(given, "2L", reaches)])
    assert lane == (lanes.empty if asks is None else lanes.number(LengthwiseDemand((Ask("2L", "1L", asks, False,
                                                                                        13.0),))))


def test_a_braced_shell_asks_however_short_it_is() -> None:
    given = world(front=KNOWN, rows=LEVEL_CUSHION)
    found = Lanes(given).behind(placed(given, "2L", 500, touch_ahead="must"))
    assert found is not None
    assert (found.need_mm, found.braced) == (-200, True)


def test_what_is_not_known_asks_nothing_here() -> None:
    """A rule says that it is not known; a shell of which nobody knows whether it may touch is kept clear by 25."""
    given = world(front=KNOWN, rows=LEVEL_CUSHION)
    unknown = placed(given, "2L", 760, parts=[{"part": "shell", "width": 440}])
    assert Lanes(given).behind(unknown) is None
    assert Lanes(given).lane_of([unknown]) == Lanes(given).empty
    assert Lanes(given).behind(placed(given, "2C", 760)) is None
    clear = Lanes(given).behind(placed(given, "2L", 760, touch_ahead=None))
    assert clear is not None
    assert (clear.need_mm, clear.braced) == (85, False)


def test_a_row_that_slides_forward_needs_so_much_more() -> None:
    """Row 2 can come 110 forward: what has 132 to spare can make no sum close, 131 may."""
    given = world(front=KNOWN, rows={2: {"cushion": {"angle": 15}}})
    lanes = Lanes(given)
    assert lanes.behind(placed(given, "2L", 568)) is None
    near = lanes.behind(placed(given, "2L", 569))
    assert near is not None
    assert near.need_mm == -131


def test_a_lane_keeps_who_sits_in_a_seat_that_counts() -> None:
    given = world(front=KNOWN, rows=LEVEL_CUSHION)
    lanes = Lanes(given)
    front = placed(given, "1R", 400)
    assert lanes.lane_of([front]) == lanes.number(LengthwiseDemand((), ("1R",)))
    assert lanes.lane_of([placed(given, "2C", 400)]) == lanes.empty
    both = lanes.lane_of([placed(given, "2R", 760), placed(given, "2L", 750)])
    assert both == lanes.number(LengthwiseDemand((Ask("2L", "1L", 50, False, 13.0), Ask("2R", "1R", 60, False, 13.0))))
    worst = Lanes(replace(given, options=Options(worst_case=True)))
    assert worst.lane_of([placed(given, "2L", 760)]) == worst.number(LengthwiseDemand((Ask("2L", "1L", 60, False,
                                                                                           17.0),)))


def test_what_cannot_move_stands_rearmost() -> None:
    rows = {2: {"slides": 0, "cushion": {"angle": 15}, "positions": [
        {"position": "2L", "ahead": {"gap": [[0, 700], [600, 700]]}}]}}
    given = world(front=KNOWN, rows=rows)
    found = Lanes(given).behind(placed(given, "2L", 760))
    assert found is not None
    assert (found.seat_ahead, found.need_mm) == (FRONT, 60)
    assert found.addends[-1].tolerance == 5


# the seat of a child before an airbag that can fire

BAG = {1: {"positions": [{"position": "1L"}, {"position": "1R", "airbag": {"front": "active"}}]}}
SWITCH = {1: {"positions": [{"position": "1L"}, {"position": "1R", "airbag": {"front": "switchable"}}]}}
CHILD, TEEN = {"rider": "Wren", "age": "4 y"}, {"rider": "Wren", "age": "13 y"}
GROWN = {"rider": "Wren", "adult": True}


@pytest.mark.parametrize(("rows", "rider", "off", "kept"), [
    (BAG, CHILD, [], True), (BAG, {"rider": "Wren", "age": "155 months"}, [], True),
    (BAG, {"rider": "Wren"}, [], True),
    (BAG, TEEN, [], False), (BAG, GROWN, [], False), ({}, CHILD, [], False),
    (SWITCH, CHILD, [], True), (SWITCH, CHILD, ["1R"], False),
    ({1: {"positions": [{"position": "1L"}, {"position": "1R", "airbag": {"front": "none"}}]}}, CHILD, [], False)])
def test_a_child_before_an_airbag_that_can_fire_keeps_the_seat_rearmost(
        rows: dict[int, dict[str, Any]], rider: dict[str, Any], off: list[str], kept: bool) -> None:
    """Whoever is 13, an adult, an airbag that is not there, not known or switched off leaves the seat free."""
    given = world(rows=rows, riders=[rider])
    given = RuleContext(given.trip.model_copy(update={"airbags_off": off}), given.vehicle, given.profile, given.day)
    lanes = Lanes(given)
    sits = Placement(given.trip.riders[0], given.vehicle.position("1R"), given.vehicle.rows[0])
    assert lanes.keeps_rearmost(sits) is kept
    assert lanes.lane_of([sits]) == lanes.number(LengthwiseDemand((), ("1R",), ("1R",) if kept else ()))


@pytest.mark.parametrize(("needs", "off", "level"), [
    (-1, 0, FITS), (0, 0, FITS), (1, 0, TOO_TIGHT), (-13, 13, FITS), (-12, 13, CLOSE_FIT), (12, 13, CLOSE_FIT),
    (13, 13, TOO_TIGHT)])
def test_nothing_behind_moves_a_seat_that_stays_rearmost(needs: int, off: float, level: int) -> None:
    """The stop is no reading: only what the body behind may be off is close. No limit of an occupant counts."""
    along = Lanes(world(rows=BAG)).solve([body("2R", "1R", needs, off=off)], ["1R"], ["1R"])
    assert (along.level, along.unknown) == (level, "")
    if needs > 0:
        assert isinstance(along.answer, Squeeze)
        assert [a.label for s in along.answer.steps for a in s.addends if a.mm <= 0] == [
            "1R stays rearmost, a child before its airbag"]


def test_a_row_that_slides_stays_with_the_child_in_it() -> None:
    """Row 1 slides 80 here: 1L, where an adult sits who allows 90, stays with 1R."""
    rows = {1: {**BAG[1], "slides": 80}}
    lanes = Lanes(world(rows=rows, front={**KNOWN, "1R": {"forward_at_most": 90}}))
    assert lanes.solve([body("2L", "1L", 40)], ["1L", "1R"]).level == FITS
    assert lanes.solve([body("2L", "1L", 40)], ["1L", "1R"], ["1R"]).level == TOO_TIGHT
    assert lanes.limits(["1L", "1R"], ["1R"])["row 1"] == Addend("1R stays rearmost, a child before its airbag", 0)


def test_what_keeps_a_seat_rearmost_is_joined_with_what_asks_for_it() -> None:
    lanes = Lanes(world(rows=BAG))
    asks = lanes.number(LengthwiseDemand((Ask("2R", "1R", 40, False, 5.0),)))
    stays = lanes.number(LengthwiseDemand((), ("1R",), ("1R",)))
    assert lanes.judge(lanes.together([asks, stays])).level == TOO_TIGHT
    assert lanes.judge(asks).level == FITS


# a row that slides in parts

PARTS = {2: {"slides": None, "cushion": {"angle": 15},
             "parts": [{"positions": ["2L", "2C"], "slides": 110}, {"positions": ["2R"], "slides": 60}]}}


def test_each_part_of_a_row_moves_by_itself() -> None:
    """What row 3 says of the travel of a seat counts no more than it does where the whole row slides."""
    limits = Lanes(world(rows=PARTS)).limits(["2L", "2R"])
    assert {key: addend.mm for key, addend in limits.items()} == {
        "1L": -230, "1R": -230, "2L with 2C": -110, "2R": -60}
    assert [mover_of(seat, limits) for seat in ("2L", "2C", "2R", "3L", "1L")] == [
        "2L with 2C", "2L with 2C", "2R", FRONT, "1L"]


def test_who_sits_in_one_part_goes_along_with_it_alone() -> None:
    """3L needs 2L 100 forward, which takes along 2L's own 50: 1L stands 150 forward, and 1R stays."""
    lanes = Lanes(world(front={"1L": {"forward_at_most": 200}}, rows=PARTS, tolerance=0))
    along = lanes.solve([body("3L", "2L", 100), body("2L", "1L", 50), body("2R", "1R", -10)], ["1L", "2L", "2R"])
    assert isinstance(along.answer, Solution)
    assert (along.level, stands_mm(along.answer)) == (FITS, {"1L": 150, "1R": 0, "2L with 2C": 100, "2R": 0})
    # the other seat of the part goes along, and what is behind it has the room
    assert lanes.solve([body("3L", "2C", 110)], []).level == FITS
    assert lanes.solve([body("3L", "2C", 111)], []).level == TOO_TIGHT
    assert lanes.solve([body("3L", "2R", 61)], []).level == TOO_TIGHT


def test_a_part_asks_nobody_in_it_how_far_it_may_stand() -> None:
    """As in a row that slides: only of whom the trip says so."""
    lanes = Lanes(world(front=KNOWN, rows=PARTS))
    assert lanes.limits(["2R"])["2R"].label == "2R slides at most"
    given = world(front={**KNOWN, "2R": {"forward_at_most": 20}}, rows=PARTS)
    assert Lanes(given).limits(["2R"])["2R"].mm == -20
    assert Lanes(given).limits([])["2R"].mm == -60


def test_a_part_that_nobody_said_slides_does_not() -> None:
    rows = {2: {"slides": None, "parts": [{"positions": ["2L", "2C"]}, {"positions": ["2R"], "slides": 60}]}}
    assert set(Lanes(world(rows=rows)).limits([])) == {"1L", "1R", "2L", "2R"}       # 2L by the travel of its own
