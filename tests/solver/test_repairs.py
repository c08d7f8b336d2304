"""Each kind of change on a tiny invented trip that just this change opens, to the mm; and what is never offered."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from changes import changed
from solved import DAY
from test_openings import as_json, by_brute_force
from worlds import Data

from seatplan.model import Restraint, Trip
from seatplan.rules.load import load_profile
from seatplan.solver.explain import explain
from seatplan.solver.plan import Solve, plan
from seatplan.solver.repairs.catalogue import applied, offers
from seatplan.solver.repairs.change import Change
from seatplan.solver.repairs.search import RepairSeater
from seatplan.solver.repairs.verify import Repair, repairs_of

RECLINE = {"reference": 40, "allowed": [35, 45], "settings": [40]}
FINE = {"crash": "none", "recall": "none", "labels": "readable", "history": "known"}


def _position(name: str, centre: int, **more: Any) -> Data:
    return {
        "position": name, "centre": centre, "lower_anchors": "none", "tether": "none",
        "belt": {"kind": "lap-shoulder", "retractor": "switchable", "latchplate": "sliding", "inflatable": False,
                 "anchors": [centre - 200, centre + 200], "buckle": {"across": centre + 200, "stalk": 70},
                 "length": 3000},
        "head_restraint": {"removable": True, "juts": 0, "top": 800}, "airbag": {"front": "none", "side": "none"},
        "support_leg": "allowed", "manual": {"forbids": []},
        **({} if name == "1L" else {"ahead": {"gap": [[0, 900], [300, 900], [600, 900]]}}), **more}


def _row(number: int, width: int, positions: list[Data], tethers: list[Data] | None = None) -> Data:
    return {"row": number, "trim": [{"name": "door", "left": 0, "right": width}], "positions": positions,
            "lower_anchors": "none", "tethers": tethers or "none",
            "cushion": {"left": 0, "right": width, "length": 500, "angle": 15, "above_floor": 320},
            "seatback": {"height": 700, "angle": 24}}


def _harness(name: str, mode: str, width: int, **installation: Any) -> Data:
    """A harness restraint of one box, held by the belt."""
    return {
        "restraint": name, "invented": True, "mass": 6, "made": "2024-01-01", "expires_after": "9y",
        "condition": FINE, "tolerance": 0,
        "modes": [{
            "mode": mode, "recline": RECLINE if mode.startswith("rear") else None,
            "limits": {"mass": [2, 30], "height": [400, 1250]}, "shoulder_slots": [150, 520],
            "shell_height": 720, "touch_ahead": "may", "tether_strap": installation.get("needs_tether", False),
            "tether_length": 1800,
            "parts": [{"part": "shell", "along": [0, 600], "up": [0, 600], "width": width, "tolerance": 0}],
            "installations": [{"by": "lap-shoulder-belt", "belt_path": 200, "belt_needed": 2300, "lock_off": True,
                               "needs_tether": False, "inflatable_belt": "allowed", **installation}]}]}


def _child(name: str, **more: Any) -> Data:
    return {"rider": name, "age": "30 months", "mass": 13, "height": 900, "sitting_height": 520,
            "shoulder_height": 330, "ear_height": 440, "sits_upright": False, **more}


DRIVER: Data = {"rider": "Bram", "adult": True, "drives": True, "age": "40y", "height": 1750, "mass": 75, "hips": 380,
                "shoulders": 450, "buttock_knee": 600}


def _trip(rows: list[Data], riders: list[Data], restraints: list[Data], driver: Data = DRIVER, **more: Any) -> Trip:
    """Bram drives at 1L; the front row holds nobody else unless the rows say so."""
    return Trip.model_validate({
        "trip": "tiny", "on": DAY, "drives": "1L", "rules": "us",
        "vehicle": {"vehicle": "Tiny Wagon", "invented": True, "measured": {"tolerance": 0}, "rows": rows},
        "riders": [driver, *riders], "restraints": restraints, **more})


def _front(*others: Data) -> Data:
    return _row(1, 1500, [_position("1L", 350), *others])


def _solve(trip: Trip) -> Solve:
    return Solve(trip, load_profile(trip.rules), DAY)


def _verdict(trip: Trip) -> str:
    return plan(trip, load_profile(trip.rules), DAY, top=1).verdict


def _repairs(trip: Trip, **shelf: Data) -> list[Repair]:
    assert _verdict(trip) == "rejected"
    return list(repairs_of(_solve(trip), _shelf(**shelf), shown=9).repairs)


def _shelf(**shelf: Data) -> dict[str, Restraint]:
    return {word: Restraint.model_validate(data) for word, data in shelf.items()}


def _kinds(repairs: list[Repair]) -> list[tuple[str, ...]]:
    return [tuple(change.kind for change in repair.changes) for repair in repairs]


def _only(repairs: list[Repair], kind: str) -> Change:
    """The one repair that is a single change of this kind."""
    found = [repair.changes[0] for repair in repairs if [change.kind for change in repair.changes] == [kind]]
    assert len(found) == 1, _kinds(repairs)
    return found[0]


def _with(trip: Trip, change: Change, mm: int) -> str:
    """The verdict with another number in the change, made by code of the test's own."""
    return _verdict(changed(trip, [{**as_json(change), "mm": mm}], {}))


