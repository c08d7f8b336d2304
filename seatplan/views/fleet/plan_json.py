"""The plan of a day as JSON. Bookings go by their salted ids, and by their lines in the file."""

from __future__ import annotations

from typing import Any

from seatplan.app.fleet.files import FleetRead
from seatplan.app.fleet.plan import Planned
from seatplan.fleet.overnight import NEVER
from seatplan.fleet.records import GRADES, Booking, Leg, Load, Offer, Unserved
from seatplan.views.failure_json import head_json

from .counts import counts_json
from .match_json import kit_json, party_json, reading_json, way_json


def plan_json(found: Planned) -> dict[str, Any]:
    """All of a plan."""
    plan, read = found.plan, found.read
    units = {one.key: one for one in found.day.vehicles}
    return {
        **head_json("fleet-plan"), "fleet": read.fleet.fleet, "on": found.day.date, "rules": read.profile.name,
        "counts": counts_json(found.counts, found.classes, found.damaged), "served": plan.served, "bound": plan.bound,
        "proven": plan.proven, "changes": plan.changes, "empty_minutes": plan.empty_minutes, "below_floor": plan.below,
        "depot_shares_thousandths": dict(plan.shares),
        "bookings": [_booking(found, one) for one in found.day.bookings],
        "vehicles": [{"vehicle": key, "type": read.type_name(units[key].vehicle_type), "depot": units[key].depot,
                      "legs": [_leg(leg, read) for leg in legs]} for key, legs in plan.routes.items()],
        "unserved": [{"booking": key, **_why(why, read)} for key, why in plan.unserved.items()],
        "offers": [{"booking": key, "offers": [_offer(one, read) for one in told]}
                   for key, told in plan.offers.items()],
        "still_out": [{"vehicle": one.vehicle, "home_minute": None if one.home >= NEVER else one.home,
                       "load": load_json(one.load, one.copies, read)} for one in found.night],
        "again": _again(found),
        "kept": None if found.kept is None else {"file": str(found.kept[0]), "number": found.kept[1].number,
                                                 "follows": found.kept[1].follows},
    }


def _booking(found: Planned, booking: Booking) -> dict[str, Any]:
    return {"booking": booking.key, "line": found.lines.get(booking.key), "start_minute": booking.start,
            "end_minute": booking.end, "from": booking.origin, "to": booking.goal,
            **party_json(booking.party, found.read)}


def _leg(leg: Leg, read: FleetRead) -> dict[str, Any]:
    cover = leg.cover
    return {"booking": leg.booking, "way": way_json(leg.way, read), "load": load_json(leg.load, leg.copies, read),
            "by_depot": leg.by_depot, "empty_minutes": leg.empty_minutes, "changes": leg.changes,
            "cover": None if cover is None else {"below": way_json(cover.below, read),
                                                 "above": way_json(cover.above, read),
                                                 "reading": reading_json(cover.reading)}}


def load_json(load: Load, copies: tuple[str, ...], read: FleetRead) -> list[dict[str, Any]]:
    """What stands where in a vehicle."""
    return [{"restraint_kind": read.kind_name(kind), "serial": copy or None, "position": position,
             "held_by": by or None} for (kind, position, by), copy in zip(load, copies, strict=True)]


def _why(why: Unserved, read: FleetRead) -> dict[str, Any]:
    conflict = why.conflict
    return {"why": why.why, "reading": None if why.reading is None else reading_json(why.reading),
            "readings": [reading_json(one) for one in why.readings],
            "type": read.type_name(why.vehicle_type) if why.vehicle_type else None, "depot": why.depot or None,
            "copies": kit_json(why.copies, read), "way": None if why.way is None else way_json(why.way, read),
            "conflict": None if conflict is None else {"members": list(conflict[0]), "rules": list(conflict[1])},
            "verified": why.verified}


def _offer(offer: Offer, read: FleetRead) -> dict[str, Any]:
    return {"type": read.type_name(offer.vehicle_type), "way": way_json(offer.way, read),
            "gives_up": [{"member": one.member, "floor": GRADES[one.floor], "offered": GRADES[one.offered]}
                         for one in offer.gives_up], "placed_worse": offer.placed_worse}


def _again(found: Planned) -> dict[str, Any] | None:
    again = found.again
    if again is None:
        return None
    return {"touched": list(again.touched), "stranded": list(again.stranded),
            "changes": [{"booking": one.booking, "before": None if one.before is None else one.before[0],
                         "now": None if one.now is None else one.now[0]} for one in again.changes]}
