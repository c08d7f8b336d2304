"""A second model of a day's plan for CP-SAT, made of what the data mean and of no code of the plan: for each vehicle
an order of bookings, for each booking and piece whether it is aboard, and for each stay of a piece an interval that
takes a copy. There are no loads to choose from, no like vehicles, no states and no flow.

``least`` tells what the best plan comes to, goal after goal: unserved, below the floor, pieces taken out and put in,
minutes empty, the largest share of a depot.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date

from ortools.sat.python import cp_model

from seatplan.fleet.records import Booking, CopyUnit, Day, Load, Piece, VehicleUnit, Way

#: before and after every minute of a day
BEGIN, END = -9_999, 99_999


class Unproven(AssertionError):
    """The model did not come to its optimum in the time that it had."""


#: by booking, the vehicle, the way and the load of a plan
Before = Mapping[str, tuple[str, Way, Load]]


def least(day: Day, seconds: float = 60, before: Before | None = None) -> tuple[int, ...]:
    """What the best plan comes to, proven. ``before``: a plan that is made again; how many of the bookings in it go
    another way comes after those below the floor. Unproven where ``seconds`` are not enough for a goal."""
    return Second(day).least(seconds, before)


def needs(way: Way) -> frozenset[Piece]:
    """The pieces that a way puts in: kind, position, what holds it."""
    return frozenset((seat.kind, seat.position, seat.by or "") for seat in way.seats if seat.kind is not None)


def sure(way: Way) -> bool:
    return (way.verdict == "fits" or (way.verdict == "close" and way.held)
            or (way.verdict == "likely" and way.bodies_only))


def runs_out(copy: CopyUnit, day: Day) -> int:
    """The minute at which the last day of a copy is over."""
    if not copy.last:
        return END
    return ((date.fromisoformat(copy.last) - date.fromisoformat(day.date)).days + 1) * 24 * 60


class Second:
    """One day as booleans and intervals. ``rides``: by vehicle and booking, each way with its boolean; ``aboard``: by
    vehicle, booking and piece."""

    def __init__(self, day: Day) -> None:
        self.day = day
        self.model = cp_model.CpModel()
        over = max((one.end for one in day.bookings), default=0)
        # one that runs out before the last booking is over counts for nothing all day
        self.copies = [copy for copy in day.copies if copy.usable and runs_out(copy, day) >= over]
        self.floors = [self.floor(one) for one in day.bookings]
        self.rides: dict[tuple[int, int], list[tuple[Way, cp_model.IntVar]]] = {}
        self.aboard: dict[tuple[int, int, Piece], cp_model.IntVar] = {}
        self.changes: list[cp_model.LinearExprT] = []
        self.empty: list[tuple[cp_model.IntVar, int]] = []
        self.stays: defaultdict[tuple[str, str], list[cp_model.IntervalVar]] = defaultdict(list)
        self.vehicles = [Driven(self, number) for number in range(len(day.vehicles))]
        for b in range(len(day.bookings)):
            self.model.add_at_most_one(one.does[b] for one in self.vehicles if b in one.does)
        self.stock()

    def floor(self, booking: Booking):
        """The best level that any type gives with kinds of which a copy may be used, the level that counts, and those
        kinds; None: nothing serves."""
        kinds = {copy.kind for copy in self.day.copies if copy.usable and (copy.since or BEGIN) <= booking.start
                 and booking.end <= runs_out(copy, self.day)}
        levels = [way.level for unit in self.day.vehicles for way in self.told(unit, booking)
                  if all(kind in kinds for kind, _ in way.kit)]
        if not levels:
            return None
        return min(levels), max([min(levels), *(one.level for one in self.day.accepted if one.booking == booking.key)]
                                ), kinds

    def told(self, unit: VehicleUnit, booking: Booking) -> list[Way]:
        answer = self.day.answers.get((unit.vehicle_type, booking.party))
        return [] if answer is None else [way for way in answer.ways if sure(way)]

    def may(self, unit: VehicleUnit, number: int) -> list[Way]:
        """The ways in which a vehicle may carry a booking."""
        floor = self.floors[number]
        return [] if floor is None else [
            way for way in self.told(unit, self.day.bookings[number])
            if way.level <= floor[1] and all(kind in floor[2] for kind, _ in way.kit)]

    def stock(self) -> None:
        """At no minute more pieces are in vehicles than there are copies; one in quarantine is taken until it ends."""
        for (depot, kind), stays in self.stays.items():
            there = [copy for copy in self.copies if (copy.depot, copy.kind) == (depot, kind)]
            shut = [self.model.new_fixed_size_interval_var(BEGIN, copy.since - BEGIN, "") for copy in there
                    if copy.since is not None]
            self.model.add_cumulative([*stays, *shut], [1] * (len(stays) + len(shut)), len(there))

    # --- goals

    def goals(self) -> list[cp_model.LinearExprT]:
        done = [does for one in self.vehicles for does in one.does.values()]
        below = [ride for (_, b), told in self.rides.items() for way, ride in told if way.level > self.floors[b][0]]
        return [len(self.day.bookings) - sum(done), sum(below), sum(self.changes),
                sum(took * minutes for took, minutes in self.empty), self.share()]

    def differs(self, before: Before) -> cp_model.LinearExprT:
        """How many bookings go, and not as before: by vehicle, way and all that is aboard."""
        told: list[cp_model.LinearExprT] = []
        for vehicle in self.vehicles:
            for b, does in vehicle.does.items():
                key, way, load = before.get(self.day.bookings[b].key, ("", None, ()))
                if not key:
                    continue
                ride = next((one for other, one in self.rides[vehicle.number, b] if other == way), None)
                if key != vehicle.unit.key or ride is None or not set(load) <= set(vehicle.pieces):
                    told.append(does)
                    continue
                same = self.model.new_bool_var("")
                self.model.add_implication(same, ride)
                for piece in vehicle.pieces:
                    self.model.add(self.aboard[vehicle.number, b, piece] == (piece in load)).only_enforce_if(same)
                told.append(does - same)
        return sum(told)

    def share(self) -> cp_model.IntVar:
        """Bookings for each vehicle of a depot, in thousandths, rounded up: the largest of all depots."""
        most = self.model.new_int_var(0, 1000 * len(self.day.bookings), "share")
        for depot in {unit.depot for unit in self.day.vehicles}:
            here = [one for one in self.vehicles if one.unit.depot == depot]
            self.model.add(most * len(here) >= 1000 * sum(does for one in here for does in one.does.values()))
        return most

    def least(self, seconds: float, before: Before | None = None) -> tuple[int, ...]:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = seconds
        told = []
        goals = self.goals()
        for goal in goals if before is None else [*goals[:2], self.differs(before), *goals[2:]]:
            self.model.minimize(goal)
            status = solver.solve(self.model)
            if status != cp_model.OPTIMAL:
                raise Unproven(solver.status_name(status))
            told.append(round(solver.objective_value))
            self.model.add(goal <= told[-1])
            self.model.clear_hints()
            for number in range(len(self.model.proto.variables)):
                var = self.model.get_int_var_from_proto_index(number)
                self.model.add_hint(var, solver.value(var))
        return tuple(told)


class Driven:
    """What one vehicle may do. By booking: ``does``; when what is put in for it is taken (``taken``) and when what is
    taken out after it is free (``free``), None where the way to or from the depot is not known. By booking and piece:
    ``aboard``; ``keep``: it was in before and stayed; ``drop``: it is taken out at the depot after the booking. By what
    is installed when the day begins: ``stay``, until the first booking or, where there is none, all day."""

    def __init__(self, plan: Second, number: int) -> None:
        self.plan, self.model, self.day, self.unit = plan, plan.model, plan.day, plan.day.vehicles[number]
        self.number = number
        self.does: dict[int, cp_model.IntVar] = {}
        self.taken: dict[int, cp_model.LinearExprT | None] = {}
        self.free: dict[int, cp_model.LinearExprT | None] = {}
        self.aboard: dict[tuple[int, Piece], cp_model.IntVar] = {}
        self.keep: dict[tuple[int, Piece], cp_model.IntVar] = {}
        self.drop: dict[tuple[int, Piece], cp_model.IntVar] = {}
        self.nobody = self.unit.depot in self.day.nobody_installs
        self.good = {piece for piece in self.unit.installed
                     if any(copy.since is None for copy in self.copies_of(piece))}
        self.idle = self.bool()
        self.stay = {piece: self.bool() for piece in self.unit.installed}
        self.arcs = [(0, 0, self.idle)]
        self.begin()
        ways = {b: plan.may(self.unit, b) for b in range(len(self.day.bookings))}
        self.pieces = sorted({piece for told in ways.values() for way in told for piece in needs(way)}
                             | set(self.unit.installed))
        for b, told in ways.items():
            if told:
                self.booking(b, told)
        self.begins = {at: self.model.new_int_var(BEGIN, END, "") for at in self.aboard}
        self.ends = {at: self.model.new_int_var(BEGIN, END, "") for at in self.aboard}
        for b in self.does:
            self.arcs.append((b + 1, b + 1, ~self.does[b]))
            self.first(b)
            self.last(b)
            for c in self.does:
                self.straight(b, c)
                self.by_depot(b, c)
        if self.does:
            self.model.add_circuit(self.arcs)
        else:
            self.model.add(self.idle == 1)
        for b, piece in self.aboard:
            self.stays_in(b, piece)

    def bool(self) -> cp_model.IntVar:
        return self.model.new_bool_var("")

    def copies_of(self, piece: Piece) -> list[CopyUnit]:
        """The copy that a piece is which is installed when the day begins."""
        return [copy for copy in self.plan.copies
                if (copy.vehicle, copy.kind, copy.position) == (self.unit.key, *piece[:2])]

    def known(self, piece: Piece, way: int) -> bool:
        """Whether somebody may put a piece in (0) or take it out (1)."""
        return not self.nobody and piece[2] in self.day.holding

    def minutes(self, piece: Piece, way: int) -> int:
        return self.day.holding[piece[2]][way] if piece[2] in self.day.holding else 0

    # --- pieces

    def begin(self) -> None:
        """What is installed: it comes out at the depot or stays; what may not be used comes out before the first
        booking."""
        for piece, stays in self.stay.items():
            if not self.known(piece, 1):
                self.model.add(stays == 1)
            if piece not in self.good:
                self.model.add_implication(stays, self.idle)
        self.plan.changes += [1 - stays for stays in self.stay.values()]
        self.came_out = sum(self.minutes(piece, 1) * (1 - stays) for piece, stays in self.stay.items())
        for piece in self.stay:
            for copy in self.copies_of(piece):
                self.at_first(piece, BEGIN if copy.since is None else copy.since)

    def at_first(self, piece: Piece, since: int) -> None:
        """What is installed takes its copy: all day where the vehicle stays and it too; where it comes out, until then.
        What is kept for the first booking stays as what is aboard for that."""
        here, rests, model = self.plan.stays[self.unit.depot, piece[0]], self.bool(), self.model
        model.add(rests >= self.stay[piece] + self.idle - 1)
        here.append(model.new_optional_fixed_size_interval_var(since, END - since, rests, ""))
        if self.unit.since is not None:
            size, end = (model.new_int_var(0, END - BEGIN, "") for _ in range(2))
            model.add_max_equality(end, [since, self.unit.since + self.came_out])
            here.append(model.new_optional_interval_var(since, size, end, ~self.stay[piece], ""))

    def booking(self, b: int, ways: Iterable[Way]) -> None:
        booking, model = self.day.bookings[b], self.model
        told = self.plan.rides[self.number, b] = [(way, self.bool()) for way in ways]
        self.does[b] = self.bool()
        model.add(sum(ride for _, ride in told) == self.does[b])
        for piece in self.pieces:
            self.piece(b, piece)
            for way, ride in told:
                if piece in needs(way):
                    model.add_implication(ride, self.aboard[b, piece])
                elif not self.apart(way, piece):
                    model.add_implication(ride, ~self.aboard[b, piece])
        for one in {piece[1] for piece in self.pieces}:
            model.add_at_most_one(self.aboard[b, piece] for piece in self.pieces if piece[1] == one)
        out, back = (self.day.travel.get(pair) for pair in ((self.unit.depot, booking.origin),
                                                            (booking.goal, self.unit.depot)))
        put_in = sum(self.minutes(piece, 0) * (self.aboard[b, piece] - self.keep[b, piece]) for piece in self.pieces)
        taken_out = sum(self.minutes(piece, 1) * self.drop[b, piece] for piece in self.pieces)
        self.taken[b] = None if out is None else booking.start - out - put_in
        self.free[b] = None if back is None else booking.end + back + taken_out
        self.plan.changes += [self.aboard[b, piece] - self.keep[b, piece] + self.drop[b, piece]
                              for piece in self.pieces]

    def piece(self, b: int, piece: Piece) -> None:
        at = b, piece
        self.aboard[at], self.keep[at], self.drop[at] = self.bool(), self.bool(), self.bool()
        self.plan.aboard[self.number, b, piece] = self.aboard[at]
        self.model.add_implication(self.aboard[at], self.does[b])
        self.model.add_implication(self.keep[at], self.aboard[at])
        self.model.add_implication(self.drop[at], self.aboard[at])
        if not self.known(piece, 0):
            self.model.add(self.keep[at] == self.aboard[at])
        if not self.known(piece, 1):
            self.model.add(self.drop[at] == 0)

    def apart(self, way: Way, piece: Piece) -> bool:
        """Whether a piece that nobody uses may stay in beside those that ride in a way."""
        rows = self.day.rows.get(self.unit.vehicle_type, {})
        return piece[1] in rows and all(seat.position in rows and abs(rows[seat.position] - rows[piece[1]]) > 1
                                        for seat in way.seats)

    def stays_in(self, b: int, piece: Piece) -> None:
        """The stay of a piece for one booking: those that follow each other without a change touch."""
        at, model = (b, piece), self.model
        if self.taken[b] is not None:
            model.add(self.begins[at] == self.taken[b]).only_enforce_if(self.aboard[at], ~self.keep[at])
        if self.free[b] is not None:
            model.add(self.ends[at] == self.free[b]).only_enforce_if(self.drop[at])
        size = model.new_int_var(0, END - BEGIN, "")
        self.plan.stays[self.unit.depot, piece[0]].append(
            model.new_optional_interval_var(self.begins[at], size, self.ends[at], self.aboard[at], ""))

    # --- order

    def first(self, b: int) -> None:
        if self.taken[b] is None:
            return
        took = self.arc(0, b + 1, self.day.travel[self.unit.depot, self.day.bookings[b].origin])
        for piece in self.pieces:
            self.model.add(self.keep[b, piece] == (self.stay[piece] if piece in self.good else 0)).only_enforce_if(took)
            self.model.add(self.begins[b, piece] == BEGIN).only_enforce_if(took, self.keep[b, piece])
        if self.unit.since is not None:
            self.model.add(self.unit.since + self.came_out <= self.taken[b]).only_enforce_if(took)

    def last(self, b: int) -> None:
        booking = self.day.bookings[b]
        back = self.day.travel.get((booking.goal, self.unit.depot))
        if back is None or (self.unit.until is not None and booking.end + back > self.unit.until):
            return
        took = self.arc(b + 1, 0, back)
        for piece in self.pieces:
            self.model.add(self.ends[b, piece] == END).only_enforce_if(took, ~self.drop[b, piece])

    def straight(self, b: int, c: int) -> None:
        """From one booking to another without a visit to the depot: what is aboard stays."""
        one, other = self.day.bookings[b], self.day.bookings[c]
        minutes = self.day.travel.get((one.goal, other.origin))
        if b == c or minutes is None or one.end + minutes > other.start:
            return
        took = self.arc(b + 1, c + 1, minutes)
        for piece in self.pieces:
            for var in (self.aboard[c, piece], self.keep[c, piece]):
                self.model.add(var == self.aboard[b, piece]).only_enforce_if(took)
            self.model.add(self.drop[b, piece] == 0).only_enforce_if(took)
        self.touch(took, b, c)

    def by_depot(self, b: int, c: int) -> None:
        one, other = self.day.bookings[b], self.day.bookings[c]
        taken, free = self.taken[c], self.free[b]
        if b == c or taken is None or free is None or one.end > other.start:
            return
        took = self.arc(b + 1, c + 1, self.day.travel[one.goal, self.unit.depot]
                        + self.day.travel[self.unit.depot, other.origin])
        self.model.add(free <= taken).only_enforce_if(took)
        for piece in self.pieces:
            self.model.add(self.keep[c, piece] == self.aboard[b, piece] - self.drop[b, piece]).only_enforce_if(took)
        self.touch(took, b, c)

    def touch(self, took: cp_model.IntVar, b: int, c: int) -> None:
        for piece in self.pieces:
            for var in (self.begins[c, piece], self.ends[b, piece]):
                self.model.add(var == self.day.bookings[b].end).only_enforce_if(took, self.keep[c, piece])

    def arc(self, tail: int, head: int, empty: int) -> cp_model.IntVar:
        took = self.bool()
        self.arcs.append((tail, head, took))
        self.plan.empty.append((took, empty))
        return took
