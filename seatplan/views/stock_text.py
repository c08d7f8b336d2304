"""The smallest set of restraints that carries all children, as text and JSON."""

from __future__ import annotations

from typing import Any

from seatplan.growth.course import Leg
from seatplan.growth.stock import Stock, StockFound
from seatplan.model import Trip

from .caution import CAUTION
from .failure_json import SCHEMA
from .text import count, listed, table, wrapped
from .words import MODES

_INDENT = "   "


def stock_text(found: StockFound, trip: Trip) -> str:
    """The answer, each set with its arrangements, the caution."""
    head = f"{trip.trip}: the smallest set of restraints until {found.end}\n" + wrapped(
        f"in {trip.vehicle.vehicle}, of the {count(len(trip.restraints), 'restraint')} at hand and the bundled ones, "
        "all of them invented; children grow as is likely, and every day of the set was solved with the whole car")
    parts = [head]
    if found.nobody_takes:
        told = listed([f"{child} from {day}" for child, day in found.nobody_takes])
        parts.append(wrapped(f"No set: none of these restraints takes {told}."))
    elif found.smallest is None:
        more = "" if found.complete else " There are more that were not tried."
        parts.append(wrapped(f"No set was found; {count(found.solved, 'set')} that the limits allow did not fit the "
                             f"car.{more}"))
    else:
        least = len(found.smallest.restraints)
        proof = "; fewer do not do" if found.complete else ", the smallest that was found"
        parts.append(_set(f"By count: {count(least, 'restraint')}{proof}", found.smallest))
        if found.calmest is not None and found.calmest.course.moves < found.smallest.course.moves:
            parts.append(_set(f"By changes, of the {count(found.solved, 'set')} solved", found.calmest))
        else:
            parts.append(wrapped(f"None of the {count(found.solved, 'set')} solved, with up to one restraint more, "
                                 "needs fewer moves."))
    return "\n\n".join([*parts, wrapped(f"caution: {CAUTION}")]) + "\n"


def _set(title: str, stock: Stock) -> str:
    buy = f"to buy: {listed(stock.bought)}" if stock.bought else "nothing to buy"
    lines = [wrapped(f"{title}: {listed(stock.restraints) or 'none'}; {buy}; {count(stock.course.moves, 'move')}")]
    return "\n".join([*lines, table(["days", "who rides in what"], [_leg(leg) for leg in stock.course.legs], _INDENT)])


def _leg(leg: Leg) -> list[str]:
    told = [f"{p.rider} {p.position} {p.restraint}, {MODES[p.mode]}" if p.restraint else f"{p.rider} {p.position}"
            for p in leg.seating or ()]
    return [f"{leg.first} to {leg.last}", "; ".join(told)]


def stock_json(found: StockFound, trip: Trip) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "schema": SCHEMA, "caution": CAUTION, "trip": trip.trip, "until": found.end.isoformat(),
        "smallest": _stock(found.smallest), "calmest": _stock(found.calmest), "solved": found.solved,
        "complete": found.complete,
        "nobody_takes": [{"rider": child, "from": day.isoformat()} for child, day in found.nobody_takes],
    }


def _stock(stock: Stock | None) -> dict[str, Any] | None:
    if stock is None:
        return None
    return {"restraints": list(stock.restraints), "bought": list(stock.bought), "moves": stock.course.moves, "legs": [
        {"first": leg.first.isoformat(), "last": leg.last.isoformat(),
         "seating": [p._asdict() for p in leg.seating or ()]} for leg in stock.course.legs]}
