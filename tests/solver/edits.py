"""Small edits of a trip's records, as somebody makes them between two answers: one number, one wish, one name.

Each kind is a function of a trip and a random generator; records that are not edited stay the same objects. The values
need not be true, so edited trips go to ``planned``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import timedelta
from fractions import Fraction
from random import Random
from typing import Any

from seatplan.model import Reckoned, Rider, Trip
from seatplan.model.doubt import Path
from seatplan.model.trip import Wish
from seatplan.units import Quantity, Stature

Edit = Callable[[Trip, Random], Trip]

_LENGTHS = ("sitting_height", "shoulder_height", "ear_height", "hips", "shoulders")
#: what hangs on no other number of its record, mm: a few more or less are still a car
_OF_POSITION: tuple[Path, ...] = (("centre",), ("belt", "length"), ("belt", "buckle", "across"),
                                  ("belt", "buckle", "stalk"), ("ahead", "travel"), ("head_restraint", "juts"))


def put(record: Any, path: Path, value: Any) -> Any:
    """The same records with one field set."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(record, (list, tuple)):
        return type(record)([put(item, rest, value) if i == step else item for i, item in enumerate(record)])
    return record.model_copy(update={str(step): put(getattr(record, str(step)), rest, value)})


def at(record: Any, path: Path) -> Any:
    """What stands there; None where something on the way is not there."""
    for step in path:
        if record is None:
            return None
        record = record[step] if isinstance(step, int) else getattr(record, step)
    return record


def _children(trip: Trip) -> list[int]:
    """Whom a number can be changed of: what growth reckoned has two ends beside it. Adults where there is no child."""
    known = [i for i, rider in enumerate(trip.riders) if not isinstance(rider, Reckoned)]
    return [i for i in known if not trip.riders[i].adult] or known


def _mass(value: Quantity, by: int) -> Quantity:
    """``by`` tenths of a kilogram more."""
    return Quantity.of_kg(Fraction(value) + Fraction(by, 10))


def _by(rng: Random, most: int) -> int:
    return rng.choice((-1, 1)) * rng.randint(1, most)


def body(trip: Trip, rng: Random) -> Trip:
    """A child's mass or stature, a little more or less."""
    i = rng.choice(_children(trip))
    rider = trip.riders[i]
    fields = [field for field in ("mass", "height") if getattr(rider, field) is not None]
    if not fields:
        return put(trip, ("riders", i, "height"), Stature(900 + rng.randint(0, 300)))
    field = rng.choice(fields)
    value = _mass(rider.mass, _by(rng, 4)) if field == "mass" else Stature(rider.height.exact + _by(rng, 12))
    return put(trip, ("riders", i, field), value)


def length(trip: Trip, rng: Random) -> Trip:
    """Another size of a child: more, less, or no longer known."""
    i, field = rng.choice(_children(trip)), rng.choice(_LENGTHS)
    value = getattr(trip.riders[i], field)
    lost = value is not None and rng.random() < 0.2
    return put(trip, ("riders", i, field), None if lost else (value or 300) + _by(rng, 25))


def wish(trip: Trip, rng: Random, musts: float = 0.25) -> Trip:
    """One wish more: a seat, none of some seats, or two riders apart or together. ``musts``: the share of those that
    are rules."""
    places = [position.position for position in trip.vehicle.positions()]
    names = [rider.rider for rider in trip.riders]
    some = rng.sample(places, rng.randint(1, max(1, len(places) - 1)))
    made = [Wish(rider=rng.choice(names), at=some), Wish(rider=rng.choice(names), not_at=some)]
    if len(names) > 1:
        pair = rng.sample(names, 2)
        made += [Wish(apart=pair), Wish(together=pair)]
    added = rng.choice(made).model_copy(update={"must": rng.random() < musts})
    return trip.model_copy(update={"wishes": [*trip.wishes, added]})


