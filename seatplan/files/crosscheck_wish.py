"""Wishes: what one says, in ``WISH_CHECKS``, and what the musts of a trip say together, in ``MUST_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from seatplan.model import Trip, Wish
from seatplan.said import joined, said

from .crosscheck_names import known, positions_of, restraints_of, riders_of
from .places import Found

_KINDS = ("at", "not_at", "uses", "apart", "together")
_OF_SEVERAL = ("apart", "together")


def wish_wrong(wish: Wish, trip: Trip) -> Found:
    """What one wish says that cannot be; one that is not of one kind is told of that alone."""
    kinds = [kind for kind in _KINDS if getattr(wish, kind) is not None]
    if len(kinds) != 1:
        told = joined(" and ", kinds) if kinds else said("nothing")
        yield (), said("this wish says {told}; expected one of at, not_at, uses, apart, together", told=told)
        return
    for check in WISH_CHECKS:
        yield from check(wish, kinds[0], trip)


def _names_something(wish: Wish, kind: str, trip: Trip) -> Found:
    if not getattr(wish, kind):
        yield (kind,), said("`{kind}` names nothing; expected at least one name", kind=kind)


def _of_several_riders(wish: Wish, kind: str, trip: Trip) -> Found:
    if kind not in _OF_SEVERAL:
        return
    n_riders = len(set(getattr(wish, kind)))
    if wish.rider is not None:
        yield ("rider",), said("a wish with `{kind}` names its riders there; leave `rider` out", kind=kind)
    if n_riders < 2:
        yield (kind,), said("`{kind}` names {n_set} rider; expected at least two", kind=kind, n_set=n_riders)


def _of_one_rider(wish: Wish, kind: str, trip: Trip) -> Found:
    if kind in _OF_SEVERAL:
        return
    if wish.rider is None:
        yield (), said("a wish with `{kind}` needs `rider`", kind=kind)
    else:
        yield from known(("rider",), wish.rider, riders_of(trip), "rider")


def _what_it_names_is_there(wish: Wish, kind: str, trip: Trip) -> Found:
    names, what = {
        "at": (positions_of, "position"),
        "not_at": (positions_of, "position"),
        "uses": (restraints_of, "restraint"),
        "apart": (riders_of, "rider"),
        "together": (riders_of, "rider"),
    }[kind]
    for j, name in enumerate(getattr(wish, kind)):
        yield from known((kind, j), name, names(trip), what)


def _musts_leave_a_seat(trip: Trip) -> Found:
    """No seating can keep musts that leave a rider nowhere, whatever the car."""
    for rider in trip.riders:
        left = [*positions_of(trip), *(p for w in trip.wishes for p in w.at or ())]     # unknown ones are told already
        for i, wish in enumerate(trip.wishes):
            if not wish.must or wish.rider != rider.rider or (wish.at is None and wish.not_at is None):
                continue
            left = [p for p in left if p in (wish.at or left) and p not in (wish.not_at or ())]
            if not left:
                yield ("wishes", i), said("the musts for {rider} leave no seat; drop one, or its `must`",
                                          rider=rider.rider)
                break


def _together_or_apart(trip: Trip) -> Found:
    close = [(i, w.together) for i, w in enumerate(trip.wishes) if w.must and w.together]
    apart = [set(w.apart) for w in trip.wishes if w.must and w.apart]
    for i, names in close:
        for one, other in pairwise(names):
            if any({one, other} <= group for group in apart):
                yield ("wishes", i), said("{one} and {other} must sit together and must sit apart; drop one of the two",
                                          one=one, other=other)


#: each is asked about a wish, the kind of it, and its trip
WISH_CHECKS: tuple[Callable[[Wish, str, Trip], Found], ...] = (
    _names_something, _of_several_riders, _of_one_rider, _what_it_names_is_there,
)
MUST_CHECKS: tuple[Callable[[Trip], Found], ...] = (_musts_leave_a_seat, _together_or_apart)
