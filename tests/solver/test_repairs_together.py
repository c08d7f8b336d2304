"""Changes that meet at one seat, and searches that meet on one solve."""

from __future__ import annotations

from changes import changed
from repair_trips import (
    child,
    front,
    harness,
    needs_tether_trip,
    position_at,
    row_of,
    shelf_of,
    solved,
    squeezed,
    trip_with,
    two_seater,
    verdict,
)
from test_openings import as_json, by_brute_force

from seatplan.model import Restraint, Trip
from seatplan.solver.repairs.catalogue import offers
from seatplan.solver.repairs.search import RepairSeater


def _sets(trip: Trip, shelf: dict[str, Restraint]) -> set[tuple[str, ...]]:
    """The kinds of every smallest set of up to two changes, each made and solved again."""
    openings = RepairSeater(solved(trip), shelf).openings(2)
    for opening in openings:
        assert verdict(changed(trip, [as_json(change) for change in opening.changes], shelf)) != "rejected"
    return {tuple(sorted(change.kind for change in opening.changes)) for opening in openings}


def test_a_new_restraint_at_a_changed_position() -> None:
    """What is bought may need the anchor that could be fitted, or the airbag off: two changes at one seat."""
    tethered = needs_tether_trip("t1").model_copy(update={"restraints": []})
    shelf = shelf_of(shell=harness("Shell", "forward-facing-harness", 400, needs_tether=True))
    assert _sets(tethered, shelf) == {("fit-tether-anchor", "get-restraint")}
    airbag = two_seater("switchable").model_copy(update={"restraints": []})
    assert _sets(airbag, shelf_of(shell=harness("Shell", "rear-facing-harness", 400))) == {
        ("get-restraint", "switch-airbag-off")}


def test_a_narrower_restraint_at_a_changed_position() -> None:
    """A switched airbag lets the shell in front, where the car leaves it less room than it takes."""
    seat = position_at("1R", 1150, airbag={"front": "switchable", "side": "none"})
    row = row_of(1, 1500, [position_at("1L", 350), seat])
    row["trim"].append({"name": "pocket", "right": 1350, "along": [0, 600], "up": [0, 300]})
    trip = trip_with([row], [child("Ada")], [harness("Shell", "rear-facing-harness", 480, play=0)])
    shelf = shelf_of(slim=harness("Slim", "rear-facing-harness", 300))
    assert ("get-narrower", "switch-airbag-off") in _sets(trip, shelf)


def test_two_changes_at_one_position() -> None:
    """An anchor fitted and an airbag switched off at one and the same seat."""
    row = row_of(1, 1500, [position_at("1L", 350), position_at(
        "1R", 1150, airbag={"front": "switchable", "side": "none"}, retrofit_tether="t1")],
        [{"tether": "t1", "across": 1150, "along": -250, "up": 650}])
    shell = harness("Shell", "rear-facing-harness", 400, needs_tether=True)
    assert _sets(trip_with([row], [child("Ada")], [shell]), {}) == {("fit-tether-anchor", "switch-airbag-off")}


def test_an_anchor_that_neighbours_would_share() -> None:
    """Fitted, 2R would share t1 with 2L; whoever sits there may then leave it alone, if the restraint lets him."""
    row = row_of(2, 1500, [position_at("2L", 350, tether="t1"), position_at("2R", 1150, retrofit_tether="t1")],
               [{"tether": "t1", "across": 750, "along": -250, "up": 650}])
    strapped = harness("Strapped", "forward-facing-harness", 400)
    strapped["modes"][0]["tether_strap"] = True
    trip = trip_with([front(), row], [child("Ada"), child("Bo")],
                 [strapped, harness("Shell", "forward-facing-harness", 400, needs_tether=True)])
    solo = trip_with([front(), row], [child("Ada"), child("Bo")], [strapped, harness(
        "Shell", "forward-facing-harness", 400, needs_tether=True)], wishes=[
            {"rider": "Ada", "at": ["2L"], "must": True}, {"rider": "Ada", "uses": ["Strapped"], "must": True}])
    for one in (trip, solo):
        expected = {frozenset(change.kind for change in opening.changes)
                    for opening in RepairSeater(solved(one), {}).openings(2)}
        by_hand = by_brute_force(one, offered := offers(one, {}), {}, False)
        assert expected == {frozenset(offered[i].kind for i in some) for some in by_hand}


def test_two_searches_on_one_solve_find_the_same() -> None:
    """Answers are kept by the identity of records: none may be freed and its number used again."""
    shell, slim = harness("Shell", "forward-facing-harness", 400), harness("Slim", "forward-facing-harness", 250)
    trip, shelf = squeezed(), shelf_of(shell=shell, slim=slim)
    solve = solved(trip)
    first, second, third = ([opening.changes for opening in RepairSeater(solve, shelf).openings(2)] for _ in range(3))
    assert first
    assert first == second == third
