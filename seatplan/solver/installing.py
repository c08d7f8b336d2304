"""What is done at the car for each restraint of an arrangement: in which order, which steps, with which numbers.

Order: what a neighbour would cover or crowd goes in before that neighbour; where nothing is in the way, rows further
back first, and the centre before the sides (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from seatplan.files.steps import stages
from seatplan.frozen import frozen
from seatplan.geometry.recline import allowed_range
from seatplan.message import Figure, Name, Word, beside, in_mm, joined, said
from seatplan.model.steps import InstallStep
from seatplan.rules.belt import uses_belt
from seatplan.rules.finding import Finding
from seatplan.rules.limits import head_below_top
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.rules.tries import leans, lies_on_the_child
from seatplan.rules.two_belts import head_at

from .orders import Forward, Leaning, Order, Thing, forward_of, orders, seat_of
from .picture import BodySeen, Picture, RowSeen, SideSeen, Span
from .results import AheadShown, Arrangement, Plan

#: where a hand hooks a connector, in side view around the crease, mm (common practice, no source)
_AT_BARS: tuple[Span, Span] = ((-50, 120), (-50, 150))
#: and where it closes a buckle, above the cushion, mm (common practice, no source)
_BUCKLE_UP: Span = (-50, 150)
#: a buckle of unknown length may stand so far forward, mm (common practice, no source)
_LONG_STALK_MM = 250
_INCH_MM = 25.4
#: under so many months a child who faces the rear may sleep in what it rides in (common practice, no source)
_BABY_MONTHS = 12
INSTRUCTIONS = said("the restraint's instructions, as written in its file")


@frozen
class InTheWay:
    """Once ``by`` is in, ``thing`` of ``rider`` has ``room_mm`` left beside it (below 0: covered) where a hand needs
    ``needs_mm``."""

    rider: str
    by: str
    thing: str
    room_mm: float
    needs_mm: float


@frozen
class Turn:
    """One restraint in the order of installing. ``before``: whom it must precede and why; ``both_ways``: a neighbour
    that is in already is in its way as well."""

    placement: Placement
    before: tuple[InTheWay, ...]
    both_ways: tuple[InTheWay, ...]


@frozen
class StageShown:
    """The steps of one stage that apply."""

    stage: str
    steps: tuple[InstallStep, ...]


@frozen
class Card:
    """Everything for one restraint, or for a child on the vehicle belt alone: its turn, its steps, the values that fill
    their words in, and what to check. ``before``: what goes in before it."""

    turn: Turn
    row: RowSeen
    side: SideSeen | None
    stages: tuple[StageShown, ...]
    values: Mapping[str, Any]
    unmeasured: tuple[Finding, ...]
    cautions: tuple[Finding, ...]
    at_limits: tuple[Finding, ...]    # passed, and within what measuring can be off
    close_across: bool
    close_along: bool
    stays: frozenset[str] = frozenset()       # positions whose seat must not come forward
    before: tuple[Placement, ...] = ()

    @property
    def placement(self) -> Placement:
        return self.turn.placement

    @property
    def readings(self) -> tuple[str, ...]:
        """The keys of what its steps ask to be read, each once."""
        return tuple(dict.fromkeys(box.reading for stage in self.stages for step in stage.steps for box in step.boxes))


def cards(plan: Plan, arrangement: Arrangement, seen: Picture) -> tuple[Card, ...]:
    """A card a restraint, in the order of installing, then one a child on the vehicle belt alone."""
    world = RuleContext(plan.trip, plan.trip.vehicle, plan.profile, plan.day, plan.options)
    sides = {side.body.placement.rider.rider: side for side in seen.sides}
    rows = {row.row.row: row for row in seen.rows}
    everything = orders(arrangement, world)
    found: list[Card] = []
    belted = [Turn(body.placement, (), ()) for body in belted_alone(seen) if not body.placement.rider.adult]
    for turn in (*order(seen, world.limit("buckle_hand_room")), *belted):
        placement = turn.placement
        name = placement.rider.rider
        row, side = rows[placement.row.row], sides.get(name)
        mine = [*(f for seat in arrangement.seats if seat.placement is placement for f in seat.cell.findings),
                *(f for f in arrangement.findings if name in f.riders)]
        seats = _seats(placement, arrangement.ahead, everything)
        tags = _tags(placement, row, side, mine, seats) | {
            _tag(order) for order in everything if order.rider == name and isinstance(order.state, str)}
        values = {**_values(placement, side, world), **_numbers(name, everything, seats)}
        tags |= {tag for key, tag in (("low", "recline-range"), ("notch", "recline-settings")) if key in values}
        shown = _shown(tags, once=False)
        found.append(Card(turn, row, side, shown, values,
                          tuple(f for f in mine if f.outcome == "unmeasured"),
                          tuple(f for f in mine if f.outcome == "caution" and _is_of(f, name)),
                          tuple(f for f in mine if f.outcome == "pass" and f.result.close),
                          _close(row), side is not None and _close_along(arrangement, side),
                          frozenset(seat for seat, at in seats.items() if at.stays),
                          tuple(card.placement for card in found)))
    return tuple(found)


def for_all(plan: Plan, arrangement: Arrangement) -> tuple[StageShown, ...]:
    """The steps that are told once for the whole trip."""
    world = RuleContext(plan.trip, plan.trip.vehicle, plan.profile, plan.day, plan.options)
    placements = [seat.placement for seat in arrangement.seats]
    ages = [world.age_months(p.rider) for p in placements if p.rear_facing]
    return _shown({tag for tag, holds in {
        "child": any(not p.rider.adult for p in placements),
        "restraint": any(p.restraint is not None for p in placements),
        "baby": any(age is None or age < _BABY_MONTHS for age in ages),
    }.items() if holds}, once=True)


def _shown(tags: set[str], once: bool) -> tuple[StageShown, ...]:
    return tuple(StageShown(stage.stage, steps) for stage in stages() if stage.once == once
                 and (steps := tuple(step for step in stage.steps if applies(step, tags))))


def _is_of(finding: Finding, name: str) -> bool:
    """Whether a caution belongs on the page of a rider: their own, or on two neighbours."""
    return finding.riders[:1] == (name,) or (rule_by_id(finding.rule).scope == "pair" and name in finding.riders)


def applies(step: InstallStep, tags: set[str]) -> bool:
    """Whether a step is for a placement with these tags."""
    return set(step.when) <= tags and not set(step.unless) & tags


def order(seen: Picture, needs_mm: float) -> list[Turn]:
    """The restraints in the order of installing. ``needs_mm``: the room that a hand needs."""
    waiting = sorted((body for row in seen.rows for body in row.bodies if body.placement.restraint is not None),
                     key=lambda body: (-body.placement.row.row, "CLR".index(body.placement.position.position[1])))
    ways = [way for row in seen.rows for way in _in_the_way(row, needs_mm)]
    turns: list[Turn] = []
    while waiting:
        left = {body.placement.rider.rider for body in waiting}
        free = [body for body in waiting if not any(
            way.by == body.placement.rider.rider and way.rider in left for way in ways)]
        body = (free or waiting)[0]
        waiting.remove(body)
        name = body.placement.rider.rider
        turns.append(Turn(body.placement,
                          tuple(way for way in ways if way.rider == name and way.by in left),
                          tuple(way for way in ways if way.rider == name and way.by not in left)))
    return turns


def _in_the_way(row: RowSeen, needs_mm: float) -> Iterator[InTheWay]:
    """Every bar or buckle that the installing of one restraint needs and another one leaves too little room at."""
    for body in row.bodies:
        for thing, across, zone in _needed(body, needs_mm):
            for other in row.bodies:
                if other is body or other.placement.restraint is None:
                    continue
                room = _room_beside(across, zone, other)
                if room is not None and room < needs_mm:
                    yield InTheWay(body.placement.rider.rider, other.placement.rider.rider, thing, room, needs_mm)


def _needed(body: BodySeen, needs_mm: float) -> Iterator[tuple[str, int, tuple[Span, Span]]]:
    """What a hand must get at to install a restraint: name, mm across, where in side view."""
    placement = body.placement
    bars = {bar.bar: bar.across for bar in placement.row.lower_anchors or () if bar.across is not None}
    for bar in placement.bars:
        if bar in bars:
            yield said("bar {bar}", bar=bar), bars[bar], _AT_BARS
    for position in (placement.position, placement.second):
        buckle = position.belt.buckle if position is not None and position.belt else None
        if position is not None and placement.held_by_belt and buckle is not None and buckle.across is not None:
            yield (said("the buckle of {position}", position=position.position), buckle.across,
                   ((0, (_LONG_STALK_MM if buckle.stalk is None else buckle.stalk) + needs_mm), _BUCKLE_UP))


def _room_beside(across: float, zone: tuple[Span, Span], other: BodySeen) -> float | None:
    """Room between a point and the nearest part of a body there, mm; below 0: covered. None: no part is near it."""
    if other.across_mm is None:
        return None
    rooms = []
    for part in other.parts:
        if part.person or part.width_mm is None or part.along is None or part.up is None:
            continue
        if _meet(part.along, zone[0]) and _meet(part.up, zone[1]):
            rooms.append(abs(across - other.across_mm) - part.width_mm / 2)
    return min(rooms, default=None)


def _meet(one: Span, other: Span) -> bool:
    return one[0] <= other[1] and other[0] <= one[1]


def _seats(placement: Placement, ahead: AheadShown | None, everything: Sequence[Order]) -> dict[str, Forward]:
    """Where a placement's own seat and the one ahead of it stand, by position."""
    states = {order.thing: order.state for order in everything}
    before = placement.position.ahead.seat if placement.position.ahead else None
    found = {}
    for seat in (placement.position.position, before):
        if seat is not None:
            state = states.get(Thing("seat", seat_of(seat, ahead)))
            found[seat] = state if isinstance(state, Forward) else Forward(forward_of(seat, ahead))
    return found


