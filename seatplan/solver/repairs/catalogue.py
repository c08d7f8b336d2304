"""The catalogue of changes, one function each; the list is at the end, sorted by effort.

What the search tries by itself is no change: another seat for anybody, adults in front included, another mode,
installation, bar pair, tether, recline setting or packing of what is at hand, a head restraint taken out where the
handbook allows it. All of that has failed when a trip is refused. No change here breaks a must-rule: it alters what the
files say, and the solver then obeys every rule.
"""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.message import joined, said
from seatplan.model import Condition, Mode, Part, Position, Restraint, Trip, Wish
from seatplan.model.own_seat import slides_at
from seatplan.model.trip import FrontLimit

from .change import Change, ChangeKind, Shelf, change

#: of a restraint that is bought
AS_NEW = Condition(crash="none", recall="none", labels="readable", history="known")
#: the efforts: an adjustment, a wish given up, something bought, something fitted by a workshop, another vehicle
ADJUST, GIVE_UP, BUY, FIT, ANOTHER_CAR = 1, 2, 4, 6, 8


def _sit_further_forward(trip: Trip, made: Change) -> Trip:
    limit = trip.front.get(made.position, FrontLimit())
    front = {**trip.front, made.position: limit.model_copy(update={"forward_at_most": made.mm})}
    return trip.model_copy(update={"front": front})


@change("sit-further-forward", title="Somebody in front sits further forward", effort=ADJUST, touches="front",
        apply=_sit_further_forward)
def sit_further_forward(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """The seat ahead, or the row that slides with it, could come further than its occupant said, up to the end of its
    travel."""
    travels: dict[str, int] = {}
    slides = {position.position: mm for row in trip.vehicle.rows for position in row.positions
              if (mm := slides_at(row, position.position))}
    for position in trip.vehicle.positions():
        ahead = position.ahead
        if ahead and ahead.seat and ahead.travel and ahead.seat not in slides:
            travels[ahead.seat] = min(ahead.travel, travels.get(ahead.seat, ahead.travel))
    travels.update((seat, slides[seat]) for seat in trip.front if seat in slides)
    for seat, travel in travels.items():
        given = trip.front[seat].forward_at_most if seat in trip.front else None
        if given is not None and given < travel:
            yield Change("sit-further-forward", position=seat, mm=travel, was_mm=given)


def _switch_airbag_off(trip: Trip, made: Change) -> Trip:
    return trip.model_copy(update={"airbags_off": [*trip.airbags_off, made.position]})


@change("switch-airbag-off", title="A front airbag is switched off", effort=ADJUST, touches="position",
        apply=_switch_airbag_off)
def switch_airbag_off(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """An airbag with a switch that the trip does not say is off."""
    for position in trip.vehicle.positions():
        if position.airbag and position.airbag.front == "switchable" and position.position not in trip.airbags_off:
            yield Change("switch-airbag-off", position=position.position)


def _drop_wish(trip: Trip, made: Change) -> Trip:
    """What must be becomes what is only wished: it still ranks."""
    given_up = _musts(trip, made.thing, made.riders)
    return trip.model_copy(update={"wishes": [
        wish.model_copy(update={"must": False}) if wish in given_up else wish for wish in trip.wishes]})


def _musts(trip: Trip, rule: str, riders: tuple[str, ...]) -> list[Wish]:
    """The wishes with ``must`` that one occasion of a rule speaks of."""
    found: list[Wish] = []
    for wish in trip.wishes:
        if not wish.must:
            continue
        if ((rule == "wish-for-seat-not-met" and wish.rider in riders)
                or (rule == "wish-to-be-apart-not-met" and wish.apart and set(riders) <= set(wish.apart))
                or (rule == "wish-to-be-together-not-met" and wish.together)):
            found.append(wish)
    return found


@change("drop-wish", title="Something you asked for need not be", effort=GIVE_UP, touches="wish", apply=_drop_wish)
def drop_wish(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """A wish with `must`."""
    riders = {wish.rider for wish in trip.wishes if wish.must and wish.rider}
    for rider in trip.riders:
        if rider.rider in riders:
            yield _wish(trip, "wish-for-seat-not-met", (rider.rider,))
    pairs = {(a.rider, b.rider) for i, a in enumerate(trip.riders) for b in trip.riders[i + 1:]
             for wish in trip.wishes if wish.must and wish.apart and {a.rider, b.rider} <= set(wish.apart)}
    for pair in sorted(pairs):
        yield _wish(trip, "wish-to-be-apart-not-met", pair)
    if any(wish.must and wish.together for wish in trip.wishes):
        yield _wish(trip, "wish-to-be-together-not-met", ())


def _wish(trip: Trip, rule: str, riders: tuple[str, ...]) -> Change:
    """The change with what was asked for: seats, restraints, or who was to sit together."""
    asked: list[str] = []
    for wish in _musts(trip, rule, riders):
        if wish.rider:
            where = said("in") if wish.uses else said("not at") if wish.not_at else said("at")
            asked.append(said("{where} {some}", where=where,
                              some=joined(' or ', wish.at or wish.not_at or wish.uses or ())))
        elif wish.together:
            asked.append(", ".join(wish.together))
    return Change("drop-wish", riders=riders, thing=rule, asked=joined(" and ", asked))


def _get_restraint(trip: Trip, made: Change) -> Trip:
    assert made.new is not None
    return trip.model_copy(update={"restraints": [*trip.restraints, made.new]})


@change("get-restraint", title="Another restraint", effort=BUY, touches="restraint", apply=_get_restraint)
def get_restraint(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """One restraint off the shelf, as new on the day of travel."""
    taken = {restraint.restraint for restraint in trip.restraints}
    for word, restraint in shelf.items():
        name, n = restraint.restraint, 2
        while name in taken:
            name, n = f"{restraint.restraint} {n}", n + 1
        new = restraint.model_copy(update={
            "restraint": name, "made": trip.on or restraint.made,
            "condition": AS_NEW})
        yield Change("get-restraint", restraint=name, word=word, new=new, renamed=n > 2)


def _fit_tether(trip: Trip, made: Change) -> Trip:
    def fitted(position: Position) -> Position:
        if position.position != made.position:
            return position
        return position.model_copy(update={"tether": position.retrofit_tether})

    rows = [row.model_copy(update={"positions": [fitted(position) for position in row.positions]})
            for row in trip.vehicle.rows]
    return trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"rows": rows})})