# ---- sit further forward

def _behind(free: int, limit: int | None, travel: int = 200, stature: int | None = 1750) -> Trip:
    """A shell that reaches 600 mm forward, behind the driver's seat, with so much free at rearmost."""
    ahead = {"seat": "1L", "gap": [[0, free], [300, free], [600, free]], "travel": travel}
    front = {} if limit is None else {"1L": {"forward_at_most": limit}}
    return _trip([_front(), _row(2, 1500, [_position("2L", 350, ahead=ahead)])], [_child("Ada")],
                 [_harness("Shell", "forward-facing-harness", 400)], {**DRIVER, "height": stature}, front=front)


def test_sit_further_forward_to_the_mm() -> None:
    """By hand: 600 mm reach, 500 free: 100 mm forward; the driver allows 40 of the seat's 200."""
    trip = _behind(500, 40)
    change = _only(_repairs(trip), "sit-further-forward")
    assert (change.position, change.was_mm) == ("1L", 40)
    assert change.mm == 100
    assert _with(trip, change, 100) == "fits"
    assert _with(trip, change, 99) == "rejected"


def test_no_further_forward_than_the_travel() -> None:
    assert "sit-further-forward" not in {kind for kinds in _kinds(_repairs(_behind(399, 40))) for kind in kinds}
    assert _only(_repairs(_behind(400, 40)), "sit-further-forward").mm == 200


def test_a_seat_without_a_limit_is_not_offered() -> None:
    """Nobody said how far it can come: that is to be measured, not changed."""
    trip = _behind(500, None, stature=None)
    assert _verdict(trip) == "unmeasured"
    assert not [change for change in offers(trip, {}) if change.kind == "sit-further-forward"]


def test_a_sliding_row_comes_forward_too() -> None:
    """Row 1 slides as a whole: its driver's limit is one of the row, and can be given up like a seat's."""
    data = _behind(500, 40).model_dump(mode="json", by_alias=True, exclude_none=True)
    rows = deepcopy(data["vehicle"]["rows"])
    rows[0]["slides"] = 150
    del rows[1]["positions"][0]["ahead"]["travel"]
    trip = _trip(rows, [_child("Ada")], [_harness("Shell", "forward-facing-harness", 400)],
                 front={"1L": {"forward_at_most": 40}})
    change = _only(_repairs(trip), "sit-further-forward")
    assert (change.position, change.was_mm, change.mm) == ("1L", 40, 100)
    assert _with(trip, change, 99) == "rejected"


def test_the_least_that_any_seating_needs() -> None:
    """Two seats behind the driver's, one with less room: the child goes where the driver gives up least."""
    def ahead(free: int) -> Data:
        return {"seat": "1L", "gap": [[0, free], [300, free], [600, free]], "travel": 200}

    for left, right in ((450, 520), (520, 450)):
        trip = _trip([_front(), _row(2, 1500, [_position("2L", 350, ahead=ahead(left)),
                                               _position("2R", 1150, ahead=ahead(right))])],
                     [_child("Ada")], [_harness("Shell", "forward-facing-harness", 400)],
                     front={"1L": {"forward_at_most": 40}})
        change = _only(_repairs(trip), "sit-further-forward")
        assert change.mm == 80
        assert _with(trip, change, 79) == "rejected"


