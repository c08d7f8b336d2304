"""A second opinion on a day: every way to give bookings to vehicles, one after the other, with the copies of each
minute counted. It shares no code with the plan: no flow, no states, no arcs. Slow, and for days of a few bookings.

``best`` returns the least of (unserved, below, changes, minutes empty, largest share) over all of them.
"""

from __future__ import annotations

from itertools import combinations, product

from seatplan.fleet.records import Day


def best(day: Day, least_level: dict[str, tuple[int, ...]]) -> tuple[int, int, int, int, int]:
    """``least_level``: by booking, the worst level that it may be carried at."""
    orders = sorted(range(len(day.bookings)), key=lambda n: (day.bookings[n].start, n))
    found = [None]

    def assign(at: int, routes: list[list[tuple[int, tuple]]]) -> None:
        if at == len(orders):
            _priced(day, routes, found)
            return
        number = orders[at]
        booking = day.bookings[number]
        assign(at + 1, routes)
        for vehicle, unit in enumerate(day.vehicles):
            if routes[vehicle] and day.bookings[routes[vehicle][-1][0]].end > booking.start:
                continue
            for load in _loads(day, unit, booking, least_level):
                assign(at + 1, [*routes[:vehicle], [*routes[vehicle], (number, load)], *routes[vehicle + 1:]])

    assign(0, [[] for _ in day.vehicles])
    return found[0]


def _loads(day, unit, booking, least):
    """All that a vehicle of a type may carry a booking with: the pieces of a way, and any that another way of the type
    or a vehicle of it at the depot has, if they stand two rows or more from everybody."""
    answer = day.answers[unit.vehicle_type, booking.party]
    ways = [way for way in answer.ways if way.verdict == "fits" and way.level <= least[booking.key]]
    pool = {_pieces(way) for one in day.bookings for way in day.answers[unit.vehicle_type, one.party].ways
            if way.verdict == "fits" and way.level <= least[one.key]}
    pool |= {_installed(day, other) for other in day.vehicles
             if (other.vehicle_type, other.depot, other.until) == (unit.vehicle_type, unit.depot, unit.until)}
    told = set()
    rows = day.rows.get(unit.vehicle_type, {})
    for way in ways:
        own = _pieces(way)
        told.add(own)
        beside = sorted(piece for piece in frozenset().union(*pool) - own
                        if piece[1] in rows and all(abs(rows[piece[1]] - rows.get(seat.position, -9)) > 1
                                                    and seat.position in rows for seat in way.seats))
        told |= {own | set(rest) for n in range(len(beside) + 1) for rest in combinations(beside, n)
                 if len({position for _, position, _ in rest}) == n}
    return told


def _pieces(way):
    return frozenset((seat.kind, seat.position, seat.by or "") for seat in way.seats if seat.kind)


def _installed(day, unit):
    return frozenset(piece for piece in unit.installed if any(
        copy.vehicle == unit.key and copy.kind == piece[0] and copy.position == piece[1] and copy.usable
        and copy.since is None for copy in day.copies))


def _visits(day, unit, route):
    """Each way to drive a route: before each booking directly, or by the depot with what is kept there. Yields
    (changes, minutes empty, what is away: (kind, from, until))."""
    steps = []
    installed = _installed(day, unit)
    stuck = len(unit.installed) - len(installed)
    for n, (number, load) in enumerate(route):
        booking = day.bookings[number]
        here = []
        out = day.travel[unit.depot, booking.origin]
        if n == 0:
            before, ready, back, old = installed, -10**6, 0, None
        else:
            last = day.bookings[route[n - 1][0]]
            before = route[n - 1][1]
            back = day.travel[last.goal, unit.depot]
            ready, old = last.end + back, last
        if old is not None and before == load and last.end + day.travel[last.goal, booking.origin] <= booking.start:
            here.append(("direct", None, 0, day.travel[last.goal, booking.origin], 0, 0))
        common = sorted(before & load)
        for size in range(len(common) + 1):
            for kept in combinations(common, size):
                gone, new = before - set(kept), load - set(kept)
                free = ready + sum(day.holding[by][1] for _, _, by in gone)
                taken = booking.start - out - sum(day.holding[by][0] for _, _, by in new)
                if free <= taken or n == 0:
                    changes = len(gone) + len(new) + (stuck if n == 0 else 0)
                    here.append(("depot", frozenset(kept), changes, back + out, free, taken))
        steps.append(here)
    last = day.bookings[route[-1][0]]
    home = day.travel[last.goal, unit.depot]
    # at the end of its day a vehicle may have any of its pieces taken out, for others
    ends = [frozenset(part) for size in range(len(route[-1][1]) + 1)
            for part in combinations(sorted(route[-1][1]), size)]
    for chosen in product(*steps):
        for gone in ends:
            away, aboard, changes, empty = [], {}, 0, 0
            for (_, load), (how, kept, n, minutes, free, taken) in zip(route, chosen, strict=True):
                changes += n
                empty += minutes
                if how == "depot":
                    for piece in [one for one in aboard if one not in kept]:
                        away.append((piece[0], aboard.pop(piece), free))
                    for piece in load:
                        if piece not in aboard:
                            aboard[piece] = -10**6 if piece in kept else taken     # kept: installed before the day
            free = last.end + home + sum(day.holding[by][1] for _, _, by in gone)
            for piece, since in aboard.items():
                away.append((piece[0], since, free if piece in gone else 10**6))
            yield changes + len(gone), empty + home, away


def _parked(day, unit):
    """A vehicle that stays: what is in it is away, unless it is taken out for others."""
    installed = _installed(day, unit)
    for size in range(len(installed) + 1):
        for left in combinations(sorted(installed), size):
            yield len(installed) - size, 0, [(piece[0], -10**6, 10**6) for piece in left]


def _priced(day: Day, routes, found) -> None:
    served = sum(map(len, routes))
    unserved = len(day.bookings) - served
    if found[0] is not None and unserved > found[0][0]:
        return
    depots = sorted({unit.depot for unit in day.vehicles})
    share = max(-(-1000 * sum(len(route) for route, unit in zip(routes, day.vehicles, strict=True)
                              if unit.depot == depot) // sum(unit.depot == depot for unit in day.vehicles))
                for depot in depots)
    driven = [list(_visits(day, unit, route)) if route else list(_parked(day, unit))
              for unit, route in zip(day.vehicles, routes, strict=True)]
    for each in product(*driven):
        told = (unserved, 0, sum(one[0] for one in each), sum(one[1] for one in each), share)
        if (found[0] is None or told < found[0]) and _enough(day, each):
            found[0] = told


def _enough(day: Day, each) -> bool:
    """Whether at no minute more pieces of a kind are away from a depot than there are copies of it."""
    for depot in {unit.depot for unit in day.vehicles}:
        away = [one for told, unit in zip(each, day.vehicles, strict=True) if unit.depot == depot for one in told[2]]
        for kind in {one[0] for one in away}:
            for minute in {one[1] for one in away if one[0] == kind}:
                used = sum(one[0] == kind and one[1] <= minute < one[2] for one in away)
                there = sum(copy.kind == kind and copy.depot == depot and copy.usable
                            and (copy.since is None or copy.since <= minute) for copy in day.copies)
                if used > there:
                    return False
    return True
