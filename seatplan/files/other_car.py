"""The same trip in another car: without what it says of positions that this one lacks."""

from __future__ import annotations

from seatplan.message import said
from seatplan.model import Trip, Vehicle

from .places import Loc

#: what is said of a part of a trip that does not go along to another car
LEFT_OUT = "left out: {what}; {why}"
_NO_SUCH = said("this car has no such position")
_BUILT_IN = said("it is built into the other car")


def fitted_to(trip: Trip, own: Vehicle | None = None) -> tuple[Trip, list[tuple[Loc, str]]]:
    """The trip in another car: without what it says of positions that this car lacks; and what was left out,
    with its place and why. ``own``: its own car, whose built-in restraints stay behind.

    What was tried, and a belt-fit test that was passed, hold for the car they were done in: left out too.
    A must is never left out: the cross-check will say what is not there.
    """
    there = {p.position for p in trip.vehicle.positions()}
    left = {one.restraint for one in (own.built_in() if own else ())} - {
        one.restraint for one in (*trip.restraints, *trip.vehicle.built_in())}
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
        if wish.uses is not None and not wish.must:
            wish = wish.model_copy(update={"uses": [
                name for j, name in enumerate(wish.uses) if name not in left or not drop(
                    ("wishes", i, "uses", j), said("the wish for {name}", name=name), _BUILT_IN)]})
        if wish.at != [] and wish.not_at != [] and wish.uses != []:
            wishes.append(wish)
    for i, tried in enumerate(trip.tried):
        drop(
            ("tried", i, "position"), said("what was tried with {restraint} at {position}", restraint=tried.restraint,
                                           position=tried.position), said("it was in another car")
        )
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
            "riders": riders,
            "current": {
                name: here
                for name, here in trip.current.items()
                if (here.restraint not in left or not drop(
                    ("current", name, "restraint"), said("{name} in {restraint}", name=name,
                                                         restraint=here.restraint), _BUILT_IN))
                and (here.position in there
                or not drop(("current", name, "position"), said("{name} at {position}", name=name,
                                                                position=here.position)))
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