# ---- switch an airbag off

def _two_seater(airbag: str | None) -> Trip:
    front = _front(_position("1R", 1150, airbag={"front": airbag, "side": "none"}))
    return _trip([front], [_child("Ada")], [_harness("Shell", "rear-facing-harness", 400)])


def test_switch_airbag_off() -> None:
    trip = _two_seater("switchable")
    change = _only(_repairs(trip), "switch-airbag-off")
    assert change.position == "1R"
    assert _verdict(changed(trip, [as_json(change)], {})) == "fits"


@pytest.mark.parametrize("airbag", ["active", None])
def test_no_airbag_without_switch_is_offered(airbag: str | None) -> None:
    trip = _two_seater(airbag)
    assert "switch-airbag-off" not in {change.kind for change in offers(trip, {})}
    if airbag:
        assert _repairs(trip) == []


# ---- give up a wish

def _wishing(*wishes: Data, children: int = 2) -> Trip:
    row = _row(2, 1500, [_position("2L", 350), _position("2C", 750), _position("2R", 1150)])
    names = ["Ada", "Bo", "Cy"][:children]
    return _trip([_front(), row], [_child(name) for name in names],
                 [_harness(f"Shell {n}", "forward-facing-harness", 380) for n in range(children)], wishes=list(wishes))


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
    found = [repair.changes[0] for repair in _repairs(trip) if len(repair.changes) == 1
             and repair.changes[0].kind == "drop-wish"]
    change = next(change for change in found if (change.thing, change.riders) == (thing, riders))
    assert change.asked == asked
    assert _verdict(changed(trip, [as_json(change)], {})) == "fits"
    assert applied(trip, (change,)).wishes == changed(trip, [as_json(change)], {}).wishes


def test_a_wish_without_must_is_no_change() -> None:
    trip = _wishing({"rider": "Ada", "at": ["2L"]}, {"apart": ["Ada", "Bo"]}, {"together": ["Ada", "Bo"]})
    assert "drop-wish" not in {change.kind for change in offers(trip, {})}


# ---- another restraint

def _without_seat(**child: Any) -> Trip:
    return _trip([_front(), _row(2, 1500, [_position("2L", 350)])], [_child("Ada", **child)], [])


def test_get_restraint() -> None:
    shell = _harness("Shell", "forward-facing-harness", 400)
    trip = _without_seat()
    change = _only(_repairs(trip, shell=shell), "get-restraint")
    assert (change.restraint, change.word, change.renamed) == ("Shell", "shell", False)
    assert _verdict(changed(trip, [as_json(change)], _shelf(shell=shell))) == "fits"


def test_a_second_one_of_a_model_has_its_own_name() -> None:
    shell = _harness("Shell", "forward-facing-harness", 400)
    row = _row(2, 1500, [_position("2L", 350), _position("2R", 1150)])
    trip = _trip([_front(), row], [_child("Ada"), _child("Bo")], [shell, {**shell, "restraint": "Shell 2"}][:1])
    change = _only(_repairs(trip, shell=shell), "get-restraint")
    assert (change.restraint, change.renamed) == ("Shell 2", True)


def test_no_restraint_that_the_child_has_outgrown() -> None:
    shell = _harness("Shell", "forward-facing-harness", 400)
    assert _repairs(_without_seat(mass=31), shell=shell) == []


# ---- a tether anchor that can be fitted

def _needs_tether(retrofit: str | None) -> Trip:
    position = _position("2L", 350, **({"retrofit_tether": retrofit} if retrofit else {}))
    row = _row(2, 1500, [position], [{"tether": "t1", "across": 350, "along": -250, "up": 650}])
    return _trip([_front(), row], [_child("Ada")],
                 [_harness("Shell", "forward-facing-harness", 400, needs_tether=True)])


def test_fit_tether_anchor() -> None:
    trip = _needs_tether("t1")
    change = _only(_repairs(trip), "fit-tether-anchor")
    assert (change.position, change.thing) == ("2L", "t1")
    assert _verdict(changed(trip, [as_json(change)], {})) == "fits"


