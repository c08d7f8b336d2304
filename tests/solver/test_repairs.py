"""Each kind of change on a tiny invented trip that just this change opens, to the mm; and what is never offered."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from changes import changed
from repair_trips import (
    DRIVER,
    FINE,
    child,
    front,
    harness,
    kinds,
    needs_tether_trip,
    only_one,
    position_at,
    row_of,
    shelf_of,
    solved,
    squeezed,
    told_repairs,
    trip_with,
    two_seater,
    verdict,
    verdict_with,
)
from solved import DAY
from test_openings import as_json
from worlds import Data

from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.explain import explain
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.repairs.catalogue import applied, offers
from seatplan.solver.repairs.verify import repairs_of


def _behind(free: int, limit: int | None, travel: int = 200, stature: int | None = 1750) -> Trip:
    """A shell that reaches 600 mm forward, behind the driver's seat, with so much free at rearmost."""
    ahead = {"seat": "1L", "gap": [[0, free], [300, free], [600, free]], "travel": travel}
    limits = {} if limit is None else {"1L": {"forward_at_most": limit}}
    return trip_with([front(), row_of(2, 1500, [position_at("2L", 350, ahead=ahead)])], [child("Ada")],
                 [harness("Shell", "forward-facing-harness", 400)], {**DRIVER, "height": stature}, front=limits)


def test_sit_further_forward_to_the_mm() -> None:
    """By hand: 600 mm reach, 500 free: 100 mm forward; the driver allows 40 of the seat's 200."""
    trip = _behind(500, 40)
    change = only_one(told_repairs(trip), "sit-further-forward")
    assert (change.position, change.was_mm) == ("1L", 40)
    assert change.mm == 100
    assert verdict_with(trip, change, 100) == "fits"
    assert verdict_with(trip, change, 99) == "rejected"


def test_no_further_forward_than_the_travel() -> None:
    assert "sit-further-forward" not in {kind for kinds in kinds(told_repairs(_behind(399, 40))) for kind in kinds}
    assert only_one(told_repairs(_behind(400, 40)), "sit-further-forward").mm == 200


def test_a_seat_without_a_limit_is_not_offered() -> None:
    """Nobody said how far it can come: that is to be measured, not changed."""
    trip = _behind(500, None, stature=None)
    assert verdict(trip) == "unmeasured"
    assert not [change for change in offers(trip, {}) if change.kind == "sit-further-forward"]


def test_a_sliding_row_comes_forward_too() -> None:
    """Row 1 slides as a whole: its driver's limit is one of the row, and can be given up like a seat's."""
    data = _behind(500, 40).model_dump(mode="json", by_alias=True, exclude_none=True)
    rows = deepcopy(data["vehicle"]["rows"])
    rows[0]["slides"] = 150
    del rows[1]["positions"][0]["ahead"]["travel"]
    trip = trip_with(rows, [child("Ada")], [harness("Shell", "forward-facing-harness", 400)],
                 front={"1L": {"forward_at_most": 40}})
    change = only_one(told_repairs(trip), "sit-further-forward")
    assert (change.position, change.was_mm, change.mm) == ("1L", 40, 100)
    assert verdict_with(trip, change, 99) == "rejected"


def test_the_least_that_any_seating_needs() -> None:
    """Two seats behind the driver's, one with less room: the child goes where the driver gives up least."""
    def ahead(free: int) -> Data:
        return {"seat": "1L", "gap": [[0, free], [300, free], [600, free]], "travel": 200}

    for left, right in ((450, 520), (520, 450)):
        trip = trip_with([front(), row_of(2, 1500, [position_at("2L", 350, ahead=ahead(left)),
                                               position_at("2R", 1150, ahead=ahead(right))])],
                     [child("Ada")], [harness("Shell", "forward-facing-harness", 400)],
                     front={"1L": {"forward_at_most": 40}})
        change = only_one(told_repairs(trip), "sit-further-forward")
        assert change.mm == 80
        assert verdict_with(trip, change, 79) == "rejected"


# ---- switch an airbag off

def test_switch_airbag_off() -> None:
    trip = two_seater("switchable")
    change = only_one(told_repairs(trip), "switch-airbag-off")
    assert change.position == "1R"
    assert verdict(changed(trip, [as_json(change)], {})) == "fits"


