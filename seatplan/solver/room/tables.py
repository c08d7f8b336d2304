"""The largest width at each height and the largest length at each recline, per seat and way of holding."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.model import Part, Restraint, Trip
from seatplan.model.restraint import ModeName
from seatplan.rules.finding import Finding
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.run import Answers

from ..placements import JudgedPlacement, cells_in
from ..ranking import seating, stage
from ..repairs.catalogue import get_restraint
from ..repairs.search import nowhere
from ..results import Arrangement
from ..rowplans import CLOSE_FIT, FITS, LIKELY_FIT, TOO_TIGHT, UNSURE
from ..solve import Solve
from .around import Around
from .generic import REFERENCE_DEG, Way, banded, generic, leaning, outline_of, reach_of, ways_of
from .largest import Largest, Length, Width
from .then import seated_with

if TYPE_CHECKING:
    from seatplan.model import Rider

#: widths that are tried, mm: from narrower than any restraint to wider than any seat
NARROWEST, WIDEST = 250, 900
#: lengths of a rear-facing shell that are tried, mm: from shorter than any to longer than any
SHORTEST, LONGEST = 300, 850
#: after solves of so many row plans together nobody looks any more where the others sit
MOST_PLANS = 20_000
#: degrees from upright at which the length is told
RECLINES = (30, 35, 40, 45)


@frozen
class Most:
    """The largest measure that surely fits, the largest that is close at worst, and the largest that is likely at
    worst; None where not even the smallest that was tried does. ``open``: as far as measured, for something that
    matters was not."""

    fits: int | None
    close: int | None
    likely: int | None
    open: bool = False

    @property
    def sure(self) -> int | None:
        """The largest of the best kind that there is."""
        return self.fits or self.close or self.likely


@frozen
class AtHeight:
    """The largest width between two heights above the cushion, where it is no wider elsewhere than surely fits."""

    up: tuple[int, int]
    width: Most


@frozen
class AtRecline:
    """The longest rear-facing shell at one recline; ``reach`` and ``top``: where its upper end is then, forward of the
    crease and above the cushion, mm."""

    recline: int
    length: Most
    reach: int | None
    top: int | None


@frozen
class RoomFor:
    """Room at one seat for a restraint of one mode held in some ways, which all have the same room.

    ``against``: what rules it out whatever its size; ``missing``: what has to be measured or looked up first.
    ``alone`` False: the others cannot all ride around this seat. ``full``: the width with somebody at every other seat
    of the row, where that is less. ``fitting``: bundled restraints that would do, with how sure that is.
    """

    position: str
    ways: tuple[Way, ...]
    against: tuple[Finding, ...]
    alone: bool
    missing: tuple[Finding, ...] = ()
    width: Most | None = None
    full: Most | None = None
    heights: tuple[AtHeight, ...] = ()
    reclines: tuple[AtRecline, ...] = ()
    fitting: tuple[tuple[str, int], ...] = ()


@frozen
class Then:
    """Where everybody sits when the first of the rooms at a seat is taken up to the most ``width`` that is surest."""

    position: str
    width: int
    arrangement: Arrangement


@frozen
class Room:
    """``complete`` is False where only some ways for the others to sit were looked at: there may be more room. ``then``
    has an entry for each seat with room, as far as one was found."""

    trip: Trip
    profile: Profile
    day: date
    rider: str
    rooms: tuple[RoomFor, ...]
    complete: bool = True
    then: tuple[Then, ...] = ()


def room(trip: Trip, profile: Profile, today: date, rider: str, shelf: Mapping[str, Restraint],
         position: str | None = None, *, strict: bool = False, worst_case: bool = False) -> Room:
    """Room for a restraint of one rider at every seat, or at one; the others keep all there is at hand.

    Each measure is the most by itself: a restraint that is at the limit of one may be over at another. KeyError: no
    such rider.
    """
    solve = Solve(trip, profile, today, strict=strict, worst_case=worst_case)
    shelf = _as_new(solve, shelf)
    modes = modes_for(solve, solve.trip.riders[_index(trip, rider)], shelf)
    places = [(place, place.rooms(modes)) for place in _places(solve, rider, shelf, position)]
    return Room(trip, profile, solve.world.day, rider, tuple(one for _, rooms in places for one in rooms),
                solve.complete, tuple(_then(places)))


def widest_room(trip: Trip, profile: Profile, today: date, rider: str, shelf: Mapping[str, Restraint],
                mode: str | None = None) -> RoomFor | None:
    """Where a restraint for a rider may be widest, with everybody else in the car, at the places that come first by the
    order of arrangements: of one ``mode``, or of any where there is no room for that. None where there is none."""
    solve = Solve(trip, profile, today)
    shelf = _as_new(solve, shelf)
    modes = modes_for(solve, solve.trip.riders[_index(trip, rider)], shelf)
    ways = [((name != mode, order, name), place, held) for place in _places(solve, rider, shelf) for name in modes
            for held in place.held(name) if (order := held.order) is not None]
    for _, alike in groupby(sorted(ways, key=itemgetter(0)), key=itemgetter(0)):
        widths = [(width, place, held.way) for _, place, held in alike if (width := held.width) and width.likely]
        if widths:
            _, place, way = max(widths, key=lambda one: (one[0].fits or 0, one[0].likely or 0))
            return next(one for one in place.rooms([way.mode]) if way in one.ways)
    return None


def _then(places: Sequence[tuple[_Place, Sequence[RoomFor]]]) -> Iterator[Then]:
    """Where everybody sits then, seat by seat, as long as that does not take too much."""
    spent = 0
    for place, rooms in places:
        one = next((one for one in rooms if one.width and one.width.sure), None)
        if one is not None and spent < MOST_PLANS:
            wide, found, plans = place.then(one)
            spent += plans
            if found is not None:
                yield Then(one.position, wide, found)


def _as_new(solve: Solve, shelf: Mapping[str, Restraint]) -> Mapping[str, Restraint]:
    """The restraints that could be had, as bought for the day."""
    return {change.word: change.new for change in get_restraint.offers(
        solve.trip.model_copy(update={"on": solve.world.day}), shelf) if change.new is not None}


def _index(trip: Trip, rider: str) -> int:
    names = [r.rider for r in trip.riders]
    if rider not in names:
        raise KeyError(rider)
    return names.index(rider)


def _places(solve: Solve, rider: str, shelf: Mapping[str, Restraint], position: str | None = None) -> list[_Place]:
    return [_Place(solve, _index(solve.trip, rider), p, shelf) for p, spot in enumerate(solve.choices.positions)
            if position in (None, spot.position)]


def modes_for(solve: Solve, rider: Rider, shelf: Mapping[str, Restraint]) -> list[ModeName]:
    """The modes that some bundled restraint could carry the rider in, whatever the seat; most protective first."""
    if rider.adult:
        return []
    found = {mode.mode for restraint in shelf.values() for mode in restraint.modes
             if not nowhere(solve, rider, restraint, mode)}
    return sorted(found, key=lambda mode: (stage(mode), mode))


class _Place:
    """One seat for one rider."""

    def __init__(self, solve: Solve, rider: int, position: int, shelf: Mapping[str, Restraint]) -> None:
        self.solve, self.shelf = solve, shelf
        self.rider = solve.trip.riders[rider]
        self.spot = solve.choices.positions[position]
        self.row = solve.trip.vehicle.row_of(self.spot.position)
        self.around = Around(solve, rider, position)
        self._held: dict[Way, _Held] = {}

    def held(self, mode: ModeName) -> list[_Held]:
        """Each way to hold a restraint of a mode here."""
        belt = self.spot.belt.kind if self.spot.belt else "lap-shoulder"
        for way in ways_of(mode, belt):
            if way not in self._held:
                self._held[way] = _Held(self, way)
        return [self._held[way] for way in ways_of(mode, belt)]

    def rooms(self, modes: Sequence[ModeName]) -> list[RoomFor]:
        """By mode; ways with the same room share one entry."""
        found: list[RoomFor] = []
        for mode in modes:
            shared: dict[tuple[object, ...], list[RoomFor]] = {}
            for one in [held.room() for held in self.held(mode)]:
                rules = tuple(f.rule for f in (*one.against, *one.missing))
                key = (rules, one.width, one.full, one.heights, one.reclines)
                shared.setdefault(key, []).append(one)
            for same in shared.values():
                first = same[0]
                fitting = {word: level for one in reversed(same) for word, level in one.fitting}
                found.append(replace(first, ways=tuple(way for one in same for way in one.ways),
                                     fitting=tuple(sorted(fitting.items()))))
        return found


    def then(self, one: RoomFor) -> tuple[int, Arrangement | None, int]:
        """The most width of a room here that is surest, where everybody sits with it, and how many row plans it took
        to find out."""
        most = one.width or Most(None, None, None)
        level = UNSURE if most.open else FITS if most.fits else CLOSE_FIT if most.close else LIKELY_FIT
        wide = most.sure or NARROWEST
        return wide, *seated_with(self.solve, self.rider.rider, self.spot.position,
                                  self._held[one.ways[0]].of_width(wide), level)


class _Held:
    """One way to hold a restraint of a mode at one seat."""

    def __init__(self, place: _Place, way: Way) -> None:
        self._place, self._solve, self._around, self.way = place, place.solve, place.around, way
        self._bands = outline_of(way.mode, place.shelf.values())
        # how long a restraint is does not change how wide it may be, so a short one is tried for the widths
        self._reach = SHORTEST if way.mode == "rear-facing-harness" else None
        judged = self._cells(banded(self._bands, [NARROWEST] * len(self._bands), SHORTEST))
        self._against = _against(judged, self._solve.world.options)
        self._standing = [cell for cell in judged if not cell.blocked]

    def room(self) -> RoomFor:
        """All that is told of it."""
        position, width = self._place.spot.position, self.width
        if width is None:
            return RoomFor(position, (self.way,), self._against, bool(self._around.neighbours))
        beside = self._around.beside(
            [p.position for p in self._place.row.positions if p.position != position])
        full = self._width(beside, [None] * len(self._bands), NARROWEST) if beside.neighbours else None
        heights = tuple(self._heights(beside if full else self._around, full or width))
        reclines = self._reclines() if self.way.mode == "rear-facing-harness" and width.sure else []
        return RoomFor(position, (self.way,), (), True, _missing(self._standing), width,
                       None if full == width else full, heights, tuple(reclines), self._fitting())

    def of_width(self, mm: int) -> Restraint:
        """A restraint that is so wide at every height."""
        return generic(self.way, banded(self._bands, [mm] * len(self._bands), self._reach), self._solve.world.day,
                       self._solve.world.profile.base)

    @property
    def order(self) -> int | None:
        """What the order of arrangements says of who sits in front and how protected the rider is here; None where
        something rules it out whatever its size."""
        return min((seating(self._solve.cost_of(cell)) for cell in self._standing), default=None)

    @cached_property
    def width(self) -> Most | None:
        """The most width; None where something rules it out whatever its size, or the others cannot all ride."""
        if self._against or not self._around.neighbours or not self._standing:
            return None
        return self._width(self._around, [None] * len(self._bands), NARROWEST)

    def _heights(self, around: Around, uniform: Most) -> Iterator[AtHeight]:
        wide = uniform.sure
        if wide is None:
            return
        for i, band in enumerate(self._bands):
            widths = [None if k == i else wide for k in range(len(self._bands))]
            yield AtHeight(band.up, self._width(around, widths, wide))

    @cached_property
    def _narrow(self) -> list[JudgedPlacement]:
        """The narrowest, whose width is tried."""
        return self._sized(banded(self._bands, [NARROWEST] * len(self._bands), self._reach), REFERENCE_DEG)

    def _width(self, around: Around, widths: Sequence[int | None], least: int) -> Most:
        """The most width of the bands whose width is None, beside the others."""
        return _most(Width(around.standing(self._narrow), around, least, WIDEST, widths))

    def _reclines(self) -> list[AtRecline]:
        found = []
        sides = self._around.sides(self._standing)
        for recline in RECLINES:
            def at(mm: int, recline: int = recline) -> list[JudgedPlacement]:
                return self._sized(leaning(mm, recline, NARROWEST), recline)
            most = _most(Length(sides, self._around, SHORTEST, LONGEST, at))
            best = most.sure
            reach, top = (None, None) if best is None else reach_of(best, recline)
            found.append(AtRecline(recline, most, reach, top))
        return found

    def _cells(self, parts: Sequence[Part]) -> tuple[JudgedPlacement, ...]:
        """The placements of a generic restraint here, judged."""
        solve, place = self._solve, self._place
        restraint = generic(self.way, parts, solve.world.day, solve.world.profile.base)
        return cells_in(solve.runner, place.rider, place.row, place.spot, restraint, restraint.modes[0])

    def _sized(self, parts: Sequence[Part], recline: float) -> list[JudgedPlacement]:
        """The same placements in another size: no rule that was passed looks at it, only room does."""
        restraint = generic(self.way, parts, self._solve.world.day, self._solve.world.profile.base, recline)
        mode = restraint.modes[0]
        sized = []
        for cell in self._standing:
            p = cell.placement
            placement = replace(p, restraint=restraint, mode=mode, installation=mode.installations[0],
                                recline=p.recline and replace(p.recline, setting=recline))
            sized.append(JudgedPlacement(placement, self._solve.runner, (
                Answers((), False, cell.unmeasured, 0, False, (), False),)))
        return sized

    def _fitting(self) -> tuple[tuple[str, int], ...]:
        """Bundled restraints that would do here in this mode, held so."""
        solve, place, way = self._solve, self._place, self.way
        found: dict[str, int] = {}
        for word, restraint in place.shelf.items():
            for mode in restraint.modes:
                if mode.mode != way.mode:
                    continue
                cells = [cell for cell in cells_in(solve.runner, place.rider, place.row, place.spot,
                                                   restraint, mode)
                         if not cell.blocked and cell.placement.by == way.by
                         and (cell.placement.installation is None or mode.booster
                              or cell.placement.installation.connectors in (None, way.connectors))]
                level = self._around.best(cells)
                if level < TOO_TIGHT:
                    found[word] = min(level, found.get(word, level))
        return tuple(found.items())


def _against(cells: Sequence[JudgedPlacement], options: Options) -> tuple[Finding, ...]:
    """What blocks every one of some cells, whatever the restraint's size: the findings of the one with fewest."""
    if not all(cell.blocked for cell in cells):
        return ()
    return min((tuple(f for f in cell.findings if options.refuses(f.outcome)) for cell in cells), key=len, default=())


def _missing(cells: Sequence[JudgedPlacement]) -> tuple[Finding, ...]:
    """What nobody measured and the rules ask for, of the cell with fewest."""
    return min((tuple(f for f in cell.findings if f.outcome == "unmeasured") for cell in cells), key=len, default=())


def _most(search: Largest) -> Most:
    """The largest measure that fits, is close and is likely."""
    first = search.level(search.least)
    if first >= TOO_TIGHT:
        return Most(None, None, None)
    if first == UNSURE:
        most_open = search.largest(UNSURE)
        return Most(None, most_open, most_open, True)
    fits, close = (search.largest(aim) if first <= aim else None for aim in (FITS, CLOSE_FIT))
    return Most(fits, close, search.largest(LIKELY_FIT))