def _tag(order: Order) -> str:
    return f"{order.thing.kind}-{order.state}"


def _numbers(rider: str, everything: Sequence[Order], seats: Mapping[str, Forward]) -> dict[str, Any]:
    """The numbers of the orders that a card shows: where seats stand, and how the restraint leans."""
    (_, own), *before = seats.items()
    values: dict[str, Any] = {"slid": in_mm(own.mm, "up")}
    for seat, stands in before:
        values |= {"ahead": seat, "stands": in_mm(stands.mm, "up")}
    for order in everything:
        if order.rider == rider and isinstance(order.state, Leaning):
            values |= {"setting": Figure(order.state.setting), "packed": Figure(order.state.packing)}
    return values


def _tags(placement: Placement, row: RowSeen, side: SideSeen | None, findings: Sequence[Finding],
          seats: Mapping[str, Forward]) -> set[str]:
    """What holds of a placement, in the words that the steps use. ``findings``: those on it; ``seats``: its own and
    the one ahead."""
    mode, installation = placement.mode, placement.installation
    own, *ahead = seats.values()
    belt = _belt_tags(placement)
    if mode is None or installation is None:
        return belt | ({"front-airbag"} if own.stays else set())
    on_the_child = lies_on_the_child(mode, installation.by)           # what holds it is closed with the child
    touch = mode.touch_ahead if placement.rear_facing else None
    installed = not on_the_child and not placement.built_in
    indicator = mode.recline.indicator if mode.recline is not None else None
    return belt | {tag for tag, holds in {
        "rear-facing": placement.rear_facing,
        "forward-facing": mode.mode in ("forward-facing-harness", "impact-shield"),
        "harness": placement.harness,
        "booster": placement.booster,
        "high-back": mode.mode == "high-back-booster",
        "built-in": placement.built_in,
        "shield": mode.mode == "impact-shield",
        "shield-belted": mode.mode == "impact-shield" and placement.fastened_each_trip,
        "bed": mode.mode == "lying-flat-bed",
        "vest": mode.mode == "harness-vest",
        "bed-or-vest": mode.mode in ("lying-flat-bed", "harness-vest"),
        "installed": installed,
        "leans": installed and leans(mode),
        "posed": installed and placement.recline is not None,
        "indicator-zones": indicator == "zones",
        "indicator-none": indicator == "none",
        "packed": placement.recline is not None and placement.recline.packing > 0,
        "front-airbag": own.stays,
        "ahead-moved": any(seat.mm > 0 for seat in ahead),
        "ahead-beyond-use": side is not None and side.beyond,
        "row-slid": own.mm > 0 and bool(placement.slides),
        "seat-moved": own.mm > 0 and not placement.slides,
        "raised-cushion": any(f.rule == "base-on-raised-cushion" and f.outcome == "caution" for f in findings),
        "separate-base": installation.base == "with",
        "lower-anchors": placement.on_lower_anchors and installed,
        "flexible": installation.connectors == "flexible",
        "rigid": placement.on_lower_anchors and installation.connectors == "rigid",
        "on-bars": bool(placement.bars),
        "belt": placement.held_by_belt and not on_the_child,
        "two-belts": placement.second is not None,
        "head-inboard": head_at(placement) is not None,
        "lock-off-there": bool(installation.lock_off),
        "belts-unused": _unused_beside(placement, row),
        "anchor-not-told": placement.tether is not None and not any(
            one.marked for one in placement.row.tethers or () if one.tether == placement.tether),
        "both-methods": installation.by == "lower-anchors-with-belt",
        "tether": placement.tether is not None,
        "gap-ahead": touch not in ("may", "must") and side is not None and side.nearest is not None,
        "may-touch": touch == "may",
        "must-touch": touch == "must",
        "neighbours": len(row.bodies) > 1,
        "handle-not-noted": mode.handle is None and placement.restraint is not None and all(
            other.rear_facing for other in placement.restraint.modes),
    }.items() if holds}


