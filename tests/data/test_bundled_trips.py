"""Each bundled trip shows what it is for."""

from __future__ import annotations

from functools import lru_cache

import pytest
from bundled import TRIPS

from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan

# --- what each trip is for ---

#: the verdict of the best arrangement, and the least number of seatings that work
ANSWERS = {
    "three-across-school-run": ("fits", 10),
    "school-run-second-car": ("fits", 5),
    "twins-small-hatch": ("close", 2),
    "grandparents-old-car": ("fits", 2),
    "i-size-family": ("close", 2),
    "boosters-by-the-handbook": ("fits", 2),
    "taxi-ride": ("close", 2),
    "two-seater-airbag-off": ("fits", 1),
    "sliding-row-outing": ("fits", 5),
    "borrowed-bars": ("fits", 5),
    "nine-seat-shuttle": ("fits", 10_000),
    "tall-driver": ("fits", 2),
    "upright-only": ("fits", 1),
    "slide-decides": ("fits", 2),
    "third-child-on-the-way": ("fits", 2),
    "half-measured-car": ("unmeasured", 1),
    "first-answer-roomy": ("likely", 10),
    "first-answer-middling": ("unmeasured", 10),
    "first-answer-tight": ("unmeasured", 5),
    "three-too-wide": ("rejected", 0),
    "three-boosters-two-belts": ("rejected", 0),
    "two-children-one-tether": ("rejected", 0),
}


@lru_cache(maxsize=len(ANSWERS))
def answer(name: str) -> Plan:
    trip = TRIPS[name]
    assert trip.on is not None
    return plan(trip, load_profile(trip.rules), trip.on, top=1)


def test_every_trip_has_an_expected_answer() -> None:
    assert set(ANSWERS) == set(TRIPS)


@pytest.mark.parametrize("name", ANSWERS)
def test_trip_is_answered_as_expected(name: str) -> None:
    verdict, least = ANSWERS[name]
    found = answer(name)
    assert found.verdict == verdict
    assert found.tally.valid >= least
    assert bool(found.arrangements) == (verdict != "rejected")


def seats_of(name: str, rider: str) -> set[str]:
    trip = TRIPS[name]
    assert trip.on is not None
    found = plan(trip, load_profile(trip.rules), trip.on, top=20)
    return {s.placement.position.position for a in found.arrangements for s in a.seats
            if s.placement is not None and s.placement.rider.rider == rider}


def test_the_long_shell_has_room_but_not_behind_the_tall_driver() -> None:
    """By hand: set from 45 to 32, the corner (740, 190) turns by 13 degrees to (678, 352), where 593 mm are free; with
    25 mm of gap the seat ahead must stand 110 mm forward. The driver's stays rearmost; 1R is free and slides 180."""
    assert seats_of("tall-driver", "Mina") == {"2C", "2R"}


def test_only_the_upright_setting_has_room() -> None:
    """By hand: of the settings 32, 38 and 45, the second needs 57 mm and the driver leaves 20."""
    trip = TRIPS["upright-only"]
    assert trip.on is not None
    found = plan(trip, load_profile(trip.rules), trip.on, top=20)
    leans = {s.placement.recline.setting for a in found.arrangements for s in a.seats
             if s.placement is not None and s.placement.recline is not None}
    assert leans == {32}


def test_the_sliding_row_leaves_no_room_behind_the_driver() -> None:
    """By hand: whoever sits in the third row needs row 2 forward by 86 mm, which leaves the shell 78 mm short at
    rearmost: behind 1L, which gives 40, it does not fit, behind 1R, which gives 120, it does."""
    assert "2L" not in seats_of("slide-decides", "Mina")
    assert "2R" in seats_of("slide-decides", "Mina")


def test_three_too_wide_fail_for_room() -> None:
    """Every place would do by itself; the narrowest misfit is still centimetres short."""
    found = answer("three-too-wide")
    assert found.shortage is None
    assert found.squeezes
    assert min(shown.squeeze.short for shown in found.squeezes) > 20


def test_three_boosters_fail_for_want_of_shoulder_belts() -> None:
    shortage = answer("three-boosters-two-belts").shortage
    assert shortage is not None
    assert len(shortage.riders) == len(shortage.have) + 1
    assert "2C" not in shortage.have
    assert any("no-shoulder-belt" in rules for rules in shortage.taken_away.values())


def test_two_children_fail_for_the_one_tether() -> None:
    contests = answer("two-children-one-tether").contests
    assert any(finding.rule == "tether-wanted-twice" for shown in contests for finding in shown.findings)