@pytest.mark.parametrize("airbag", ["active", None])
def test_no_airbag_without_switch_is_offered(airbag: str | None) -> None:
    trip = two_seater(airbag)
    assert "switch-airbag-off" not in {change.kind for change in offers(trip, {})}
    if airbag:
        assert told_repairs(trip) == []


# ---- give up a wish

def _wishing(*wishes: Data, children: int = 2) -> Trip:
    row = row_of(2, 1500, [position_at("2L", 350), position_at("2C", 750), position_at("2R", 1150)])
    names = ["Ada", "Bo", "Cy"][:children]
    return trip_with([front(), row], [child(name) for name in names],
                 [harness(f"Shell {n}", "forward-facing-harness", 380) for n in range(children)], wishes=list(wishes))


@pytest.mark.parametrize(("wishes", "children", "thing", "riders", "asked"), [
    ([{"rider": "Ada", "at": ["1L"], "must": True}], 1, "wish-for-seat-not-met", ("Ada",), "at 1L"),
    ([{"rider": "Ada", "not_at": ["2L", "2C", "2R"], "must": True}], 1, "wish-for-seat-not-met", ("Ada",),
     "not at 2L or 2C or 2R"),
    ([{"rider": "Ada", "uses": ["Shell 0"], "must": True}, {"rider": "Bo", "uses": ["Shell 0"], "must": True}], 2,
     "wish-for-seat-not-met", ("Ada",), "in Shell 0"),
    ([{"apart": ["Ada", "Bo"], "must": True}], 3, "wish-to-be-apart-not-met", ("Ada", "Bo"), ""),
    ([{"together": ["Ada", "Bo", "Ada"], "must": True}, {"rider": "Ada", "at": ["2L"]},
      {"rider": "Bo", "at": ["2R"], "must": True}, {"rider": "Ada", "not_at": ["2C"], "must": True}], 2,
     "wish-to-be-together-not-met", (), "Ada, Bo, Ada"),
], ids=["at", "not-at", "uses", "apart", "together"])
def test_drop_wish(wishes: list[Data], children: int, thing: str, riders: tuple[str, ...], asked: str) -> None:
    trip = _wishing(*wishes, children=children)
    if thing == "wish-to-be-apart-not-met":
        # three abreast, and Cy must have the left seat: the others sit side by side
        trip = _wishing(*wishes, {"rider": "Cy", "at": ["2L"], "must": True}, children=3)
    found = [repair.changes[0] for repair in told_repairs(trip) if len(repair.changes) == 1
             and repair.changes[0].kind == "drop-wish"]
    change = next(change for change in found if (change.thing, change.riders) == (thing, riders))
    assert change.asked == asked
    assert verdict(changed(trip, [as_json(change)], {})) == "fits"
    assert applied(trip, (change,)).wishes == changed(trip, [as_json(change)], {}).wishes


def test_a_wish_without_must_is_no_change() -> None:
    trip = _wishing({"rider": "Ada", "at": ["2L"]}, {"apart": ["Ada", "Bo"]}, {"together": ["Ada", "Bo"]})
    assert "drop-wish" not in {change.kind for change in offers(trip, {})}


# ---- another restraint

def _without_seat(**more: Any) -> Trip:
    return trip_with([front(), row_of(2, 1500, [position_at("2L", 350)])], [child("Ada", **more)], [])


def test_get_restraint() -> None:
    shell = harness("Shell", "forward-facing-harness", 400)
    trip = _without_seat()
    change = only_one(told_repairs(trip, shell=shell), "get-restraint")
    assert (change.restraint, change.word, change.renamed) == ("Shell", "shell", False)
    assert verdict(changed(trip, [as_json(change)], shelf_of(shell=shell))) == "fits"


def test_a_second_one_of_a_model_has_its_own_name() -> None:
    shell = harness("Shell", "forward-facing-harness", 400)
    row = row_of(2, 1500, [position_at("2L", 350), position_at("2R", 1150)])
    trip = trip_with([front(), row], [child("Ada"), child("Bo")], [shell, {**shell, "restraint": "Shell 2"}][:1])
    change = only_one(told_repairs(trip, shell=shell), "get-restraint")
    assert (change.restraint, change.renamed) == ("Shell 2", True)


