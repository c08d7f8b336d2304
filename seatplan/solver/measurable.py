"""What a person could still measure or look up: the fields that files leave out, each with the two ends of what it
plausibly is.

The ends are wide on purpose (synthetic ranges of the reference, low confidence); they only show what hangs on a field.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from seatplan.fields import FIELDS, field
from seatplan.frozen import frozen
from seatplan.message import Amount, Word, alone, in_kg, in_mm, said
from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip
from seatplan.model.vehicle import Ahead, Airbag, Belt, Buckle, Handbook, HeadRestraint
from seatplan.units import Quantity

from .asked import place_of

Path = tuple[str | int, ...]


@frozen
class Unknown:
    """One field that nobody filled in: its name, ``path`` from the trip's record, two values it could have, and
    in words what each would be. ``read_as`` is how rules name the field."""

    name: str
    path: Path
    how: str
    ends: tuple[Any, Any]
    words: tuple[str, str]
    read_as: str


#: (attribute, field, one end, other end); words come from the ends
_POSITION: tuple[tuple[str, str, Any, Any], ...] = (
    ("belt", "position.belt.kind", Belt(kind="lap-shoulder"), Belt(kind="lap")),
    ("belt.retractor", "position.belt.retractor", "switchable", "emergency"),
    ("belt.latchplate", "position.belt.latchplate", "locking", "sliding"),
    ("belt.inflatable", "position.belt.inflatable", False, True),
    ("belt.buckle", "position.belt.buckle", None, None),
    ("belt.length", "position.belt.length", 3200, 2200),
    ("head_restraint", "position.head_restraint", HeadRestraint(removable=True, juts=0, top=820),
     HeadRestraint(removable=False, juts=60, top=600)),
    ("head_restraint.top", "position.head_restraint.top", 820, 600),
    ("airbag", "position.airbag.front", Airbag(front="none"), Airbag(front="active")),
    ("support_leg", "position.support_leg", "allowed", "forbidden"),
    ("manual", "position.manual.forbids", Handbook(), Handbook(forbids=["child-restraint"])),
    ("i_size", "position.i_size", True, False),
    ("fixtures", "position.fixtures", ["R3", "F3", "B3"], []),
    ("universal_belted", "position.universal_belted", "both", "none"),
)
_CONDITION = (("crash", "none", "severe"), ("recall", "none", "open"), ("labels", "readable", "missing"),
              ("history", "known", "unknown"))
#: plausible ends for children up to 12 years
_CHILD: dict[str, tuple[Any, Any]] = {"mass": (Quantity.of_kg(3), Quantity.of_kg(45)), "height": (500, 1500),
          "shoulder_height": (230, 500), "sitting_height": (350, 780), "ear_height": (270, 690)}


def unknowns(trip: Trip, day: date) -> Iterator[Unknown]:
    """Every field of a trip that could be filled in, in the order of the files."""
    for i, row in enumerate(trip.vehicle.rows):
        yield from _row(("vehicle", "rows", i), row)
        rear = row is not trip.vehicle.front_row
        for k, position in enumerate(row.positions):
            yield from _position(("vehicle", "rows", i, "positions", k), position, row, rear)
    for i, rider in enumerate(trip.riders):
        if not rider.adult:
            yield from _rider(("riders", i), rider, day)
    for i, restraint in enumerate(trip.restraints):
        yield from _restraint(place_of(trip, i), restraint, day)
    for seat in sorted({p.ahead.seat for p in trip.vehicle.positions() if p.ahead and p.ahead.seat}):
        if trip.vehicle.in_front(seat) and seat not in trip.front:
            yield _unknown("trip.front", ("front", seat), ({"forward_at_most": 200}, {"forward_at_most": 0}),
                           (_mm(200), _mm(0)), position=seat)


def _unknown(key: str, path: Path, ends: tuple[Any, Any], words: tuple[str, str], **subject: Any) -> Unknown:
    """A field as the table of fields has it. ``restraint``: whose it is, where its label does not say; ``mode``: in
    which mode."""
    missing = field(key, **subject)
    name = missing.field
    if "mode" in subject:
        name = said("{restraint}: {name}, {mode}", restraint=subject["restraint"], name=name, mode=subject["mode"])
    elif "restraint" in subject:
        name = said("{restraint}: {name}", restraint=subject["restraint"], name=name)
    return Unknown(name, path, missing.how, ends, words, _READ_AS.get(key, key))


#: how rules name what is asked for in part
_READ_AS = {"position.head_restraint.top": "position.head_restraint", "mode.parts.width": "mode.parts"}


def _row(at: Path, row: Row) -> Iterator[Unknown]:
    if row.cushion.angle is None:
        yield _unknown("row.cushion.angle", (*at, "cushion", "angle"), (15.0, 22.0),
                       (said("15 degrees"), said("22 degrees")), row=row.row)
    if row.seatback.height is None:
        yield _unknown("row.seatback.height", (*at, "seatback", "height"), (680, 480), (_mm(680), _mm(480)),
                       row=row.row)
    for side, end, far in (("left", 0, 60), ("right", None, None)):
        for k, trim in enumerate(row.trim):
            if getattr(trim, side) is None and end is not None:
                yield _unknown("row.trim", (*at, "trim", k, side), (end, far),
                               (alone(in_mm(end)), alone(in_mm(far))),
                               side=Word(side), trim_name=trim.name, row=row.row)


def _position(at: Path, position: Position, row: Row, row_is_rear: bool) -> Iterator[Unknown]:
    for attribute, key, good, bad in _POSITION:
        if not _left_out(position, attribute) or (attribute == "airbag" and row_is_rear):
            continue                      # front airbags are in the front row only
        if attribute == "belt.buckle":
            if position.centre is None:
                continue
            good, bad = (Buckle(across=position.centre + d, stalk=s) for d, s in ((220, 80), (90, 200)))
        yield _unknown(key, (*at, *attribute.split(".")), (good, bad), (_word(good), _word(bad)),
                       position=position.position)
    if position.ahead is None and row_is_rear:
        ends = tuple(Ahead(gap=[(0, mm), (300, mm), (600, mm)]) for mm in (850, 550))
        yield _unknown("position.ahead", (*at, "ahead"), (ends[0], ends[1]), (_mm(850), _mm(550)),
                       position=position.position)
    for name, anchors in (("lower_anchors", row.lower_anchors), ("tether", row.tethers)):
        if getattr(position, name) is None and anchors != []:
            end: Any = () if name == "lower_anchors" else "none"
            yield _unknown(f"position.{name}", (*at, name), (end, end), ("none", "none"), position=position.position)


def _left_out(position: Position, attribute: str) -> bool:
    """Whether nobody filled a field in; nobody has to where the part is known not to be there."""
    head, _, tail = attribute.partition(".")
    part = getattr(position, head)
    if not tail:
        return part is None
    return part is not None and getattr(part, "kind", None) != "none" and getattr(part, tail) is None


def _rider(at: Path, rider: Rider, day: date) -> Iterator[Unknown]:
    for name, (low, high) in _CHILD.items():
        if getattr(rider, name) is None:
            unit = FIELDS[f"rider.{name}"].unit
            yield _unknown(f"rider.{name}", (*at, name), (low, high),
                           (alone(Amount(low, unit)), alone(Amount(high, unit))), rider=rider.rider)
    if rider.born is None and rider.age is None:
        yield _unknown("rider.born", (*at, "age"), (6, 144), (said("6 months"), said("12 years")), rider=rider.rider)
    if rider.sits_upright is None:
        yield _unknown("rider.sits_upright", (*at, "sits_upright"), (True, False), ("yes", "no"), rider=rider.rider)


def _restraint(at: Path, restraint: Restraint, day: date) -> Iterator[Unknown]:
    yield from _condition(at, restraint, day)
    for i, mode in enumerate(restraint.modes):
        for k, part in enumerate(mode.parts):
            if part.width is None:
                yield _unknown("mode.parts.width", (*at, "modes", i, "parts", k, "width"), (360, 520),
                               (_mm(360), _mm(520)), restraint=restraint.restraint, part=part.part)
        for k, installation in enumerate(mode.installations):
            if "belt" in installation.by:
                yield from _belted((*at, "modes", i, "installations", k), restraint.restraint, mode, installation)


def _condition(at: Path, restraint: Restraint, day: date) -> Iterator[Unknown]:
    """What has happened to a restraint, its mass and its last day of use."""
    name = restraint.restraint
    for asked, good, bad in _CONDITION:
        if getattr(restraint.condition, asked) in (None, "unknown"):
            yield _unknown(f"restraint.condition.{asked}", (*at, "condition", asked), (good, bad), (good, bad),
                           restraint=name)
    if restraint.mass is None:
        yield _unknown("restraint.mass", (*at, "mass"), (Quantity.of_kg(4), Quantity.of_kg(14)), (_kg(4), _kg(14)),
                       restraint=name)
    if restraint.expires is None and (restraint.made is None or restraint.expires_after is None):
        ends = (date(day.year + 5, day.month, 1), date(day.year - 1, day.month, 1))
        yield _unknown("restraint.expires", (*at, "expires"), ends, (ends[0].isoformat(), ends[1].isoformat()),
                       restraint=name)


def _belted(at: Path, name: str, mode: Mode, installation: Installation) -> Iterator[Unknown]:
    """What an installation with the vehicle belt leaves out; a booster only guides the belt of its rider."""
    if installation.belt_path is None and not mode.booster:
        yield _unknown("installation.belt_path", (*at, "belt_path"), (300, 100), (_mm(300), _mm(100)),
                       restraint=name, mode=mode.mode)
    if installation.lock_off is None and not mode.booster:
        yield _unknown("installation.lock_off", (*at, "lock_off"), (True, False), ("yes", "no"),
                       restraint=name, mode=mode.mode)
    if installation.belt_needed is None:
        yield _unknown("installation.belt_needed", (*at, "belt_needed"), (1800, 2900), (_mm(1800), _mm(2900)),
                       restraint=name, mode=mode.mode)


def _kg(value: float | Quantity) -> str:
    return alone(in_kg(value))


def _mm(value: float) -> str:
    return alone(in_mm(value))


def _word(value: Any) -> str:
    """An end in words."""
    if value is True or value is False:
        return "yes" if value else "no"
    if isinstance(value, Belt):
        return value.kind
    if isinstance(value, HeadRestraint):
        return said("can be taken out") if value.removable else said("fixed, {juts} forward", juts=in_mm(value.juts))
    if isinstance(value, Airbag):
        return str(value.front)
    if isinstance(value, Handbook):
        return said("it forbids child restraints") if value.forbids else said("it forbids nothing")
    if isinstance(value, Buckle):
        return said("at {across}, {stalk} long", across=in_mm(value.across), stalk=in_mm(value.stalk))
    if isinstance(value, list):
        return ", ".join(map(str, value)) or "none"
    return _mm(value) if isinstance(value, int) else str(value)


