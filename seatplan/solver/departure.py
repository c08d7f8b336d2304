"""How a car leaves: what is installed held against what the plan and the sheet ask of it, and the points left open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, Literal

from seatplan.frozen import frozen
from seatplan.model import Installed, Rider, Trip, UnderWay
from seatplan.model.steps import MeasuredBox
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.registry import weight_of
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.rules.tries import holds, is_belt_tested, reading, stands_level, still_lacks

from .asked import thing_asked
from .installing import Card, cards
from .noted import Against, standing
from .picture import picture
from .plan import planned
from .ranking import is_as_noted
from .results import Arrangement, Plan

#: what can be left open. not-installed: nothing is noted for a rider who needs a restraint; not-allowed: what is noted
#: is in no arrangement that fits; does-not-hold: a reading speaks against it; reading: one that the sheet asks for is
#: not noted; unmeasured: something of the plan was never measured; undecided: the search stopped at its limit
OpenKind = Literal["not-installed", "not-allowed", "does-not-hold", "reading", "unmeasured", "undecided"]
#: held: all is in, holds and is read; nothing-fits: no arrangement takes everybody
DepartureState = Literal["held", "open", "nothing-fits"]


@frozen
class OpenPoint:
    """``rider`` and ``reading`` are empty where it is about neither; ``things``: how many it stands for; ``against``:
    what rules have against what is noted."""

    kind: OpenKind
    rider: str = ""
    reading: str = ""
    things: int = 1
    against: tuple[Finding, ...] = ()


@frozen
class Leaves:
    """How one rider leaves. ``here``: what is noted, None where nothing is. ``placement``: how the plan has the rider
    with what is installed, None where it has none; ``as_noted``: that is the same. ``asked``: the readings that its
    sheet asks for, each once, with the ``values`` that fill their words in; ``missing``: those not noted;
    ``lacks``: nobody knows whether it holds; ``belt_tested``: on the vehicle belt alone, and the belt-fit test was
    passed there."""

    rider: Rider
    here: Installed | None
    placement: Placement | None
    as_noted: bool = False
    holds: bool = False
    asked: tuple[MeasuredBox, ...] = ()
    values: Mapping[str, Any] | None = None
    missing: tuple[str, ...] = ()
    belt_tested: bool = False
    lacks: bool = False


@frozen
class Departure:
    """``plan``: of the trip with what is installed first; ``arrangement``: its first one, None where nothing fits."""

    plan: Plan
    arrangement: Arrangement | None
    leaves: tuple[Leaves, ...]
    open: tuple[OpenPoint, ...]

    @property
    def state(self) -> DepartureState:
        if self.arrangement is None and self.plan.tally.complete:
            return "nothing-fits"
        return "open" if self.open else "held"

    @property
    def grave_cautions(self) -> int:
        """How many grave cautions there are about it."""
        if self.arrangement is None:
            return 0
        found = [*(f for seat in self.arrangement.seats for f in seat.cell.findings), *self.arrangement.findings]
        return sum(f.outcome == "caution" and weight_of(f) == "grave" for f in found)


def departure(trip: Trip, profile: Profile, day: date) -> Departure:
    """How the car of a trip leaves on a day."""
    aims = {rider: UnderWay(restraint=here.restraint, position=here.position, mode=here.mode, by=here.by)
            for rider, here in trip.installed.items()}
    plan = planned(trip.model_copy(update={"under_way": aims or trip.under_way}), profile, day, top=1)
    if not plan.arrangements:
        leaves = tuple(Leaves(rider, trip.installed.get(rider.rider), None) for rider in plan.trip.riders)
        refused = tuple(OpenPoint("not-allowed", rider, against=found)
                        for rider, found in standing(trip, trip.installed, profile, day).against.items())
        return Departure(plan, None, leaves, (*refused, *(() if plan.tally.complete else (OpenPoint("undecided"),))))
    arrangement = plan.arrangements[0]
    world = RuleContext(trip, trip.vehicle, profile, day)
    of_rider = {card.placement.rider.rider: card for card in cards(plan, arrangement, picture(plan, arrangement))}
    found = tuple(_leaves(seat.placement, trip.installed.get(seat.placement.rider.rider),
                          of_rider.get(seat.placement.rider.rider), world) for seat in arrangement.seats)
    against: Against = {} if all(one.as_noted for one in found if one.here is not None) else (
        standing(trip, trip.installed, profile, day).against)
    return Departure(plan, arrangement, found, (*(point for one in found for point in _points(one, against)),
                                                *_unmeasured(arrangement)))


def _leaves(placement: Placement, here: Installed | None, card: Card | None, world: RuleContext) -> Leaves:
    if here is None and (placement.restraint is None or placement.built_in):
        return Leaves(placement.rider, here, placement, missing=still_lacks(None, placement, world))
    if here is None or not is_as_noted(placement, here):
        return Leaves(placement.rider, here, placement)
    asked: dict[str, MeasuredBox] = {}
    for stage in card.stages if card is not None else ():
        for step in stage.steps:
            for box in step.boxes:
                asked.setdefault(box.reading, box)
    lacking = still_lacks(here, placement, world)
    for key in lacking:
        asked.setdefault(key, MeasuredBox(reading=key))
    tested = is_belt_tested(placement, world)
    return Leaves(placement.rider, here, placement, True, holds(here, placement, world), tuple(asked.values()),
                  card.values if card is not None else None,
                  tuple(key for key in asked if not _is_read(key, here, placement)
                        and not (tested and key == "belt_fits")), tested, bool(lacking))


def _is_read(key: str, here: Installed, placement: Placement) -> bool:
    """Whether a reading is noted, or one that says the same: the larger of both directions says how far it moved, the
    indicator or the angle how it leans."""
    if reading(here, key) not in (None, ""):
        return True
    if key in ("sideways", "forwards"):
        return reading(here, "moved") is not None
    if key in ("level", "angle") and placement.mode is not None:
        return stands_level(here, placement.mode) is not None
    return False


def _points(one: Leaves, against: Against) -> Iterator[OpenPoint]:
    name, placement = one.rider.rider, one.placement
    if one.here is None:
        if placement is not None and placement.restraint is not None and not placement.built_in:
            yield OpenPoint("not-installed", name)
        yield from (OpenPoint("reading", name, key) for key in one.missing)
        return
    if not one.as_noted:
        yield OpenPoint("not-allowed", name, against=against.get(name, ()))
        return
    if not one.holds and not one.lacks:
        yield OpenPoint("does-not-hold", name)
    for key in one.missing:
        yield OpenPoint("reading", name, key)


def _unmeasured(arrangement: Arrangement) -> Iterator[OpenPoint]:
    findings = [*(f for seat in arrangement.seats for f in seat.cell.findings), *arrangement.findings]
    things = {thing_asked(f) for f in findings if f.outcome == "unmeasured"}
    if things:
        yield OpenPoint("unmeasured", things=len(things))