def test_no_restraint_that_the_child_has_outgrown() -> None:
    shell = harness("Shell", "forward-facing-harness", 400)
    assert told_repairs(_without_seat(mass="31 kg"), shell=shell) == []


# ---- a tether anchor that can be fitted

def test_fit_tether_anchor() -> None:
    trip = needs_tether_trip("t1")
    change = only_one(told_repairs(trip), "fit-tether-anchor")
    assert (change.position, change.thing) == ("2L", "t1")
    assert verdict(changed(trip, [as_json(change)], {})) == "fits"


@pytest.mark.parametrize("retrofit", [None, "none"])
def test_no_anchor_that_the_handbook_does_not_offer(retrofit: str | None) -> None:
    trip = needs_tether_trip(retrofit)
    assert "fit-tether-anchor" not in {change.kind for change in offers(trip, {})}
    assert told_repairs(trip) == []


# ---- a narrower restraint

def test_get_narrower_to_the_mm() -> None:
    """By hand: middles 400 mm apart without play, the other 480 wide: half of it leaves 160, so 320 mm."""
    trip = squeezed()
    slim = harness("Slim", "forward-facing-harness", 250)
    found = [change for repair in repairs_of(solved(trip), shelf_of(slim=slim), shown=9).repairs
             for change in repair.changes if change.kind == "get-narrower" and len(repair.changes) == 1]
    assert found
    for change in found:
        assert (change.mm, change.was_mm) == (320, 480)
        assert verdict_with(trip, change, 320) in ("fits", "close")
        assert verdict_with(trip, change, 321) == "rejected"


def test_not_narrower_than_the_shelf_has() -> None:
    """None of 320 mm or less is on the shelf: nobody could find one."""
    slim = harness("Slim", "forward-facing-harness", 321)
    told = kinds(told_repairs(squeezed(), slim=slim))
    assert ("get-narrower",) not in told


def test_a_wider_part_of_the_installation_is_told() -> None:
    """What it is now is its widest part, a stand included that only one way of installing brings."""
    trip = squeezed(parts=[{"part": "stand", "along": [0, 600], "up": [0, 100], "width": 500}])
    slim = harness("Slim", "forward-facing-harness", 250)
    narrower = [change for change in offers(trip, shelf_of(slim=slim)) if change.kind == "get-narrower"]
    assert [change.was_mm for change in narrower] == [500, 500]


# ---- another vehicle

def test_ride_elsewhere() -> None:
    row = row_of(2, 1500, [position_at("2L", 350)])
    trip = trip_with([front(), row], [child("Ada"), child("Bo")],
                 [harness(f"Shell {n}", "forward-facing-harness", 400) for n in (1, 2)])
    repairs = told_repairs(trip)
    assert kinds(repairs) == [("ride-elsewhere",)]
    alike = {repairs[0].changes, *repairs[0].alike}
    assert {changes[0].riders for changes in alike} == {("Ada",), ("Bo",)}
    for (change,) in alike:
        assert verdict(changed(trip, [as_json(change)], {})) == "fits"


def test_never_the_driver_and_never_everybody() -> None:
    trip = trip_with([front()], [child("Ada")], [])
    assert "Bram" not in {name for change in offers(trip, {}) for name in change.riders}
    assert told_repairs(trip) == []


# ---- what a must-rule forbids

def test_no_change_gets_round_a_must_rule() -> None:
    """A restraint that was in a crash stays out, whatever else could change."""
    shell = {**harness("Shell", "forward-facing-harness", 480), "condition": {**FINE, "crash": "severe"}}
    trip = trip_with([front(), row_of(2, 1500, [position_at("2L", 350)])], [child("Ada")], [shell])
    assert told_repairs(trip) == []


def test_a_repair_is_told_with_what_it_opens() -> None:
    trip = _behind(500, 40)
    why = explain(plan(trip, load_profile(trip.rules), DAY, top=1), {})
    assert why is not None
    assert [repair.verdict for repair in why.repairs.repairs] == ["fits"]
    shown, = why.repairs.repairs
    assert shown.arrangement.ahead is not None
    assert dict(shown.arrangement.ahead.stands) == {"1L": 100}
