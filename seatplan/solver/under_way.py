"""The arrangement that is being installed: who of it is in and holds, who comes next, how it goes on after a try."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from datetime import date

from seatplan.frozen import frozen
from seatplan.model import Installed, Tried, Trip, UnderWay
from seatplan.model.trip import Readings
from seatplan.rules.options import USUAL, Options
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.rules.tries import holds, is_belt_tested

from .aboard import with_built_in
from .installing import order
from .noted import Against, standing
from .picture import picture
from .plan import best_of, planned
from .ranking import is_as_noted
from .results import Arrangement, Plan

#: among so many arrangements the one that was given up is looked for, to go on with the next
LOOKED_THROUGH = 100


@frozen
class State:
    """How far the arrangement under way is. ``seats``: how each rider who rides in a restraint, and each child on the
    vehicle belt, is to ride, in the order of installing; ``holding`` of them are in and hold, or the belt fits.
    ``possible``: whether it can still be; ``against``: what rules have against it by now, by the rider whom it is
    about."""

    seats: Mapping[str, UnderWay]
    holding: tuple[str, ...]
    possible: bool = True
    against: Against = field(default_factory=dict)

    @property
    def waiting(self) -> tuple[str, ...]:
        """Who is still to be installed or to have the belt looked at, the next one first."""
        return tuple(rider for rider in self.seats if rider not in self.holding)

    @property
    def next(self) -> str | None:
        """Who is installed next; None where all of it holds, or it cannot be any more."""
        return next(iter(self.waiting), None) if self.possible else None


def state_of(trip: Trip, profile: Profile, day: date, options: Options = USUAL) -> State | None:
    """How far a trip's arrangement under way is, as the judge sees it on that day; None where none is."""
    adults = [rider.rider for rider in trip.riders if rider.adult]
    seats = {rider: aim for rider, aim in trip.under_way.items() if aim.restraint is not None or rider not in adults}
    if not seats:
        return None
    world = RuleContext(with_built_in(trip), trip.vehicle, profile, day)
    stands = standing(trip, trip.under_way, profile, day, options)
    return State(seats, tuple(rider for rider, aim in seats.items()
                              if rider not in stands.against and _is_in(rider, aim, world)),
                 stands.possible, stands.against)


def _is_in(rider: str, aim: UnderWay, world: RuleContext) -> bool:
    """Whether what is installed for a rider is what is to be, with all the readings that say that it holds."""
    here = world.trip.installed.get(rider)
    who = next((r for r in world.trip.riders if r.rider == rider), None)
    if who is None:
        return False
    position, row = world.vehicle.position(aim.position), world.vehicle.row_of(aim.position)
    if aim.restraint is None:
        alone = Placement(who, position, row)
        return is_belt_tested(alone, world) if here is None or not _is_so(here, aim) else holds(here, alone, world)
    restraint = world.trip.restraint(aim.restraint)
    mode = next((m for m in restraint.modes if m.mode == aim.mode), None)
    if here is None or mode is None or not _is_so(here, aim):
        return False
    way = next((k for k in mode.installations if k.by == (aim.by or "built-in")), None)
    return holds(here, Placement(who, position, row, restraint, mode, way), world)


def _is_so(here: Installed, aim: UnderWay) -> bool:
    return all(getattr(here, key) == getattr(aim, key) for key in ("position", "restraint", "mode", "by"))


def as_under_way(plan: Plan, arrangement: Arrangement) -> dict[str, UnderWay]:
    """An arrangement as a trip notes it: the restraints in the order of installing, then everybody else who does not
    drive."""
    hand = float(plan.profile.limit("buckle_hand_room"))
    first = [turn.placement for turn in order(picture(plan, arrangement), hand)]
    rest = [seat.placement for seat in arrangement.seats if seat.placement.restraint is None]
    return {p.rider.rider: UnderWay(
        restraint=p.restraint.restraint if p.restraint else None, position=p.position.position,
        mode=None if p.mode is None else p.mode.mode,
        by=None if p.installation is None or p.built_in else p.installation.by)
        for p in (*first, *rest) if not p.rider.drives}