def test_no_anchor_that_the_handbook_does_not_offer() -> None:
    trip = _needs_tether(None)
    assert "fit-tether-anchor" not in {change.kind for change in offers(trip, {})}
    assert _repairs(trip) == []


# ---- a narrower restraint

def _squeezed(**more: Any) -> Trip:
    """Two shells of 480 mm abreast, bound to belts 400 mm apart with 50 mm of play, in a wide row."""
    row = _row(2, 1500, [_position("2L", 500), _position("2R", 900)])
    first, second = (_harness(f"Shell {n}", "forward-facing-harness", 480, play=0, **more) for n in (1, 2))
    return _trip([_front(), row], [_child("Ada"), _child("Bo")], [first, second])


def test_get_narrower_to_the_mm() -> None:
    """By hand: middles 400 mm apart without play, the other 480 wide: half of it leaves 160, so 320 mm."""
    trip = _squeezed()
    slim = _harness("Slim", "forward-facing-harness", 250)
    found = [change for repair in repairs_of(_solve(trip), _shelf(slim=slim), shown=9).repairs
             for change in repair.changes if change.kind == "get-narrower" and len(repair.changes) == 1]
    assert found
    for change in found:
        assert (change.mm, change.was_mm) == (320, 480)
        assert _with(trip, change, 320) in ("fits", "close")
        assert _with(trip, change, 321) == "rejected"


def test_not_narrower_than_the_shelf_has() -> None:
    """None of 320 mm or less is on the shelf: nobody could find one."""
    slim = _harness("Slim", "forward-facing-harness", 321)
    kinds = _kinds(_repairs(_squeezed(), slim=slim))
    assert ("get-narrower",) not in kinds


def test_a_wider_part_of_the_installation_is_told() -> None:
    """What it is now is its widest part, a stand included that only one way of installing brings."""
    trip = _squeezed(parts=[{"part": "stand", "along": [0, 600], "up": [0, 100], "width": 500}])
    slim = _harness("Slim", "forward-facing-harness", 250)
    narrower = [change for change in offers(trip, _shelf(slim=slim)) if change.kind == "get-narrower"]
    assert [change.was_mm for change in narrower] == [500, 500]


# ---- another vehicle

def test_ride_elsewhere() -> None:
    row = _row(2, 1500, [_position("2L", 350)])
    trip = _trip([_front(), row], [_child("Ada"), _child("Bo")],
                 [_harness(f"Shell {n}", "forward-facing-harness", 400) for n in (1, 2)])
    repairs = _repairs(trip)
    assert _kinds(repairs) == [("ride-elsewhere",)]
    alike = {repairs[0].changes, *repairs[0].alike}
    assert {changes[0].riders for changes in alike} == {("Ada",), ("Bo",)}
    for (change,) in alike:
        assert _verdict(changed(trip, [as_json(change)], {})) == "fits"


def test_never_the_driver_and_never_everybody() -> None:
    trip = _trip([_front()], [_child("Ada")], [])
    assert "Bram" not in {name for change in offers(trip, {}) for name in change.riders}
    assert _repairs(trip) == []


# ---- what a must-rule forbids

def test_no_change_gets_round_a_must_rule() -> None:
    """A restraint that was in a crash stays out, whatever else could change."""
    shell = {**_harness("Shell", "forward-facing-harness", 480), "condition": {**FINE, "crash": "severe"}}
    trip = _trip([_front(), _row(2, 1500, [_position("2L", 350)])], [_child("Ada")], [shell])
    assert _repairs(trip) == []


def _sets(trip: Trip, shelf: dict[str, Restraint]) -> set[tuple[str, ...]]:
    """The kinds of every smallest set of up to two changes, each made and solved again."""
    openings = RepairSeater(_solve(trip), shelf).openings(2)
    for opening in openings:
        assert _verdict(changed(trip, [as_json(change) for change in opening.changes], shelf)) != "rejected"
    return {tuple(sorted(change.kind for change in opening.changes)) for opening in openings}


