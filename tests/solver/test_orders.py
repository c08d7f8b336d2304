"""What an arrangement orders: one state for each thing, the same on the sheet, and nothing that a rule speaks against.

All arrangements of random trips (SEATPLAN_RANDOM_TRIPS=1000 takes more), the best of the bundled ones.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterator
from copy import copy
from dataclasses import replace
from random import Random

import pytest
from lengthwise_slow import need_of
from solved import DAY
from worlds import random_trip

from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.files.steps import stages
from seatplan.model import Trip
from seatplan.model.vehicle import HeadRestraint
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import RuleContext
from seatplan.solver.installing import Card, cards
from seatplan.solver.orders import Forward, Joined, Leaning, Order, State, Thing, orders, orders_for, seat_of
from seatplan.solver.picture import picture
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.results import Arrangement, Plan

TRIPS = int(os.environ.get("SEATPLAN_RANDOM_TRIPS", "200"))
#: of one random trip, and of one bundled trip, so many arrangements are read
MOST, MOST_BUNDLED = 40, 12
_SEEDS = [range(start, start + 25) for start in range(0, TRIPS, 25)]


def world_of(solved: Plan) -> RuleContext:
    return RuleContext(solved.trip, solved.trip.vehicle, solved.profile, solved.day, solved.options)


def two_states(found: tuple[Order, ...]) -> list[str]:
    """Things that two orders bring into different states, or that two riders use at once."""
    states: dict[Thing, set[State]] = {}
    for order in found:
        states.setdefault(order.thing, set()).add(order.state)
    return [f"{thing}: {told}" for thing, told in states.items() if len(told) > 1]


def against_a_finding(found: tuple[Order, ...], arrangement: Arrangement, world: RuleContext) -> Iterator[str]:
    """Orders that do not go with what a rule found."""
    states = {order.thing: order.state for order in found}

    def forward(seat: str | None) -> int:
        state = states.get(Thing("seat", seat_of(seat, arrangement.ahead))) if seat else None
        return state.mm if isinstance(state, Forward) else 0

    tape = arrangement.ahead.tolerance_mm if arrangement.ahead is not None else 0
    for seat in arrangement.seats:
        p, by_rule = seat.placement, {f.rule: f for f in seat.cell.findings}
        here, who = p.position.position, p.rider.rider
        outcome = {rule: f.outcome for rule, f in by_rule.items()}
        if outcome.get("child-before-airbag") == "caution" and forward(here):
            yield f"{who}: {here} comes {forward(here)} forward before an airbag"
        for rule in ("child-before-airbag", "rear-facing-before-airbag", "bed-before-airbag"):
            if rule in by_rule and by_rule[rule].result.measured == "switched off" and states.get(
                    Thing("airbag", here)) != "off":
                yield f"{who}: the airbag at {here} is not off"
        need = need_of(p, world)
        if need is not None and p.position.ahead is not None and p.position.ahead.seat:
            there = forward(p.position.ahead.seat) - forward(here)
            if there < need[0] - tape:
                yield f"{who}: needs {need[0]} ahead and the orders leave {there}"
        if p.restraint is None or p.mode is None or p.installation is None:
            continue
        own = p.restraint.restraint
        leans, told = states.get(Thing("recline", own)), by_rule.get("recline-out-of-range")
        if isinstance(leans, Leaning) and told is not None and told.outcome == "pass":
            facts = told.result.facts
            if (leans.setting, leans.packing) != (facts["setting"], facts["packing"]):
                yield f"{who}: ordered {leans}, judged {facts}"
        strap = states.get(Thing("tether-strap", own))
        if "tether-unused" in outcome and outcome["tether-unused"] != "pass" and isinstance(strap, Joined):
            yield f"{who}: a tether that is not used is hooked"
        if states.get(Thing("head-restraint", here)) == "clear" and outcome.get("ears-above-shell-top") != "pass":
            yield f"{who}: the head restraint comes out and nothing else is behind the head"
        leg = states.get(Thing("leg", own))
        if (leg == "on-the-filler") != (outcome.get("support-leg-over-floor-box") == "caution"):
            yield f"{who}: the leg stands {leg}"


_STEPS: dict[str, Callable[[Card], tuple[str, str, State]]] = {
    "airbag-off": lambda c: ("airbag", here(c), "off"),
    "airbag-off-or-none": lambda c: ("airbag", here(c), "off-or-none"),
    "airbag-before-a-child": lambda c: ("seat", here(c), Forward(0, stays=True)),
    "set-seat-ahead": lambda c: ("seat", str(c.values["ahead"]), Forward(mm(c, "stands"))),
    "set-own-seat": lambda c: ("seat", here(c), Forward(mm(c, "slid"))),
    "slide-own-row": lambda c: ("seat", f"row {c.placement.row.row}", Forward(mm(c, "slid"))),
    "head-restraint-taken-out": lambda c: ("head-restraint", here(c), "taken-out"),
    "head-restraint-left-in": lambda c: ("head-restraint", here(c), "left-in"),
    "handle-upright": lambda c: ("handle", held(c), "upright"),
    "handle-folded": lambda c: ("handle", held(c), "folded"),
    "head-restraint-clear": lambda c: ("head-restraint", here(c), "clear"),
    "head-restraint-raised": lambda c: ("head-restraint", here(c), "raised"),
    "head-restraint-behind-the-head": lambda c: ("head-restraint", here(c), "behind-the-head"),
    "connectors-flexible": lambda c: ("connectors", held(c), Joined(" ".join(c.placement.bars))),
    "connectors-rigid": lambda c: ("connectors", held(c), Joined(" ".join(c.placement.bars))),
    "booster-connectors": lambda c: ("connectors", held(c), Joined(" ".join(c.placement.bars))),
    "connectors-stowed": lambda c: ("connectors", held(c), "stowed"),
    "retractor-left-free": lambda c: ("belt", here(c), "lock-off"),
    "lock-off-left-open": lambda c: ("belt", here(c), "locked"),
    "locking-clip": lambda c: ("belt", here(c), "locking-clip"),
    "lock-off": lambda c: ("belt", here(c), "lock-off"),
    "switch-retractor": lambda c: ("belt", here(c), "retractor-locked"),
    "lock-belt": lambda c: ("belt", here(c), "locked"),
    "lap-part": lambda c: ("belt", here(c), "round-the-rider"),
    "support-leg": lambda c: ("leg", held(c), "on-the-floor"),
    "support-leg-on-filler": lambda c: ("leg", held(c), "on-the-filler"),
    "tether": lambda c: ("tether-strap", held(c), Joined(str(c.values["tether"]))),
    "tether-tightened": lambda c: ("tether-strap", held(c), Joined(str(c.values["tether"]))),
    "vest-tether": lambda c: ("tether-strap", held(c), Joined(str(c.values["tether"]))),
    "tether-stowed": lambda c: ("tether-strap", held(c), "stowed"),
}


def here(card: Card) -> str:
    return card.placement.position.position


def held(card: Card) -> str:
    assert card.placement.restraint is not None
    return card.placement.restraint.restraint


def mm(card: Card, name: str) -> int:
    return int(card.values[name].value)


def on_the_sheet(card: Card, arrangement: Arrangement) -> Iterator[tuple[Thing, State]]:
    """What the steps of a card order, read from the steps themselves."""
    for stage in card.stages:
        for step in stage.steps:
            if step.step in _STEPS:
                kind, of, state = _STEPS[step.step](card)
                yield Thing(kind, seat_of(of, arrangement.ahead) if kind == "seat" else of), state  # type: ignore[arg-type]
            elif step.step in ("recline-setting", "recline-one-setting"):
                packing = card.values["packed"].value if any(s.step == "packing" for s in stage.steps) else 0
                yield Thing("recline", held(card)), Leaning(float(card.values["setting"].value), int(packing))


def problems_of(solved: Plan, seen: Counter[str], most: int) -> Iterator[str]:
    world = world_of(solved)
    for arrangement in solved.arrangements[:most]:
        found = orders(arrangement, world)
        seen.update(f"{order.thing.kind} {order.state if isinstance(order.state, str) else ''}" for order in found)
        seen.update("kept" for order in found if order.state == Forward(0, stays=True))
        yield from two_states(found)
        yield from against_a_finding(found, arrangement, world)
        states = {order.thing: order.state for order in found}
        for card in cards(solved, arrangement, picture(solved, arrangement)):
            for thing, state in on_the_sheet(card, arrangement):
                seen["on the sheet"] += 1
                if states.get(thing) != state:
                    yield f"{card.placement.rider.rider}: the sheet says {thing} {state}, ordered {states.get(thing)}"


def solved_of(trip: Trip, most: int) -> Plan:
    return plan(trip, load_profile(trip.rules), DAY, top=most)


@pytest.mark.parametrize("seeds", _SEEDS, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_no_random_trip_orders_two_states_of_one_thing(seeds: range) -> None:
    seen: Counter[str] = Counter()
    for seed in seeds:
        solved = solved_of(random_trip(Random(seed)), MOST)
        assert list(problems_of(solved, seen, MOST)) == [], seed
    assert seen["on the sheet"] > 20


@pytest.mark.parametrize("name", names("trip"))
def test_no_bundled_trip_orders_two_states_of_one_thing(name: str) -> None:
    assert list(problems_of(solved_of(load_trip(name), MOST_BUNDLED), Counter(), MOST_BUNDLED)) == []


def test_the_trips_order_something_of_everything() -> None:
    """Trips that ordered nothing of a kind would prove nothing of it."""
    seen: Counter[str] = Counter()
    for seed in range(60):
        list(problems_of(solved_of(random_trip(Random(seed)), 8), seen, 8))
    for name in names("trip"):
        list(problems_of(solved_of(load_trip(name), 4), seen, 4))
    wanted = ("seat ", "kept", "recline ", "head-restraint clear", "head-restraint behind-the-head",
              "tether-strap ", "tether-strap stowed", "connectors ", "connectors stowed", "leg on-the-floor",
              "belt lock-off", "belt round-the-rider", "airbag off", "bar ", "buckle ")
    assert {what: seen[what] for what in wanted if not seen[what]} == {}


def test_every_step_that_a_state_calls_for_is_read() -> None:
    """A step whose tag is a state of a thing is in the table above."""
    kinds = ("airbag", "head-restraint", "tether-strap", "connectors", "leg", "belt", "handle")
    by_state = {step.step for stage in stages() for step in stage.steps
                if any(tag.startswith(f"{kind}-") and tag != "handle-not-noted" for tag in step.when for kind in kinds)}
    assert by_state <= set(_STEPS)
    assert len(by_state) >= 12


def test_a_head_restraint_stays_in_where_nothing_else_is_known_to_be_behind_the_head() -> None:
    """Where ears or shell were not measured, the vehicle's own head restraint may be all there is."""
    solved = solved_of(load_trip("three-across-school-run"), 30)
    seat = next(seat for a in solved.arrangements for seat in a.seats
                if any(f.rule == "ears-above-shell-top" for f in seat.cell.findings))
    head = HeadRestraint(removable=True)
    position = seat.placement.position.model_copy(update={"head_restraint": head})
    for outcome, state in (("pass", "clear"), ("unmeasured", "raised")):
        told = tuple(replace(f, outcome=outcome) if f.rule == "ears-above-shell-top" else f for f in seat.cell.findings)
        cell = copy(seat.cell)
        cell.placement, cell._told = replace(seat.placement, position=position), told
        states = {o.thing: o.state for o in orders_for(seat._replace(cell=cell), world_of(solved))}
        assert states[Thing("head-restraint", position.position)] == state


