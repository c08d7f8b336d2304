"""The slow, obvious solver: every choice of every rider times every other, judged one seating at a time.

It shares the rules and the weights of the ranking with the planner, and nothing of its search: neither row plans
nor bitmasks nor the chain. Rooms come from the checker's own inequalities. Every copy of a restraint is listed by
itself; seatings that differ by a swap of copies are merged in the end.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from itertools import combinations, product
from math import floor

from inequalities import (
    Body,
    Need,
    Person,
    Play,
    body_of,
    lacks_numbers,
    needs_of,
    room,
    second_place,
    sums_of,
    unlisted_driver,
)
from known import person_of, play_of
from lengthwise_slow import SHORT, Lengthwise
from likes import kinds_of
from places import held_at, places_do, with_what_is_built_in
from straps import loops

from seatplan.estimate import estimated
from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip
from seatplan.model.estimated import EstimatedRider
from seatplan.rules.footprints import offered_at
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Pair, Placement, RuleContext, Seated
from seatplan.solver.lanes import Lanes
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.ranking import OPEN, CellCost, cost, room_points, surely, weighed
from seatplan.solver.ways import setting_for

#: (position, restraint, mode) of every rider, in the order of the trip; a restraint by the name of its kind
Seating = tuple[tuple[str, str | None, str], ...]
FITS, CLOSE_FIT, LIKELY_FIT, UNSURE = range(4)


@dataclass
class Answer:
    """``cost`` holds every valid seating with its lowest cost over all installations, ``level`` how sure it is."""

    seatings: int = 0
    placement: int = 0
    squeeze: int = 0
    contests: Counter[str] = field(default_factory=Counter)
    cost: dict[Seating, int] = field(default_factory=dict)
    level: dict[Seating, int] = field(default_factory=dict)
    allowed: set[tuple[str, str]] = field(default_factory=set)

    def add(self, other: Answer) -> None:
        """What another part of the seatings comes to, as well."""
        self.seatings += other.seatings
        self.placement += other.placement
        self.squeeze += other.squeeze
        self.contests += other.contests
        self.cost |= other.cost
        self.level |= other.level

    @property
    def sure(self) -> dict[str, int]:
        counted = Counter(self.level.values())
        return {"fits": counted[FITS], "close": counted[CLOSE_FIT], "likely": counted[LIKELY_FIT],
                "unmeasured": counted[UNSURE]}

    def squares(self) -> dict[tuple[str, str], tuple[int, int]]:
        """(rider index, position) -> seatings with the rider there, and the best level among them."""
        found: dict[tuple[int, str], list[int]] = {}
        for seating, level in self.level.items():
            for rider, (position, _, _) in enumerate(seating):
                found.setdefault((rider, position), []).append(level)
        return {key: (len(levels), min(levels)) for key, levels in found.items()}  # type: ignore[misc]


@dataclass(frozen=True)
class Option:
    """One placement with what the rules say of it."""

    placement: Placement
    blocked: bool
    cost: int
    unmeasured: bool
    close: bool
    likely: bool
    held: bool
    sure: int


@dataclass(frozen=True)
class Picked:
    """What one row makes of one pick of placements: a reason against it, or its level, its cost, and how sure it counts
    as in the order."""

    reason: str
    level: int
    cost: int
    sure: int = 0


class SlowSolver:
    """One trip; ``answer()`` walks over the whole product."""

    def __init__(self, trip: Trip, profile: Profile, today: date, *, strict: bool = False,
                 worst_case: bool = False, people: Callable[[Rider], Person] = person_of) -> None:
        trip = with_what_is_built_in(estimated(trip, today))
        self.trip, self.strict, self.people = trip, strict, people
        self.play: Play = play_of(profile)
        self.world = RuleContext(trip, trip.vehicle, profile, trip.on or today, Options(strict, worst_case))
        self.runner = Runner(self.world)
        # what is under way is counted here, apart from the planner's own weights
        self.cell_cost = CellCost(replace(self.world, trip=trip.model_copy(update={"under_way": {}})))
        self.rows: dict[tuple[int, ...], Picked] = {}
        self.kinds = kinds_of(trip)
        self.lengthwise, self.lanes = Lengthwise(self.world), Lanes(self.world)

    def answer(self) -> Answer:
        names = [rider.rider for rider in self.trip.riders]
        choices = [list(self.choices(rider)) for rider in self.trip.riders]
        allowed = {(name, key[0]) for name, own in zip(names, choices, strict=True)
                   for key, options in own if not all(o.blocked for o in options)}
        # each seating with copies told apart, by what it is when they are not
        merged: dict[Seating, list[Answer]] = {}
        for seating in product(*choices):
            keys = tuple(key for key, _ in seating)
            merged.setdefault(self.of_kinds(keys), []).append(self._judged(keys, [every for _, every in seating]))
        found = Answer(allowed=allowed)
        for those in merged.values():
            # a swap of copies changes nothing, and who would use one twice takes another where there is one
            able = [one for one in those if not one.contests["restraint"]] or those[:1]
            assert all(one == able[0] for one in able)
            found.add(able[0])
        return found

    def of_kinds(self, keys: Seating) -> Seating:
        """A seating with every restraint by the name of its kind."""
        return tuple((position, held and self.kinds[held], mode) for position, held, mode in keys)

    def _judged(self, keys: Seating, every: Sequence[Sequence[Option]]) -> Answer:
        """One seating, copies told apart."""
        found = Answer(seatings=1)
        options = [[o for o in some if not o.blocked] for some in every]
        used = [key[1] for key in keys if key[1] is not None]
        if not all(options):
            found.placement += 1
        elif not places_do([some[0].placement for some in options], self.trip):
            found.contests["position"] += 1
        elif len(set(used)) < len(used):
            found.contests["restraint"] += 1
        else:
            self._seat(found, self.of_kinds(keys), options)
        return found

    def _seat(self, found: Answer, keys: Seating, options: Sequence[Sequence[Option]]) -> None:
        """A seating in which nothing is used twice: the best picks of all rows, then the rules of the whole trip."""
        reasons: set[str] = set()
        per_row: list[list[tuple[Picked, tuple[Option, ...]]]] = []
        for row in self.trip.vehicle.rows:
            order = [position.position for position in row.positions]
            here = sorted((order.index(key[0]), i) for i, key in enumerate(keys) if key[0] in order)
            if not here:
                continue
            picks = [(self._row(row, pick), pick) for pick in product(*(options[i] for _, i in here))]
            fitting = [(picked, pick) for picked, pick in picks if not picked.reason]
            if not fitting:
                reasons.add("squeeze" if any(picked.reason == "squeeze" for picked, _ in picks) else "together")
            per_row.append(fitting)
        if "together" in reasons:
            found.contests["together"] += 1
            return
        levels, costs = [], list[tuple[int, int]]()
        placements: list[Placement] = []
        for combination in product(*per_row):
            everyone = [option.placement for _, pick in combination for option in pick]
            along = self.lengthwise.level(everyone)
            if along == SHORT:
                continue
            placements = everyone
            levels.append(max(along, *(picked.level for picked, _ in combination)))
            asking = [option for _, pick in combination for option in pick
                      if self.lanes.asks_surely(option.placement)]
            counts = 0 if along == CLOSE_FIT and asking and all(option.held for option in asking) else along
            costs.append((sum(picked.cost for picked, _ in combination),
                          max(counts, *(picked.sure for picked, _ in combination))))
        if reasons or not levels:
            found.squeeze += 1
        else:
            self._whole(found, keys, placements, costs, min(levels))

    def _whole(self, found: Answer, keys: Seating, placements: Sequence[Placement],
               costs: Sequence[tuple[int, int]], level: int) -> None:
        findings = self.runner.trip(Seated(tuple(placements)))
        outcomes = [finding.outcome for finding in findings]
        if "block" in outcomes or (self.strict and "unmeasured" in outcomes):
            found.contests["together"] += 1
            return
        by_name = {p.rider.rider: p for p in placements}
        unkept = sum(not _beside(by_name[a], by_name[b]) for wish in self.trip.wishes if wish.together and not wish.must
                     for a, b in zip(wish.together, wish.together[1:], strict=False))
        least = OPEN if "unmeasured" in outcomes else 0
        found.cost[keys] = min(total + surely(max(sure, least)) for total, sure in costs) + weighed(
            findings) + cost(wishes=unkept)
        found.level[keys] = max(level, UNSURE if "unmeasured" in outcomes else FITS)

    def _row(self, row: Row, pick: Sequence[Option]) -> Picked:
        key = tuple(id(option) for option in pick)
        if key not in self.rows:
            self.rows[key] = self._judge(row, [option.placement for option in pick], pick)
        return self.rows[key]

    def _judge(self, row: Row, placements: list[Placement], pick: Sequence[Option]) -> Picked:
        unmeasured = False
        total = sum(option.cost for option in pick)
        for left, right in combinations(placements, 2):
            findings = self.runner.pair(Pair(left, right))
            outcomes = [finding.outcome for finding in findings]
            if "block" in outcomes or (self.strict and "unmeasured" in outcomes):
                return Picked("together", FITS, 0)
            both = {left.rider.rider, right.rider.rider}
            apart = sum(_beside(left, right) for wish in self.trip.wishes
                        if wish.apart and not wish.must and both <= set(wish.apart))
            total += weighed(findings) + cost(wishes=apart)
            unmeasured = unmeasured or "unmeasured" in outcomes
        bodies = self.bodies(row, placements)
        needs = needs_of(row, bodies, self.play, self.trip.vehicle.measured.tolerance)
        _, spare, _ = room(needs)
        sums = sums_of(needs, self.world.options.worst_case)
        lacking = lacks_numbers(row, bodies) or any(one.open for one in sums)
        likely = any(one.likely for one in sums)
        if lacking and not any(one.short for one in sums) and (
                at_most := self.needs_at_most(row, placements)) is not None:
            lacking, likely, (_, spare, _) = False, True, room(at_most)
        if any(one.short for one in sums) or (self.strict and (lacking or likely)):
            return Picked("squeeze", FITS, 0)
        fit = LIKELY_FIT if likely else CLOSE_FIT if any(one.close for one in sums) else FITS
        tried = [option.held for option in pick if option.placement.restraint]
        sure = OPEN if lacking or unmeasured else 0 if fit == CLOSE_FIT and tried and all(tried) else fit
        sure = max(sure, *(option.sure for option in pick))
        total += cost(room=room_points(None if spare is None else floor(spare)))
        unsure = lacking or unmeasured or any(option.unmeasured for option in pick)
        fit = max(fit, CLOSE_FIT if any(option.close for option in pick) else FITS,
                  LIKELY_FIT if any(option.likely for option in pick) else FITS)
        return Picked("", UNSURE if unsure else fit, total, sure)

    def needs_at_most(self, row: Row, placements: Sequence[Placement]) -> list[Need] | None:
        """The inequalities of riders of whom only the age is known, as the largest of their age; None where they lack
        room then, or more is missing."""
        if not any(isinstance(p.rider, EstimatedRider) for p in placements):
            return None
        bodies = self.bodies(row, [replace(p, rider=p.rider.corners[-1]) if isinstance(p.rider, EstimatedRider) else p
                                   for p in placements])
        needs = needs_of(row, bodies, self.play, self.trip.vehicle.measured.tolerance)
        return None if lacks_numbers(row, bodies) or any(
            one.short or one.open for one in sums_of(needs, self.world.options.worst_case)) else needs

    def bodies(self, row: Row, placements: Sequence[Placement]) -> list[Body]:
        """The riders' bodies of one row and the driver's, left to right."""
        bodies = [body_of(p.row, p.position, p.rider, p.restraint, p.mode, p.installation, p.bars,
                          self.people(p.rider), self.play, lean_of(p)) for p in placements]
        driver = unlisted_driver(self.trip, row, self.people, self.play)
        order = [position.position for position in row.positions]
        if driver is not None:
            bodies.append(driver)
        return sorted(bodies, key=lambda body: order.index(body.position.position))

    def choices(self, rider: Rider) -> Iterator[tuple[tuple[str, str | None, str], list[Option]]]:
        """Every (position, restraint, mode) of a rider with its placements, blocked ones too."""
        for row in self.trip.vehicle.rows:
            for position in row.positions:
                for restraint in () if rider.adult else self.trip.restraints:
                    for mode in restraint.modes if offered_at(restraint, position.position) else ():
                        lean = setting_for(self.world, rider, row, position, restraint, mode)
                        ways = [self._option(replace(placement, recline=lean)) for installation in mode.installations
                                for placement in ways_of(rider, row, position, restraint, mode, installation)]
                        yield (position.position, restraint.restraint, mode.mode), ways
                yield (position.position, None, "seat-belt"), [self._option(Placement(rider, position, row))]

    def _option(self, placement: Placement) -> Option:
        findings = self.runner.placement(placement)
        outcomes = [finding.outcome for finding in findings]
        unmeasured = "unmeasured" in outcomes
        blocked = "block" in outcomes or (self.strict and unmeasured)
        cell = JudgedPlacement(placement, self.runner)
        close, likely = any(f.result.close for f in findings), any(f.result.estimates for f in findings)
        sure = OPEN if unmeasured else 2 if likely else int(close and not cell.held)
        total = self.cell_cost(cell) + cost(under_way=self.otherwise(placement))
        return Option(placement, blocked, total, unmeasured, close, likely, cell.held, sure)


    def otherwise(self, placement: Placement) -> bool:
        """Whether a rider rides otherwise than is under way: another seat or restraint, or another mode or way of
        installing where those are said."""
        aim = self.trip.under_way.get(placement.rider.rider)
        if aim is None:
            return False
        held = None if placement.restraint is None else placement.restraint.restraint
        by = "lap-shoulder-belt" if placement.installation is None else placement.installation.by
        mode = "seat-belt" if placement.mode is None else placement.mode.mode
        return (aim.position, aim.restraint) != (placement.position.position, held) or (
            aim.mode not in (None, mode)) or aim.by not in (None, by)


def lean_of(placement: Placement) -> tuple[float, float] | None:
    return None if placement.recline is None else (placement.recline.setting, placement.recline.packing)


def ways_of(rider: Rider, row: Row, position: Position, restraint: Restraint, mode: Mode,
            installation: Installation) -> list[Placement]:
    """Which bars and which tether anchor one way of installing can use at one position."""
    pairs: list[tuple[tuple[str, ...], bool]] = [((), False)]
    if installation.by.startswith("lower-anchors"):
        own = [(position.lower_anchors, False)] if position.lower_anchors else []
        pairs = own + ([(position.borrow, True)] if position.borrow else []) or pairs
    tethers: list[str | None] = [None]
    strap = bool(installation.needs_tether or (mode.tether_strap and mode.mode != "rear-facing-harness"))
    if strap and position.tether is not None and position.tether != "none":
        tethers = [position.tether]
        sharers = [other for other in row.positions if other.tether is not None
                   and loops(row, other.tether) & loops(row, position.tether)]
        own = next(one for one in row.tethers or () if one.tether == position.tether)
        by_mass = (own.mass_limit is not None or installation.tether_mass_limit is not None
                   or (mode.mode == "rear-facing-harness" and isinstance(installation.needs_tether, Fraction)))
        if (len(sharers) > 1 or by_mass) and installation.needs_tether is not True:
            tethers.append(None)
    second = second_place(row, position, installation)
    return [Placement(rider, position, row, restraint, mode, installation, bars, borrowed, tether, second=second)
            for (bars, borrowed), tether in product(pairs, tethers)]


def _beside(one: Placement, other: Placement) -> bool:
    names = [position.position for position in one.row.positions]
    return one.row is other.row and any(abs(names.index(a) - names.index(b)) == 1
                                        for a, b in product(held_at(one), held_at(other)))
