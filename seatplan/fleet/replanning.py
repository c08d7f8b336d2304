"""A plan made again, because something came up: a late booking, a vehicle that broke down, copies that were recalled.

What has begun stays as it is. Of the rest, as little as can be goes another way than the plan said: after the number of
bookings served, and before all else, the number of those that change their vehicle, their way or what stands beside
them is the least. First only what the news touches is decided again; where that serves all that could be served,
nothing is better. Else the whole rest of the day is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import field, replace

from seatplan.frozen import frozen

from .floor import Choice
from .flow import ALWAYS, BEFORE, Entry, Event, Group, Net, Node, kinds_in, most_nodes, net_of, usable_load
from .optimum import LIMIT, Flow, Question, best
from .planning import MOST_WHOLE, Work, plan_of, work_of
from .records import Booking, ClassAnswer, Day, DayPlan, Leg, Load, Party, Piece, Unserved
from .routes import Routes, own_copies, routes_of

#: with everybody free to change, each goal has this part of the limit: whoever waits at a kerb waits for the answer
_SHORTER = 6


@frozen
class News:
    """What came up at a minute of the day. ``late``: bookings that are new, with what the engine says of them where it
    was not asked before; ``broken``: vehicles that cannot be used from then on; ``recalled``: copies that may not be
    used from then on; ``gone``: bookings that were called off and have not begun."""

    now: int
    late: tuple[Booking, ...] = ()
    answers: Mapping[tuple[str, Party], ClassAnswer] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()
    recalled: frozenset[str] = frozenset()
    gone: frozenset[str] = frozenset()


@frozen
class Change:
    """One booking that goes another way than before: its vehicle and leg, None where it had or has none."""

    booking: str
    before: tuple[str, Leg] | None
    now: tuple[str, Leg] | None


@frozen
class Replanned:
    """The day as it is now, and its plan; ``changes`` in the order of bookings; ``touched``: every booking that the
    news concern, whether it changes or not; ``stranded``: those of them that are under way, which no plan can help."""

    day: Day
    plan: DayPlan
    changes: tuple[Change, ...]
    touched: tuple[str, ...]
    stranded: tuple[str, ...]


def replanned(day: Day, plan: DayPlan, news: News, limit: float = LIMIT) -> Replanned:
    """The plan made again after some news. ``day`` and ``plan``: as they were."""
    begun = {vehicle: _begun(day, vehicle, legs, news.now) for vehicle, legs in plan.routes.items()}
    fixed = {leg.booking for legs in begun.values() for leg in legs}
    before = {leg.booking: (vehicle, leg) for vehicle, legs in plan.routes.items() for leg in legs}
    now = _day_now(day, news, begun, fixed)
    rest = _Rest(work_of(now), news, begun, before, fixed)
    touched = {one.key for one in news.late} | {key for key, (vehicle, leg) in before.items() if _concerns(
        day, news, vehicle, leg)}
    stranded = {key for key in touched & fixed if key in before}
    routes, flow = rest.solved(touched, limit)
    open_ = rest.unserved(routes)
    new = plan_of(rest.work, routes, len(fixed) + flow.bound, flow.proven,
                  {n: why for n, why in open_.items() if now.bookings[n].key not in fixed})
    legs = {unit.key: (*begun.get(unit.key, ()), *new.routes.get(unit.key, ())) for unit in day.vehicles}
    whole = replace(new, routes={key: told for key, told in legs.items() if told})
    after = {leg.booking: (vehicle, leg) for vehicle, told in whole.routes.items() for leg in told}
    keys = [one.key for one in (*day.bookings, *news.late)]
    changes = tuple(Change(key, before.get(key), after.get(key)) for key in keys
                    if not _same(before.get(key), after.get(key)))
    return Replanned(now, whole, changes, tuple(key for key in keys if key in touched),
                     tuple(key for key in keys if key in stranded))


def day_after(day: Day, plan: DayPlan, news: News) -> Day:
    """The day as it is after some news, without a plan."""
    begun = {vehicle: _begun(day, vehicle, legs, news.now) for vehicle, legs in plan.routes.items()}
    return _day_now(day, news, begun, {leg.booking for legs in begun.values() for leg in legs})


def _same(one: tuple[str, Leg] | None, other: tuple[str, Leg] | None) -> bool:
    """Whether a booking goes as it did, for whoever rides and drives; which copy it is may differ."""
    if one is None or other is None:
        return one is other
    return (one[0], one[1].way, one[1].load) == (other[0], other[1].way, other[1].load)


def _concerns(day: Day, news: News, vehicle: str, leg: Leg) -> bool:
    """Whether what is left of a booking is touched by the news."""
    end = next(one.end for one in day.bookings if one.key == leg.booking)
    return end > news.now and (vehicle in news.broken or not news.recalled.isdisjoint(leg.copies))


def _begun(day: Day, vehicle: str, legs: Iterable[Leg], now: int) -> tuple[Leg, ...]:
    """Legs for which the vehicle is under way, or is being made ready: they stay as they are."""
    depot = next(unit.depot for unit in day.vehicles if unit.key == vehicle)
    bookings = {one.key: one for one in day.bookings}
    found: list[Leg] = []
    before: Leg | None = None
    for leg in legs:
        booking = bookings[leg.booking]
        come = depot if leg.by_depot or before is None else bookings[before.booking].goal
        ahead = sum(day.holding.get(by, (0, 0))[0] for _, _, by in leg.load) if leg.by_depot and leg.changes else 0
        if booking.start - day.travel[come, booking.origin] - ahead > now:
            break
        found.append(leg)
        before = leg
    return tuple(found)


def _day_now(day: Day, news: News, begun: Mapping[str, tuple[Leg, ...]], fixed: Collection[str]) -> Day:
    """The day with its news. A broken vehicle's copies are lost with it for the day."""
    lost = set(news.recalled)
    for unit in day.vehicles:
        if unit.key in news.broken:
            legs = begun.get(unit.key, ())
            lost |= set(legs[-1].copies if legs else (one.key for one in day.copies if one.vehicle == unit.key))
    copies = tuple(one._replace(usable=False) if one.key in lost else one for one in day.copies)
    kept = tuple(one for one in day.bookings if one.key not in news.gone or one.key in fixed)
    return replace(day, bookings=(*kept, *news.late), copies=copies, answers={**day.answers, **news.answers})


