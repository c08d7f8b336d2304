"""The arrangement that is being installed, as JSON."""

from __future__ import annotations

from datetime import date
from typing import Any

from seatplan.model import Trip
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile
from seatplan.solver.under_way import state_of

from .finding_json import finding_json


def under_way_json(trip: Trip, profile: Profile, day: date,
                   options: Options = USUAL) -> list[dict[str, Any]] | None:
    """Who is to ride how, in the order of installing, who of them is in and holds, who is next, and what rules have
    against it; None: nothing is under way."""
    state = state_of(trip, profile, day, options)
    if state is None:
        return None
    return [{"rider": rider, "restraint": aim.restraint, "position": aim.position, "mode": aim.mode, "by": aim.by,
             "holds": rider in state.holding, "next": rider == state.next, "possible": state.possible,
             "refused_by": [finding_json(finding) for finding in state.against.get(rider, ())]}
            for rider, aim in state.seats.items()]
