"""The arrangement that is being installed, as JSON."""

from __future__ import annotations

from datetime import date
from typing import Any

from seatplan.model import Trip
from seatplan.rules.profile import Profile
from seatplan.solver.under_way import state_of


def under_way_json(trip: Trip, profile: Profile, day: date) -> list[dict[str, Any]] | None:
    """Who is to ride how, in the order of installing, and who of them is in and holds; None: nothing is under way."""
    state = state_of(trip, profile, day)
    if state is None:
        return None
    return [{"rider": rider, "restraint": aim.restraint, "position": aim.position, "mode": aim.mode, "by": aim.by,
             "holds": rider in state.holding} for rider, aim in state.seats.items()]