def test_what_the_instructions_ask_of_head_restraint_and_handle_is_ordered() -> None:
    """Whatever else speaks of the head restraint."""
    solved = solved_of(load_trip("three-across-school-run"), 30)
    seat = next(seat for a in solved.arrangements for seat in a.seats
                if any(f.rule == "ears-above-shell-top" for f in seat.cell.findings))
    p = seat.placement
    assert p.installation is not None
    assert p.mode is not None
    assert p.restraint is not None
    position = p.position.model_copy(update={"head_restraint": HeadRestraint(removable=True)})
    for asked, state in (("taken-out", "taken-out"), ("left-in", "left-in"), ("either", "clear")):
        cell = copy(seat.cell)
        cell.placement = replace(
            p, position=position, mode=p.mode.model_copy(update={"handle": "upright"}),
            installation=p.installation.model_copy(update={"vehicle_head_restraint": asked}))
        cell._told = tuple(replace(f, outcome="pass") if f.rule == "ears-above-shell-top" else f
                           for f in seat.cell.findings)
        states = {o.thing: o.state for o in orders_for(seat._replace(cell=cell), world_of(solved))}
        assert states[Thing("head-restraint", position.position)] == state
        assert states[Thing("handle", p.restraint.restraint)] == "upright"


def test_what_is_wrong_is_noticed() -> None:
    """The reader sees two states, and a seat that comes forward before an airbag."""
    one = Order(Thing("seat", "1R"), Forward(68))
    assert two_states((one, Order(Thing("seat", "1R"), Forward(0, stays=True), "Kit")))
    assert not two_states((one, one))
    solved = solved_of(load_trip("twins-small-hatch"), 60)
    world = world_of(solved)
    kept = next(a for a in solved.arrangements
                if any(order.state == Forward(0, stays=True) for order in orders(a, world)))
    moved = tuple(replace(order, state=Forward(68)) if order.state == Forward(0, stays=True) else order
                  for order in orders(kept, world))
    assert "before an airbag" in " ".join(against_a_finding(moved, kept, world))
