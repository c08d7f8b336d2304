"""The slow, obvious solver: every choice of every rider times every other, judged one seating at a time.

It shares the rules and the weights of the ranking with the planner, and nothing of its search: neither row plans
nor bitmasks nor the chain. Rooms come from the checker's own inequalities.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import combinations, product

from checker import Body, Person, Play, body_of, lacks_numbers, needs_of, room, unlisted_driver, widest
from known import person_of, play_of

from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Pair, Placement, Seated, World
from seatplan.solver.placements import Cell
from seatplan.solver.ranking import CLOSE, UNMEASURED, CellCost, cost, room_points

#: (position, restraint, mode) of every rider, in the order of the trip
Seating = tuple[tuple[str, str | None, str], ...]
FITS, CLOSE_FIT, UNSURE = range(3)


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

    @property
    def sure(self) -> dict[str, int]:
        counted = Counter(self.level.values())
        return {"fits": counted[FITS], "close": counted[CLOSE_FIT], "unmeasured": counted[UNSURE]}

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


@dataclass(frozen=True)
class Picked:
    """What one row makes of one pick of placements: a reason against it, or its level and cost."""

    reason: str
    level: int
    cost: int


class SlowSolver:
    """One trip; ``answer()`` walks over the whole product."""

    def __init__(self, trip: Trip, profile: Profile, today: date, *, strict: bool = False,
                 people: Callable[[Rider], Person] = person_of) -> None:
        self.trip, self.strict, self.people = trip, strict, people
        self.play: Play = play_of(profile)
        self.world = World(trip, trip.vehicle, profile, trip.on or today)
        self.runner = Runner(self.world)
        self.cell_cost = CellCost(self.world)
        self.rows: dict[tuple[int, ...], Picked] = {}
        self.row_order = {id(row): i for i, row in enumerate(trip.vehicle.rows)}

    def answer(self) -> Answer:
        found = Answer()
        names = [rider.rider for rider in self.trip.riders]
        choices = [list(self.choices(rider)) for rider in self.trip.riders]
        for name, own in zip(names, choices, strict=True):
            found.allowed |= {(name, key[0]) for key, options in own if not all(o.blocked for o in options)}
        for seating in product(*choices):
            found.seatings += 1
            keys = tuple(key for key, _ in seating)
            options = [[o for o in every if not o.blocked] for _, every in seating]
            if not all(options):
                found.placement += 1
                continue
            used = [key[1] for key in keys if key[1] is not None]
            if len({key[0] for key in keys}) < len(keys):
                found.contests["position"] += 1
            elif len(set(used)) < len(used):
                found.contests["restraint"] += 1
            else:
                self._seat(found, keys, options)
        return found

    def _seat(self, found: Answer, keys: Seating, options: Sequence[Sequence[Option]]) -> None:
        """A seating in which nothing is used twice: the best pick of each row, then the rules of the whole trip."""
        total, level, reasons = 0, FITS, set()
        placements: list[Placement] = []
        for row in self.trip.vehicle.rows:
            order = [position.position for position in row.positions]
            here = sorted((order.index(key[0]), i) for i, key in enumerate(keys) if key[0] in order)
            if not here:
                continue
            best: Picked | None = None
            kept: tuple[Option, ...] = ()
            for pick in product(*(options[i] for _, i in here)):
                picked = self._row(row, pick)
                if picked.reason:
                    reasons_here = picked.reason
                    if best is None or (best.reason == "together" and reasons_here == "squeeze"):
                        best, kept = picked, pick
                elif best is None or best.reason or picked.cost < best.cost:
                    best, kept = picked, pick
            assert best is not None
            if best.reason:
                reasons.add(best.reason)
            total, level = total + best.cost, max(level, best.level)
            placements += [option.placement for option in kept]
        if "together" in reasons:
            found.contests["together"] += 1
        elif reasons:
            found.squeeze += 1
        else:
            self._whole(found, keys, placements, total, level)

    def _whole(self, found: Answer, keys: Seating, placements: Sequence[Placement], total: int, level: int) -> None:
        findings = self.runner.trip(Seated(tuple(placements)))
        outcomes = [finding.outcome for finding in findings]
        if "block" in outcomes or (self.strict and "unmeasured" in outcomes):
            found.contests["together"] += 1
            return
        by_name = {p.rider.rider: p for p in placements}
        unkept = sum(not _beside(by_name[a], by_name[b]) for wish in self.trip.wishes if wish.together and not wish.must
                     for a, b in zip(wish.together, wish.together[1:], strict=False))
        found.cost[keys] = total + cost(cautions=outcomes.count("caution"), wishes=unkept,
                                        certainty=UNMEASURED * outcomes.count("unmeasured"))
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
            outcomes = [finding.outcome for finding in self.runner.pair(Pair(left, right))]
            if "block" in outcomes or (self.strict and "unmeasured" in outcomes):
                return Picked("together", FITS, 0)
            both = {left.rider.rider, right.rider.rider}
            apart = sum(_beside(left, right) for wish in self.trip.wishes
                        if wish.apart and not wish.must and both <= set(wish.apart))
            total += cost(certainty=UNMEASURED * ("unmeasured" in outcomes), cautions=outcomes.count("caution"),
                          wishes=apart)
            unmeasured = unmeasured or "unmeasured" in outcomes
        bodies = self.bodies(row, placements)
        fits, spare, _ = room(needs_of(row, bodies, self.play))
        lacking = lacks_numbers(row, bodies)
        if not fits or (self.strict and lacking):
            return Picked("squeeze", FITS, 0)
        tolerance = max([self.trip.vehicle.measured.tolerance,
                         *(p.restraint.tolerance for p in placements if p.restraint is not None)])
        close = spare is not None and spare < tolerance
        close = close or not room(needs_of(row, widest(bodies), self.play))[0]
        doubt = UNMEASURED if lacking or unmeasured else CLOSE if close else 0
        total += cost(certainty=doubt, room=room_points(None if spare is None else float(spare)))
        unsure = lacking or unmeasured or any(option.unmeasured for option in pick)
        return Picked("", UNSURE if unsure else CLOSE_FIT if close else FITS, total)

    def bodies(self, row: Row, placements: Sequence[Placement]) -> list[Body]:
        """The riders' bodies of one row and the driver's, left to right."""
        bodies = [body_of(p.row, p.position, p.rider, p.restraint, p.mode, p.installation, p.bars,
                          self.people(p.rider), self.play) for p in placements]
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
                    for mode in restraint.modes:
                        ways = [self._option(placement) for installation in mode.installations
                                for placement in ways_of(rider, row, position, restraint, mode, installation)]
                        yield (position.position, restraint.restraint, mode.mode), ways
                yield (position.position, None, "adult-belt"), [self._option(Placement(rider, position, row))]

    def _option(self, placement: Placement) -> Option:
        findings = self.runner.placement(placement)
        outcomes = [finding.outcome for finding in findings]
        unmeasured = "unmeasured" in outcomes
        blocked = "block" in outcomes or (self.strict and unmeasured)
        cell = Cell(placement, tuple(findings), blocked, unmeasured, outcomes.count("caution"))
        return Option(placement, blocked, self.cell_cost(cell), unmeasured)


def ways_of(rider: Rider, row: Row, position: Position, restraint: Restraint, mode: Mode,
            installation: Installation) -> list[Placement]:
    """Which bars and which tether anchor one way of installing can use at one position."""
    pairs: list[tuple[tuple[str, ...], bool]] = [((), False)]
    if installation.by.startswith("lower-anchors"):
        own = [(position.lower_anchors, False)] if position.lower_anchors else []
        pairs = own + ([(position.borrow, True)] if position.borrow else []) or pairs
    tethers: list[str | None] = [None]
    strap = bool(installation.needs_tether or mode.tether_strap)
    if strap and position.tether is not None and position.tether != "none":
        tethers = [position.tether]
        sharers = [other for other in row.positions if other.tether == position.tether]
        if len(sharers) > 1 and not installation.needs_tether:
            tethers.append(None)
    return [Placement(rider, position, row, restraint, mode, installation, bars, borrowed, tether)
            for (bars, borrowed), tether in product(pairs, tethers)]


def _beside(one: Placement, other: Placement) -> bool:
    names = [position.position for position in one.row.positions]
    return one.row is other.row and abs(names.index(one.position.position) - names.index(other.position.position)) == 1
