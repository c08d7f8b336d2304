"""Invented cities to try a fleet on: a fleet file, a travel matrix and a day of bookings, all drawn from a seed.

Nobody and nothing in them is real. Vehicles and restraints are bundled ones, bodies lie on the growth tables, families
travel there and back. Three kinds: ``roomy`` has vehicles and restraints to spare, ``tight`` has a rush in the morning
and in the afternoon and few of either, and in ``infeasible`` some of the day cannot be carried, and some rows are
wrong. The same seed gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from math import ceil, hypot, sqrt
from random import Random
from statistics import NormalDist
from typing import Literal, NamedTuple, TypeVar

from seatplan.files import csv_cells
from seatplan.frozen import frozen
from seatplan.geometry.growth_tables import SEXES, lms_at, value_at

CityKind = Literal["roomy", "tight", "infeasible"]
KINDS: tuple[CityKind, ...] = ("roomy", "tight", "infeasible")
T = TypeVar("T")

#: types of vehicle: name, bundled vehicle, share of the fleet, position behind that a restraint may stand in
_TYPES = (("estate", "harrow-estate", 0.5, "2R"), ("carrier", "tidewater-carrier", 0.3, "2R"),
          ("van", "ferry-lane-eight", 0.2, "2R"))
#: kinds of restraint: name, bundled restraint, price, of ten vehicles so many have one
_RESTRAINTS = (("carrier", "cradle-13", 120, 8), ("shell", "nook-35-slim", 260, 14), ("combo", "lattice-slim", 240, 14),
               ("booster", "perch-slim", 90, 14), ("cushion", "cushion-38", 30, 8))
_PLACES = ("Harbour", "Mill Lane", "Old Town", "Orchard", "Station", "Hilltop", "Riverside", "Market")
_DEPOTS = ("North Yard", "South Yard")
#: ages of children in months, and how many of a hundred
_AGES = ((4, 11, 15), (12, 35, 25), (36, 71, 28), (72, 107, 20), (108, 138, 12))
#: minutes to put in and to take out; invented
_CHANGEOVER = (("lower-anchors", 4, 2), ("lower-anchors-with-belt", 5, 3), ("lap-shoulder-belt", 5, 2),
               ("lap-belt", 5, 2), ("none", 1, 1))
#: beyond so many standard deviations nobody is drawn
_MOST_Z = 1.5


class Plan(NamedTuple):
    """What makes a kind of city: bookings for each vehicle; copies for each that a roomy one has; hours in which trips
    begin; of a hundred children so many of whom only the age is known; whether some of it is out of order."""

    bookings_a_vehicle: float
    copies: float
    hours: tuple[tuple[int, int], ...]
    ages_only: int
    out_of_order: bool


PLANS: Mapping[CityKind, Plan] = {
    "roomy": Plan(3, 1.0, ((7, 19),), 5, False),
    "tight": Plan(6, 0.5, ((7, 10), (14, 18)), 5, False),
    "infeasible": Plan(5, 0.5, ((7, 10), (14, 18)), 30, True),
}


@frozen
class City:
    """The files of a city by their names, and how many of the rows of bookings are wrong on purpose."""

    files: Mapping[str, str]
    bookings: int
    wrong: int


def city(kind: CityKind, seed: int, day: date, bookings: int = 24) -> City:
    """A city of a kind with so many bookings on a day. ValueError: fewer than two bookings."""
    if bookings < 2:
        raise ValueError("a city has two bookings or more")
    plan = PLANS[kind]
    draw = _Draw(f"{kind} {seed} {bookings}")
    vehicles = max(2, ceil(bookings / plan.bookings_a_vehicle))
    depots = _DEPOTS[:1] if vehicles < 4 else _DEPOTS
    travel = _travel(draw, (*_PLACES, *depots))
    rows = list(_bookings(draw, plan, day, bookings, travel))
    wrong = list(_wrong_rows(day)) if plan.out_of_order else []
    return City({
        "fleet.yaml": "\n".join(_fleet(draw, kind, seed, plan, day, vehicles, depots)) + "\n",
        "travel.csv": "".join(_matrix((*_PLACES, *depots), travel)),
        "bookings.csv": "".join(map(csv_cells.line, [_COLUMNS, *rows, *wrong])),
    }, len(rows), len(wrong))


class _Draw:
    """Numbers from a seed that are the same wherever they are drawn: all come from one generator of plain numbers."""

    def __init__(self, seed: str) -> None:
        self._next = Random(seed).random

    def whole(self, low: int, high: int) -> int:
        return low + int(self._next() * (high - low + 1))

    def one(self, items: Sequence[T]) -> T:
        return items[self.whole(0, len(items) - 1)]

    def percent(self, share: int) -> bool:
        return self._next() * 100 < share

    def weighed(self, items: Sequence[T], weights: Sequence[float]) -> T:
        left = self._next() * sum(weights)
        for item, weight in zip(items, weights, strict=True):
            left -= weight
            if left < 0:
                return item
        return items[-1]

    def z(self, spread: float = 0.8) -> float:
        """Of a normal distribution, cut."""
        drawn = spread * NormalDist().inv_cdf(min(max(self._next(), 1e-6), 1 - 1e-6))
        return min(max(drawn, -_MOST_Z), _MOST_Z)


# --- places

def _travel(draw: _Draw, places: Sequence[str]) -> dict[tuple[str, str], int]:
    """Minutes: so far apart, and a little more or less in each direction."""
    at = {place: (draw.whole(0, 120), draw.whole(0, 120)) for place in places}
    return {(one, other): 4 + draw.whole(0, 2) if one == other else
            5 + round(hypot(at[one][0] - at[other][0], at[one][1] - at[other][1]) / 6) + draw.whole(0, 3)
            for one in places for other in places}


def _matrix(places: Sequence[str], travel: Mapping[tuple[str, str], int]) -> Iterator[str]:
    yield csv_cells.line(("from / to", *places))
    for one in places:
        yield csv_cells.line((one, *(travel[one, other] for other in places)))


# --- bookings

_COLUMNS = ("id", "start", "end", "from", "to", "riders", "adults", "own")


def _bookings(draw: _Draw, plan: Plan, day: date, n: int,
              travel: Mapping[tuple[str, str], int]) -> Iterator[tuple[str, ...]]:
    """Families there and back; in a large city several book with children alike."""
    families = [_family(draw, plan) for _ in range(min(ceil(n / 2), ceil(4 * sqrt(n))))]
    made: list[tuple[int, int, str, str, tuple[str, str]]] = []
    while len(made) < n:
        family = families[len(made) // 2 % len(families)]
        home, away = draw.one(_PLACES), draw.one(_PLACES)
        start = _start(draw, plan.hours[0])
        for origin, goal in ((home, away), (away, home))[:n - len(made)]:
            end = start + 5 * ceil((travel[origin, goal] + 8) / 5)
            made.append((start, end, origin, goal, family))
            start = max(_start(draw, plan.hours[-1]), end + 30)
    for k, (start, end, origin, goal, (riders, adults)) in enumerate(sorted(made), 1):
        yield (f"B-{k:05}", _clock(day, start), _clock(day, end), origin, goal, riders, adults, "")


def _start(draw: _Draw, hours: tuple[int, int]) -> int:
    return 60 * hours[0] + 5 * draw.whole(0, 12 * (hours[1] - hours[0]))


def _clock(day: date, minute: int) -> str:
    return f"{day + timedelta(days=minute // 1440)} {minute // 60 % 24:02}:{minute % 60:02}"


def _family(draw: _Draw, plan: Plan) -> tuple[str, str]:
    """The cells of a family: its children, and its adults by stature."""
    large = plan.out_of_order and draw.percent(15)
    children = sorted(_age(draw) for _ in range(5 if large else draw.weighed((1, 2, 3), (50, 38, 12))))
    adults = draw.weighed((1, 2), (85, 15)) if children[0] < 84 else draw.weighed((0, 1), (30, 70))
    return ("; ".join(_child(draw, months, plan) for months in children),
            "; ".join(f"{round(167 + 9 * draw.z())}cm" for _ in range(adults)) or "0")


def _age(draw: _Draw) -> int:
    low, high, _ = draw.weighed(_AGES, [share for _, _, share in _AGES])
    return draw.whole(low, high)


def _child(draw: _Draw, months: int, plan: Plan) -> str:
    """One child: age, and mostly mass, stature and whether it sits upright, near the middle of the growth tables."""
    sex, tall = draw.one(SEXES), draw.z()
    heavy = 0.7 * tall + 0.5 * draw.z()
    upright = " upright" if months >= 60 or (months >= 48 and draw.percent(60)) else ""
    age = f"{months}m" if months < 24 else f"{months // 12}y" + (f" {months % 12}m" if months % 12 else "")
    if draw.percent(plan.ages_only):
        return age if draw.percent(50) or months < 24 else f"{months // 12}y-{months // 12 + 1}y"
    mm, kg = value_at(lms_at("height", sex, months), tall), value_at(lms_at("mass", sex, months), heavy)
    return f"{age} {kg:.1f}kg {round(mm / 10)}cm{upright}"


def _wrong_rows(day: date) -> Iterator[tuple[str, ...]]:
    """Slips of the hand, as they stand in files of bookings."""
    at = (_clock(day, 600), _clock(day, 630))
    yield ("B-90001", *at, "Harbour", "Station", "5y 18 110cm", "1", "")
    yield ("B-90002", *reversed(at), "Harbour", "Station", "5y 18kg 110cm", "1", "")
    yield ("B-90003", *at, "Harbour", "Nowhere", "5y 18kg 110cm", "1", "")
    yield ("B-90004", *at, "Harbour", "Station", "3y 41kg 95cm", "170cm", "")


# --- the fleet

def _fleet(draw: _Draw, kind: CityKind, seed: int, plan: Plan, day: date, vehicles: int,
           depots: Sequence[str]) -> Iterator[str]:
    yield f"fleet: {kind.capitalize()} city {seed}"
    yield "invented: yes"
    yield "notes: Invented. Drawn from a seed; no such city, operator, vehicle or family exists."
    yield "rules: us"
    yield "travel: travel.csv"
    yield "any_driver: {height: 190 cm, mass: 105 kg, hips: 440, shoulders: 520, buttock_knee: 660}"
    yield "privacy: {keep_days: 30}"
    yield "depots:"
    yield from (f"  - {{depot: {depot}, installs: yes}}" for depot in depots)
    yield "types:"
    yield from (f"  - {{type: {name}, vehicle: {bundled}, drives: 1L, front: {{1L: {{forward_at_most: 100}}}}}}"
                for name, bundled, _, _ in _TYPES)
    names = [f"V{n:03}" for n in range(1, vehicles + 1)]
    types = _shared([share for _, _, share, _ in _TYPES], vehicles)
    yield "vehicles:"
    for n, (name, of) in enumerate(zip(names, types, strict=True)):
        yield f"  - {{vehicle: {name}, type: {_TYPES[of][0]}, depot: {depots[n % len(depots)]}, driver: D{n + 1:03}}}"
    yield "drivers:"
    yield from (f"  - {{driver: D{n:03}, installs: {'yes' if draw.percent(60) else 'no'}}}"
                for n in range(1, vehicles + 1))
    yield "kinds:"
    yield from (f"  - {{kind: {name}, restraint: {bundled}, price: {price}}}"
                for name, bundled, price, _ in _RESTRAINTS)
    yield "copies:"
    yield from _copies(draw, plan, day, names, types, depots)
    yield "changeover:"
    for by, put_in, take_out in _CHANGEOVER:
        yield f"  {by}: {{put_in: {put_in}, take_out: {take_out}}}"


def _shared(shares: Sequence[float], n: int) -> list[int]:
    """Which of several each of ``n`` is, so that the shares hold as nearly as they can from the first on."""
    count, made = [0] * len(shares), []
    for k in range(1, n + 1):
        behind = max(range(len(shares)), key=lambda i: (shares[i] * k - count[i], -i))
        count[behind] += 1
        made.append(behind)
    return made


def _copies(draw: _Draw, plan: Plan, day: date, vehicles: Sequence[str], types: Sequence[int],
            depots: Sequence[str]) -> Iterator[str]:
    """So many of each kind as the plan has; in every other vehicle a shell stands ready. Where the plan is out of
    order, every fourth copy is: too old, recalled, being cleaned, or of a state that nobody looked at."""
    ready = iter(range(0, len(vehicles), 2))
    for name, _, _, often in _RESTRAINTS:
        for n in range(1, max(1, round(plan.copies * often * len(vehicles) / 10)) + 1):
            made = day - timedelta(days=draw.whole(200, 1500))
            state = "in_order: yes"
            if plan.out_of_order and n % 4 == 0:
                state, made = _out_of_order(draw, day, made)
            here = f"depot: {depots[n % len(depots)]}"
            at = next(ready, None) if name == "shell" and n % 4 else None
            if at is not None:
                since = day - timedelta(days=draw.whole(1, 90))
                here = (f"installed: {{vehicle: {vehicles[at]}, position: {_TYPES[types[at]][3]}, "
                        f"by: lap-shoulder-belt, since: {since}}}")
            yield f"  - {{serial: {name[:2].upper()}-{n:03}, kind: {name}, {here}, made: {made}" + (
                f", {state}}}" if state else "}")


def _out_of_order(draw: _Draw, day: date, made: date) -> tuple[str, date]:
    which = draw.whole(0, 3)
    if which == 0:
        return "in_order: yes", day - timedelta(days=12 * 366)
    if which == 1:
        return f"in_order: yes, quarantine: [{{why: recall, from: {day - timedelta(days=3)}}}]", made
    if which == 2:
        return f"in_order: yes, quarantine: [{{why: cleaning, from: {day}, until: {day} 12:00}}]", made
    return "", made
