"""The smallest set of restraints that carries all children."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.growth.course import Leg
from seatplan.growth.stock import Stock, StockFound
from seatplan.model import Trip

from .caution import caution
from .content import Block, Group, Heading, Paragraph, Table, group
from .doubted_text import doubted
from .say import t
from .terminal import parts_of
from .text import count, listed
from .words import MODES


def stock_text(found: StockFound, trip: Trip) -> str:
    """The answer as text; see ``stock_content``."""
    return parts_of(stock_content(found, trip))


def stock_content(found: StockFound, trip: Trip) -> list[Block | None]:
    """The answer, each set with its arrangements, the caution."""
    head = group(
        Heading(t("{trip}: the smallest set of restraints until {end}", trip=trip.trip, end=found.end)),
        Paragraph(t("in {vehicle}, of the {restraints} at hand and the bundled ones, all of them invented; children "
                    "grow as is likely, and every day of the set was solved with the whole car",
                    vehicle=trip.vehicle.vehicle, restraints=count(len(trip.restraints), "restraint"))))
    return [head, doubted(trip), *_sets(found), caution()]


def _sets(found: StockFound) -> Iterator[Block]:
    if found.nobody_takes:
        told = listed([t("{child} from {day}", child=child, day=day) for child, day in found.nobody_takes])
        yield Paragraph(t("No set: none of these restraints takes {told}.", told=told))
        return
    if found.smallest is None:
        more = "" if found.complete else t(" There are more that were not tried.")
        yield Paragraph(t("No set was found; {sets} that the limits allow did not fit the car.{more}",
                          sets=count(found.solved, "set"), more=more))
        return
    proof = t("; fewer do not do") if found.complete else t(", the smallest that was found")
    yield _set(t("By count: {restraints}{proof}", restraints=count(len(found.smallest.restraints), "restraint"),
                 proof=proof), found.smallest)
    if found.calmest is not None and found.calmest.course.moves < found.smallest.course.moves:
        yield _set(t("By changes, of the {sets} solved", sets=count(found.solved, "set")), found.calmest)
    else:
        yield Paragraph(t("None of the {sets} solved, with up to one restraint more, needs fewer moves.",
                          sets=count(found.solved, "set")))


def _set(title: str, stock: Stock) -> Group:
    buy = t("to buy: {bought}", bought=listed(stock.bought)) if stock.bought else t("nothing to buy")
    return group(
        Paragraph(t("{title}: {some}; {buy}; {moves}", title=title, some=listed(stock.restraints) or t("none"), buy=buy,
                    moves=count(stock.course.moves, "move"))),
        group(Table((t("days"), t("who rides in what")), tuple(map(_leg, stock.course.legs)), title), inner=True))


def _leg(leg: Leg) -> tuple[str, ...]:
    told = [f"{p.rider} {p.position} {p.restraint}, {MODES[p.mode]}" if p.restraint else f"{p.rider} {p.position}"
            for p in leg.seating or ()]
    return t("{first} to {last}", first=leg.first, last=leg.last), "; ".join(told)
