"""The judge of one whole arrangement: every finding on it, and what they come to.

It asks the rules about each placement, each pair, each row and the trip, geometry about each row, and the chain along
the car, all under one set of options. The search asks the same things of the same objects, ``runner``, ``cars`` and
``lanes``, but of each part once for all arrangements that share it; so whatever it lists, this says of it, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import combinations, product
from typing import NamedTuple

from seatplan.doubt import believed
from seatplan.estimate import estimated
from seatplan.fields import Missing, field
from seatplan.frozen import frozen
from seatplan.geometry.chain import Solution, Squeeze
from seatplan.message import said
from seatplan.model import Reckoned, Restraint, Trip
from seatplan.rules import footprints
from seatplan.rules.finding import Finding, Outcome, Result, cautions, fails, lacks, passes
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile
from seatplan.rules.reckoned import size_that_day
from seatplan.rules.registry import rule_by_id
from seatplan.rules.run import Runner
from seatplan.rules.side_by_side import side_by_side
from seatplan.rules.subjects import Pair, Placement, RuleContext, Seated
from seatplan.store import COMMON, Store

from .aboard import aboard
from .asked import Guess
from .lane import Along
from .lanes import Lanes, sides
from .occasions import ALONG
from .placements import JudgedPlacement, belted, cell_of, cells_in
from .results import Arrangement, Verdict
from .rowjudge import CarRow
from .rowplans import CLOSE_FIT, FITS, LEVELS, LIKELY_FIT, TOO_TIGHT, UNSURE
from .ways import settings_for

VERDICTS: tuple[Verdict, ...] = ("fits", "close", "likely", "unmeasured", "rejected")


@frozen
class Pick:
    """How one rider rides, by names, so that it can be asked of a trip whose records have changed.

    ``restraint`` None is the vehicle belt. What is None beside it is left open: ``installation`` (its place in the
    list of the mode), ``by``, ``bars`` and ``setting``. ``tether`` is an anchor, "none" for a strap that is left, ""
    where it is open.
    """

    rider: str
    position: str
    restraint: str | None = None
    mode: str = "seat-belt"
    installation: int | None = None
    by: str | None = None
    bars: tuple[str, ...] | None = None
    tether: str = ""
    setting: float | None = None

    def matches(self, placement: Placement) -> bool:
        """Whether a placement of this rider, here, in this mode, is one that is meant."""
        mode, way = placement.mode, placement.installation
        return (
            (self.by is None or placement.by == self.by)
            and (self.installation is None or mode is None
                 or any(i == self.installation and own is way for i, own in enumerate(mode.installations)))
            and (self.bars is None or placement.bars == self.bars)
            and (not self.tether or (placement.tether or "none") == self.tether)
            and (self.setting is None or (placement.recline is not None and placement.recline.setting == self.setting))
        )


def picks_of(arrangement: Arrangement) -> tuple[Pick, ...]:
    """Exactly how everybody rides in an arrangement, left to right and row by row."""
    return tuple(pick_of(seat.placement) for seat in arrangement.seats)


def pick_of(placement: Placement) -> Pick:
    """A placement by its names, with nothing left open."""
    p = placement
    if p.restraint is None or p.mode is None:
        return Pick(p.rider.rider, p.position.position)
    number = next(i for i, way in enumerate(p.mode.installations) if way is p.installation)
    return Pick(p.rider.rider, p.position.position, p.restraint.restraint, p.mode_name, number, p.by, p.bars,
                p.tether or "none", p.recline.setting if p.recline else None)


class RowJudged(NamedTuple):
    """One row of an arrangement: the chain's answer, the witness where they fit; whether a number is missing."""

    row: int
    answer: Solution | Squeeze
    unsure: bool


