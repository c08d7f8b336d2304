"""Along the car in words and in JSON: how it leans, what stands where, what is short, and what nobody said."""

from __future__ import annotations

import re
from typing import Any

import pytest
from planned import DAY

from seatplan.files.load import load_trip
from seatplan.geometry.chain import Addend, Step
from seatplan.model.trip import FrontLimit, Trip, Wish
from seatplan.rules.load import load_profile
from seatplan.solver.budget import Budget
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.solver.why import why
from seatplan.views.along_text import room
from seatplan.views.plan_json import plan_json
from seatplan.views.plan_text import plan_text
from seatplan.views.text import WIDTH
from seatplan.views.why_json import why_json
from seatplan.views.why_text import why_text

#: behind the driver the shell needs 678 + 25 and 593 are free
AT_LIMIT = "along the car, with what moves ahead at its limit"
NEEDED_FORWARD_MM = 110


def one_line(text: str) -> str:
    return " ".join(text.split())


def behind_the_driver(forward_at_most: int | None) -> Trip:
    """The long shell behind the tall driver, who allows so much; None: nobody said, nor how tall the driver is."""
    trip = load_trip("tall-driver")
    front = {} if forward_at_most is None else {"1L": FrontLimit(forward_at_most=forward_at_most)}
    riders = [r.model_copy(update={"height": None}) if r.drives else r for r in trip.riders]
    return trip.model_copy(update={"front": front, "riders": riders,
                                   "wishes": [Wish(rider="Mina", at=["2L"], must=True)]})


def solved(forward_at_most: int | None, **options: Any) -> Plan:
    return plan(behind_the_driver(forward_at_most), load_profile("us"), DAY, **options)


def test_a_driver_who_allows_too_little_is_told_in_the_first_lines_and_in_a_sum():
    text = plan_text(solved(50))
    short = NEEDED_FORWARD_MM - 50
    assert f"The nearest miss lacks {short} mm along the car." in one_line(text.partition("Who can sit")[0])
    told = one_line(text)
    assert "along the car: 2L Mina in Bastion rear-facing" in told
    assert re.search(r"needs Bastion head-end \(\d+ mm up\) 678 \+ gap to 1L 25 = 703 mm", told)
    assert f"there free to 1L at rearmost 593 + the driver allows 50 = 643 mm short {short} mm" in told


def test_a_driver_who_allows_nothing_is_part_of_the_sum():
    assert "free to 1L at rearmost 593 + the driver allows 0 = 593 mm" in one_line(plan_text(solved(0)))


def test_the_seat_ahead_and_the_room_that_is_left():
    text = one_line(plan_text(solved(150)))
    assert "Bastion at 2L: recline setting 32 (32 degrees from upright in this car)" in text
    assert f"1L stands {NEEDED_FORWARD_MM} mm forward of rearmost (the driver allows 150)" in text
    assert f"{AT_LIMIT}: 40 mm to spare; measuring can be 8.5 mm off" in text


@pytest.mark.parametrize(("allows", "told"), [
    (NEEDED_FORWARD_MM - 3, f"{AT_LIMIT}: 3 mm short, and measuring can be 8.5 mm off: try it in the car"),
    (NEEDED_FORWARD_MM + 4, f"{AT_LIMIT}: 4 mm to spare, and measuring can be 8.5 mm off: try it in the car"),
])
def test_close_shows_both_numbers_and_the_sum(allows: int, told: str):
    found = solved(allows)
    assert found.verdict == "close"
    text = one_line(plan_text(found))
    assert told in text
    assert "1. close: tight along the car" in text
    assert f"the driver allows {allows} = {593 + allows} mm" in text
    assert f"{'short' if allows < NEEDED_FORWARD_MM else 'spare'} {abs(allows - NEEDED_FORWARD_MM)} mm" in text


def test_worst_case_adds_up_and_says_so():
    allows = NEEDED_FORWARD_MM + 9                  # beyond three times 5 squared, within three times 5 added up
    assert solved(allows).verdict == "fits"
    worst = solved(allows, worst_case=True)
    assert worst.verdict == "close"
    assert "what several lengths may be off is added up" in one_line(plan_text(worst))
    assert "9 mm to spare, and measuring can be 15 mm off: try it in the car" in one_line(plan_text(worst))
    assert (plan_json(worst)["worst_case"], plan_json(solved(allows))["worst_case"]) == (True, False)


def test_a_limit_estimated_from_stature_is_shown_as_such():
    trip = behind_the_driver(None)
    riders = [r.model_copy(update={"height": 1600}) if r.drives else r for r in trip.riders]
    text = one_line(plan_text(plan(trip.model_copy(update={"riders": riders}), load_profile("us"), DAY)))
    assert re.search(r"1L stands 110 mm forward of rearmost \(the driver \(estimated from 160 cm\) allows \d+\): "
                     r"try it in the car", text)