class _Rest:
    """What is left of a day: each vehicle for itself, where it is and with what it has."""

    def __init__(self, work: Work, news: News, begun: Mapping[str, tuple[Leg, ...]],
                 before: Mapping[str, tuple[str, Leg]], fixed: Collection[str]) -> None:
        self.work, self.news, self.begun, self.before, self.fixed = work, news, begun, before, fixed
        day = work.day
        # a quarantine that is over by now: somebody may have such a copy aboard
        self.stock = {key: [ALWAYS if since <= news.now else since for since in times]
                      for key, times in work.stock.items()}
        self.usable = {copy.key for copy in day.copies if copy.usable}
        self.bookings = {one.key: one for one in day.bookings}
        self.groups: list[Group] = []
        self.entries: list[Entry] = []
        self.under_way: list[Node] = []
        self.own: dict[tuple[str, str, str], str] = dict(own_copies(day))
        self.vehicle: list[int] = []
        self.taken = _now_with(day, begun)
        self.cut: set[int] = set()
        for number in range(len(day.vehicles)):
            self._vehicle(number)

    def _vehicle(self, number: int) -> None:
        day, now = self.work.day, self.news.now
        unit = day.vehicles[number]
        if unit.key in self.news.broken:
            return
        fixed = unit.depot in day.nobody_installs
        legs = self.begun.get(unit.key, ())
        if legs:
            has = dict(zip(legs[-1].load, legs[-1].copies, strict=True))
        else:
            has = {piece: self.own[unit.key, piece[0], piece[1]] for piece in usable_load(day, number)}
        good = tuple(sorted(piece for piece, copy in has.items()
                            if copy in self.usable and self.taken.get(copy, unit.key) == unit.key))
        for piece, copy in has.items():
            self.own[unit.key, piece[0], piece[1]] = copy
        lost = {piece for piece, copy in has.items() if self.taken.get(copy, unit.key) != unit.key}
        stuck = tuple(sorted(set(legs[-1].load if legs else unit.installed) - set(good) - lost))
        if fixed and stuck:
            return
        at = len(self.groups)
        self.groups.append(Group(unit.vehicle_type, unit.depot, unit.until, good if fixed else None))
        self.vehicle.append(number)
        if not legs:
            self.entries.append(Entry(at, good, stuck, max(now, unit.since or now), (number,)))
            return
        last = self.bookings[legs[-1].booking]
        if stuck or lost:
            home = last.end + day.travel[last.goal, unit.depot] + self._out(lost)
            self.entries.append(Entry(at, good, stuck, max(now, home), (number,)))
        else:
            choice = next(iter(self._choices(legs[-1])))
            self.under_way.append(Node(-1, at, choice, legs[-1].load, last.start, last.end, last.origin, last.goal,
                                       number))

    def _out(self, pieces: Iterable[Piece]) -> int:
        return sum(self.work.day.holding.get(by, (0, 0))[1] for _, _, by in pieces)

    def _choices(self, leg: Leg) -> list[Choice]:
        return [Choice(leg.way, leg.cover)]

    def solved(self, touched: Collection[str], limit: float) -> tuple[Routes, Flow]:
        """First with only what is touched free to change, then with all, unless nothing can be better."""
        open_ = [n for n, one in enumerate(self.work.day.bookings) if one.key not in self.fixed]
        free = {n for n in open_ if self.work.day.bookings[n].key in touched
                or self.work.day.bookings[n].key not in self.before}
        nodes = self._nodes(open_)
        held = [node for node in nodes if node.booking in free or not self._differs(node)]
        net, flow = self._best(held, limit)
        able = {node.booking for node in nodes}
        kept = {node.booking for node in held if node.booking not in free}
        done = {net.nodes[n].booking for n in flow.nodes if net.nodes[n].vehicle is None}
        if not (able <= done and kept <= done and flow.proven) and len(open_) <= 2 * MOST_WHOLE:
            net, flow = self._best(nodes, limit / _SHORTER)
        elif able > done:
            flow = flow._replace(bound=len(able), proven=False)
        if self.cut:
            flow = flow._replace(bound=len(able), proven=False)
        return routes_of(self.work.day, net, flow, self.own), flow

    def _nodes(self, numbers: list[int]) -> list[Node]:
        """What may be done, with what the plan said wherever that still may be done."""
        nodes = most_nodes(self.work.day, self.groups, self.entries, self.work.choices, numbers,
                           [(node.group, node.load) for node in self.under_way], self.cut)
        known = {(node.booking, node.group, node.load) for node in nodes}
        place = {self.work.day.vehicles[number].key: at for at, number in enumerate(self.vehicle)}
        for n in numbers:
            booking = self.work.day.bookings[n]
            vehicle, leg = self.before.get(booking.key, ("", None))
            at = place.get(vehicle)
            if leg is None or at is None or (n, at, leg.load) in known or not self._stands(n, at, leg):
                continue
            choice = next(one for one in self.work.choices[n][self.groups[at].vehicle_type] if one.way == leg.way)
            nodes.append(Node(n, at, choice, leg.load, booking.start, booking.end, booking.origin, booking.goal))
        return nodes

    def _stands(self, number: int, at: int, leg: Leg) -> bool:
        """Whether a leg's way and pieces may still be used."""
        group = self.groups[at]
        ways = [one.way for one in self.work.choices[number].get(group.vehicle_type, ())]
        return leg.way in ways and all(len(self.work.stock.get((group.depot, kind), ())) >= n
                                       for kind, n in kinds_in(leg.load).items())

    def _differs(self, node: Node) -> int:
        before = self.before.get(self.work.day.bookings[node.booking].key)
        unit = self.work.day.vehicles[self.vehicle[node.group]]
        return int(before is not None and (before[0], before[1].way, before[1].load) != (
            unit.key, node.choice.way, node.load))

    def _best(self, nodes: list[Node], limit: float) -> tuple[Net, Flow]:
        now, work = self.news.now, self.work
        aboard = Counter((self.groups[node.group].depot, kind) for node in self.under_way for kind, _, _ in node.load)
        events = [Event(BEFORE, depot, kind, n) for (depot, kind), n in sorted(aboard.items())]
        net = net_of(work.day, self.groups, self.entries, [*nodes, *self.under_way], events=events)
        net.leave = [leave for leave in net.leave if leave.at >= now]
        net.direct = [arc for arc in net.direct
                      if max(now, net.nodes[arc.tail].end) + arc.empty <= net.nodes[arc.head].start]
        net.enter = [enter if enter.at >= now else enter._replace(at=enter.at if self._was_out(
            net.nodes[enter.tail], enter.out) else now + self._out(enter.out)) for enter in net.enter]
        return net, best(Question(net, self.stock, work.vehicles, {}, self._differs), limit)

    def _was_out(self, node: Node, out: Load) -> bool:
        """Whether the plan had some pieces taken out already, after a booking that is over."""
        if node.vehicle is None:
            return False
        key = self.work.day.vehicles[node.vehicle].key
        legs = [leg for vehicle, leg in self.before.values() if vehicle == key]
        later = legs[len(self.begun[key]):]
        return bool(later) and later[0].by_depot and set(out) <= set(node.load) - set(later[0].load)

    def unserved(self, routes: Routes) -> dict[int, Unserved]:
        """Why the rest is open: what holds of the whole day; nothing is tried again for it."""
        served = {step.node.booking for route in routes.of.values() for step in route.steps}
        return {n: floor.why or Unserved("no vehicle free") for n, floor in enumerate(self.work.floors)
                if n not in served}


def _now_with(day: Day, begun: Mapping[str, tuple[Leg, ...]]) -> dict[str, str]:
    """By copy, the vehicle that had it last, of what has begun."""
    start = {one.key: one.start for one in day.bookings}
    told = sorted((start[leg.booking], vehicle, leg) for vehicle, legs in begun.items() for leg in legs)
    return {copy: vehicle for _, vehicle, leg in told for copy in leg.copies}
