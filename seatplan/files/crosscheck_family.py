"""Several trips that are given together: one family, so that its children agree on their birthdays."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seatplan.message import said
from seatplan.model import Trip

from .errors import Problem
from .places import Places


def family_problems(trips: Iterable[tuple[str, Trip, Places]]) -> list[Problem]:
    """Where two of the trips, each with the name of its file, give riders of one name another birthday."""
    told: dict[str, tuple[date, str]] = {}
    problems: list[Problem] = []
    for name, trip, places in trips:
        for i, rider in enumerate(trip.riders):
            if rider.born is None:
                continue
            born, where = told.setdefault(rider.rider, (rider.born, name))
            if born != rider.born:
                problems.append(places.problem(
                    ("riders", i, "born"),
                    said("{rider} is born {born} here and {other} in {where}; expected one birthday, or another name",
                         rider=rider.rider, born=rider.born, other=born, where=where)))
    return problems