class Judged(NamedTuple):
    """What becomes of one arrangement. ``cells`` are its placements, row by row, with the findings on each;
    ``together`` those on pairs, rows and the trip; ``lengthwise`` what the chain ``along`` the car comes to, None
    where nobody asks for anything. ``refused_by`` are the findings that turn it down;
    ``guesses`` is what counts although nobody measured it, ``estimates`` what that is called."""

    verdict: Verdict
    cells: tuple[JudgedPlacement, ...]
    together: tuple[Finding, ...]
    lengthwise: Finding | None
    rows: tuple[RowJudged, ...]
    along: Along
    refused_by: tuple[Finding, ...]
    guesses: tuple[Guess, ...]

    @property
    def estimates(self) -> tuple[str, ...]:
        return tuple(guess.label for guess in self.guesses)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything that is said of it."""
        own = (finding for cell in self.cells for finding in cell.findings)
        return (*own, *self.together, *((self.lengthwise,) if self.lengthwise else ()))


class _Guesses:
    """What counts although nobody measured it, each once, with the seats of those of whom it counts."""

    def __init__(self) -> None:
        self._seats: dict[str, dict[str, None]] = {}

    def add(self, labels: Iterable[str], *about: Placement) -> None:
        seats = dict.fromkeys(placement.position.position for placement in about)
        for label in labels:
            self._seats.setdefault(label, {}).update(seats)

    def told(self) -> tuple[Guess, ...]:
        return tuple(Guess(label, tuple(seats)) for label, seats in self._seats.items())


class Judge:
    """Judges arrangements of one trip. Answers about parts of them are kept."""

    def __init__(self, trip: Trip, profile: Profile, day: date, options: Options = USUAL,
                 store: Store = COMMON) -> None:
        """``day`` stands in where the trip names none."""
        self.trip = estimated(aboard(believed(trip, day, store), trip.on or day), day)
        self.world = RuleContext(self.trip, self.trip.vehicle, profile, self.trip.on or day, options, store)
        self.options = options
        self.runner = Runner(self.world)
        self.lanes = Lanes(self.world)
        self.cars = [CarRow(row, self.runner, self.lanes) for row in self.trip.vehicle.rows]
        self._order = {p.position: i for i, p in enumerate(self.trip.vehicle.positions())}

    def refuses(self, findings: Iterable[Finding]) -> bool:
        """Whether findings turn down what they are about."""
        return any(self.options.refuses(finding.outcome) for finding in findings)

    def arrangement(self, cells: Iterable[JudgedPlacement | Placement | Pick]) -> Judged:
        """Judge one arrangement, a placement for every rider. LookupError: a pick means none, or several."""
        judged = sorted(map(self._cell, cells), key=lambda cell: self._order[cell.placement.position.position])
        everyone = [cell.placement for cell in judged]
        level = max(self.lanes.least, CLOSE_FIT if any(cell.close for cell in judged) else FITS,
                    LIKELY_FIT if any(cell.estimates for cell in judged) else FITS)
        together: list[Finding] = []
        rows: list[RowJudged] = []
        guesses = _Guesses()
        guesses.add(size_that_day(rider.rider) for rider in self.trip.riders if isinstance(rider, Reckoned))
        for cell in judged:
            guesses.add(cell.estimates, cell.placement)
        for car in self.cars:
            here = [cell for cell in judged if cell.placement.row.row == car.row.row]
            if here:
                placements = [cell.placement for cell in here]
                together += self._pairs(combinations(placements, 2))
                together += self.runner.row(Seated(tuple(placements)))
                room = car.room(here)
                level = max(level, room.level)
                row = side_by_side(car.row, self.world)
                bodies = row.bodies(placements)
                guesses.add(row.estimates(bodies), *placements)
                if room.likely:
                    guesses.add((missing.field for missing in row.space.missing(bodies)), *placements)
                rows.append(RowJudged(car.row.row, row.solved(bodies), room.unsure))
        # rows share riders and restraints: all that pairs across them can be told is that one is used twice
        together += [finding for finding in self._pairs((a, b) for a, b in combinations(everyone, 2)
                                                        if a.row.row != b.row.row)
                     if self.options.refuses(finding.outcome)]
        driver = self.world.unlisted_driver()
        if driver is not None:
            together += [finding for p in everyone if driver.position.position in _beside(p)
                         for finding in self.runner.pair(Pair(p, driver)) if self.options.refuses(finding.outcome)]
        together += self.runner.trip(Seated(tuple(everyone)))
        along = self.along(everyone)
        for label, seat in along.of:
            guesses.add((label,), *(p for p in everyone if seat in p.places))
        guesses.add(along.estimates)
        lengthwise = self._lengthwise(along, everyone)
        # what is said of a cell that stands is put into words for whoever reads it
        decisive = [*(f for cell in judged if cell.blocked for f in cell.findings), *together,
                    *([lengthwise] if lengthwise else [])]
        refused_by = tuple(finding for finding in decisive if self.options.refuses(finding.outcome))
        unsure = any(cell.unmeasured for cell in judged) or any(f.outcome == "unmeasured" for f in decisive)
        level = max(level, along.level, UNSURE if unsure else FITS)
        if level >= TOO_TIGHT and not refused_by:
            raise RuntimeError("there is no room, and no finding says so")
        verdict = "rejected" if refused_by else VERDICTS[level]
        return Judged(verdict, tuple(judged), tuple(together), lengthwise, tuple(rows), along, refused_by,
                      guesses.told())

    def best(self, picks: Sequence[Pick]) -> Judged | None:
        """The surest arrangement among all that the picks leave open; None where one of them means no placement at
        all. Of several as sure, the first in the order of the files."""
        ways = [self.cells(pick) for pick in picks]
        if not all(ways):
            return None
        open_ways = [[cell for cell in cells if not cell.blocked] or cells[:1] for cells in ways]
        found: Judged | None = None
        for cells in product(*open_ways):
            judged = self.arrangement(cells)
            if found is None or VERDICTS.index(judged.verdict) < VERDICTS.index(found.verdict):
                found = judged
            if found.verdict == "fits":
                break
        return found

    def cells(self, pick: Pick) -> list[JudgedPlacement]:
        """Every placement that a pick can mean, judged by itself."""
        rider = next(rider for rider in self.trip.riders if rider.rider == pick.rider)
        row, position = self.trip.vehicle.row_of(pick.position), self.trip.vehicle.position(pick.position)
        if pick.restraint is None:
            return [belted(self.runner, rider, row, position)]
        restraint: Restraint = self.trip.restraint(pick.restraint)
        if not footprints.offered_at(restraint, pick.position):
            return []
        mode = restraint.mode(pick.mode)
        leans = settings_for(self.world, rider, row, position, restraint, mode)
        if pick.setting is None:
            leans = leans[:1]
        return [cell for lean in leans for cell in cells_in(self.runner, rider, row, position, restraint, mode, lean)
                if pick.matches(cell.placement)]

    def along(self, everyone: Sequence[Placement]) -> Along:
        """The chain along the car for a whole arrangement, with every addend named; the level is the search's."""
        judged, everyone = self.lanes.judge(self.lanes.lane_of(everyone)), list(sides(everyone))
        # where it hangs on what was only assumed, that is left out of what is shown
        bodies = [self.lanes.behind(p) for p in everyone if judged.lacking is None or not self.lanes.is_assumed(p)]
        named = self.lanes.solve([b for b in bodies if b is not None], [p.position.position for p in everyone],
                                 [p.position.position for p in everyone if self.lanes.keeps_rearmost(p)])
        return named._replace(level=judged.level, lacking=judged.lacking, of=judged.of,
                              estimates=tuple(dict.fromkeys((*named.estimates, *judged.estimates))))

    def _cell(self, of: JudgedPlacement | Placement | Pick) -> JudgedPlacement:
        if isinstance(of, JudgedPlacement):
            return of
        if isinstance(of, Placement):
            return cell_of(self.runner, of)
        cells = self.cells(of)
        if len(cells) != 1:
            raise LookupError(f"{of} means {len(cells)} placements")
        return cells[0]

    def _pairs(self, pairs: Iterable[tuple[Placement, Placement]]) -> Iterator[Finding]:
        for left, right in pairs:
            yield from self.runner.pair(Pair(left, right))

    def _lengthwise(self, along: Along, everyone: Sequence[Placement]) -> Finding | None:
        """What the whole car lacks lengthwise, or has to spare: what the rule of each place by itself cannot see."""
        if along.answer is None and along.lacking is None:
            return None
        answer, rule = along.answer, rule_by_id(ALONG)
        spoken = [p for p in everyone if in_sum(p, along)] or everyone
        result: Result
        outcome: Outcome
        if along.lacking is not None:
            result, outcome = lacks(along.lacking), "unmeasured"
        elif along.unknown:
            result, outcome = lacks(field("trip.front", position=along.unknown)), "unmeasured"
        elif along.estimates and self.options.strict:
            result, outcome = lacks(Missing(along.estimates[0], said("it is only estimated: measure it"))), "unmeasured"
        elif along.level >= TOO_TIGHT and isinstance(answer, Squeeze):
            result, outcome = fails(answer.have, answer.need, "mm", answer.short, whole_car=True), "block"
        elif isinstance(answer, Squeeze):
            result, outcome = cautions(answer.have, answer.need, "mm", answer.short, whole_car=True), "caution"
        else:
            assert answer is not None
            result, outcome = passes(None if answer.spare is None else float(answer.spare), 0, "mm"), "pass"
        return Finding(ALONG, outcome, tuple(p.rider.rider for p in spoken),
                       tuple(p.position.position for p in spoken), result, rule.source)


def _beside(placement: Placement) -> frozenset[str]:
    """The positions that a placement needs beside its own."""
    needed = footprints.footprint(placement)
    return needed.takes | needed.empties


def in_sum(placement: Placement, along: Along) -> bool:
    """Whether a placement is one that the sum along the car speaks of."""
    if along.answer is None:
        return False
    steps = along.answer.steps if isinstance(along.answer, Squeeze) else along.answer.tight
    own = [said("reach at {position}", position=place) for place in placement.places]
    return any(addend.length in own for step in steps for addend in step.addends)


def verdict_of(level: int) -> Verdict:
    """The verdict of an arrangement at a level that the search gives it."""
    return VERDICTS[min(level, LEVELS.index("squeeze"))]
