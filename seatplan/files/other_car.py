"""The same trip in another car: without what it says of positions that this one lacks."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.message import said
from seatplan.model import Trip

from .places import Loc

#: what is said of a part of a trip that does not go along to another car
LEFT_OUT = "left out: {what}; {why}"
_NO_SUCH = said("this car has no such position")


def _done_there(trip: Trip) -> Iterator[tuple[Loc, str, str]]:
    """What was tried in the trip's own car, and what is under way there."""
    for i, tried in enumerate(trip.tried):
        yield (
            ("tried", i, "position"),
            said("what was tried with {restraint} at {position}", restraint=tried.restraint, position=tried.position),
            said("it was in another car"),
        )
    for name in trip.under_way:
        yield (
            ("under_way", name, "position"),
            said("what is under way for {name}", name=name),
            said("it is being installed in another car"),
        )


def fitted_to(trip: Trip) -> tuple[Trip, list[tuple[Loc, str]]]:
    """The trip in another car: without what it says of positions that this car lacks; and what was left out,
    with its place and why.

    What was tried, what is under way, and a belt-fit test that was passed, hold for the car they were done in: left
    out too.
    A must is never left out: the cross-check will say what is not there.
    """
    there = {p.position for p in trip.vehicle.positions()}
    dropped: list[tuple[Loc, str]] = []

    def drop(loc: Loc, what: str, why: str = _NO_SUCH) -> bool:
        dropped.append((loc, said(LEFT_OUT, what=what, why=why)))
        return True

    wishes = []
    for i, wish in enumerate(trip.wishes):
        for key in ("at", "not_at") if not wish.must else ():
            named = getattr(wish, key)
            if named is None:
                continue
            kept = [
                name
                for j, name in enumerate(named)
                if name in there or not drop(("wishes", i, key, j), said("the wish for {name}", name=name))
            ]
            wish = wish.model_copy(update={key: kept})
        if wish.at != [] and wish.not_at != []:
            wishes.append(wish)
    for loc, what, why in _done_there(trip):
        drop(loc, what, why)
    riders = []
    for i, rider in enumerate(trip.riders):
        fit = rider.belt_fit
        if fit is not None and (fit.passed or fit.position is not None):
            drop(
                ("riders", i, "belt_fit", "position"),
                said("the belt fit of {rider}", rider=rider.rider),
                said("it was tested in another car"),
            )
            rider = rider.model_copy(update={"belt_fit": None})
        riders.append(rider)
    return trip.model_copy(
        update={
            "wishes": wishes,
            "tried": [],
            "under_way": {},
            "riders": riders,
            "installed": {
                name: here
                for name, here in trip.installed.items()
                if here.position in there
                or not drop(("installed", name, "position"), said("{name} at {position}", name=name,
                                                                position=here.position))
            },
            "front": {
                name: limit
                for name, limit in trip.front.items()
                if name in there or not drop(("front", name), said("the front seat {name}", name=name))
            },
            "airbags_off": [
                name
                for i, name in enumerate(trip.airbags_off)
                if name in there or not drop(("airbags_off", i), said("the airbag at {name}", name=name))
            ],
        }
    ), dropped
