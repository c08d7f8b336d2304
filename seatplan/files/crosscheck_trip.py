"""Checks across a trip, its vehicle, riders and restraints; and the same trip in another car."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from itertools import pairwise

from seatplan.message import Word, alone, in_kg, in_mm, joined, said
from seatplan.model import Rider, Tried, Trip, Wish

from .crosscheck_body import bodies_wrong
from .crosscheck_restraint import made_later
from .errors import Problem, near_word
from .places import Found, Loc, Places

#: nobody younger counts as an adult here, so that a slip cannot take a child past the rules for children
ADULT_FROM_MONTHS = 13 * 12
#: nor anybody smaller or lighter: the stature at which US guidance looks at belt fit at all (57 in), and the mass of
#: the smallest child for whom a belt alone fitted, 37 kg (Klinich et al. 1994), rounded down
ADULT_FROM_MM, ADULT_FROM_KG = 1400, 35
#: names that the planner uses itself
_TAKEN_NAMES = ("the driver",)


def trip_problems(trip: Trip, places: Places, excused: Collection[Loc] = (),
                  today: date | None = None) -> list[Problem]:
    """Everything about one trip that does not agree with its vehicle, riders and restraints.

    What stands at an ``excused`` place does not count. ``today`` stands in where the trip names no day.
    """
    found = (*_trip(trip), *bodies_wrong(trip), *_too_far_forward(trip), *_not_made_yet(trip, trip.on or today))
    return [places.problem(loc, text) for loc, text in found if loc not in excused]


def _too_far_forward(trip: Trip) -> Found:
    """Nobody sits further forward than the seat travels."""
    off = trip.vehicle.measured.tolerance
    for name, limit in trip.front.items():
        travels = [p.ahead.travel for p in trip.vehicle.positions()
                   if p.ahead is not None and p.ahead.seat == name and p.ahead.travel is not None]
        slides = next((r.slides for r in trip.vehicle.rows if str(r.row) == name[0]), 0)
        if slides is None and trip.vehicle.in_front(name):
            slides = 0                      # a front row has seats that slide, not rails of its own
        if limit.forward_at_most is None or not travels or slides is None:
            continue
        most = max(travels) + slides
        if limit.forward_at_most > most + 2 * off:
            yield (
                ("front", name, "forward_at_most"),
                said("whoever sits at {name} can live with {forward} forward, and the seat travels {most}; "
                     "expected at most that", name=name, forward=in_mm(limit.forward_at_most), most=in_mm(most)),
            )


def _not_made_yet(trip: Trip, day: date | None) -> Found:
    """Nobody rides in what is made later."""
    for i, restraint in enumerate(trip.restraints):
        if day is not None and restraint.made is not None and restraint.made > day:
            yield (
                ("restraints", i, "made"),
                made_later(restraint, day),
            )


def _trip(trip: Trip) -> Found:
    positions = [p.position for p in trip.vehicle.positions()]
    riders = [rider.rider for rider in trip.riders]
    restraints = [restraint.restraint for restraint in trip.restraints]
    yield from _twice("riders", riders, "rider", said("give each rider a name of its own"))
    yield from _twice(
        "restraints", restraints, "restraint", said("give each copy a name of its own: {use: ..., as: ...}")
    )
    if trip.drives not in positions:
        yield ("drives",), said('no position is called "{drives}"; {near_word}', drives=trip.drives,
                                near_word=near_word(trip.drives, positions))
    elif not trip.vehicle.in_front(trip.drives):
        yield ("drives",), said("{drives} is not in the front row; expected the driver's seat", drives=trip.drives)
    for i, name in enumerate(riders):
        if name.casefold() in _TAKEN_NAMES:
            yield ("riders", i, "rider"), said('"{name}" is a name that the planner uses itself; expected another',
                                               name=name)
    drivers = [rider for rider in trip.riders if rider.drives]
    for i, rider in enumerate(trip.riders):
        if rider.drives and not rider.adult:
            yield ("riders", i, "drives"), said("{rider} drives and is no adult; expected `adult: yes`",
                                                rider=rider.rider)
        age = rider.age if rider.age is not None else _months(rider.born, trip.on)
        if rider.adult and age is not None and age < ADULT_FROM_MONTHS:
            yield (
                ("riders", i, "adult"),
                said("{rider} is {age} years old; expected `adult: yes` from 13 on", rider=rider.rider, age=age // 12),
            )
        small = (rider.height or ADULT_FROM_MM) < ADULT_FROM_MM or (rider.mass or ADULT_FROM_KG) < ADULT_FROM_KG
        if rider.adult and small and (age is None or age >= ADULT_FROM_MONTHS):
            yield (
                ("riders", i, "adult"),
                said("{rider} is written down as an adult of {body}; expected an adult of at least "
                     "{ADULT_FROM_MM} and {ADULT_FROM_KG}, others ride as children do", rider=rider.rider,
                     body=_body(rider), ADULT_FROM_MM=in_mm(ADULT_FROM_MM), ADULT_FROM_KG=in_kg(ADULT_FROM_KG)),
            )
        if rider.drives and rider is not drivers[0]:
            yield (
                ("riders", i, "drives"),
                said("{rider} drives and {rider_2} too; expected one driver", rider=rider.rider,
                     rider_2=drivers[0].rider),
            )
        if rider.born is not None and trip.on is not None and rider.born > trip.on:
            yield (
                ("riders", i, "born"),
                said("{rider} is born {born}, after the day of travel {on}; "
                     "expected a day before it", rider=rider.rider, born=rider.born, on=trip.on),
            )
        if rider.born is not None and rider.age is not None:
            yield ("riders", i, "age"), said("{rider} has both `born` and `age`; expected one of them",
                                             rider=rider.rider)
        if rider.belt_fit is not None and rider.belt_fit.position is not None:
            yield from _known(
                ("riders", i, "belt_fit", "position"), rider.belt_fit.position, positions, "position"
            )
    for name in trip.front:
        yield from _known(("front", name), name, positions, "position")
    for i, name in enumerate(trip.airbags_off):
        yield from _known(("airbags_off", i), name, positions, "position")
    taken: dict[tuple[str, str], str] = {}
    for name, current in trip.current.items():
        for key, thing in (("position", current.position), ("restraint", current.restraint or "")):
            other = taken.setdefault((key, thing), name) if thing else name
            if other != name:
                yield (
                    ("current", name, key),
                    said("{thing} is where {other} rides too; expected one rider for each", thing=thing, other=other),
                )
        yield from _known(("current", name), name, riders, "rider")
        yield from _known(("current", name, "position"), current.position, positions, "position")
        if current.restraint is not None:
            yield from _known(("current", name, "restraint"), current.restraint, restraints, "restraint")
    for i, tried in enumerate(trip.tried):
        for loc, text in tried_wrong(tried, trip):
            yield ("tried", i, *loc), text
    for i, wish in enumerate(trip.wishes):
        for loc, text in _wish(wish, riders, positions, restraints):
            yield ("wishes", i, *loc), text
    yield from _contradictions(trip, positions)


def _wish(wish: Wish, riders: list[str], positions: list[str], restraints: list[str]) -> Found:
    kinds = [
        kind for kind in ("at", "not_at", "uses", "apart", "together") if getattr(wish, kind) is not None
    ]
    if len(kinds) != 1:
        told = joined(" and ", kinds) if kinds else said("nothing")
        yield (), said("this wish says {told}; expected one of at, not_at, uses, apart, together", told=told)
        return
    kind = kinds[0]
    names = getattr(wish, kind)
    if not names:
        yield (kind,), said("`{kind}` names nothing; expected at least one name", kind=kind)
    if kind in ("apart", "together"):
        if wish.rider is not None:
            yield ("rider",), said("a wish with `{kind}` names its riders there; leave `rider` out", kind=kind)
        if len(set(names)) < 2:
            yield (kind,), said("`{kind}` names {n_set} rider; expected at least two", kind=kind,
                                n_set=len(set(names)))
    elif wish.rider is None:
        yield (), said("a wish with `{kind}` needs `rider`", kind=kind)
    else:
        yield from _known(("rider",), wish.rider, riders, "rider")
    known, what = {
        "at": (positions, "position"),
        "not_at": (positions, "position"),
        "uses": (restraints, "restraint"),
        "apart": (riders, "rider"),
        "together": (riders, "rider"),
    }[kind]
    for j, name in enumerate(names):
        yield from _known((kind, j), name, known, what)


def tried_wrong(tried: Tried, trip: Trip) -> Found:
    """What one entry of `tried` names that the trip does not have: (key, text)."""
    yield from _known(("restraint",), tried.restraint, [r.restraint for r in trip.restraints], "restraint")
    yield from _known(("position",), tried.position, [p.position for p in trip.vehicle.positions()], "position")
    modes = [m for r in trip.restraints if r.restraint == tried.restraint for m in r.modes]
    if modes and tried.mode is not None and tried.mode not in {m.mode for m in modes}:
        near = near_word(tried.mode, {m.mode for m in modes})
        yield ("mode",), said("{restraint} has no mode {mode}; {near}", restraint=tried.restraint, mode=tried.mode,
                              near=near)
        return
    ways = {k.by for m in modes if tried.mode in (None, m.mode) for k in m.installations}
    if ways and tried.by not in ways:
        as_mode = said(" as {mode}", mode=tried.mode) if tried.mode else ""
        yield ("by",), said("{restraint} has no installation by {by}{as_mode}; {near_word}",
                            restraint=tried.restraint, by=tried.by, as_mode=as_mode,
                            near_word=near_word(tried.by, ways))


def _twice(key: str, names: list[str], what: str, hint: str) -> Found:
    for i, name in enumerate(names):
        if name in names[:i]:
            yield (key, i), said('{what} "{name}" is named twice; {hint}', what=Word(what), name=name, hint=hint)


def _known(loc: Loc, name: str, names: Iterable[str], what: str) -> Found:
    known = list(names)
    if name not in known:
        yield loc, said('no {what} of this trip is called "{name}"; {near_word}', what=Word(what), name=name,
                        near_word=near_word(name, known))


def _months(born: date | None, on: date | None) -> int | None:
    if born is None or on is None:
        return None
    return (on.year - born.year) * 12 + on.month - born.month - (on.day < born.day)


#: what is said of a part of a trip that does not go along to another car
LEFT_OUT = "left out: {what}; {why}"
_NO_SUCH = said("this car has no such position")


def fitted_to(trip: Trip) -> tuple[Trip, list[tuple[Loc, str]]]:
    """The trip in another car: without what it says of positions that this car lacks; and what was left out,
    with its place and why.

    What was tried, and a belt-fit test that was passed, hold for the car they were done in: left out too.
    A must is never left out: the cross-check will say what is not there.
    """
    there = {p.position for p in trip.vehicle.positions()}
    dropped: list[tuple[Loc, str]] = []

    def drop(loc: Loc, what: str, why: str = _NO_SUCH) -> bool:
        dropped.append((loc, said(LEFT_OUT, what=what, why=why)))
        return True

    wishes = []
    for i, wish in enumerate(trip.wishes):
        for key in ("at", "not_at") if not wish.must else ():
            named = getattr(wish, key)
            if named is None:
                continue
            kept = [
                name
                for j, name in enumerate(named)
                if name in there or not drop(("wishes", i, key, j), said("the wish for {name}", name=name))
            ]
            wish = wish.model_copy(update={key: kept})
        if wish.at != [] and wish.not_at != []:
            wishes.append(wish)
    for i, tried in enumerate(trip.tried):
        drop(
            ("tried", i, "position"), said("what was tried with {restraint} at {position}", restraint=tried.restraint,
                                           position=tried.position), said("it was in another car")
        )
    riders = []
    for i, rider in enumerate(trip.riders):
        fit = rider.belt_fit
        if fit is not None and (fit.passed or fit.position is not None):
            drop(
                ("riders", i, "belt_fit", "position"),
                said("the belt fit of {rider}", rider=rider.rider),
                said("it was tested in another car"),
            )
            rider = rider.model_copy(update={"belt_fit": None})
        riders.append(rider)
    return trip.model_copy(
        update={
            "wishes": wishes,
            "tried": [],
            "riders": riders,
            "current": {
                name: here
                for name, here in trip.current.items()
                if here.position in there
                or not drop(("current", name, "position"), said("{name} at {position}", name=name,
                                                                position=here.position))
            },
            "front": {
                name: limit
                for name, limit in trip.front.items()
                if name in there or not drop(("front", name), said("the front seat {name}", name=name))
            },
            "airbags_off": [
                name
                for i, name in enumerate(trip.airbags_off)
                if name in there or not drop(("airbags_off", i), said("the airbag at {name}", name=name))
            ],
        }
    ), dropped


def _contradictions(trip: Trip, positions: list[str]) -> Found:
    """Musts that no seating can keep, whatever the car."""
    for rider in trip.riders:
        left = [*positions, *(p for w in trip.wishes for p in w.at or ())]      # unknown ones are told elsewhere
        for i, wish in enumerate(trip.wishes):
            if not wish.must or wish.rider != rider.rider or (wish.at is None and wish.not_at is None):
                continue
            left = [p for p in left if p in (wish.at or left) and p not in (wish.not_at or ())]
            if not left:
                yield ("wishes", i), said("the musts for {rider} leave no seat; drop one, or its `must`",
                                          rider=rider.rider)
                break
    close = [(i, w.together) for i, w in enumerate(trip.wishes) if w.must and w.together]
    apart = [set(w.apart) for w in trip.wishes if w.must and w.apart]
    for i, names in close:
        for one, other in pairwise(names):
            if any({one, other} <= group for group in apart):
                yield ("wishes", i), said("{one} and {other} must sit together and must sit apart; drop one of the two",
                                          one=one, other=other)


def _body(rider: Rider) -> str:
    told = [alone(in_mm(rider.height))] if rider.height is not None else []
    told += [alone(in_kg(rider.mass))] if rider.mass is not None else []
    return joined(" and ", told)