def wish_gone(trip: Trip, rng: Random) -> Trip:
    """One wish less, or a must of what was none."""
    if not trip.wishes:
        return wish(trip, rng)
    i = rng.randrange(len(trip.wishes))
    if rng.random() < 0.5:
        return put(trip, ("wishes", i, "must"), not trip.wishes[i].must)
    return trip.model_copy(update={"wishes": [*trip.wishes[:i], *trip.wishes[i + 1:]]})


def width(trip: Trip, rng: Random, by: int = -1) -> Trip:
    """A part of a restraint ``by`` mm wider."""
    parts = [path for path in _part_paths(trip) if at(trip, (*path, "width"))]
    if not parts:
        return limit(trip, rng)
    path = (*rng.choice(parts), "width")
    return put(trip, path, max(1, at(trip, path) + by))


def other_width(trip: Trip, rng: Random) -> Trip:
    """A part of a restraint somewhat wider or narrower."""
    return width(trip, rng, _by(rng, 30))


def _part_paths(trip: Trip) -> Iterator[Path]:
    for r, restraint in enumerate(trip.restraints):
        for m, mode in enumerate(restraint.modes):
            for p in range(len(mode.parts)):
                yield "restraints", r, "modes", m, "parts", p


def limit(trip: Trip, rng: Random) -> Trip:
    """The upper limit of mass or stature of one mode of a restraint."""
    found: list[Path] = [
        ("restraints", r, "modes", m, "limits", what, 1)
        for r, restraint in enumerate(trip.restraints) for m, mode in enumerate(restraint.modes)
        for what in ("mass", "height") if getattr(mode.limits, what)]
    if not found:
        return body(trip, rng)
    path = rng.choice(found)
    value = at(trip, path)
    if path[-2] == "mass":
        return put(trip, path, _mass(value, _by(rng, 10)))
    return put(trip, path, Stature(value.exact + _by(rng, 30)))


def vehicle(trip: Trip, rng: Random) -> Trip:
    """A measure of the vehicle: of a seat, a wall, a bar, or how far the tape may be off."""
    found: list[Path] = [("measured", "tolerance")]
    for r, row in enumerate(trip.vehicle.rows):
        here: Path = ("rows", r)
        found += [(*here, "trim", k, side) for k in range(len(row.trim)) for side in ("left", "right")]
        found += [(*here, "lower_anchors", k, "across") for k in range(len(row.lower_anchors or ()))]
        found += [(*here, "cushion", "angle"), (*here, "slides")]
        found += [(*here, "positions", p, *path) for p in range(len(row.positions)) for path in _OF_POSITION]
    known = [path for path in found if at(trip.vehicle, path) is not None]
    path = rng.choice(known)
    value = at(trip.vehicle, path)
    most = 3 if path[-1] in ("angle", "tolerance") else 30
    return put(trip, ("vehicle", *path), max(0, value + _by(rng, most)))


def day(trip: Trip, rng: Random) -> Trip:
    """Another day of travel, weeks or years away."""
    assert trip.on is not None
    return trip.model_copy(update={"on": trip.on + timedelta(days=rng.choice((1, 30, 200, 1500, -40)))})


def rules(trip: Trip, rng: Random) -> Trip:
    """The other bundled set of rules."""
    return trip.model_copy(update={"rules": "un" if trip.rules == "us" else "us"})


def order(trip: Trip, rng: Random) -> Trip:
    """Riders and restraints in another order: what counts between equals."""
    riders, restraints = list(trip.riders), list(trip.restraints)
    rng.shuffle(riders)
    rng.shuffle(restraints)
    return trip.model_copy(update={"riders": riders, "restraints": restraints})


def names(trip: Trip, rng: Random) -> Trip:
    """Two riders, or two restraints, under each other's name: the same bodies, and everything that names them is
    about the other."""
    what, name = rng.choice((("riders", "rider"), ("restraints", "restraint")))
    if len(getattr(trip, what)) < 2:
        return body(trip, rng)
    a, b = rng.sample(range(len(getattr(trip, what))), 2)
    one, other = at(trip, (what, a, name)), at(trip, (what, b, name))
    return put(put(trip, (what, a, name), other), (what, b, name), one)


