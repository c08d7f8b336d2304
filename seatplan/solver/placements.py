"""All placements of each rider, each with every finding against it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
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
from seatplan.rules.finding import Finding
from seatplan.rules.footprints import NOTHING, Footprint
from seatplan.rules.run import Answers, Runner
from seatplan.rules.subjects import Placement, RuleContext

from .kinds import Kinds, in_copy


class JudgedPlacement:
    """One placement with everything that speaks for or against it; equal to itself alone.

    ``close``: something measured on it lies within what measuring can be off of its limit. ``estimates``: what it
    passes on although nobody measured it. ``held``: it held when it was tried at the car just like that; it may be
    forbidden all the same. ``cautions`` are ``graves``, ``slights`` and those that have a step of their
    own in the order. ``doubtful_restraint`` are the grave ones about the restraint itself. Findings are
    made when they are first read.
    """

    __slots__ = ("_runner", "_told", "answers", "blocked", "cautions", "close", "doubtful_restraint", "estimates",
                 "graves", "held", "placement", "slights", "unmeasured")

    def __init__(self, placement: Placement, runner: Runner, answers: tuple[Answers, ...] | None = None) -> None:
        """``answers`` are those of the rules, where they are known."""
        self.placement, self._runner = placement, runner
        self._told: tuple[Finding, ...] | None = None
        self.answers = answers = runner.answers(placement) if answers is None else answers
        self.blocked, self.unmeasured, self.close, self.held, self.cautions = False, False, False, False, 0
        self.graves = self.slights = self.doubtful_restraint = 0
        self.estimates: tuple[str, ...] = ()
        for some in answers:
            if some.plain:
                continue
            self.held |= some.held
            self.blocked |= some.refused
            self.unmeasured |= some.unmeasured
            self.close |= some.close
            self.cautions += some.cautions
            self.graves += some.graves
            self.slights += some.slights
            self.doubtful_restraint += some.doubtful_restraint
            if some.estimates:
                self.estimates = tuple(dict.fromkeys((*self.estimates, *some.estimates)))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything that is said of it, in the order of the rules."""
        if self._told is None:
            self._told = self._runner.findings(self.placement, self.answers)
        return self._told

    @property
    def confirmed(self) -> bool:
        """Whether it held just like that, and no rule forbids it or asks for what was not measured."""
        return self.held and not self.blocked and not self.unmeasured


@dataclass(frozen=True, slots=True, eq=False)
class Assignment:
    """A rider at a position in one restraint mode (or the seat belt): one letter of a seating.

    ``cells`` are its placements that nothing blocks: the installations, bars and tether uses to pick from. They all
    have one ``footprint``: a mode whose installations need other positions is as many choices.
    """

    rider: int
    position: int
    restraint: int | None             # its kind: index of the first copy in the trip's list; None: the seat belt
    mode: str
    cells: tuple[JudgedPlacement, ...]
    all_cells: tuple[JudgedPlacement, ...]
    footprint: Footprint = NOTHING


@dataclass(frozen=True, slots=True, eq=False)
class Choices:
    """Every choice of the trip; ``per_rider[r]`` holds those of rider r, blocked ones too. Restraints that are alike
    are one kind, which has its choices once."""

    trip: Trip
    positions: tuple[Position, ...]
    per_rider: tuple[tuple[Assignment, ...], ...]
    kinds: Kinds

    def cells(self) -> Iterator[JudgedPlacement]:
        for choices in self.per_rider:
            for choice in choices:
                yield from choice.all_cells


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


def all_choices(trip: Trip, runner: Runner, kinds: Kinds) -> Choices:
    """Every rider at every position in every mode of every kind of restraint at hand, and with the seat belt."""
    return _choices_of(trip, runner, kinds, lambda placements: [cell_of(runner, p) for p in placements])


def open_choices(trip: Trip, runner: Runner, kinds: Kinds,
                 wanted: Callable[[Rider, Way], bool] = lambda rider, way: True) -> Choices:
    """Those of them that nothing blocks, without a word on the others; or the ``wanted`` ones of these."""
    def cells(placements: Iterable[Placement]) -> list[JudgedPlacement]:
        return [JudgedPlacement(p, runner, answers) for p in placements
                if (answers := runner.answers_if_open(p)) is not None]

    return _choices_of(trip, runner, kinds, cells, wanted)


def _choices_of(trip: Trip, runner: Runner, kinds: Kinds, cells_of: Callable[[Iterable[Placement]],
                                                                             list[JudgedPlacement]],
                wanted: Callable[[Rider, Way], bool] = lambda rider, way: True) -> Choices:
    per_rider = []
    for r, rider in enumerate(trip.riders):
        choices: list[Assignment] = []
        for way in ways_of(trip, rider, kinds):
            if not wanted(rider, way):
                continue
            cells = tuple(cells_of(placements_of(runner.world, rider, way)))
            choices += _choices(r, way.at, way.kind, way.mode.mode if way.mode else "seat-belt", cells)
        per_rider.append(tuple(choices))
    return Choices(trip, tuple(trip.vehicle.positions()), tuple(per_rider), kinds)


def cells_in(runner: Runner, rider: Rider, row: Row, position: Position, restraint: Restraint, mode: Mode,
             lean: Setting | None = None) -> tuple[JudgedPlacement, ...]:
    """Every placement of one rider at one position in one mode, judged; at the best setting, or at ``lean``."""
    lean = lean or setting_for(runner.world, rider, row, position, restraint, mode)
    return tuple(cell_of(runner, placement)
                 for placement in placements_in(rider, row, position, restraint, mode, lean))


def belted(runner: Runner, rider: Rider, row: Row, position: Position) -> JudgedPlacement:
    """One rider at one position with the seat belt, judged."""
    return cell_of(runner, Placement(rider, position, row))


def _choices(rider: int, position: int, restraint: int | None, mode: str, cells: tuple[JudgedPlacement,
                                                                                       ...]) -> list[Assignment]:
    """The choice that some placements make, or one for each footprint that they have."""
    apart: dict[Footprint, list[JudgedPlacement]] = {}
    for cell in cells:
        apart.setdefault(footprints.footprint(cell.placement), []).append(cell)
    return [Assignment(rider, position, restraint, mode, tuple(c for c in own if not c.blocked), tuple(own), needed)
            for needed, own in apart.items()]


def cell_of(runner: Runner, placement: Placement) -> JudgedPlacement:
    """One placement, judged by itself."""
    return JudgedPlacement(placement, runner)


def cells_in_copy(runner: Runner, cells: Iterable[JudgedPlacement], copy: Restraint) -> list[JudgedPlacement]:
    """Cells of a kind of restraint in one copy of it, judged under its name."""
    return [cell if cell.placement.restraint is copy else cell_of(runner, in_copy(cell.placement, copy))
            for cell in cells]


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
                                _second(row, position) if installation.by == "two-belts" else None)


def _second(row: Row, position: Position) -> Position | None:
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