def test_a_new_restraint_at_a_changed_position() -> None:
    """What is bought may need the anchor that could be fitted, or the airbag off: two changes at one seat."""
    tethered = _needs_tether("t1").model_copy(update={"restraints": []})
    shelf = _shelf(shell=_harness("Shell", "forward-facing-harness", 400, needs_tether=True))
    assert _sets(tethered, shelf) == {("fit-tether-anchor", "get-restraint")}
    airbag = _two_seater("switchable").model_copy(update={"restraints": []})
    assert _sets(airbag, _shelf(shell=_harness("Shell", "rear-facing-harness", 400))) == {
        ("get-restraint", "switch-airbag-off")}


def test_a_narrower_restraint_at_a_changed_position() -> None:
    """A switched airbag lets the shell in front, where the car leaves it less room than it takes."""
    row = _row(1, 1500, [_position("1L", 350), _position("1R", 1150, airbag={"front": "switchable", "side": "none"})])
    row["trim"].append({"name": "pocket", "right": 1350, "along": [0, 600], "up": [0, 300]})
    trip = _trip([row], [_child("Ada")], [_harness("Shell", "rear-facing-harness", 480, play=0)])
    shelf = _shelf(slim=_harness("Slim", "rear-facing-harness", 300))
    assert ("get-narrower", "switch-airbag-off") in _sets(trip, shelf)


def test_two_changes_at_one_position() -> None:
    """An anchor fitted and an airbag switched off at one and the same seat."""
    row = _row(1, 1500, [_position("1L", 350), _position(
        "1R", 1150, airbag={"front": "switchable", "side": "none"}, retrofit_tether="t1")],
        [{"tether": "t1", "across": 1150, "along": -250, "up": 650}])
    shell = _harness("Shell", "rear-facing-harness", 400, needs_tether=True)
    assert _sets(_trip([row], [_child("Ada")], [shell]), {}) == {("fit-tether-anchor", "switch-airbag-off")}


def test_an_anchor_that_neighbours_would_share() -> None:
    """Fitted, 2R would share t1 with 2L; whoever sits there may then leave it alone, if the restraint lets him."""
    row = _row(2, 1500, [_position("2L", 350, tether="t1"), _position("2R", 1150, retrofit_tether="t1")],
               [{"tether": "t1", "across": 750, "along": -250, "up": 650}])
    strapped = _harness("Strapped", "forward-facing-harness", 400)
    strapped["modes"][0]["tether_strap"] = True
    trip = _trip([_front(), row], [_child("Ada"), _child("Bo")],
                 [strapped, _harness("Shell", "forward-facing-harness", 400, needs_tether=True)])
    solo = _trip([_front(), row], [_child("Ada"), _child("Bo")], [strapped, _harness(
        "Shell", "forward-facing-harness", 400, needs_tether=True)], wishes=[
            {"rider": "Ada", "at": ["2L"], "must": True}, {"rider": "Ada", "uses": ["Strapped"], "must": True}])
    for one in (trip, solo):
        expected = {frozenset(change.kind for change in opening.changes)
                    for opening in RepairSeater(_solve(one), {}).openings(2)}
        by_hand = by_brute_force(one, offered := offers(one, {}), {}, False)
        assert expected == {frozenset(offered[i].kind for i in some) for some in by_hand}


def test_two_searches_on_one_solve_find_the_same() -> None:
    """Answers are kept by the identity of records: none may be freed and its number used again."""
    shell, slim = _harness("Shell", "forward-facing-harness", 400), _harness("Slim", "forward-facing-harness", 250)
    trip, shelf = _squeezed(), _shelf(shell=shell, slim=slim)
    solve = _solve(trip)
    first, second, third = ([opening.changes for opening in RepairSeater(solve, shelf).openings(2)] for _ in range(3))
    assert first
    assert first == second == third


def test_a_repair_is_told_with_what_it_opens() -> None:
    trip = _behind(500, 40)
    why = explain(plan(trip, load_profile(trip.rules), DAY, top=1), {})
    assert why is not None
    assert [repair.verdict for repair in why.repairs.repairs] == ["fits"]
    shown, = why.repairs.repairs
    assert shown.arrangement.ahead is not None
    assert dict(shown.arrangement.ahead.stands) == {"1L": 100}
