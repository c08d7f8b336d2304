"""Small random days of a fleet that nobody has, with classes that nobody asked: answers are drawn, not solved."""

from __future__ import annotations

import random

from seatplan.fleet.records import Booking, ClassAnswer, CopyUnit, Day, Member, Party, Seat, VehicleUnit, Way

KINDS = ("shell", "booster", "infant")
HOLDING = {"belt": (3, 2), "lower-anchors": (5, 4), "": (0, 0)}
ROWS = {"2A": 2, "2B": 2, "2C": 2, "3A": 3, "4A": 4, "4C": 4}
FRONT = {"1L": 1}


def way_of(*pieces: tuple[str, str, str], level: tuple[int, ...] = (0,), rank: int = 0, verdict: str = "fits",
           bodies_only: bool = True) -> Way:
    """A way with one child in each piece."""
    counted: dict[str, int] = {}
    for kind, _, _ in pieces:
        counted[kind] = counted.get(kind, 0) + 1
    seats = tuple(Seat(n, position, kind, "harness", by or None, level[min(n, len(level) - 1)], False)
                  for n, (kind, position, by) in enumerate(pieces))
    return Way(tuple(sorted(counted.items())), level, verdict, bodies_only, seats, (), rank)


def party_of(number: int) -> Party:
    return Party((Member(months=(number, number)),))


def invented(seed: int, bookings: int = 4, vehicles: int = 2, depots: int = 2, types: int = 2, kinds: int = 2,
             parties: int = 3, copies: int = 3, span: int = 300, levels: int = 1, rows: bool = True,
             installed: float = 0.4, driver: bool = False) -> Day:
    """A day; the tighter ``span``, ``copies`` and ``vehicles``, the less of it can be served. ``driver``: somebody
    drives, in front, so that less can stay in beside those who ride."""
    drawn = random.Random(seed)
    names = [f"depot {n}" for n in range(depots)]
    places = [*names, "north", "south", "west"]
    at = {place: (drawn.randint(0, 20), drawn.randint(0, 20)) for place in places}
    travel = {(a, b): abs(at[a][0] - at[b][0]) + abs(at[a][1] - at[b][1]) + drawn.randint(0, 3)
              for a in places for b in places}
    type_names = [f"type {n}" for n in range(types)]
    answers = {}
    for kind in type_names:
        for number in range(parties):
            ways = []
            for rank in range(drawn.choice((0, 1, 1, 2))):
                places_left = drawn.sample(list(ROWS), 3)
                pieces = tuple((drawn.choice(KINDS[:kinds]), place, drawn.choice(("belt", "lower-anchors")))
                               for place in places_left[:drawn.choice((0, 1, 1, 2))])
                way = way_of(*pieces, level=(drawn.randrange(levels),), rank=rank)
                ways.append(way if not driver else way._replace(seats=(
                    *way.seats, Seat(len(way.seats), "1L", None, "belt", None, 0, False))))
            answers[kind, party_of(number)] = ClassAnswer("fits" if ways else "rejected", tuple(ways))
    units, stock = [], []
    for number in range(vehicles):
        unit = VehicleUnit(f"v{number:03}", drawn.choice(type_names), drawn.choice(names))
        if drawn.random() < installed:
            piece = (drawn.choice(KINDS[:kinds]), drawn.choice(list(ROWS)), drawn.choice(("belt", "lower-anchors")))
            unit = unit._replace(installed=(piece,))
            stock.append(CopyUnit(f"c{len(stock):03}", piece[0], unit.depot, unit.key, position=piece[1],
                                  usable=drawn.random() < 0.9))
        units.append(unit)
    for _ in range(copies):
        stock.append(CopyUnit(f"c{len(stock):03}", drawn.choice(KINDS[:kinds]), drawn.choice(names),
                              since=drawn.choice((None, None, None, 540))))
    told = []
    for number in range(bookings):
        start = 480 + drawn.randrange(span)
        told.append(Booking(f"b{number:03}", start, start + drawn.randint(10, 60), drawn.choice(places[depots:]),
                            drawn.choice(places[depots:]), party_of(drawn.randrange(parties))))
    return Day("2026-11-30", tuple(told), tuple(units), tuple(stock), answers, travel, HOLDING,
               dict.fromkeys(type_names, ROWS | FRONT) if rows else {})
