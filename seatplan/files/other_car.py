"""The same trip in another car: without what it says of positions that this one lacks."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.message import said
from seatplan.model import Trip, Vehicle

from .places import Loc

#: what is said of a part of a trip that does not go along to another car
LEFT_OUT = "left out: {what}; {why}"
_NO_SUCH = said("this car has no such position")
_BUILT_IN = said("it is built into the other car")


def _done_there(trip: Trip) -> Iterator[tuple[Loc, str, str]]:
    """What was tried in the trip's own car, how that arrived, and what is under way there."""
    for i, tried in enumerate(trip.tried):
        yield (
            ("tried", i, "position"),
            said("what was tried with {restraint} at {position}", restraint=tried.restraint, position=tried.position)
            if tried.restraint is not None else said("how the seat belt alone lay on {rider} at {position}",
                                                     rider=tried.rider or "", position=tried.position),
            said("it was in another car"),
        )
    for name in trip.arrived or ():
        yield (
            ("arrived", name, "position"),
            said("what was installed for {name} on arrival", name=name),
            said("it was in another car"),
        )
    for name in trip.under_way:
        yield (
            ("under_way", name, "position"),
            said("what is under way for {name}", name=name),
            said("it is being installed in another car"),
        )


def fitted_to(trip: Trip, own: Vehicle | None = None) -> tuple[Trip, list[tuple[Loc, str]]]:
    """The trip in another car: without what it says of positions that this car lacks; and what was left out,
    with its place and why. ``own``: its own car, whose built-in restraints stay behind.

    What was tried, how it arrived, what is under way, and a belt-fit test that was passed, hold for the car they were
    done in: left out too.
    A must is never left out: the cross-check will say what is not there.
    """
    there = {p.position for p in trip.vehicle.positions()}
    trip, dropped = _without_built_in(trip, own)

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
            "arrived": None,
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


def _without_built_in(trip: Trip, own: Vehicle | None) -> tuple[Trip, list[tuple[Loc, str]]]:
    """The trip without what it says of restraints that are built into its own car, and what that was. A must is left
    for the cross-check."""
    left = {one.restraint for one in (own.built_in() if own else ())} - {
        one.restraint for one in (*trip.restraints, *trip.vehicle.built_in())}
    if not left:
        return trip, []
    dropped: list[tuple[Loc, str]] = []
    wishes = []
    for i, wish in enumerate(trip.wishes):
        gone = [j for j, name in enumerate(wish.uses or ()) if name in left and not wish.must]
        dropped += [(("wishes", i, "uses", j), said(LEFT_OUT, what=said("the wish for {name}", name=(
            wish.uses or [])[j]), why=_BUILT_IN)) for j in gone]
        uses = None if wish.uses is None else [name for j, name in enumerate(wish.uses) if j not in gone]
        if not gone or uses:
            wishes.append(wish.model_copy(update={"uses": uses}))
    installed = {}
    for name, here in trip.installed.items():
        if here.restraint in left:
            dropped.append((("installed", name, "restraint"), said(LEFT_OUT, what=said(
                "{name} in {restraint}", name=name, restraint=here.restraint), why=_BUILT_IN)))
        else:
            installed[name] = here
    return trip.model_copy(update={"wishes": wishes, "installed": installed}), dropped