@change("fit-tether-anchor", title="A tether anchor is fitted", effort=FIT, touches="position", apply=_fit_tether)
def fit_tether_anchor(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """An anchor that the vehicle handbook lets a workshop fit."""
    for position in trip.vehicle.positions():
        if position.retrofit_tether not in (None, "none", position.tether):
            yield Change("fit-tether-anchor", position=position.position, thing=str(position.retrofit_tether))


def _narrower(trip: Trip, made: Change) -> Trip:
    def slim(restraint: Restraint) -> Restraint:
        if restraint.restraint != made.restraint:
            return restraint
        return restraint.model_copy(update={"modes": [_slim(mode, made.mm or 0) for mode in restraint.modes]})

    return trip.model_copy(update={"restraints": [slim(restraint) for restraint in trip.restraints]})


def _slim(mode: Mode, most_mm: int) -> Mode:
    """The mode with no part wider than ``most_mm``."""
    def parts(of: list[Part]) -> list[Part]:
        return [part if part.width is None or part.width <= most_mm else part.model_copy(update={"width": most_mm})
                for part in of]

    return mode.model_copy(update={
        "parts": parts(mode.parts),
        "installations": [i.model_copy(update={"parts": parts(i.parts)}) for i in mode.installations]})


@change("get-narrower", title="A narrower restraint in place of one", effort=FIT, touches="restraint", apply=_narrower)
def get_narrower(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """One like one at hand, but narrower: not below the narrowest on the shelf of the same mode."""
    for restraint in trip.restraints:
        own = [_widest(mode) for mode in restraint.modes]
        least = max((min((_widest(m) for r in shelf.values() for m in r.modes if m.mode == mode.mode and _widest(m)),
                         default=0) for mode in restraint.modes), default=0)
        if least and least < max(own, default=0):
            yield Change("get-narrower", restraint=restraint.restraint, mm=least, was_mm=max(own))


def _widest(mode: Mode) -> int:
    """The widest part, with those that only one way of installing brings; 0 where none was measured."""
    parts = [*mode.parts, *(part for installation in mode.installations for part in installation.parts)]
    return max((part.width or 0 for part in parts), default=0)


def _rides_elsewhere(trip: Trip, made: Change) -> Trip:
    gone = set(made.riders)
    wishes = [wish for wish in trip.wishes
              if wish.rider not in gone and not gone & {*(wish.apart or ()), *(wish.together or ())}]
    return trip.model_copy(update={
        "riders": [rider for rider in trip.riders if rider.rider not in gone], "wishes": wishes,
        "installed": {name: now for name, now in trip.installed.items() if name not in gone},
        "under_way": {name: now for name, now in trip.under_way.items() if name not in gone}})


@change("ride-elsewhere", title="Somebody rides in another vehicle", effort=ANOTHER_CAR, touches="rider",
        apply=_rides_elsewhere)
def ride_elsewhere(trip: Trip, shelf: Shelf) -> Iterator[Change]:
    """Anybody but the driver."""
    for rider in trip.riders:
        if not rider.drives:
            yield Change("ride-elsewhere", riders=(rider.rider,))


CATALOGUE: tuple[ChangeKind, ...] = (
    sit_further_forward,
    switch_airbag_off,
    drop_wish,
    get_restraint,
    fit_tether_anchor,
    get_narrower,
    ride_elsewhere,
)
KIND: dict[str, ChangeKind] = {kind.name: kind for kind in CATALOGUE}


def applied(trip: Trip, changes: tuple[Change, ...]) -> Trip:
    """The trip with all changes made."""
    for made in changes:
        trip = KIND[made.kind].apply(trip, made)
    return trip


def offers(trip: Trip, shelf: Shelf) -> list[Change]:
    """Every change of every kind."""
    return [made for kind in CATALOGUE for made in kind.offers(trip, shelf)]
