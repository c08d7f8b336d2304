"""An outlook as JSON: versioned, described by ``data/schemas/outlook.json``."""

from __future__ import annotations

from datetime import date
from typing import Any

from seatplan.growth.limits import Limit, Stay, Window
from seatplan.growth.outlook import Change, Outlook, Step, Way
from seatplan.growth.purchase import Offer, Purchase
from seatplan.growth.solved import Place
from seatplan.solver.room.tables import RoomFor

from .doubted_text import doubted_json
from .failure_json import head_json
from .finding_json import finding_json
from .outlook_words import again_text, change_text, limit_text
from .under_way_json import under_way_json


def outlook_json(outlook: Outlook) -> dict[str, Any]:
    """The whole answer as plain dicts and lists; days as ISO text."""
    return {
        **head_json("outlook"),
        "trip": outlook.trip.trip,
        "vehicle": outlook.trip.vehicle.vehicle,
        "rules": outlook.profile.name,
        "from": outlook.start.isoformat(),
        "until": outlook.end.isoformat(),
        "doubted": doubted_json(outlook.trip),
        "under_way": under_way_json(outlook.trip, outlook.profile, outlook.start),
        "works_now": outlook.works_now,
        "nothing_from": _day(outlook.gap),
        "protection": _way(outlook.protection, outlook.end),
        "fewest_moves": _way(outlook.moves, outlook.end),
        "stretches": [{"first": s.first.isoformat(), "last": s.last.isoformat(), "arrangements": len(s.solved.seatings),
                       "unmeasured": sum(rated.unsure for rated in s.solved.seatings.values()),
                       "complete": s.solved.complete} for s in outlook.stretches],
        "events": [day.isoformat() for day in outlook.events],
        "stays": [_stay(stay) for stay in outlook.stays],
        "purchase": _purchase(outlook.purchase),
    }


def _way(way: Way, end: date) -> dict[str, Any]:
    return {"moves": way.course.moves, "complete": way.course.complete,
            "steps": [_step(step, end) for step in way.steps]}


def _step(step: Step, end: date) -> dict[str, Any]:
    leg = step.leg
    return {
        "first": leg.first.isoformat(), "last": leg.last.isoformat(), "verdict": step.verdict, "moves": leg.moves,
        "seats": None if leg.seating is None else [place_json(place) for place in leg.seating],
        "measure": [{"rider": d.rider, "by": d.first.isoformat(), "text": again_text(d.finding),
                     "finding": finding_json(d.finding)} for d in step.doubts],
        "change": None if step.change is None else _change(step.change, end),
    }


def _change(change: Change, end: date) -> dict[str, Any]:
    return {
        "on": change.day.isoformat(), "opens": change.opens, "text": change_text(change, end),
        "limits": [limit_json(limit) for limit in change.limits], "room": change.room, "joins": list(change.joins),
        "moves": [{"before": None if m.before is None else place_json(m.before), "after": place_json(m.after)}
                  for m in change.moves],
    }


def limit_json(limit: Limit) -> dict[str, Any]:
    return {**_window(limit.window), "text": limit_text(limit), "finding": finding_json(limit.finding)}


def _window(window: Window) -> dict[str, Any]:
    return {"earliest": _day(window.earliest), "likely": _day(window.likely), "latest": _day(window.latest)}


def _stay(stay: Stay) -> dict[str, Any]:
    return {
        "rider": stay.rider, "restraint": stay.restraint, "mode": stay.mode, "by": stay.by,
        "connectors": stay.connectors,
        "opens": None if stay.opens is None else limit_json(stay.opens),
        "closes": None if stay.closes is None else limit_json(stay.closes),
    }


def _purchase(purchase: Purchase | None) -> dict[str, Any] | None:
    if purchase is None:
        return None
    return {"by": purchase.day.isoformat(), "must": purchase.must, "riders": list(purchase.riders),
            "tried": purchase.tried, "offers": [_offer(offer) for offer in purchase.offers],
            "room": None if purchase.room is None else _room(purchase.room)}


def _room(one: RoomFor) -> dict[str, Any]:
    """The most width: the seat, and how it is held."""
    width = one.width
    return {"position": one.position, "mode": one.ways[0].mode,
            "held_by": [{"by": way.by, "connectors": way.connectors} for way in one.ways],
            "fits_mm": None if width is None else width.fits, "close_mm": None if width is None else width.close,
            "likely_mm": None if width is None else width.likely}


def _offer(offer: Offer) -> dict[str, Any]:
    return {"model": offer.model, "restraint": offer.restraint, "rider": offer.rider, "mode": offer.mode,
            "sure": offer.sure, "ends": None if offer.ends is None else _window(offer.ends)}


def place_json(place: Place) -> dict[str, Any]:
    """Where one rider rides in what."""
    return {"rider": place.rider, "position": place.position, "restraint": place.restraint, "mode": place.mode}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
