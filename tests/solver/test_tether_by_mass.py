"""A tether that a mass of the child decides about: hooked, stored with a caution, or in the way of everything."""

from __future__ import annotations

from typing import Any

import pytest
from repair_trips import needs_tether_trip
from solved import DAY

from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import planned as plan  # the trip need not be true


def tethered(mass: str, needs: Any, most: str | None = None, anchor: str | None = None) -> Trip:
    """One child in a forward-facing harness, with an anchor behind every seat."""
    data = needs_tether_trip("t1").data()
    for rider in data["riders"]:
        if not rider.get("adult"):
            rider["mass"] = mass
    for restraint in data["restraints"]:
        for mode in restraint["modes"]:
            for way in mode["installations"]:
                way |= {"needs_tether": needs, "tether_mass_limit": most}
    for row in data["vehicle"]["rows"]:
        for n, position in enumerate(row["positions"]):
            row.setdefault("tethers", [])
            name = f"x{row['row']}{n}"
            row["tethers"] = [*(row["tethers"] or []), {"tether": name, "mass_limit": anchor}]
            position["tether"] = name
    return Trip.model_validate(data)


def hooked(trip: Trip) -> tuple[bool | None, set[str]]:
    """Whether the best arrangement hooks the tether, and what it is cautious of; None where there is none."""
    found = plan(trip, load_profile(trip.rules), DAY, top=1).arrangements
    if not found:
        return None, set()
    [seat] = [seat for seat in found[0].seats if seat.placement.harness]
    return seat.placement.tether is not None, {
        finding.rule for finding in seat.cell.findings if finding.outcome == "caution"}


@pytest.mark.parametrize(("mass", "needs", "most", "anchor", "is_hooked"), [
    ("17.9 kg", {"from": "18 kg"}, None, None, True),         # facing forward it may be hooked before it must
    ("18 kg", {"from": "18 kg"}, None, None, True),
    ("17 kg", False, "17 kg", None, True),
    ("17.1 kg", False, "17 kg", None, False),
    ("18.1 kg", False, None, "18 kg", False),
    ("17.1 kg", True, "17 kg", None, None),                   # needed, and may no longer be used
    ("18.1 kg", {"from": "16 kg"}, None, "18 kg", None),
    ("18.1 kg", {"from": "20 kg"}, None, "18 kg", False),
])
def test_hooked_or_stored(mass: str, needs: Any, most: str | None, anchor: str | None, is_hooked: bool | None) -> None:
    told, cautions = hooked(tethered(mass, needs, most, anchor))
    assert told == is_hooked
    assert ("tether-unused" in cautions) == (is_hooked is False)
