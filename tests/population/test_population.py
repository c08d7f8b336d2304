"""What must hold of the made-up pairs whatever their ranges are. No share is held against a published one."""

from __future__ import annotations

from functools import lru_cache
from math import cos, radians, sin, tan

import pytest
from population import CAUSES, HEIGHTS, envelope, failings, free_ahead, held, pairs, shares
from population_ranges import NAMES, Among, Even, Normal, Ranges
from sensitivity import report

from seatplan.files.load import load_restraint
from seatplan.geometry.ahead import Profile, room_needed
from seatplan.geometry.shapes import Shape

PAIRS = 40
AHEAD = ("RF room ahead", "FF F3 room ahead", "FF F2X room ahead")
BOLSTERS = ("RF base between bolsters", "FF base between bolsters")
OVERHANG = ("RF overhang", "FF overhang")
#: range, whether more of it makes more fail, and by which causes
MONOTONE = (
    ("width", True, BOLSTERS), ("base_share", True, BOLSTERS), ("flat_width", False, BOLSTERS),
    ("rear_facing_length", True, AHEAD[:1]), ("couple_distance", False, AHEAD), ("mid_track_forward", False, AHEAD),
    ("second_h_point", False, AHEAD), ("front_seat_deep", True, AHEAD), ("front_back_leans", True, AHEAD),
    ("base_front", True, OVERHANG), ("cushion_length", False, OVERHANG), ("window", False, ("RF recline",)),
    ("head_restraint_juts", True, ("FF head restraint", "FF head restraint, left on")),
    ("head_restraint_off", False, ("FF head restraint",)), ("strap", False, ("FF tether reach",)),
    ("booster_width", True, ("booster on buckle, outboard", "booster on buckle, centre")),
    ("buckle_outboard", False, ("booster on buckle, outboard",)),
    ("buckle_centre", False, ("booster on buckle, centre",)),
)


@lru_cache(maxsize=1)
def drawn() -> list[set[str]]:
    return [failings(pair) for pair in pairs(PAIRS)]


@pytest.mark.parametrize(("name", "more", "causes"), MONOTONE, ids=[name for name, *_ in MONOTONE])
def test_a_pair_that_fails_fails_all_the_more(name: str, more: bool, causes: tuple[str, ...]) -> None:
    """Pair by pair: a wider restraint fits no more often, a seat further ahead is in the way no more often."""
    low, high = ([failings(pair) for pair in pairs(PAIRS, held(name, end))] for end in (0.0, 1.0))
    for cause in causes:
        for at_low, at_high in zip(low, high, strict=True):
            assert (cause in at_low) <= (cause in at_high) if more else (cause in at_high) <= (cause in at_low)
    others = {found for found in set().union(*low, *high) if found.startswith("booster") and "booster" not in name
              and "buckle" not in name}
    for cause in others:                                  # what a range has no part in stays pair by pair
        assert [cause in found for found in low] == [cause in found for found in high]


def test_what_rests_on_a_bolster_rests_on_it_either_way() -> None:
    """Both ways share one base; a head restraint that fails although it may come off fails left on."""
    for found in drawn():
        assert len(found & set(BOLSTERS)) != 1
        assert ("FF head restraint" in found) <= ("FF head restraint, left on" in found)


@pytest.mark.parametrize("range_", [Even(2, 7), Normal(14, 4, 7, 23), Among([3, 1, 2])])
def test_a_range_rises_from_end_to_end(range_: Even | Normal | Among) -> None:
    told = [range_.at(share / 100) for share in range(100)]
    assert told == sorted(told)
    assert len(set(told)) > 2


@pytest.mark.parametrize("name", ["F3", "F2X", "F2"])
def test_the_room_that_a_fixture_needs_is_the_sum_by_hand(name: str) -> None:
    """A corner at x forward and z up needs x + z tan(lean) of a back that leans straight; turned with the cushion about
    the bight from the 15 degrees of the drawing."""
    outline = load_restraint(f"un-{name.lower()}").modes[0].parts[0].outline
    assert outline is not None
    for pair in pairs(26):
        turn, lean = radians(round(pair.drawn.pan_angle, 1) - 15), tan(radians(pair.drawn.front_back_leans))
        by_hand = max(x * cos(turn) - z * sin(turn) + (x * sin(turn) + z * cos(turn)) * lean for x, z in outline)
        straight = Profile(tuple((h, round(1000 - h * lean)) for h in (-200, *HEIGHTS, 1000)))
        need = room_needed(posed(name, pair.drawn.pan_angle), straight, 0)
        assert need.missing is None
        assert need.mm == pytest.approx(by_hand - 1000, abs=2)


def posed(name: str, pan_angle: float) -> Shape:
    return envelope(name, round(pan_angle, 1))


def test_a_car_that_takes_f3_takes_f2() -> None:
    """F2 lies inside F3. F2X lies inside neither, and needs room of its own."""
    for pair in pairs(PAIRS):
        f3, f2 = (room_needed(posed(name, pair.drawn.pan_angle), free_ahead(pair.drawn), 0) for name in ("F3", "F2"))
        assert f2.mm is not None
        assert f3.mm is not None
        assert f2.mm <= f3.mm


def test_the_report_has_every_cause() -> None:
    told = "\n".join(report(2))
    for cause in CAUSES:
        assert cause in told
    assert "F3  " in told
    assert all(len(line) <= 100 for line in told.splitlines())


def test_a_held_range_alone_is_held() -> None:
    plain, fixed = next(pairs(1)), next(pairs(1, held("width", 0.5)))
    assert fixed.drawn.width == Ranges().width.at(0.5)
    assert {name for name in NAMES if getattr(plain.drawn, name) != getattr(fixed.drawn, name)} == {"width"}
    assert set(shares(pairs(2))) == set(CAUSES)
