"""Room for a restraint as JSON, described by ``data/schemas/room.json``."""

from __future__ import annotations

from typing import Any

from seatplan.solver.room.tables import Most, Room, RoomFor
from seatplan.solver.rowplans import LEVELS

from .finding_json import finding_json, readings_json
from .plan_json import trip_json


def room_json(room: Room) -> dict[str, Any]:
    """A measure that reaches the end of what was tried may be larger."""
    return {
        **trip_json("room", room.trip, room.profile, room.day),
        "rider": room.rider, "complete": room.complete,
        "measure": readings_json(finding for one in room.rooms for finding in one.missing),
        "rooms": [room_for_json(one) for one in room.rooms],
    }


def room_for_json(one: RoomFor) -> dict[str, Any]:
    """Room at one seat, held in one of some ways."""
    return {
        "position": one.position, "mode": one.ways[0].mode,
        "held_by": [{"by": way.by, "connectors": way.connectors} for way in one.ways],
        "against": [finding_json(finding) for finding in one.against], "others_ride": one.alone,
        "missing": list(dict.fromkeys(finding.rule for finding in one.missing)),
        "width": _most(one.width), "width_row_full": _most(one.full),
        "heights": [{"up_mm": list(band.up), "width": _most(band.width)} for band in one.heights],
        "reclines": [{"recline_degrees": at.recline, "length": _most(at.length), "reach_mm": at.reach, "top_mm": at.top}
                     for at in one.reclines],
        "bundled": [{"use": word, "verdict": LEVELS[level]} for word, level in one.fitting],
    }


def _most(most: Most | None) -> dict[str, Any] | None:
    return None if most is None else {"fits_mm": most.fits, "close_mm": most.close, "likely_mm": most.likely,
                                       "as_far_as_measured": most.open}
