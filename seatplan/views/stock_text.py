"""The smallest set of restraints that carries all children."""

from __future__ import annotations

from seatplan.growth.course import Leg
from seatplan.growth.stock import Stock, StockFound
from seatplan.model import Trip

from .caution import CAUTION
from .doubted_text import doubted_part
from .say import t
from .text import count, listed, table, wrapped
from .words import MODES

_INDENT = "   "


def stock_text(found: StockFound, trip: Trip) -> str:
    """The answer, each set with its arrangements, the caution."""
    title = t("{trip}: the smallest set of restraints until {end}\n", trip=trip.trip, end=found.end)
    head = wrapped(title) + "\n" + wrapped(
        t("in {vehicle}, of the {restraints} at hand and the bundled ones, "
          "all of them invented; children grow as is likely, and every day of the set was solved with the whole car",
          vehicle=trip.vehicle.vehicle, restraints=count(len(trip.restraints), 'restraint')))
    parts = [head, *filter(None, [doubted_part(trip)])]
    if found.nobody_takes:
        told = listed([t("{child} from {day}", child=child, day=day) for child, day in found.nobody_takes])
        parts.append(wrapped(t("No set: none of these restraints takes {told}.", told=told)))
    elif found.smallest is None:
        more = "" if found.complete else t(" There are more that were not tried.")
        parts.append(wrapped(t("No set was found; {sets} that the limits allow did not fit the "
                               "car.{more}", sets=count(found.solved, 'set'), more=more)))
    else:
        least = len(found.smallest.restraints)
        proof = t("; fewer do not do") if found.complete else t(", the smallest that was found")
        parts.append(
            _set(t("By count: {restraints}{proof}", restraints=count(least, "restraint"), proof=proof), found.smallest)
        )
        if found.calmest is not None and found.calmest.course.moves < found.smallest.course.moves:
            parts.append(_set(t("By changes, of the {sets} solved", sets=count(found.solved, 'set')), found.calmest))
        else:
            parts.append(wrapped(t("None of the {sets} solved, with up to one restraint more, "
                                   "needs fewer moves.", sets=count(found.solved, 'set'))))
    return "\n\n".join([*parts, wrapped(t("caution: {CAUTION}", CAUTION=CAUTION))]) + "\n"


def _set(title: str, stock: Stock) -> str:
    buy = t("to buy: {bought}", bought=listed(stock.bought)) if stock.bought else t("nothing to buy")
    lines = [wrapped(t("{title}: {some}; {buy}; {moves}", title=title, some=listed(stock.restraints) or 'none',
                       buy=buy, moves=count(stock.course.moves, 'move')))]
    return "\n".join(
        [*lines, table(["days", t("who rides in what")], [_leg(leg) for leg in stock.course.legs], _INDENT)]
    )


def _leg(leg: Leg) -> list[str]:
    told = [f"{p.rider} {p.position} {p.restraint}, {MODES[p.mode]}" if p.restraint else f"{p.rider} {p.position}"
            for p in leg.seating or ()]
    return [t("{first} to {last}", first=leg.first, last=leg.last), "; ".join(told)]
