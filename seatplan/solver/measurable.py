"""What a person could still measure or look up: the fields that files leave out, how to take each, and the two ends of
what it plausibly is.

The ends are wide on purpose (synthetic ranges of the reference, low confidence); they only show what hangs on a field.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from seatplan.message import Amount, Word, alone, in_kg, in_mm, said
from seatplan.model import Installation, Mode, Position, Restraint, Rider, Row, Trip
from seatplan.model.vehicle import Ahead, Airbag, Belt, Buckle, Handbook, HeadRestraint
from seatplan.units import Quantity

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Unknown:
    """One field that nobody filled in: ``path`` from the trip's record, two values it could have, and in words what
    each would be. ``read_as`` is how rules name the field."""

    name: str
    path: Path
    how: str
    ends: tuple[Any, Any]
    words: tuple[str, str]
    read_as: str


#: (attribute, read as, what to call it, how, one end, other end); words come from the ends
_POSITION: tuple[tuple[str, str, str, str, Any, Any], ...] = (
    ("belt", "position.belt.kind", "belt", "look whether it has a lap part only, or lap and shoulder",
     Belt(kind="lap-shoulder"), Belt(kind="lap")),
    ("belt.retractor", "position.belt.retractor", "retractor of the belt",
     "draw the belt out fully, let it in a little and pull: does it stay locked", "switchable", "emergency"),
    ("belt.latchplate", "position.belt.latchplate", "latchplate of the belt",
     "pull the lap part tight and tilt the latchplate: does it keep the webbing", "locking", "sliding"),
    ("belt.inflatable", "position.belt.inflatable", "whether the belt inflates",
     "feel whether its shoulder part is thick like a tube, and read its label", False, True),
    ("belt.buckle", "position.belt.buckle", "buckle",
     "measure from the left door trim to the buckle, and from the crease to its top", None, None),
    ("belt.length", "position.belt.length", "belt length", "draw the belt out fully and measure it", 3200, 2200),
    ("head_restraint", "position.head_restraint", "head restraint",
     "look whether it can be taken out, and how far it stands forward of the seatback",
     HeadRestraint(removable=True, juts=0, top=820), HeadRestraint(removable=False, juts=60, top=600)),
    ("head_restraint.top", "position.head_restraint", "top of the head restraint",
     "pull it up to its highest setting and measure from the cushion along the seatback to its top", 820, 600),
    ("airbag", "position.airbag.front", "front airbag", "look for the word AIRBAG on the dashboard, and for a switch",
     Airbag(front="none"), Airbag(front="active")),
    ("support_leg", "position.support_leg", "support leg", "lift the carpet and look for a box in the floor",
     "allowed", "forbidden"),
    ("manual", "position.manual.forbids", "what the vehicle handbook forbids", "look it up in the handbook",
     Handbook(), Handbook(forbids=["child-restraint"])),
    ("i_size", "position.i_size", "whether it is an i-Size place", "look for the i-Size mark, or in the handbook",
     True, False),
    ("fixtures", "position.fixtures", "fixtures of the handbook table", "look them up in the handbook",
     ["R3", "F3", "B3"], []),
    ("universal_belted", "position.universal_belted", "whether it takes universal belted restraints",
     "look it up in the handbook", "both", "none"),
)
_CONDITION = (
    ("crash", "restraint.condition.crash", "whether it was in a crash", "ask its owner", "none", "severe"),
    ("recall", "restraint.condition.recall", "whether a recall is open",
     "give model number and day made, from the label, to the maker", "none", "open"),
    ("labels", "restraint.condition.labels", "whether its labels can be read", "look under and behind it",
     "readable", "missing"),
    ("history", "restraint.condition.history", "its history", "ask its owner from new", "known", "unknown"),
)
_RIDER = (
    ("mass", "rider.mass", "mass", "weigh the child in light clothes on a household scale"),
    ("height", "rider.height", "height", "stand the child against a wall without shoes and measure"),
    ("shoulder_height", "rider.shoulder_height", "seated shoulder height",
     "sit the child upright against a wall and measure from the seat to the shoulder"),
    ("sitting_height", "rider.sitting_height", "sitting height",
     "sit the child upright against a wall and measure from the seat to the top of the head"),
    ("ear_height", "rider.ear_height", "ear height",
     "sit the child upright against a wall and measure from the seat to the top of the ears"),
)
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
        yield from _restraint(("restraints", i), restraint, day)
    for seat in sorted({p.ahead.seat for p in trip.vehicle.positions() if p.ahead and p.ahead.seat}):
        if trip.vehicle.in_front(seat) and seat not in trip.front:
            yield Unknown(
                said("how far forward whoever sits at {seat} can sit", seat=seat),
                ("front", seat),
                said("let them slide the seat forward as far as they can live with, and measure from rearmost"),
                ({"forward_at_most": 200}, {"forward_at_most": 0}),
                (_mm(200), _mm(0)),
                "trip.front",
            )


def _row(at: Path, row: Row) -> Iterator[Unknown]:
    if row.cushion.angle is None:
        yield Unknown(said("cushion angle of row {row}", row=row.row), (*at, "cushion", "angle"),
                      said("lay a board on the cushion from front to back and put an angle gauge on it"),
                      (15.0, 22.0), (said("15 degrees"), said("22 degrees")), "row.cushion.angle")
    if row.seatback.height is None:
        yield Unknown(said("seatback height of row {row}", row=row.row), (*at, "seatback", "height"),
                      said("measure from the cushion along it to its top, without head restraint"),
                      (680, 480), (_mm(680), _mm(480)), "row.seatback.height")
    for side, end, far in (("left", 0, 60), ("right", None, None)):
        for k, trim in enumerate(row.trim):
            if getattr(trim, side) is None and end is not None:
                yield Unknown(
                    said("{side} {trim_name} of row {row}", side=Word(side), trim_name=trim.name, row=row.row),
                    (*at, "trim", k, side),
                    said("measure where the {side} {trim_name} begins", side=Word(side), trim_name=trim.name),
                    (end, far),
                    (alone(in_mm(end)), alone(in_mm(far))),
                    "row.trim",
                )


def _position(at: Path, position: Position, row: Row, row_is_rear: bool) -> Iterator[Unknown]:
    for attribute, read_as, name, how, good, bad in _POSITION:
        if not _left_out(position, attribute) or (attribute == "airbag" and row_is_rear):
            continue                      # front airbags are in the front row only
        if attribute == "belt.buckle":
            if position.centre is None:
                continue
            good, bad = (Buckle(across=position.centre + d, stalk=s) for d, s in ((220, 80), (90, 200)))
        yield Unknown(said("{name} at {position}", name=said(name), position=position.position),
                      (*at, *attribute.split(".")), said(how), (good, bad),
                      (_word(good), _word(bad)), read_as)
    if position.ahead is None and row_is_rear:
        ends = tuple(Ahead(gap=[(0, mm), (300, mm), (600, mm)]) for mm in (850, 550))
        yield Unknown(
            said("free length ahead of {position}", position=position.position),
            (*at, "ahead"),
            said(
                "with the seat ahead rearmost, measure forward from the crease at the cushion, and {low} and "
                "{high} above it", low=in_mm(300), high=in_mm(600)
            ),
            (ends[0], ends[1]),
            (_mm(850), _mm(550)),
            "position.ahead",
        )
    if position.lower_anchors is None and row.lower_anchors != []:
        yield Unknown(said("lower anchors at {position}", position=position.position), (*at, "lower_anchors"),
                      said("feel in the crease of the seat for two bars"), ((), ()), ("none", "none"),
                      "position.lower_anchors")
    if position.tether is None and row.tethers != []:
        yield Unknown(said("tether anchor at {position}", position=position.position), (*at, "tether"),
                      said("look behind the seat, on shelf, floor or roof, for a loop with an anchor mark"),
                      ("none", "none"), ("none", "none"), "position.tether")


def _left_out(position: Position, attribute: str) -> bool:
    """Whether nobody filled a field in; nobody has to where the part is known not to be there."""
    head, _, tail = attribute.partition(".")
    part = getattr(position, head)
    if not tail:
        return part is None
    return part is not None and getattr(part, "kind", None) != "none" and getattr(part, tail) is None


def _rider(at: Path, rider: Rider, day: date) -> Iterator[Unknown]:
    for attribute, read_as, name, how in _RIDER:
        if getattr(rider, attribute) is None:
            low, high = _CHILD[attribute]
            unit = "kg" if attribute == "mass" else "mm"
            yield Unknown(
                said("{name} of {rider}", name=said(name), rider=rider.rider),
                (*at, attribute),
                said(how),
                (low, high),
                (alone(Amount(low, unit)), alone(Amount(high, unit))),
                read_as,
            )
    if rider.born is None and rider.age is None:
        yield Unknown(said("age of {rider}", rider=rider.rider), (*at, "age"), said("write the day of birth"), (6, 144),
                      (said("6 months"), said("12 years")), "rider.born")
    if rider.sits_upright is None:
        yield Unknown(
            said("whether {rider} sits upright", rider=rider.rider),
            (*at, "sits_upright"),
            said("watch the child sit through a whole ride"),
            (True, False),
            ("yes", "no"),
            "rider.sits_upright",
        )


def _restraint(at: Path, restraint: Restraint, day: date) -> Iterator[Unknown]:
    yield from _condition(at, restraint, day)
    for i, mode in enumerate(restraint.modes):
        where = (*at, "modes", i)
        for k, part in enumerate(mode.parts):
            if part.width is None:
                yield Unknown(said("{restraint}: width of its {part_name}", restraint=restraint.restraint,
                                   part_name=part.part),
                              (*where, "parts", k, "width"), said("measure it across at its widest"),
                              (360, 520), (_mm(360), _mm(520)), "mode.parts")
        for k, installation in enumerate(mode.installations):
            if "belt" in installation.by:
                yield from _belted((*where, "installations", k), restraint, mode, installation)


def _condition(at: Path, restraint: Restraint, day: date) -> Iterator[Unknown]:
    """What has happened to a restraint, its mass and its last day of use."""
    for attribute, read_as, name, how, good, bad in _CONDITION:
        if getattr(restraint.condition, attribute) in (None, "unknown") and good != bad:
            yield Unknown(said("{restraint}: {name}", restraint=restraint.restraint, name=said(name)),
                          (*at, "condition", attribute), said(how), (good, bad),
                          (good, bad), read_as)
    if restraint.mass is None:
        yield Unknown(
            said("{restraint}: its mass", restraint=restraint.restraint),
            (*at, "mass"),
            said("weigh it with its base"),
            (Quantity.of_kg(4), Quantity.of_kg(14)),
            (_kg(4), _kg(14)),
            "restraint.mass",
        )
    if restraint.expires is None and (restraint.made is None or restraint.expires_after is None):
        ends = (date(day.year + 5, day.month, 1), date(day.year - 1, day.month, 1))
        yield Unknown(said("{restraint}: its last day of use", restraint=restraint.restraint), (*at, "expires"),
                      said("read the label: day made, and how long it may be used"), ends,
                      (ends[0].isoformat(), ends[1].isoformat()), "restraint.expires")


def _belted(at: Path, restraint: Restraint, mode: Mode, installation: Installation) -> Iterator[Unknown]:
    """What an installation with the vehicle belt leaves out; a booster only guides the belt of its rider."""
    if installation.belt_path is None and not mode.booster:
        yield Unknown(said("{restraint}: way to the belt path, {mode}", restraint=restraint.restraint,
                           mode=mode.mode), (*at, "belt_path"),
                      said("measure from the crease along the belt to where it enters the restraint"),
                      (300, 100), (_mm(300), _mm(100)), "installation.belt_path")
    if installation.lock_off is None and not mode.booster:
        yield Unknown(
            said("{restraint}: lock-off, {mode}", restraint=restraint.restraint, mode=mode.mode),
            (*at, "lock_off"),
            said("look for a clamp at its belt path"),
            (True, False),
            ("yes", "no"),
            "installation.lock_off",
        )
    if installation.belt_needed is None:
        yield Unknown(said("{restraint}: belt that its routing uses, {mode}", restraint=restraint.restraint,
                           mode=mode.mode),
                      (*at, "belt_needed"),
                      said("install it, mark the belt at the pillar, take it out and measure"), (1800, 2900),
                      (_mm(1800), _mm(2900)), "installation.belt_needed")


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


