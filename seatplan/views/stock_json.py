"""The smallest set of restraints that carries all children, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.growth.stock import Stock, StockFound
from seatplan.model import Trip

from .doubted_text import doubted_json
from .failure_json import head_json
from .outlook_json import place_json


def stock_json(found: StockFound, trip: Trip) -> dict[str, Any]:
    """The sets with who rides in what until when."""
    return {
        **head_json("stock"), "trip": trip.trip, "vehicle": trip.vehicle.vehicle, "until": found.end.isoformat(),
        "doubted": doubted_json(trip),
        "smallest": _stock(found.smallest), "calmest": _stock(found.calmest), "solved": found.solved,
        "complete": found.complete,
        "nobody_takes": [{"rider": child, "from": day.isoformat()} for child, day in found.nobody_takes],
    }


def _stock(stock: Stock | None) -> dict[str, Any] | None:
    if stock is None:
        return None
    return {"restraints": list(stock.restraints), "bought": list(stock.bought), "moves": stock.course.moves, "legs": [
        {"first": leg.first.isoformat(), "last": leg.last.isoformat(),
         "seats": [place_json(place) for place in leg.seating or ()]} for leg in stock.course.legs]}
