"""Sizes that are reckoned for a later day, in words."""

from __future__ import annotations

from datetime import date

from seatplan.message import Amount
from seatplan.model import Reckoned, Rider
from seatplan.solver.results import Plan

from .content import Paragraph
from .say import t
from .text import listed


def sizes(rider: Reckoned, day: date) -> str:
    """Mass and stature on a day with their range, and from when they were reckoned."""
    told = []
    for name, unit in (("mass", "kg"), ("height", "mm")):
        low, likely, high = (getattr(size, name) for size in (rider.smaller, rider, rider.larger))
        if likely is not None:
            ends = {"likely": likely, "low": low, "high": high}
            told.append(t("{likely} ({low:bare} to {high:bare})", **{
                end: Amount(round(float(value), 1) if unit == "kg" else value, unit) for end, value in ends.items()}))
    what = t(" and ").join(told) or t("size not known")
    where = t("at birth") if rider.born == rider.since else t("measured {since}", since=rider.since)
    return t("{rider} on {day}: {what}, by growth tables ({where})", rider=rider.rider, day=day, what=what,
             where=where)


def not_there(rider: Rider) -> str:
    """Who does not ride yet."""
    return t("{rider} is due {due} and does not ride before", rider=rider.rider, due=rider.due)


def reckoned_head(plan: Plan) -> Paragraph | None:
    """The line under the head of a plan whose sizes are reckoned; None where none are."""
    names = [rider.rider for rider in plan.trip.riders if isinstance(rider, Reckoned)]
    if not names:
        return None
    return Paragraph(t("The sizes of {names} are reckoned for that day from growth tables, so nothing is better than "
                       "close: measure again when it comes.", names=listed(names)))
