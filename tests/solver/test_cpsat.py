"""The planner against OR-Tools CP-SAT, given the same trips as a model of its own.

A bool per placement; one placement a rider; positions, bars and tether anchors once, a kind of restraint as often as
there are copies; the middle of each
body is a whole number of half-millimetres, and two bodies keep their inequalities where both placements are chosen;
each seat ahead stands a whole number of mm forward. It knows no tolerance, so it may miss close ones.
"""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest
from inequalities import LEFT_DOOR, Need, needs_of, unlisted_driver
from lengthwise_slow import need_of, stopped_by_airbag
from likes import copies_of
from ortools.sat.python import cp_model
from places import held_at, uses
from slow import Option, Seating, SlowSolver
from solved import DAY, seatings_of, whole_plan
from straps import clash
from worlds import random_trip

from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.model import Row, Trip
from seatplan.rules import footprints
from seatplan.rules.load import load_profile
from seatplan.rules.subjects import Pair, Placement
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.results import Plan

_FAR = 30_000
_Key = tuple[str, str | None, str]


class Model:
    """One trip as a CP-SAT model; ``seatings()`` finds valid seatings, one solve each."""

    def __init__(self, trip: Trip) -> None:
        self.solver = SlowSolver(trip, load_profile(trip.rules), DAY)
        self.trip, self.model = trip, cp_model.CpModel()
        self.places = {name: self.model.new_int_var(-_FAR, _FAR, name)
                       for name in (*(rider.rider for rider in trip.riders), "the driver")}
        self.chosen: list[tuple[Option, cp_model.IntVar]] = []
        self.choices: list[list[tuple[_Key, cp_model.IntVar]]] = []
        for rider in trip.riders:
            own = []
            for key, options in self.solver.choices(rider):
                if key[1] is not None and self.solver.kinds[key[1]] != key[1]:
                    continue                               # a copy: its kind has as many users as there are copies
                ways = [(option, self.model.new_bool_var("")) for option in options if not option.blocked]
                if ways:
                    taken = self.model.new_bool_var("")
                    self.model.add(sum(way for _, way in ways) == taken)
                    own.append((key, taken))
                    self.chosen += ways
            self.model.add_exactly_one(taken for _, taken in own)
            self.choices.append(own)
        self._once()
        self._straps()
        self._empty()
        self._side_by_side()
        self._along_the_car()
        self._together()

    def _once(self) -> None:
        users: dict[tuple[str, object], list[cp_model.IntVar]] = {}
        for option, way in self.chosen:
            p = option.placement
            things: list[tuple[str, object]] = [("position", at) for at in uses(p)]
            things += [("restraint", self.solver.kinds[p.restraint.restraint])] if p.restraint else []
            things += [("bar", (p.row.row, bar)) for bar in p.bars]
            for thing in things:
                users.setdefault(thing, []).append(way)
        for (what, thing), ways in users.items():
            if what == "restraint":
                self.model.add(sum(ways) <= copies_of(self.solver.kinds, str(thing)))
            else:
                self.model.add_at_most_one(ways)

    def _straps(self) -> None:
        """Two straps that would clash at an anchor or a loop are not both hooked."""
        hooked: dict[tuple[int, str], list[tuple[Row, cp_model.IntVar]]] = {}
        for option, way in self.chosen:
            if option.placement.tether is not None:
                hooked.setdefault((option.placement.row.row, option.placement.tether), []).append(
                    (option.placement.row, way))
        for (row, one), ways in hooked.items():
            if clash(ways[0][0], one, one):
                self.model.add_at_most_one(way for _, way in ways)
            for (other_row, other), others in hooked.items():
                if other_row == row and one < other and clash(ways[0][0], one, other):
                    for _, a in ways:
                        for _, b in others:
                            self.model.add_at_most_one((a, b))

    def _empty(self) -> None:
        """What somebody needs empty nobody uses, the driver of the trip neither."""
        for option, way in self.chosen:
            beside = footprints.footprint(option.placement)
            if self.solver.world.unlisted_driver() and self.trip.drives in beside.takes | beside.empties:
                self.model.add(way == 0)
            for other, there in self.chosen if beside.empties else ():
                if other.placement.rider is not option.placement.rider and uses(other.placement) & beside.empties:
                    self.model.add_bool_or(~way, ~there)

    def _side_by_side(self) -> None:
        for option, way in self.chosen:
            row = option.placement.row
            for need in needs_of(row, self.solver.bodies(row, [option.placement]), self.solver.play):
                self._keep(need, way)
        for (one, a), (other, b) in combinations(self.chosen, 2):
            left, right = one.placement, other.placement
            if left.row is not right.row or left.rider is right.rider or left.position is right.position:
                continue
            order = [position.position for position in left.row.positions]
            if order.index(left.position.position) > order.index(right.position.position):
                left, right = right, left
            if any(f.outcome == "block" and f.rule != "restraint-wanted-twice"
                   for f in self.solver.runner.pair(Pair(left, right))):
                self.model.add_bool_or(~a, ~b)
                continue
            for need in self._between(left.row, [left, right]):
                self._keep(need, a, b)

    def _between(self, row: Row, pair: list[Placement]) -> list[Need]:
        """What two bodies ask of each other, the most for each direction."""
        bodies = self.solver.bodies(row, pair)
        driver = unlisted_driver(self.trip, row, self.solver.people, self.solver.play)
        bodies = [body for body in bodies if driver is None or body.rider != driver.rider]
        most: dict[tuple[str, str], Need] = {}
        for need in needs_of(row, bodies, self.solver.play):
            key = (need.start, need.end)
            if key not in most or need.need > most[key].need:
                most[key] = need
        return list(most.values())

    def _keep(self, need: Need, *ways: cp_model.IntVar) -> None:
        start = 0 if need.start == LEFT_DOOR else self.places[need.start]
        end = 0 if need.end == LEFT_DOOR else self.places[need.end]
        self.model.add(end - start >= need.need).only_enforce_if(*ways)

    def _along_the_car(self) -> None:
        """Each movable seat or row stands a whole number of mm forward; whoever sits behind has the room there."""
        along = self.solver.lengthwise
        front = self.model.new_constant(0)
        movers = {key: self.model.new_int_var(0, travel + along.beyond.get(key, 0), key)
                  for key, travel in along.travel.items()}
        for option, way in self.chosen:
            seat = option.placement.position.position      # beyond use nobody sits in it
            if seat in along.beyond:
                self.model.add(movers[seat] <= along.travel[seat]).only_enforce_if(way)
        first = [position.position for position in self.trip.vehicle.rows[0].positions]
        for key, mover in movers.items():
            for seat, given in self.trip.front.items():
                told = key == seat or seat in first or seat in self.trip.front
                if along.moves_with(seat) != key or not told or given.forward_at_most is None:
                    continue
                if seat == self.trip.drives:
                    self.model.add(mover <= given.forward_at_most)
                for option, way in self.chosen:
                    if option.placement.position.position == seat:
                        self.model.add(mover <= given.forward_at_most).only_enforce_if(way)
        for option, way in self.chosen:
            p = option.placement
            if stopped_by_airbag(p, self.solver.world) and along.moves_with(p.position.position) in movers:
                self.model.add(movers[along.moves_with(p.position.position)] == 0).only_enforce_if(way)
            need = known = need_of(p, self.solver.world)
            need = None if known is None else known[0]
            if need is None or p.position.ahead is None:
                continue
            seat = p.position.ahead.seat               # None: what stands ahead does not move
            ahead = front if seat is None else movers.get(along.moves_with(seat), front)
            own = movers.get(along.moves_with(p.position.position), front)
            braced = p.mode is not None and p.mode.touch_ahead == "must"
            if braced or need > -along.travel.get(along.moves_with(p.position.position), 0):
                self.model.add(ahead - own >= need).only_enforce_if(way)
            if braced:
                self.model.add(ahead - own <= need).only_enforce_if(way)

    def _together(self) -> None:
        """Must-wishes of two riders: whoever sits somewhere has the other beside."""
        for wish in self.trip.wishes:
            if wish.together and wish.must:
                for one, other in zip(wish.together, wish.together[1:], strict=False):
                    seats = [(o.placement, way) for o, way in self.chosen]
                    for p, way in seats:
                        if p.rider.rider == one:
                            beside = [w for q, w in seats if q.rider.rider == other and _adjacent(p, q)]
                            self.model.add_bool_or(~way, *beside)

    def seatings(self, most: int) -> set[Seating]:
        found: set[Seating] = set()
        search = cp_model.CpSolver()
        search.parameters.num_workers = 1
        while all(self.choices) and len(found) < most:
            status = search.solve(self.model)
            if status == cp_model.INFEASIBLE:
                break
            assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
            taken = [next(pair for pair in own if search.boolean_value(pair[1])) for own in self.choices]
            found.add(tuple(key for key, _ in taken))
            self.model.add_bool_or(~lit for _, lit in taken)
        return found


