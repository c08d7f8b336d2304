"""What an arrangement asks people to do at the car, as data: one state for each thing.

Sheet, drawings and text take their numbers from here, so that no two of them can order different states of one thing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Literal

from seatplan.frozen import frozen
from seatplan.geometry.lengthwise import FRONT, mover_of
from seatplan.rules.airbag import stays_rearmost, switched_off
from seatplan.rules.belt import LOCKING_LATCHPLATES
from seatplan.rules.head_restraint import asked_of_it
from seatplan.rules.subjects import Placement, RuleContext

if TYPE_CHECKING:
    from seatplan.model import Mode

    from .results import AheadShown, Arrangement, SeatShown

Kind = Literal["seat", "airbag", "recline", "head-restraint", "tether-strap", "tether-anchor", "connectors", "bar",
               "leg", "belt", "buckle", "handle"]
#: Words of states. ``clear``: a head restraint is raised or taken out where it pushes; ``raised``: it is raised and
#: stays in; ``behind-the-head``: it stays in and is pulled up behind the head; ``taken-out`` and ``left-in``: as the
#: instructions of the restraint ask. ``off-or-none``: whether there is an
#: airbag is not known.
Word = Literal["off", "off-or-none", "clear", "raised", "behind-the-head", "stowed", "on-the-floor", "on-the-filler",
               "lock-off", "retractor-locked", "locking-clip", "locked", "round-the-rider", "taken-out", "left-in",
               "upright", "folded"]


@frozen
class Thing:
    """A seat or sliding row as the chain along the car names it, or a part of a position, row or restraint."""

    kind: Kind
    of: str


@frozen
class Forward:
    """How far forward of rearmost a seat stands, mm; ``stays``: it must not come forward."""

    mm: int
    stays: bool = False


@frozen
class Leaning:
    """A recline setting, and the whole degrees packed under it."""

    setting: float
    packing: int


@frozen
class Joined:
    """What it is hooked to, or who uses it."""

    to: str


State = Forward | Leaning | Joined | Word
#: a thing by its kind and what it is part of, and its state
_KindOfState = tuple[Kind, str, State]


@frozen
class Order:
    """The state that a thing is brought into, for whom; ``rider`` is empty where it is for all behind it."""

    thing: Thing
    state: State
    rider: str = ""


def orders(arrangement: Arrangement, world: RuleContext) -> tuple[Order, ...]:
    """Every order of one arrangement: seats, then rider by rider."""
    placements = [seat.placement for seat in arrangement.seats]
    found = list(seats_of(placements, arrangement.ahead, world))
    for seat in arrangement.seats:
        found.extend(orders_for(seat, world))
    return tuple(found)


def seats_of(placements: Iterable[Placement], ahead: AheadShown | None, world: RuleContext) -> Iterator[Order]:
    """The seats and rows that come forward, and those that stay rearmost because of an airbag."""
    stay = {seat_of(p.position.position, ahead): p for p in placements if stays_rearmost(p, world)}
    for key, mm in ahead.stands if ahead is not None else ():
        yield Order(Thing("seat", key), Forward(mm))
    for key, placement in stay.items():
        yield Order(Thing("seat", key), Forward(0, stays=True), placement.rider.rider)


def seat_of(position: str, ahead: AheadShown | None) -> str:
    """What moves where a position moves: its row where that slides, else the seat by itself."""
    mover = FRONT if ahead is None else mover_of(position, ahead.limits)
    return position if mover == FRONT else mover


def forward_of(position: str | None, ahead: AheadShown | None) -> int:
    """How far forward of rearmost a seat stands, by itself or with its row, mm."""
    if position is None or ahead is None:
        return 0
    return dict(ahead.stands).get(mover_of(position, ahead.limits), 0)


def orders_for(seat: SeatShown, world: RuleContext) -> Iterator[Order]:
    """What one rider's placement asks for, beside where seats stand."""
    outcomes = {finding.rule: finding.outcome for finding in seat.cell.findings}
    rider = seat.placement.rider.rider
    for states in (_at_the_position(seat.placement, outcomes, world), _of_the_restraint(seat.placement)):
        for kind, of, state in states:
            yield Order(Thing(kind, of), state, rider)


