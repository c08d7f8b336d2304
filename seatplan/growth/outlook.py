"""How long it lasts: the arrangements to come, what ends each, whom to measure when, and what to buy."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile

from .course import Course, Leg, course
from .family import Family
from .limits import Limit, Stay, finding_of, limit_at, stays
from .purchase import Purchase, first_purchase
from .solved import Place
from .stretches import Solver, Stretch, stretches
from .watch import Watch, Watched

Progress = Callable[[str, int], None]


@frozen
class Move:
    """One rider who changes place; ``before`` None: who joins."""

    before: Place | None
    after: Place


@frozen
class Change:
    """What happens on a day between two legs. ``opens``: nothing worked before; ``limits``: those that end the leg
    before, by rider; ``room``: the riders could each stay, and no longer fit together; none of these: it could have
    gone on, and what comes is better."""

    day: date
    opens: bool
    limits: tuple[Limit, ...]
    room: bool
    joins: tuple[str, ...]
    moves: tuple[Move, ...]


@frozen
class Doubt:
    """From ``first`` on, within a leg, a rider may have left the place: measure again. ``finding`` says what."""

    rider: str
    first: date
    finding: Finding


@frozen
class Step:
    """A leg with what it takes to keep it: ``doubts`` in order of time, and the change that ends it."""

    leg: Leg
    verdict: str                      # of the seating on its first day: close, unmeasured, or none
    doubts: tuple[Doubt, ...]
    change: Change | None             # None: it lasts to the last day looked at


@frozen
class Way:
    """One course through time with its reasons."""

    course: Course
    steps: tuple[Step, ...]


@frozen
class Outlook:
    """The whole answer. ``events``: every day on which a finding on a placement changes; ``solves`` whole solves."""

    trip: Trip
    profile: Profile
    start: date
    end: date
    protection: Way
    moves: Way
    stays: tuple[Stay, ...]
    purchase: Purchase | None
    events: tuple[date, ...]
    stretches: tuple[Stretch, ...]
    solves: int

    def __repr__(self) -> str:
        return f"<Outlook of {self.trip.trip!r}: {len(self.protection.steps)} legs to {self.end}>"

    @property
    def works_now(self) -> bool:
        return bool(self.stretches[0].solved.seatings)

    @property
    def gap(self) -> date | None:
        """The first day on which nothing at hand works."""
        return next((s.first for s in self.stretches if not s.solved.seatings), None)

    @property
    def gap_end(self) -> date | None:
        """The last day of that gap."""
        after = [s for s in self.stretches if self.gap is not None and s.last >= self.gap]
        opens = next((s.first for s in after if s.solved.seatings), None)
        return None if self.gap is None else self.end if opens is None else opens - timedelta(1)

    @property
    def hangs_from_start(self) -> bool:
        """Whether every seating of the first day hangs on what was not measured."""
        first = self.stretches[0].solved.seatings
        return bool(first) and all(rated.unsure for rated in first.values())


def outlook(trip: Trip, profile: Profile, start: date, end: date, progress: Progress | None = None) -> Outlook:
    """Look at every day from ``start``, on which undated sizes hold, to ``end``.

    ``trip`` is as it was read. Raises InputError where nobody of it is born by ``start``, ValueError where ``end`` is
    not after ``start``, TooMuch where the trip is too large to look at day by day.
    """
    if end <= start:
        raise ValueError(f"{end} is not after {start}")
    family = Family(trip.model_copy(update={"under_way": {}}), start)       # what is under way is so today alone
    solver = Solver(family, profile, _part(progress, said("solving days")))
    solver.on(start)                  # a trip that is too large is known by its first day
    watch = Watch(family, profile, start, end, _part(progress, said("looking at findings")))
    found = stretches(solver, watch)
    now = family.on(start).installed
    protection = _way(course(found, now, "protection"), found, watch)
    fewest = _way(course(found, now, "moves"), found, watch)
    bought = first_purchase(family, profile, watch, found, _part(progress, said("trying bundled restraints")))
    return Outlook(family.trip.model_copy(update={"under_way": trip.under_way}), profile, start, end, protection,
                   fewest, tuple(stays(watch)), bought, tuple(watch.event_days()), tuple(found), solver.solves)


def _part(progress: Progress | None, stage: str) -> Callable[[int], None] | None:
    return None if progress is None else lambda n: progress(stage, n)


def _way(of: Course, found: Sequence[Stretch], watch: Watch) -> Way:
    groups: dict[Place, list[Watched]] = {}
    names = [rider.rider for rider in watch.family.trip.riders]
    for watched in watch.placements:
        p = watched.placement
        place = Place(names[watched.rider], p.position.position, p.restraint.restraint if p.restraint else None,
                      p.mode_name)
        groups.setdefault(place, []).append(watched)
    steps = []
    for leg, after in zip(of.legs, [*of.legs[1:], None], strict=True):
        there = next(s for s in found if s.first <= leg.first <= s.last)
        rated = there.solved.seatings.get(leg.seating) if leg.seating else None
        verdict = "none" if rated is None else "unmeasured" if rated.unsure else "likely"
        doubts = () if leg.seating is None else tuple(_doubts(leg, groups, watch))
        change = None if after is None else _change(leg, after, groups, watch, found)
        steps.append(Step(leg, verdict, doubts, change))
    return Way(of, tuple(steps))


def _doubts(leg: Leg, groups: dict[Place, list[Watched]], watch: Watch) -> list[Doubt]:
    """For each rider, the first day of the leg on which its place hangs on a measurement."""
    found = []
    for place in leg.seating or ():
        days = {leg.first, *(day for w in groups[place] for day in w.days() if leg.first <= day <= leg.last)}
        for day in sorted(days):
            open_ones = [w for w in groups[place] if not w.status(day)[0]]
            if open_ones and all(w.status(day)[1] for w in open_ones):
                check = next(c for c in open_ones[-1].checks if c.steps.on(day).together == "unmeasured")
                found.append(Doubt(place.rider, day, finding_of(watch, check, day)))
                break
    return sorted(found, key=lambda doubt: doubt.first)


def _change(leg: Leg, after: Leg, groups: dict[Place, list[Watched]], watch: Watch,
            found: Sequence[Stretch]) -> Change:
    day = after.first
    limits = [limit_at(watch, groups[place], day) for place in leg.seating or ()]
    told = tuple(limit for limit in limits if limit is not None)
    was = {place.rider: place for place in leg.seating or ()}
    moves = tuple(Move(was.get(place.rider), place) for place in after.seating or () if was.get(place.rider) != place)
    joins = tuple(place.rider for place in after.seating or () if was and place.rider not in was)
    valid = next(s for s in found if s.first <= day <= s.last).solved.seatings
    room = leg.seating is not None and not told and not joins and leg.seating not in valid
    return Change(day, leg.seating is None, told, room, joins, moves)

