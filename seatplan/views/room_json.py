"""Room for a restraint as JSON, described by ``data/schemas/room.json``."""

from __future__ import annotations

from typing import Any

from seatplan.solver.room.tables import Most, Room, RoomFor
from seatplan.solver.rowplans import LEVELS

from .caution import CAUTION
from .doubted_text import doubted_json
from .failure_json import SCHEMA
from .plan_json import finding_json


def room_json(room: Room) -> dict[str, Any]:
    """Lengths in mm; a measure that reaches the end of what was tried may be larger."""
    return {
        "schema": SCHEMA, "caution": CAUTION, "trip": room.trip.trip, "vehicle": room.trip.vehicle.vehicle,
        "rules": room.profile.name, "on": room.day.isoformat(), "rider": room.rider, "complete": room.complete,
        "doubted": doubted_json(room.trip),
        "rooms": [room_for_json(one) for one in room.rooms],
    }


def room_for_json(one: RoomFor) -> dict[str, Any]:
    """Room at one seat, held in one of some ways."""
    return {
        "position": one.position, "mode": one.ways[0].mode,
        "held_by": [{"by": way.by, "connectors": way.connectors} for way in one.ways],
        "against": [finding_json(finding) for finding in one.against], "others_ride": one.alone,
        "missing": [finding_json(finding) for finding in one.missing],
        "width": _most(one.width), "width_row_full": _most(one.full),
        "heights": [{"up": list(band.up), "width": _most(band.width)} for band in one.heights],
        "reclines": [{"recline": at.recline, "length": _most(at.length), "reach": at.reach, "top": at.top}
                     for at in one.reclines],
        "bundled": [{"use": word, "verdict": LEVELS[level]} for word, level in one.fitting],
    }


def _most(most: Most | None) -> dict[str, Any] | None:
    return None if most is None else {"fits": most.fits, "close": most.close, "likely": most.likely,
                                       "as_far_as_measured": most.open}