def _adjacent(one: Placement, other: Placement) -> bool:
    order = [position.position for position in one.row.positions]
    return one.row is other.row and any(abs(order.index(a) - order.index(b)) == 1
                                        for a in held_at(one) for b in held_at(other))


@pytest.mark.parametrize("seeds", [range(1000 + start, 1010 + start) for start in range(0, 100, 10)],
                         ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_same_seatings(seeds: range) -> None:
    for seed in seeds:
        trip = random_trip(Random(seed))
        same(whole_plan(trip), 25)


# the nine-seater has half a million: the benchmarks count them all, in a model that needs no solve for each
@pytest.mark.parametrize("name", [name for name in names("trip") if name != "nine-seat-shuttle"])
def test_same_seatings_of_a_bundled_trip(name: str) -> None:
    trip = load_trip(name)
    same(plan(trip, load_profile(trip.rules), DAY, top=2000), 60)


def same(solved: Plan, most: int) -> None:
    """Both find the same; where there are too many for one solve each, the first ones are among ours. Ours may also
    hold close ones, which lack no more than tape and estimates can be off."""
    enough = [a for a in solved.arrangements
              if all(shown.spare_mm is None or shown.spare_mm >= 0 for shown in (*a.rows, *filter(None, [a.ahead])))]
    found = Model(solved.trip).seatings(most)
    assert found <= set(seatings_of(solved))
    assert len(found) >= min(most, len(enough))
