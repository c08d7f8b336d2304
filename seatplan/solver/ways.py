"""Every way to ride, and the placements that it leaves: installations, bars, tethers, at the best setting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import NamedTuple

from seatplan.geometry.ahead import Need, Profile, room_needed
from seatplan.geometry.recline import (
    Setting,
    allowed_range,
    at_its_limit,
    nearest_miss,
    posed,
    settings_in_car,
    too_young_to_sit,
)
from seatplan.geometry.shapes import shape_of_restraint
from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip
from seatplan.model.own_seat import cushion_at
from seatplan.model.vehicle import Ahead
from seatplan.rules import footprints
from seatplan.rules.subjects import Placement, RuleContext

from .kinds import Kinds


class Way(NamedTuple):
    """One way to ride: at a position, in one mode of one kind of restraint, or with the seat belt (None).

    ``at`` and ``kind`` are indexes: of the position among all of the car, of the kind's first copy in the trip's list.
    """

    at: int
    row: Row
    position: Position
    kind: int | None = None
    restraint: Restraint | None = None
    mode: Mode | None = None


def ways_of(trip: Trip, rider: Rider, kinds: Kinds) -> Iterator[Way]:
    """One rider at every position in every mode of every kind of restraint at hand, and with the seat belt.

    An adult only ever takes the seat belt.
    """
    spots = [(row, position) for row in trip.vehicle.rows for position in row.positions]
    for at, (row, position) in enumerate(spots):
        for kind in () if rider.adult else kinds.kinds():
            restraint = trip.restraints[kind]
            for mode in restraint.modes if footprints.offered_at(restraint, position.position) else ():
                yield Way(at, row, position, kind, restraint, mode)
        yield Way(at, row, position)


def placements_of(world: RuleContext, rider: Rider, way: Way) -> Iterator[Placement]:
    """Every placement of one rider who rides one way, at the best setting."""
    if way.restraint is None or way.mode is None:
        yield Placement(rider, way.position, way.row)
        return
    lean = setting_for(world, rider, way.row, way.position, way.restraint, way.mode)
    yield from placements_in(rider, way.row, way.position, way.restraint, way.mode, lean)


def setting_for(world: RuleContext, rider: Rider, row: Row, position: Position, restraint: Restraint,
                mode: Mode) -> Setting | None:
    """Of the settings that pass, the one that asks least of the seat ahead; of those that ask as little, one that is
    not at its limit, then the one that leaves most room. Of none that pass, the nearest.

    One setting a placement keeps the search small: the most upright that passes needs the least room along the car,
    and widths do not change with it. A baby that is too young to sit gets the most reclined one for which the seat
    ahead is sure to come far enough.
    """
    return settings_for(world, rider, row, position, restraint, mode)[0]


def settings_for(world: RuleContext, rider: Rider, row: Row, position: Position, restraint: Restraint,
                 mode: Mode) -> Sequence[Setting | None]:
    """Every setting that passes, the one that leaves most room ahead first, or for a baby the one that it should lie
    at; where none does, only the nearest, or None where nobody can tell."""
    angle = cushion_at(row, position).angle
    if mode.recline is None or angle is None:
        return [None]
    child = (world.age_months(rider), rider.mass)
    passing = settings_in_car(mode, angle, *child)
    if not passing:
        miss = nearest_miss(mode, angle, *child)
        return [miss.setting if miss else None]
    allowed = allowed_range(mode, *child)
    lying = mode.rear_facing and too_young_to_sit(*child)
    flattest = sorted(passing, key=lambda s: (-s.angle, s.packing))
    upright = sorted(passing, key=lambda s: (at_its_limit(s.angle, allowed), s.packing, s.angle))
    if not mode.rear_facing or position.ahead is None or len(passing) == 1:
        return flattest if lying else upright
    comes = _comes_forward(world, position.ahead) if lying else 0
    key = (row.frame, position.content, restraint.restraint, mode.content, int(world.limit("clear_of_seat_ahead")),
           world.vehicle.measured.tolerance, tuple(passing), allowed, lying, comes)
    found: tuple[Setting, ...] = world.store.shelf("settings", weight=4).ask(
        key, lambda: tuple(_by_room(world, angle, position.ahead, restraint, mode, passing, allowed,
                                    flattest if lying else None)))
    return found


def _by_room(world: RuleContext, angle: float, ahead: Ahead | None, restraint: Restraint, mode: Mode,
             passing: Sequence[Setting],
             allowed: tuple[float, float] | None, flattest: Sequence[Setting] | None) -> Sequence[Setting]:
    """Settings that pass, the one that leaves most room ahead first; or in the order of ``flattest`` those for which
    the seat ahead is sure to come far enough, then the others."""
    assert ahead is not None
    shape = shape_of_restraint(restraint.restraint, mode, None)
    profile, clear = Profile.of(ahead), int(world.limit("clear_of_seat_ahead"))
    ample = clear + 2 * ceil(world.vehicle.measured.tolerance)

    def need(setting: Setting, clear_mm: int) -> Need:
        stands = posed(shape, mode, setting.setting, setting.packing, angle)
        return room_needed(stands, profile, clear_mm)

    def room(setting: Setting) -> tuple[int, bool, int, int, float]:
        mm = need(setting, 0).mm or 0
        return max(0, mm + ample), at_its_limit(setting.angle, allowed), mm, setting.packing, setting.angle

    roomiest = sorted(passing, key=room)
    if flattest is None:
        return roomiest
    comes = _comes_forward(world, ahead)
    sure = [setting for setting in flattest if _within(need(setting, clear), comes)]
    return [*sure, *(setting for setting in roomiest if setting not in sure)]


def _within(need: Need, comes: int) -> bool:
    """Whether a setting needs no more than the seat ahead is sure to give, or nobody can tell."""
    return need.mm is None or need.mm + need.off <= comes


def _comes_forward(world: RuleContext, ahead: Ahead) -> int:
    """How far a seat ahead is sure to come forward, mm: as far as its occupant was said to live with; 0 where nobody
    said so."""
    given = world.trip.front.get(ahead.seat) if ahead.seat is not None else None
    if given is None or given.forward_at_most is None:
        return 0
    return min(ahead.travel or 0, given.forward_at_most)


def placements_in(rider: Rider, row: Row, position: Position, restraint: Restraint, mode: Mode,
                  lean: Setting | None) -> Iterator[Placement]:
    """Every placement of one rider at one position in one mode, at a setting."""
    for installation in mode.installations:
        for bars, borrowed in _bar_pairs(position, installation):
            for tether in _tethers(row, position, mode, installation):
                yield Placement(rider, position, row, restraint, mode, installation, bars, borrowed, tether, lean,
                                second_place(row, position) if installation.by == "two-belts" else None)


def second_place(row: Row, position: Position) -> Position | None:
    """The place at the right of another; None where there is none, which is for the rules to say."""
    at = next(i for i, one in enumerate(row.positions) if one.position == position.position)
    return row.positions[at + 1] if at + 1 < len(row.positions) else None


def _bar_pairs(position: Position, installation: Installation) -> list[tuple[tuple[str, ...], bool]]:
    """The pairs of bars that this installation could hang on; a pair that is not there is for the rules to say."""
    if not installation.by.startswith("lower-anchors"):
        return [((), False)]
    pairs: list[tuple[tuple[str, ...], bool]] = []
    if position.lower_anchors:
        pairs.append((position.lower_anchors, False))
    if position.borrow:
        pairs.append((position.borrow, True))
    return pairs or [((), False)]


def _tethers(row: Row, position: Position, mode: Mode, installation: Installation) -> list[str | None]:
    """The tether is hooked wherever strap and anchor exist, rear-facing only where the instructions ask for it;
    leaving it is a choice where neighbours share one, and where a mass of the child decides, which the rules know."""
    anchor, needed = position.tether, installation.needs_tether
    if anchor in (None, "none") or not (needed or (mode.tether_strap and not mode.rear_facing)):
        return [None]
    own = row.strap_uses(str(anchor))
    shared = any(own & row.strap_uses(other.tether) for other in row.positions
                 if other is not position and other.tether is not None)
    limited = installation.tether_mass_limit is not None or any(
        one.mass_limit is not None for one in row.tethers or () if one.tether == anchor)
    from_a_mass = mode.rear_facing and not isinstance(needed, bool)
    return [anchor, None] if needed is not True and (shared or limited or from_a_mass) else [anchor]
