"""The best flow through a net, by CP-SAT: one goal after the other, each kept before the next is looked at.

One search worker, a fixed seed and a limit in deterministic time, never by the clock: the same net gives the same flow,
on whatever machine. A goal that the limit cuts off is kept at the best that was found, and the flow is then not proven.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from .extras import cp_sat
from .floor import pieces
from .flow import ALWAYS, Entry, Net, Node, kinds_in, less
from .records import Load

#: deterministic time for each goal
LIMIT = 60.0
_SEED = 21
#: with more nodes than that, the first goals are looked at as one sum in a part of the net before all of it is
MANY, _SUMMED = 300, 5
#: nearly all of it is a flow, which is whole where it is linear: its LP as a whole tells most, and presolve little
_WAYS = {"linearization_level": 2, "add_lp_constraints_lazily": False, "max_presolve_iterations": 1}


class Flow(NamedTuple):
    """What of a net is done, by the places of its nodes and arcs, and how many vehicles take each source and each
    strip. ``bound``: no
    flow serves more bookings than that, beside those under way; ``values``: of the goals, in their order."""

    nodes: frozenset[int]
    direct: frozenset[int]
    enter: frozenset[int]
    leave: frozenset[int]
    source: tuple[int, ...]
    values: tuple[int, ...]
    bound: int
    proven: bool
    strip: tuple[int, ...] = ()


class Question(NamedTuple):
    """What a flow is looked for in: the net, by depot and kind the minutes from which copies count, and by depot how
    many vehicles it has and how many bookings they carry already. ``differs``: of a node, 1 where it differs from what
    was told before, None where nothing was. ``home``: of a node under way, the state in which it may come home."""

    net: Net
    stock: Mapping[tuple[str, str], Sequence[int]]
    vehicles: Mapping[str, int]
    carried: Mapping[str, int]
    differs: Callable[[Node], int] | None = None
    home: Mapping[int, Load] | None = None


def best(question: Question, limit: float = LIMIT, weighed: bool = False, goals: int | None = None) -> Flow:
    """The best flow. ``weighed``: all goals as one sum, each so heavy that nothing after it outweighs one of it:
    quicker, and without balance and ties; ``bound`` is then only how many bookings there are.
    ``goals``: only so many are looked at, of which the first is how many bookings are served (negative)."""
    return _Model(question).solved(limit, weighed, goals)


class _Model:
    """One net as constraints over whole numbers."""

    def __init__(self, question: Question) -> None:
        self.cp = cp_sat()
        self.asked = question
        self.net = net = question.net
        self.model = model = self.cp.CpModel()
        self.free = [n for n, node in enumerate(net.nodes) if node.vehicle is None]
        self.one = model.new_constant(1)
        self.nodes = [model.new_bool_var("") if node.vehicle is None else self.one for node in net.nodes]
        self.direct = [model.new_bool_var("") for _ in net.direct]
        self.enter = [model.new_bool_var("") for _ in net.enter]
        self.leave = [model.new_bool_var("") for _ in net.leave]
        self.source = [model.new_int_var(0, source.most, "") for source in net.source]
        self.strip = [model.new_int_var(0, strip.most, "") for strip in net.strip]
        self.other: list[Any] = []
        #: variables that others come to, as ``_held`` reckons them
        self.sums: list[tuple[Any, Any, list[Any], list[int]]] = []
        self.shares: list[tuple[Any, list[tuple[list[Any], int, int]]]] = []
        self._bookings()
        self._through()
        self._entries()
        self._waiting()
        for depot, kind in sorted(self._kinds()):
            self._stock(depot, kind)

    # --- constraints

    def _bookings(self) -> None:
        of: defaultdict[int, list[int]] = defaultdict(list)
        for number, node in enumerate(self.net.nodes):
            if node.vehicle is None:
                of[node.booking].append(number)
        self.of = {booking: of[booking] for booking in sorted(of)}
        for numbers in self.of.values():
            self._at_most_one([self.nodes[one] for one in numbers])

    def _at_most_one(self, terms: Sequence[Any]) -> None:
        self.model.add_at_most_one(terms)

    def _row(self, terms: Sequence[Any], factors: Sequence[int], low: int | None, high: int) -> None:
        """A sum is at least ``low`` (None: whatever) and at most ``high``."""
        told = self.cp.LinearExpr.weighted_sum(list(terms), list(factors))
        if low == high:
            self.model.add(told == high)
        elif low is None:
            self.model.add(told <= high)
        else:
            self.model.add_linear_constraint(told, low, high)

    def _through(self) -> None:
        """What comes to a node leaves it."""
        before: list[list[Any]] = [[] for _ in self.nodes]
        after: list[list[Any]] = [[] for _ in self.nodes]
        for arc, direct in zip(self.net.direct, self.direct, strict=True):
            after[arc.tail].append(direct)
            before[arc.head].append(direct)
        for enter, taken in zip(self.net.enter, self.enter, strict=True):
            after[enter.tail].append(taken)
        for leave, taken in zip(self.net.leave, self.leave, strict=True):
            before[leave.head].append(taken)
        for node, var, into, out in zip(self.net.nodes, self.nodes, before, after, strict=True):
            if node.vehicle is None:
                self._row([*into, var], [1] * len(into) + [-1], 0, 0)
            self._row([*out, var], [1] * len(out) + [-1], 0, 0)

    def _entries(self) -> None:
        of: defaultdict[int, list[Any]] = defaultdict(list)
        for source, var in zip(self.net.source, self.source, strict=True):
            of[source.entry].append(var)
        for strip, var in zip(self.net.strip, self.strip, strict=True):
            of[strip.entry].append(var)
        for entry, taken in of.items():
            self._row(taken, [1] * len(taken), None, len(self.net.entries[entry].vehicles))

    def _waiting(self) -> None:
        """In each state, nobody leaves who has not come."""
        come: defaultdict[int, list[tuple[int, Any]]] = defaultdict(list)
        gone: defaultdict[int, list[tuple[int, Any]]] = defaultdict(list)
        for source, var in zip(self.net.source, self.source, strict=True):
            come[source.state].append((source.at, var))
        for enter, var in zip(self.net.enter, self.enter, strict=True):
            come[enter.state].append((enter.at, var))
        for leave, var in zip(self.net.leave, self.leave, strict=True):
            gone[leave.state].append((leave.at, var))
        most = max(1, sum(len(entry.vehicles) for entry in self.net.entries)
                   + sum(node.vehicle is not None for node in self.net.nodes))
        for state, leaving in gone.items():
            changes = sorted([(at, 0, n, var) for n, (at, var) in enumerate(come[state])]
                             + [(at, 1, n, var) for n, (at, var) in enumerate(leaving)], key=lambda one: one[:3])
            self._chain([(at, gone_ == 1, 1 - 2 * gone_, var) for at, gone_, _, var in changes], lambda at: most)

    def _chain(self, changes: Sequence[tuple[int, bool, int, Any]], most: Callable[[int], int]) -> None:
        """A number that changes along the time and is looked at wherever ``looked`` (the second of each change) is: it
        is between 0 and ``most`` there."""
        before: Any = None
        terms: list[Any] = []
        factors: list[int] = []
        for n, (at, looked, factor, var) in enumerate(changes):
            terms.append(var)
            factors.append(factor)
            if looked and (n + 1 == len(changes) or changes[n + 1][0] > at):
                now = self.model.new_int_var(0, max(0, most(at)), "")
                self.other.append(now)
                self.sums.append((now, before, terms, factors))
                self._row([now, *([] if before is None else [before]), *terms],
                          [1, *([] if before is None else [-1]), *(-one for one in factors)], 0, 0)
                before, terms, factors = now, [], []

    def _kinds(self) -> set[tuple[str, str]]:
        """Depots and kinds that could run short: where each vehicle could have what it holds at most, none does."""
        most: dict[tuple[str, str], int] = {}
        for node in self.net.nodes:
            depot = self.net.groups[node.group].depot
            for kind, n in kinds_in(node.load).items():
                most[depot, kind] = max(n, most.get((depot, kind), 0))
        for entry in self.net.entries:
            depot = self.net.groups[entry.group].depot
            for kind, n in kinds_in(entry.load).items():
                most[depot, kind] = max(n, most.get((depot, kind), 0))
        return {key for key, n in most.items()
                if sum(one == ALWAYS for one in self.asked.stock.get(key, ())) < n * self.asked.vehicles[key[0]]}

    def _stock(self, depot: str, kind: str) -> None:
        """Copies of a kind that are away from a depot, where some are taken."""
        net = self.net
        group = [one.depot == depot for one in net.groups]
        changes = [one for number, entry in enumerate(net.entries) if group[entry.group]
                   for one in self._installed(number, entry, kind)]
        for enter, var in zip(net.enter, self.enter, strict=True):
            if group[net.nodes[enter.tail].group]:
                changes.append((enter.at, 0, -kinds_in(enter.out)[kind], var))
        for leave, var in zip(net.leave, self.leave, strict=True):
            if group[net.nodes[leave.head].group]:
                changes.append((leave.at, 1, kinds_in(leave.put)[kind], var))
        for event in net.events:
            if (event.depot, event.kind) == (depot, kind):
                changes.append((event.at, int(event.number > 0), event.number, self.one))
        times = self.asked.stock.get((depot, kind), ())
        told = sorted(((at, taken, n, factor, var) for n, (at, taken, factor, var) in enumerate(changes) if factor),
                      key=lambda one: one[:3])
        self._chain([(at, taken == 1, factor, var) for at, taken, _, factor, var in told],
                    lambda at: sum(one <= at for one in times))

    def _installed(self, number: int, entry: Entry, kind: str) -> Iterator[tuple[int, int, int, Any]]:
        """What vehicles have aboard when the day begins takes its copy until it is out; see ``Wide.parked``."""
        net = self.net
        mine = [(one, var) for one, var in zip(net.source, self.source, strict=True) if one.entry == number]
        if not net.parked and entry.since is None:
            yield from ((net.begin, 1, kinds_in(net.states[one.state][1])[kind], var) for one, var in mine)
            return
        out = [(one.at, one.out, var) for one, var in mine] + [
            (one.at, one.out, var) for one, var in zip(net.strip, self.strip, strict=True) if one.entry == number]
        for piece, since in (*((piece, net.begin) for piece in entry.load), *entry.later):
            if piece[0] == kind:
                yield since, 1, len(entry.vehicles), self.one
                yield from ((max(since, at), 0, -1, var) for at, load, var in out if piece in load)

    # --- goals

    def goals(self) -> list[Any]:
        """What is to be least, the weightiest first: bookings not served; those below their floor; those that go
        another way than was told; pieces taken out and put in; minutes empty; the largest share of a depot; and between
        equals an earlier booking before a later one, an earlier vehicle before a later one, the better way before
        another."""
        net, free = self.net, self.free
        nodes = [self.nodes[n] for n in free]
        differs = self.asked.differs
        told = [self._weighed(nodes, [-1] * len(nodes)),
                self._weighed(nodes, [int(net.nodes[n].choice.below) for n in free]),
                self._weighed(nodes, [0 if differs is None else differs(net.nodes[n]) for n in free])]
        source = [(var, len(one.out), 0) for one, var in zip(net.source, self.source, strict=True)]
        strip = [(var, len(one.out), 0) for one, var in zip(net.strip, self.strip, strict=True)]
        enter = [(var, len(one.out), one.empty) for one, var in zip(net.enter, self.enter, strict=True)]
        leave = [(var, len(one.put), one.empty) for one, var in zip(net.leave, self.leave, strict=True)]
        direct = [(var, 0, one.empty) for one, var in zip(net.direct, self.direct, strict=True)]
        arcs = [*source, *strip, *enter, *leave, *direct]
        told.append(self._weighed([one[0] for one in arcs], [one[1] for one in arcs]))
        told.append(self._weighed([one[0] for one in arcs], [one[2] for one in arcs]))
        return told

    def _weighed(self, terms: Sequence[Any], factors: Sequence[int]) -> tuple[list[Any], list[int]]:
        kept = [(var, factor) for var, factor in zip(terms, factors, strict=True) if factor]
        return [var for var, _ in kept], [factor for _, factor in kept]

    def _balance(self) -> tuple[list[Any], list[int]]:
        carried: defaultdict[str, list[Any]] = defaultdict(list)
        for node, var in zip(self.net.nodes, self.nodes, strict=True):
            if node.vehicle is None:
                carried[self.net.groups[node.group].depot].append(var)
        shares = [(terms, self.asked.carried.get(depot, 0), self.asked.vehicles[depot])
                  for depot, terms in sorted(carried.items())]
        # a share is one of few numbers: said so, what lies between two of them need not be ruled out
        told = {_share(n, vehicles) for _, already, vehicles in shares
                for n in range(already, already + len(self.of) + 1)}
        share = self.model.new_int_var_from_domain(self.cp.Domain.from_values(sorted({0, *told})), "")
        self.other.append(share)
        self.shares.append((share, shares))
        for terms, already, vehicles in shares:
            self.model.add(share * vehicles >= 1000 * (_sum(self.cp, terms) + already))
        return [share], [1]

    def _ties(self) -> tuple[list[Any], list[int]]:
        terms, factors = [], []
        for place, numbers in enumerate(self.of.values()):
            for rank, number in enumerate(numbers):
                terms.append(self.nodes[number])
                factors.append((rank - len(numbers) - 1) * (len(self.of) - place))
        return terms, factors

    # --- solving

    def solved(self, limit: float, weighed: bool, most: int | None) -> Flow:
        goals = self.goals()
        goals = [self._one(goals)] if weighed else [*goals, self._balance(), self._ties()][:most]
        held = self._held(self._nobody_moves())
        if len(self.free) > MANY:
            held = self._thin(limit, *self._one(goals[:_SUMMED]), held)
        values, bound, proven = [], len(self.of), True
        for number, (terms, factors) in enumerate(goals):
            value = _sum_of(held, terms, factors)
            if weighed or value > self._least(number, terms, factors):
                solver, held, best_ = self._solved(limit, terms, factors, held)
                value = _sum_of(held, terms, factors)
                proven = proven and best_
                if number == 0 and not weighed:
                    bound = min(bound, int(-solver.best_objective_bound + 1e-6))
            values.append(value)
            if terms:
                self.model.add(self.cp.LinearExpr.weighted_sum(terms, factors) <= value)
        return self._flow(held, tuple(values), bound, proven)

    def _least(self, goal: int, terms: Sequence[Any], factors: Sequence[int]) -> int:
        """A goal is never less: what has come to that needs no looking."""
        return -len(self.of) if goal == 0 else min((0, *factors)) * len(terms)

    def _solved(self, limit: float, terms: Sequence[Any], factors: Sequence[int],
                held: Mapping[int, int], model: Any = None) -> tuple[Any, dict[int, int], bool]:
        """The least of a goal, from a flow that is known; whether nothing less is there. ``model``: a narrower one."""
        model, solver = model or self.model, self._solver(limit)
        self._begin(model, held)
        model.minimize(self.cp.LinearExpr.weighted_sum(terms, factors))
        status = solver.solve(model)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            raise AssertionError(f"a flow that does nothing is always there, and none was found: {status}")
        return solver, self._found(solver), status == self.cp.OPTIMAL

    def _solver(self, limit: float) -> Any:
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = _SEED
        solver.parameters.max_deterministic_time = limit
        for name, value in _WAYS.items():
            setattr(solver.parameters, name, value)
        return solver

    def _begin(self, model: Any, held: Mapping[int, int]) -> None:
        """Where CP-SAT begins."""
        model.clear_hints()
        for var in self._variables():
            model.add_hint(var, held[var.index])

    def _found(self, solver: Any) -> dict[int, int]:
        return {var.index: solver.value(var) for var in (self.one, *self._variables())}

    def _one(self, goals: Sequence[tuple[list[Any], list[int]]]) -> tuple[list[Any], list[int]]:
        """All goals as one: each weighs more than all after it can come to."""
        weight, sums = 1, []
        for terms, factors in reversed(goals):
            sums.append((terms, [factor * weight for factor in factors]))
            weight *= 1 + self._most(terms, factors)
        return [var for terms, _ in sums for var in terms], [one for _, factors in sums for one in factors]

    def _most(self, terms: Sequence[Any], factors: Sequence[int]) -> int:
        """More than a goal can come to: no booking takes more than its dearest way in and way out."""
        return 4 * max((abs(one) for one in factors), default=0) * (
            len(self.of) + len(self.nodes) - len(self.free) + 1)

    def _variables(self) -> list[Any]:
        return [*(self.nodes[n] for n in self.free), *self.direct, *self.enter, *self.leave, *self.source, *self.strip,
                *self.other]

    # --- what is done to begin with

    def _nobody_moves(self) -> list[tuple[Any, int]]:
        """What is done where nobody moves, and who is under way comes home."""
        home = {}
        for number, enter in enumerate(self.net.enter):
            node, state = self.net.nodes[enter.tail], self.net.states[enter.state][1]
            if node.vehicle is not None and state == (self.asked.home or {}).get(enter.tail, node.load):
                home[enter.tail] = number
        return [(self.enter[number], 1) for number in home.values()]

    def _thin(self, limit: float, terms: Sequence[Any], factors: Sequence[int],
              held: Mapping[int, int]) -> dict[int, int]:
        """A good flow in which nothing stays in beside riders but what another booking or a vehicle has as a whole."""
        known = {pieces(node.choice.way) for node in self.net.nodes} | {entry.load for entry in self.net.entries} | {()}
        model = self.model.clone()
        for n in self.free:
            node = self.net.nodes[n]
            if node.load not in known and less(node.load, pieces(node.choice.way)) not in known:
                model.proto.variables[self.nodes[n].index].domain[1] = 0
        return self._solved(limit, terms, factors, held, model)[1]

    def _held(self, done: Iterable[tuple[Any, int]]) -> dict[int, int]:
        """Every variable where just that is done."""
        held = dict.fromkeys((var.index for var in self._variables()), 0)
        held[self.one.index] = 1
        held |= {var.index: n for var, n in done}
        for now, before, terms, factors in self.sums:
            held[now.index] = (0 if before is None else held[before.index]) + _sum_of(held, terms, factors)
        for share, shares in self.shares:
            held[share.index] = max((_share(_sum_of(held, terms, [1] * len(terms)) + n, vehicles)
                                     for terms, n, vehicles in shares), default=0)
        return held

    def _flow(self, held: Mapping[int, int], values: tuple[int, ...], bound: int, proven: bool) -> Flow:
        def chosen(variables: Iterable[Any]) -> frozenset[int]:
            return frozenset(n for n, var in enumerate(variables) if held[var.index])

        return Flow(chosen(self.nodes), chosen(self.direct), chosen(self.enter), chosen(self.leave),
                    tuple(held[var.index] for var in self.source), values, bound, proven,
                    tuple(held[var.index] for var in self.strip))


def _share(carried: int, vehicles: int) -> int:
    """Bookings for each vehicle of a depot, in thousandths, rounded up."""
    return -(-1000 * carried // vehicles)


def _sum_of(held: Mapping[int, int], terms: Iterable[Any], factors: Iterable[int]) -> int:
    return sum(held[var.index] * factor for var, factor in zip(terms, factors, strict=True))


def _sum(cp: Any, terms: Sequence[Any]) -> Any:
    return cp.LinearExpr.sum(list(terms)) if terms else 0