def vehicle_name(trip: Trip, rng: Random) -> Trip:
    """The vehicle, or a part of its walls, under another name."""
    walls: Sequence[Path] = [("rows", r, "trim", k, "name")
                             for r, row in enumerate(trip.vehicle.rows) for k in range(len(row.trim))]
    path = rng.choice([("vehicle",), *walls])
    return put(trip, ("vehicle", *path), f"Other {rng.randint(1, 9)}")


def alike(trip: Trip, rng: Random) -> Trip:
    """A second copy of a restraint; or, where there are five already, one less."""
    if not trip.restraints:
        return body(trip, rng)
    i = rng.randrange(len(trip.restraints))
    if len(trip.restraints) >= 5:
        return trip.model_copy(update={"restraints": [*trip.restraints[:i], *trip.restraints[i + 1:]]})
    taken = {restraint.restraint for restraint in trip.restraints}
    name = next(f"Copy {n}" for n in range(1, 99) if f"Copy {n}" not in taken)
    return trip.model_copy(update={"restraints": [*trip.restraints, put(trip.restraints[i], ("restraint",), name)]})


def rides_now(trip: Trip, rng: Random) -> Trip:
    """How one of them rides today."""
    rider: Rider = rng.choice(trip.riders)
    free = [position.position for position in trip.vehicle.positions()
            if all(here.position != position.position for name, here in trip.installed.items() if name != rider.rider)]
    used = {here.restraint for name, here in trip.installed.items() if name != rider.rider}
    held = [None, *(r.restraint for r in trip.restraints if r.restraint not in used)]
    if not free:
        return wish(trip, rng)
    from seatplan.model.trip import Installed  # an older checkout that benchmarks use these edits on has none

    here = Installed(position=rng.choice(free), restraint=rng.choice(held))
    return trip.model_copy(update={"installed": {**trip.installed, rider.rider: here}})


def under_way(trip: Trip, rng: Random) -> Trip:
    """A seat and a restraint that one of them is to have in the arrangement under way; or nothing is under way."""
    if trip.under_way and rng.random() < 0.3:
        return trip.model_copy(update={"under_way": {}})
    rider: Rider = rng.choice(trip.riders)
    from seatplan.model.trip import UnderWay

    aim = UnderWay(position=rng.choice([position.position for position in trip.vehicle.positions()]),
                   restraint=rng.choice([None, *(restraint.restraint for restraint in trip.restraints)]))
    return trip.model_copy(update={"under_way": {**trip.under_way, rider.rider: aim}})


def only_age(trip: Trip, rng: Random) -> Trip:
    """Of a child no size is known any more."""
    i = rng.choice(_children(trip))
    lost = ("mass", "height", "sitting_height", "shoulder_height", "ear_height", "hips", "shoulders", "buttock_knee")
    return put(trip, ("riders", i), trip.riders[i].model_copy(update={**dict.fromkeys(lost), "measured": []}))


def airbag(trip: Trip, rng: Random) -> Trip:
    """A front airbag switched off, or on again."""
    place = rng.choice([position.position for position in trip.vehicle.front_row.positions])
    off = [other for other in trip.airbags_off if other != place]
    return trip.model_copy(update={"airbags_off": off if len(off) < len(trip.airbags_off) else [*off, place]})


def written_again(trip: Trip, rng: Random) -> Trip:
    """The same trip in records of its own: equal, and none of them the same object."""
    return type(trip).model_validate(trip.model_dump(exclude_unset=True, exclude={"doubted"}, warnings=False))


#: of a trip that somebody works on
KINDS: tuple[Edit, ...] = (body, length, wish, wish_gone, width, other_width, limit, vehicle, day, rules, order, names,
                           vehicle_name, alike, rides_now, under_way, only_age, airbag, written_again)
