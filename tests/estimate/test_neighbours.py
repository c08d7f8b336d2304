"""Side by side, what nobody looked at never gives the room that is lacking."""

from __future__ import annotations

from copy import deepcopy
from datetime import date
from typing import Any

import pytest

from seatplan import arrange

DAY = date(2026, 11, 30)
KIND: dict[str, Any] = {"in_order": True, "width": 440}
TRIP: dict[str, Any] = {
    "trip": "Two beside each other", "drives": "1L", "on": DAY, "rules": "us",
    "vehicle": {
        "vehicle": "Two seats", "invented": True, "not_measured": "estimate",
        "every_seat": {"forward_and_fixed": True, "belt": "lap-shoulder", "retractor": "switchable",
                       "inflatable": False, "forbids": "none", "support_leg": "allowed"},
        "rows": [{"row": 1, "positions": [{"position": "1L"}, {"position": "1R", "airbag": {"front": "active"}}]},
                 {"row": 2, "positions": [
                     {"position": seat, "lower_anchors": True, "tether": True,
                      "ahead": {"seat": ahead, "free": 830}} for seat, ahead in (("2L", "1L"), ("2R", "1R"))]}]},
    "riders": [{"rider": "A", "born": "2026-05-04", "mass": "7.2 kg", "height": 650},
               {"rider": "B", "born": "2023-06-02", "mass": "15 kg", "height": 960}],
    "restraints": [
        {**KIND, "restraint": "Carrier", "kind": "infant-carrier", "level_adjusts": True, "support_leg": False,
         "limits": {"mass": "1.8-13 kg", "height": "0-85 cm", "on_lower_anchors": "13 kg"}},
        {**KIND, "restraint": "Seat", "kind": "forward-only", "support_leg": False,
         "limits": {"mass": "10-29 kg", "height": "76-124 cm", "on_lower_anchors": "20.4 kg"}}]}


def levels(apart: int) -> set[str]:
    """What is said of both on lower anchors, their middles so far apart."""
    trip = deepcopy(TRIP)
    row = trip["vehicle"]["rows"][1]
    row["trim"] = [{"name": "door", "left": 0, "right": 620 + apart}]
    for position, middle in zip(row["positions"], (310, 310 + apart), strict=True):
        position["centre"] = middle
    return {a.verdict for a in arrange(trip, today=DAY, top=None).arrangements
            if all(seat.placement.by == "lower-anchors" for seat in a.seats)}


@pytest.mark.parametrize(("apart", "likely"), [(450, True), (430, True), (415, False), (400, False)])
def test_connectors_that_nobody_looked_at_are_not_flexible_ones(apart: int, likely: bool) -> None:
    """44 cm each, 40 cm apart, fit only where straps let both aside by 20 mm; rigid connectors give 5."""
    assert ("likely" in levels(apart)) is likely


@pytest.mark.parametrize(("part", "likely"), [("shell", True), ("base", False)])
def test_the_width_of_its_base_is_not_that_of_a_seat(part: str, likely: bool) -> None:
    """A seat whose instructions are written down, and one width of it: 38 cm."""
    trip = deepcopy(TRIP)
    row = trip["vehicle"]["rows"][1]
    row["trim"] = [{"name": "door", "left": 0, "right": 1000}]
    for position, middle in zip(row["positions"], (270, 730), strict=True):
        position["centre"] = middle
    del trip["riders"][0], trip["restraints"][0]
    seat = trip["restraints"][0]
    label = seat.pop("limits")
    del seat["width"], seat["support_leg"]
    seat["modes"] = [{
        "mode": "forward-facing-harness", "limits": {"mass": label["mass"], "height": label["height"]},
        "tether_strap": True, "parts": [{"part": part, "width": 380}],
        "installations": [{"by": "lower-anchors", "mass_limit": "20.4 kg", "needs_tether": True,
                           "support_leg": False}]}]
    verdicts = {a.verdict for a in arrange(trip, today=DAY, top=None).arrangements}
    assert ("likely" in verdicts) is likely
    assert "fits" not in verdicts