def test_an_occupant_whose_limit_nobody_gave():
    found = solved(None)
    assert found.verdict == "unmeasured"
    assert (f"to measure: how far forward Aldous at 1L can sit ({NEEDED_FORWARD_MM} mm would do)"
            in one_line(plan_text(found)))
    assert plan_json(found)["arrangements"][0]["ahead"]["unknown"] == "1L"


def test_a_row_that_slides():
    text = one_line(plan_text(plan(load_trip("slide-decides"), load_profile("us"), DAY, top=1)))
    assert re.search(r"row 2 slid \d+ mm forward \(row 2 slides at most 150\)", text)
    assert re.search(AT_LIMIT + r": \d+ mm to spare at each of 2 gaps, \d+ mm in all; measuring can be 11 mm off", text)


def test_packing_is_told():
    trip = load_trip("tall-driver")
    rows = [row.model_copy(update={"cushion": row.cushion.model_copy(update={"angle": 18})})
            for row in trip.vehicle.rows]
    shell = trip.restraints[0]
    modes = [m.model_copy(update={"recline": m.recline.model_copy(update={"settings": [38], "allowed": (36.0, 45.0),
                                                                          "packing": "rolled-towel",
                                                                          "packing_limit": 10.0})})
             if m.recline else m for m in shell.modes]
    packed = trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"rows": rows}),
                                     "restraints": [shell.model_copy(update={"modes": modes})]})
    text = one_line(plan_text(plan(packed, load_profile("us"), DAY, top=1)))
    assert "recline setting 38 (36 degrees from upright in this car), with 1 degree of rolled towel" in text


def test_json_of_what_lies_along_the_car():
    answer = plan_json(solved(150))["arrangements"][0]
    assert answer["ahead"]["stands"] == [{"mover": "1L", "forward_mm": NEEDED_FORWARD_MM}]
    assert (answer["ahead"]["spare_mm"], answer["ahead"]["unknown"]) == (40, None)
    assert sum(step["need_mm"] for step in answer["ahead"]["tight"]) == -40
    mina = next(seat for seat in answer["seats"] if seat["rider"] == "Mina")
    assert mina["recline"] == {"setting_degrees": 32, "packing_degrees": 0, "angle_degrees": 32}
    assert plan_json(solved(150))["arrangements"][0]["seats"][0]["recline"] is None
    squeeze = next(c for c in plan_json(solved(50))["certificates"] if c["kind"] == "squeeze")
    assert (squeeze["direction"], squeeze["row"], squeeze["short_mm"]) == ("along", None, NEEDED_FORWARD_MM - 50)


def test_nothing_along_the_car_where_nobody_asks():
    assert plan_json(plan(load_trip("two-seater-airbag-off"), load_profile("us"), DAY))["arrangements"][0][
        "ahead"] is None


def test_why_shows_setting_lengths_and_limit():
    answer = why(behind_the_driver(150), load_profile("us"), DAY, "Mina", position="2L")
    text = one_line(why_text(answer, narrow=True))
    assert "recline setting 32 (32 degrees from upright in this car)" in text
    assert re.search(r"room ahead: 593 mm free at \d+ mm above the cushion with the seat ahead rearmost, 678 mm taken "
                     r"by Bastion head-end: with a gap of 25 mm, 1L must come 110 mm forward \(the driver allows 150\)",
                     text)
    assert {"mover": "1L", "forward_mm": 150, "what": "the driver allows"} in why_json(answer)["limits"]


def test_why_after_a_stopped_search_says_so():
    trip = load_trip("slide-decides")
    answer = why(trip, load_profile("us"), DAY, "Mina", budget=Budget(plans=0))
    assert not answer.complete
    assert why_json(answer)["complete"] is False
    text = why_text(answer)
    assert "The search stopped at its limit" in one_line(text)
    assert "no arrangement found before the search stopped" in one_line(text)
    assert "cannot all ride" not in one_line(text)
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "stopped" not in why_text(why(trip, load_profile("us"), DAY, "Mina"))


@pytest.mark.parametrize(("spare", "tolerance", "gaps", "told"), [
    (12.0, 7.1, 1, "12 mm to spare; measuring can be 7 mm off"),
    (5.0, 9.5, 2, "5 mm to spare at each of 2 gaps, 10 mm in all; measuring can be 9.5 mm off"),
    (4.0, 9.5, 2, "8 mm to spare, and measuring can be 9.5 mm off: try it in the car"),
    (-0.5, 7.1, 1, "1 mm short, and measuring can be 7 mm off: try it in the car"),
])
def test_spare_is_held_against_all_that_measuring_can_be_off(spare: float, tolerance: float, gaps: int, told: str):
    tight = [Step("left", "a", 0, True, (Addend("x", 0.0),))] * gaps
    assert room(spare, tolerance, tight) == told