def _belt_tags(placement: Placement) -> set[str]:
    """What holds of the vehicle belt of a placement."""
    retractor = _belt(placement, "retractor")
    return {tag for tag, holds in {
        "on-the-belt": placement.restraint is None,
        "round-the-child": placement.fastened_each_trip or (placement.mode_name == "harness-vest"
                                                            and placement.held_by_belt),
        "switchable-retractor": retractor == "switchable",
        "may-lock": retractor in ("switchable", None),
        "comes-apart": bool(_belt(placement, "detachable")),
    }.items() if holds}


def _belt(placement: Placement, name: str) -> Any:
    """What is known of the belt of a placement, where it is used."""
    return getattr(placement.position.belt, name, None) if uses_belt(placement) else None


def _unused_beside(placement: Placement, row: RowSeen) -> bool:
    """Whether a place beside it is empty and has a belt that a child could reach."""
    used = {body.placement.position.position for body in row.bodies}
    names = [position.position for position in row.row.positions]
    here = names.index(placement.position.position)
    beside_it = [position for k, position in enumerate(row.row.positions) if abs(k - here) == 1]
    return any(position.position not in used and (position.belt is None or position.belt.kind != "none")
               for position in beside_it)


def _values(placement: Placement, side: SideSeen | None, world: RuleContext) -> dict[str, Any]:
    """The numbers and names that fill in the words of the steps."""
    lean, mode = placement.recline, placement.mode
    movement = world.profile.thresholds["movement_at_belt_path"]
    values: dict[str, Any] = {
        "tether": placement.tether or "", "by": placement.by,
        "movement": in_mm(float(movement.value), "down"), "movement_inches": _inches(float(movement.value)),
        "movement_source": _source(movement.source),
    }
    head = world.profile.thresholds["rear_head_below_top"]
    need, own = head_below_top(placement, world)
    values |= {"head": in_mm(need, "up"), "head_source": Word(INSTRUCTIONS) if own else _source(head.source),
               "head_inches": _inches(float(need))}
    if placement.second is not None:
        values |= {"places": joined(said(" and "), placement.places), "head_place": head_at(placement) or ""}
    if placement.bars:
        values["bars"] = joined(said(" and "), placement.bars)
    if lean is not None and mode is not None and mode.recline is not None:
        values |= {"angle": Figure(lean.angle), "packing": mode.recline.packing or "none"}
        notches = sorted(mode.recline.settings)
        if len(notches) > 1:
            values |= {"notch": notches.index(lean.setting) + 1, "notches": len(notches)}
        allowed = allowed_range(mode, world.age_months(placement.rider), placement.rider.mass)
        if allowed is not None:
            values |= {"low": Figure(allowed[0]), "high": Figure(allowed[1])}
    if side is not None and side.nearest is not None:
        clear = world.profile.thresholds["clear_of_seat_ahead"]
        gap, asked = beside(in_mm(side.nearest.mm, "down"), in_mm(side.nearest.asked_mm, "up"))
        values |= {"asked": asked, "gap": gap, "gap_source": _source(clear.source)}
    return values


def _source(source: str) -> str:
    """A source of ours is looked up; one that somebody wrote stands as it is."""
    return source if isinstance(source, Name) else Word(source)


def _inches(value_mm: float) -> int:
    """Whole inches, where a value in mm stands for such, as technicians say it; else 0."""
    whole = round(value_mm / _INCH_MM)
    return whole if whole >= 1 and abs(value_mm - whole * _INCH_MM) <= 1 else 0


def _close(row: RowSeen) -> bool:
    shown = row.shown
    if shown is None or shown.spare_mm is None:
        return False
    return shown.spare_mm * max(1, sum(step.stretch for step in shown.tight)) < shown.tolerance_mm


def _close_along(arrangement: Arrangement, side: SideSeen) -> bool:
    ahead = arrangement.ahead
    if ahead is None or ahead.spare_mm is None or side.nearest is None or not side.nearest.tight:
        return False
    return ahead.spare_mm * max(1, sum(step.stretch for step in ahead.tight)) < ahead.tolerance_mm


def belted_alone(seen: Picture) -> Sequence[BodySeen]:
    """Everybody who rides without a restraint: they get in last."""
    return [body for row in seen.rows for body in row.bodies
            if body.placement.restraint is None and not body.guessed]
