"""Sizes that are reckoned for a later day, in words."""

from __future__ import annotations

from datetime import date

from seatplan.model import Reckoned, Rider
from seatplan.solver.results import Plan

from .text import listed, mm, number, wrapped


def sizes(rider: Reckoned, day: date) -> str:
    """Mass and stature on a day with their range, and from when they were reckoned."""
    told = []
    for name, unit in (("mass", "kg"), ("height", "mm")):
        low, likely, high = (getattr(size, name) for size in (rider.smaller, rider, rider.larger))
        if likely is not None:
            shown = f"{likely:.1f} kg ({low:.1f} to {high:.1f})" if unit == "kg" else (
                f"{mm(likely)} ({number(low)} to {number(high)})")
            told.append(shown)
    what = " and ".join(told) or "size not known"
    where = "at birth" if rider.born == rider.since else f"measured {rider.since}"
    return f"{rider.rider} on {day}: {what}, by growth tables ({where})"


def not_there(rider: Rider) -> str:
    """Who does not ride yet."""
    return f"{rider.rider} is due {rider.due} and does not ride before"


def reckoned_head(plan: Plan) -> str:
    """The line under the head of a plan whose sizes are reckoned; empty where none are."""
    names = [rider.rider for rider in plan.trip.riders if isinstance(rider, Reckoned)]
    if not names:
        return ""
    return "\n" + wrapped(f"The sizes of {listed(names)} are reckoned for that day from growth tables, so nothing is "
                          "better than close: measure again when it comes.")
