"""What the records alone can say of a reason: its numbers again, without the rule."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

from places import held_at
from straps import clash

from seatplan.model import Trip
from seatplan.model.estimated import EstimatedRider
from seatplan.rules.subjects import Placement


def _limit(name: str, high: bool) -> Callable[[Trip, Sequence[Placement]], bool]:
    def check(trip: Trip, placements: Sequence[Placement]) -> bool:
        p, = placements
        # of a rider of whom only the age is known the kindest body counts
        bodies = p.rider.corners if isinstance(p.rider, EstimatedRider) else (p.rider,)
        value = (min if high else max)(getattr(body, name) for body in bodies)
        assert p.mode is not None
        assert p.installation is not None
        limits = [getattr(holder.limits, name) for holder in (p.mode, p.installation)
                  if holder.limits is not None and getattr(holder.limits, name) is not None]
        return any(value > most if high else value < least for least, most in limits)

    return check


def _belt(*kinds: str) -> Callable[[Trip, Sequence[Placement]], bool]:
    def check(trip: Trip, placements: Sequence[Placement]) -> bool:
        belt = placements[0].position.belt
        return belt is not None and belt.kind in kinds

    return check


def _wished(trip: Trip, placements: Sequence[Placement]) -> bool:
    p, = placements
    used = p.restraint.restraint if p.restraint else None
    return any(wish.must and wish.rider == p.rider.rider and not (
        bool({*held_at(p)} & {*wish.at}) if wish.at is not None else
        not {*held_at(p)} & {*wish.not_at} if wish.not_at is not None else used in (wish.uses or ()))
        for wish in trip.wishes)


def _beside(one: Placement, other: Placement) -> bool:
    names = [position.position for position in one.row.positions]
    return one.row.row == other.row.row and any(
        abs(names.index(a) - names.index(b)) == 1 for a, b in product(held_at(one), held_at(other)))


def _apart(trip: Trip, placements: Sequence[Placement]) -> bool:
    one, other = placements
    both = {one.rider.rider, other.rider.rider}
    return _beside(one, other) and any(w.must and w.apart and both <= set(w.apart) for w in trip.wishes)


def _together(trip: Trip, placements: Sequence[Placement]) -> bool:
    at = {p.rider.rider: p for p in placements}
    return any(not _beside(at[a], at[b]) for wish in trip.wishes if wish.must and wish.together and
               set(wish.together) <= set(at) for a, b in zip(wish.together, wish.together[1:], strict=False))


RECHECKED: dict[str, Callable[[Trip, Sequence[Placement]], bool]] = {
    "child-too-heavy": _limit("mass", True), "child-too-light": _limit("mass", False),
    "child-too-tall": _limit("height", True), "child-too-short": _limit("height", False),
    "no-belt": _belt("none"), "no-shoulder-belt": _belt("lap", "none"),
    "driver-seat-taken": lambda trip, ps: trip.drives in ps[0].places and not ps[0].rider.drives,
    "driver-elsewhere": lambda trip, ps: ps[0].position.position != trip.drives and ps[0].rider.drives,
    "no-lower-anchors": lambda trip, ps: not ps[0].bars,
    "no-tether-anchor": lambda trip, ps: ps[0].tether is None,
    "bar-wanted-twice": lambda trip, ps: ps[0].row.row == ps[1].row.row and bool(set(ps[0].bars) & set(ps[1].bars)),
    "tether-wanted-twice": lambda trip, ps: (
        ps[0].row.row == ps[1].row.row and clash(ps[0].row, ps[0].tether, ps[1].tether)),
    "rear-facing-before-airbag": lambda trip, ps: (
        ps[0].rear_facing and ps[0].position.airbag is not None and ps[0].position.airbag.front != "none"),
    "restraint-crashed": lambda trip, ps: (
        ps[0].restraint is not None and ps[0].restraint.condition.crash not in (None, "none")),
    "forbidden-by-handbook": lambda trip, ps: bool(ps[0].position.manual and ps[0].position.manual.forbids),
    "wish-for-seat-not-met": _wished, "wish-to-be-apart-not-met": _apart, "wish-to-be-together-not-met": _together,
}