def _at_the_position(p: Placement, outcomes: Mapping[str, str], world: RuleContext) -> Iterator[_KindOfState]:
    """What becomes of the vehicle's own parts where somebody rides."""
    here = p.position.position
    beside = p.from_second()
    for side in (p, beside) if beside is not None else (p,):
        airbag = _airbag(side, world)
        if airbag is not None:
            yield "airbag", side.position.position, airbag
    head = _head_restraint(p, outcomes)
    if head is not None:
        yield "head-restraint", here, head
    belt = _belt(p)
    if belt is not None:
        for place in p.places:
            yield "belt", place, belt
            yield "buckle", place, Joined(p.restraint.restraint if p.restraint and p.held_by_belt else p.rider.rider)


def _of_the_restraint(p: Placement) -> Iterator[_KindOfState]:
    """How a restraint is set and what it is hooked to; nothing where the rider has none."""
    if p.restraint is None or p.mode is None or p.installation is None:
        return
    own = p.restraint.restraint
    if p.recline is not None and not p.booster:
        yield "recline", own, Leaning(p.recline.setting, p.recline.packing)
    yield from _tether(p, p.mode, own)
    yield from _connectors(p, p.mode, own)
    if p.mode.handle in ("upright", "folded"):
        yield "handle", own, p.mode.handle
    if p.installation.support_leg:
        filler = p.position.support_leg == "with-filler"
        yield "leg", own, "on-the-filler" if filler else "on-the-floor"


def _tether(p: Placement, mode: Mode, own: str) -> Iterator[_KindOfState]:
    if p.tether is not None:
        yield "tether-strap", own, Joined(p.tether)
        yield "tether-anchor", f"{p.row.row} {p.tether}", Joined(own)
    elif mode.tether_strap:
        yield "tether-strap", own, "stowed"


def _connectors(p: Placement, mode: Mode, own: str) -> Iterator[_KindOfState]:
    if p.on_lower_anchors:
        yield "connectors", own, Joined(" ".join(p.bars))
        for bar in p.bars:
            yield "bar", f"{p.row.row} {bar}", Joined(own)
    elif any(i.by.startswith("lower-anchors") for i in mode.installations):
        yield "connectors", own, "stowed"


def _airbag(p: Placement, world: RuleContext) -> Word | None:
    """What becomes of the front airbag before a child; nothing where there is none, or where it may fire."""
    front = p.position.airbag.front if p.position.airbag else None
    if p.rider.adult:
        return None
    away = p.rear_facing or p.mode_name == "lying-flat-bed"
    if switched_off(p.position, world) and (front == "switchable" or away):
        return "off"
    return "off-or-none" if front is None and world.vehicle.in_front(p.position) and away else None


def _head_restraint(p: Placement, outcomes: Mapping[str, str]) -> Word | None:
    """Whether the vehicle's head restraint comes out: as the instructions say, else not while it may be all that is
    behind the head."""
    head = p.position.head_restraint
    if head is None or head.there is not True:
        return None
    asked = asked_of_it(p)
    if asked == "taken-out" or asked == "left-in":
        return asked
    if p.mode_name in ("forward-facing-harness", "impact-shield", "high-back-booster"):
        if not head.removable:
            return None
        return "clear" if outcomes.get("ears-above-shell-top") == "pass" else "raised"
    return "behind-the-head" if p.fastened_each_trip else None


def _belt(p: Placement) -> Word | None:
    """How the vehicle belt is used, where it is."""
    if p.fastened_each_trip:
        return "round-the-rider"
    if not p.held_by_belt:
        return None
    belt, way = p.position.belt, p.installation
    if way is not None and way.lock_off and (
            belt is None or belt.retractor != "automatic" or way.lock_off_with_locked_belt == "allowed"):
        return "lock-off"
    if belt is not None and belt.retractor == "switchable":
        return "retractor-locked"
    loose = belt is not None and belt.retractor == "emergency" and belt.latchplate not in LOCKING_LATCHPLATES
    return "locking-clip" if loose and p.installation is not None and p.installation.locking_clip else "locked"
