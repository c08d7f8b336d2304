"""What to buy, and when: the day on which nothing at hand is left, and the bundled restraints that would do then.

Each is tried by solving the trip of that day with it, so that it is known to fit across the row and not only the child.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from itertools import islice

from seatplan.files.load import shelf
from seatplan.frozen import frozen
from seatplan.model import Restraint, Trip
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import RuleContext
from seatplan.solver.kinds import apart
from seatplan.solver.placements import cell_of, open_choices
from seatplan.solver.ranking import stage
from seatplan.solver.repairs.catalogue import AS_NEW
from seatplan.solver.room.tables import RoomFor, widest_room
from seatplan.solver.rowplans import UNSURE
from seatplan.solver.solve import Solve
from seatplan.solver.ways import placements_of, ways_of

from .family import Family
from .limits import Stay, Window, stays
from .stretches import Stretch
from .watch import Watch

#: how many are named
SHOWN = 3


@frozen
class Offer:
    """One bundled restraint that would do: the mode for the rider, and when that mode ends for it."""

    model: str                        # its bundled name
    restraint: str
    rider: str
    mode: str
    ends: Window | None               # None: not within the days looked at
    sure: bool                        # the whole seating hangs on nothing that must be measured first


@frozen
class Purchase:
    """From ``day`` on the pool may not be enough. ``must``: nothing is valid any more as the children likely grow;
    otherwise nothing is left that holds however they grow. ``riders``: who is left without a place of their own;
    empty where each has one but not all together. ``room``: the seat and way of holding with most width for the first
    of them on that day, in the mode of the first offer or the most protective one; None where there is no room."""

    day: date
    must: bool
    riders: tuple[str, ...]
    offers: tuple[Offer, ...]
    tried: int
    room: RoomFor | None = None


def first_purchase(family: Family, profile: Profile, watch: Watch, stretches: Sequence[Stretch],
                   progress: Callable[[int], None] | None = None) -> Purchase | None:
    """The first day on which something must be bought, or else may have to be; None where the pool carries all."""
    start = next((s for s in stretches if not s.solved.seatings), None)
    must = start is not None
    if start is None:
        sure = [any(not rated.unsure for rated in s.solved.seatings.values()) for s in stretches]
        start = next((s for s, now in zip(stretches, sure, strict=True) if not now), None)
        if start is None or not any(sure):               # in doubt from the first day: that is for `measure` to say
            return None
    riders = without_place(watch, start.first, must)
    models = bundled()
    offers = offered(family, profile, start.first, watch.end, riders, models, must, progress)
    largest = None
    if riders:
        largest = largest_room(family.on(start.first), profile, start.first, riders[0], models,
                               offers[0].mode if offers else None)
    return Purchase(start.first, must, riders, tuple(offers[:SHOWN]), len(models), largest)


def largest_room(trip: Trip, profile: Profile, day: date, rider: str, models: dict[str, Restraint],
                 mode: str | None) -> RoomFor | None:
    """Where a restraint for a rider may be widest on a day, with everybody else in the car, at the places that come
    first by the order of arrangements: of one ``mode``, or of any where there is no room for that."""
    if next(r for r in trip.riders if r.rider == rider).adult:
        return None
    return widest_room(trip, profile, day, rider, models, mode)


def without_place(watch: Watch, day: date, blocked_only: bool) -> tuple[str, ...]:
    """The riders whom nothing at hand takes on a day by itself; also those it may not take, unless ``blocked_only``."""
    left: dict[int, bool] = {}
    for watched in watch.placements:
        blocked, unmeasured, _ = watched.status(day)
        left[watched.rider] = left.get(watched.rider, False) or not (blocked or (unmeasured and not blocked_only))
    there = {rider.rider for rider in watch.family.on(day).riders}
    riders = watch.family.trip.riders
    return tuple(riders[i].rider for i, some in left.items() if not some and riders[i].rider in there)


def bundled() -> dict[str, Restraint]:
    """Every bundled restraint by its name in the library, as bought new: known history, nothing wrong with it."""
    return {name: restraint.model_copy(update={"condition": AS_NEW}) for name, restraint in shelf().items()}


def with_new(trip: Trip, restraint: Restraint, day: date) -> tuple[Trip, Restraint]:
    """The trip with a new copy of a restraint, made on the day, and that copy under a name of its own."""
    taken = {own.restraint for own in trip.restraints}
    name = restraint.restraint
    while name in taken:
        name += " (new)"
    copy = restraint.model_copy(update={"restraint": name, "made": day})
    return trip.model_copy(update={"restraints": [*trip.restraints, copy]}), copy


def offered(family: Family, profile: Profile, day: date, end: date, riders: Sequence[str],
            models: dict[str, Restraint], must: bool,
            progress: Callable[[int], None] | None = None) -> list[Offer]:
    """The models that open a seating on a day, the most protective and longest lasting first.

    Unless ``must`` only a seating that hangs on nothing counts.
    """
    trip = family.on(day)
    able: list[tuple[bool, int, str, Restraint, str, str]] = []
    for n, (model, restraint) in enumerate(models.items()):
        if progress:
            progress(n)
        wider, copy = with_new(trip, restraint, day)
        if not _takes_one(wider, copy, profile, day, riders, must):
            continue
        solve = Solve(wider, profile, day, choices_of=open_choices, counted=False)
        for one in islice(solve.ranked(), 1):
            sure = one.level < UNSURE
            users = [(wider.riders[c.rider].rider, c.mode) for plan in one.plans for c in plan.choices
                     if c.restraint is not None and copy.restraint in solve.kinds.names(c.restraint)]
            able += [(not sure, stage(mode), model, copy, rider, mode) for rider, mode in users
                     if (rider in riders or not riders) and (must or sure)]
    able.sort(key=lambda item: item[:3])
    # how long each lasts is worked out for the most protective stages only, as far as they are shown
    worst = able[min(SHOWN, len(able)) - 1][:2] if able else (False, 0)
    found = [Offer(model, models[model].restraint, rider, mode,
                   _ends(family, profile, rider, copy, mode, day, end), not unsure)
             for unsure, far, model, copy, rider, mode in able if (unsure, far) <= worst]
    return sorted(found, key=lambda offer: (not offer.sure, stage(offer.mode), _goes(offer), offer.model))


def _goes(offer: Offer) -> int:
    """A key by which the offer that lasts longest comes first."""
    likely = None if offer.ends is None else offer.ends.likely
    return -(likely or date.max).toordinal()


def _takes_one(trip: Trip, restraint: Restraint, profile: Profile, day: date, riders: Sequence[str],
               must: bool) -> bool:
    """Whether a restraint takes one of some riders by itself, anywhere in the car: quickly said, before a solve."""
    children = [r for r in trip.riders if not r.adult and (r.rider in riders or not riders)]
    alone = trip.model_copy(update={"riders": children, "restraints": [restraint]})
    runner, kinds = Runner(RuleContext(alone, alone.vehicle, profile, day)), apart(alone)
    placements = (placement for rider in children for way in ways_of(alone, rider, kinds) if way.restraint is not None
                  for placement in placements_of(runner.world, rider, way))
    return any(not cell.blocked and (must or not cell.unmeasured) for placement in placements
               if not runner.blocked_anywhere(placement) for cell in (cell_of(runner, placement),))


def _ends(family: Family, profile: Profile, rider: str, restraint: Restraint, mode: str, day: date,
          end: date) -> Window | None:
    """When the rider leaves that mode, held whichever way lasts longest."""
    trip = family.trip.model_copy(update={
        "riders": [r for r in family.trip.riders if r.rider == rider], "restraints": [restraint], "wishes": [],
        "installed": {}, "under_way": {}, "tried": []})
    own: list[Stay] = [stay for stay in stays(Watch(Family(trip, family.taken, family), profile, day, end))
                       if stay.restraint == restraint.restraint and stay.mode == mode]
    closing = [stay.closes.window if stay.closes else None for stay in own]
    if None in closing or not closing:
        return None
    return max((window for window in closing if window is not None), key=lambda w: w.likely or date.max)
