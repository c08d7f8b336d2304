"""All placements of each rider, each with every finding against it."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import NamedTuple

from seatplan.frozen import frozen
from seatplan.geometry.recline import Setting
from seatplan.model import Mode, Position, Restraint, Rider, Row, Trip
from seatplan.rules import footprints
from seatplan.rules.finding import Finding
from seatplan.rules.footprints import NOTHING, Footprint
from seatplan.rules.reads import of_rider
from seatplan.rules.run import Answers, Runner
from seatplan.rules.subjects import Placement
from seatplan.store import Shelf

from .kinds import Kinds, in_copy
from .ways import Way, placements_in, placements_of, second_place, setting_for, ways_of


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

    def refused_by(self) -> set[str]:
        """The rules that turn it down."""
        return self._runner.refusing(self.answers)

    @property
    def confirmed(self) -> bool:
        """Whether it held just like that, and no rule forbids it or asks for what was not measured."""
        return self.held and not self.blocked and not self.unmeasured


@frozen(eq=False)
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


@frozen(eq=False)
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


def all_choices(trip: Trip, runner: Runner, kinds: Kinds) -> Choices:
    """Every rider at every position in every mode of every kind of restraint at hand, and with the seat belt."""
    return _choices_of(trip, runner, kinds, _Known(trip, runner, "ways", runner.answers), lambda rider, way: True)


def open_choices(trip: Trip, runner: Runner, kinds: Kinds,
                 wanted: Callable[[Rider, Way], bool] = lambda rider, way: True) -> Choices:
    """Those of them that nothing blocks, without a word on the others; or the ``wanted`` ones of these."""
    return _choices_of(trip, runner, kinds, _Known(trip, runner, "open ways", runner.answers_if_open), wanted)


def _choices_of(trip: Trip, runner: Runner, kinds: Kinds, known: _Known,
                wanted: Callable[[Rider, Way], bool]) -> Choices:
    per_rider = []
    for r, rider in enumerate(trip.riders):
        choices: list[Assignment] = []
        for way in ways_of(trip, rider, kinds):
            if not wanted(rider, way):
                continue
            cells = known.cells(rider, way)
            if cells:
                choices += _choices(r, way.at, way.kind, way.mode.mode if way.mode else "seat-belt", cells)
        per_rider.append(tuple(choices))
    return Choices(trip, tuple(trip.vehicle.positions()), tuple(per_rider), kinds)


class _Judged(NamedTuple):
    """A placement of a way with what the rules say of it, for whoever else rides the same way: ``installation`` is the
    number of it in its mode."""

    installation: int | None
    bars: tuple[str, ...]
    borrowed: bool
    tether: str | None
    recline: Setting | None
    has_second: bool
    answers: tuple[Answers, ...]


class _Known:
    """The placements of a way to ride with what the rules say of them, kept by all that the way and its placements hang
    on; ``ask`` says what is worth keeping of one, None: nothing."""

    def __init__(self, trip: Trip, runner: Runner, shelf: str, ask: Callable[[Placement], tuple[Answers, ...] | None],
                 ) -> None:
        self._runner, self._ask = runner, ask
        self._kept: Shelf[tuple[_Judged, ...]] = runner.world.store.shelf(shelf, weight=8)
        self._around = runner.around
        self._riders: dict[str, Hashable] = {}

    def cells(self, rider: Rider, way: Way) -> tuple[JudgedPlacement, ...]:
        """The placements of one rider who rides one way, judged."""
        key = (self._around, self._rider(rider), way.row.content, way.position.position,
               way.restraint and way.restraint.content, way.mode and way.mode.content)
        kept = self._kept.get(key)
        if kept is None:
            return self._asked(rider, way, key)
        return tuple([JudgedPlacement(_again(rider, way, one), self._runner, one.answers) for one in kept])

    def _asked(self, rider: Rider, way: Way, key: Hashable) -> tuple[JudgedPlacement, ...]:
        """The same of a way that nobody asked about yet."""
        found = [(placement, answers) for placement in placements_of(self._runner.world, rider, way)
                 if (answers := self._ask(placement)) is not None]
        self._kept.put(key, tuple([_of(placement, answers) for placement, answers in found]))
        return tuple([JudgedPlacement(placement, self._runner, answers) for placement, answers in found])

    def _rider(self, rider: Rider) -> Hashable:
        kept = self._riders.get(rider.rider)
        if kept is None:
            kept = self._riders[rider.rider] = rider.content, of_rider(rider, self._runner.world)
        return kept


def _of(p: Placement, answers: tuple[Answers, ...]) -> _Judged:
    return _Judged(None if p.mode is None or p.installation is None else p.mode.installations.index(p.installation),
                   p.bars, p.borrowed, p.tether, p.recline, p.second is not None, answers)


def _again(rider: Rider, way: Way, one: _Judged) -> Placement:
    """The placement of a way that one was."""
    held = None if way.mode is None or one.installation is None else way.mode.installations[one.installation]
    return Placement(rider, way.position, way.row, way.restraint, way.mode, held, one.bars, one.borrowed, one.tether,
                     one.recline, second_place(way.row, way.position) if one.has_second else None)


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