def is_under_way(arrangement: Arrangement, under_way: Mapping[str, UnderWay]) -> bool:
    """Whether an arrangement is the one that is noted, for everybody who is noted."""
    return bool(under_way) and all(is_as_noted(seat.placement, aim) for seat in arrangement.seats
                                   if (aim := under_way.get(seat.placement.rider.rider)) is not None)


def best_by_order(plan: Plan) -> Arrangement | None:
    """The best arrangement by the order alone, where that is another one than the one under way; None where it is the
    same, or nothing is under way."""
    if not plan.trip.under_way or not plan.arrangements:
        return None
    best = _alone(plan, 1)
    return None if not best or is_under_way(best[0], plan.trip.under_way) else best[0]


def next_after(plan: Plan) -> Arrangement | None:
    """The arrangement that comes after the one under way by the order alone, or the best, where that is not found
    among them; None where none is left."""
    found = _alone(plan, LOOKED_THROUGH)
    at = next((k for k, one in enumerate(found) if is_under_way(one, plan.trip.under_way)), -1)
    return next(iter(found[at + 1:]), None)


def _alone(plan: Plan, top: int) -> tuple[Arrangement, ...]:
    """The best few of the same trip with nothing under way."""
    return best_of(plan.trip.model_copy(update={"under_way": {}}), plan.profile, plan.day, top=top, strict=plan.strict,
                   worst_case=plan.worst_case)


def as_aimed(tried: Tried, placement: Placement) -> UnderWay:
    """What was tried, as what is under way names it."""
    return UnderWay(restraint=tried.restraint, position=tried.position,
                    mode=None if placement.mode is None else placement.mode.mode, by=tried.by)


def as_installed(tried: Tried, placement: Placement) -> Installed:
    """What is installed once a try held."""
    own = tried.readings or Readings()
    told = {key: value for key in ("moved", "level") if (value := getattr(tried, key)) is not None}
    sure = own.sure | ({"moved": tried.moved} if tried.is_sure("moved") else {})
    readings = Readings.model_validate({**own.data(), **told, **({"sure": sure} if sure else {})})
    return Installed.model_validate({
        **as_aimed(tried, placement).data(),
        **({"tether": tried.tether} if tried.tether is not None else {}),
        **({"readings": readings} if readings.data() else {}),
        **{key: value for key in ("on", "who", "note") if (value := getattr(tried, key))}})


@frozen
class GoneOn:
    """How it goes on after a try. ``plan`` is that of the trip as it will be, ``under_way`` what it notes; ``done``:
    all of it is in and holds; ``other``: it is another arrangement than was under way before."""

    plan: Plan
    under_way: Mapping[str, UnderWay]
    done: bool
    other: bool


def go_on(trip: Trip, profile: Profile, day: date, just: tuple[str, UnderWay] | None) -> GoneOn:
    """How a trip goes on, in which a try and what is installed are noted already.

    ``just``: who was just installed, and how, where that held. The arrangement under way stays while it can be and has
    it; else the best comes that keeps what is in and holds.
    """
    aims = dict(trip.under_way)
    fits = just is None or just[0] not in aims or aims[just[0]] == just[1]
    plan = planned(trip, profile, day, top=1)
    if not aims or not fits or not plan.arrangements or not is_under_way(plan.arrangements[0], aims):
        state = state_of(trip, profile, day)
        keep = {rider: aims[rider] for rider in (state.holding if state is not None else ())}
        if just is not None:
            keep = {rider: aim for rider, aim in keep.items()
                    if rider != just[0] and aim.position != just[1].position
                    and (aim.restraint is None or aim.restraint != just[1].restraint)}
            keep[just[0]] = just[1]
        plan = planned(trip.model_copy(update={"under_way": keep}), profile, day, top=1)
        aims = as_under_way(plan, plan.arrangements[0]) if plan.arrangements else {}
    after = plan.trip.model_copy(update={"under_way": aims})
    state = state_of(after, profile, day)
    done = state is not None and not state.waiting
    return GoneOn(replace(plan, trip=after.model_copy(update={"under_way": {}}) if done else after),
                  {} if done else aims, done, bool(trip.under_way) and aims != trip.under_way)
