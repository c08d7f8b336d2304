"""A value that would do for a field that nobody filled in, as a file has it, and a trip with it.

Where a rule says at which number it changes its answer, the value is on the good side of that; of bodies it is the
likely one, if that is. Elsewhere it is the answer that most vehicles and restraints give (common practice, no source).
It only shows what a reading would come to: what was not measured is never taken to be so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from functools import cache
from math import ceil
from statistics import mean
from typing import Annotated, Any, NamedTuple, cast

from pydantic import TypeAdapter

from seatplan.doubt.bodies import GROWN, middle_mass
from seatplan.geometry.anthropometry import SEATED
from seatplan.geometry.growth_tables import SEXES, lms_at
from seatplan.model import Mode, Position, Reckoned, Rider, Trip
from seatplan.model.doubt import steps
from seatplan.model.record import Record
from seatplan.model.trip import FrontLimit
from seatplan.rules.finding import Keeps
from seatplan.units import Number

from .asked import Asked, Path


class Settled(NamedTuple):
    """A value at which a rule changes its answer, its unit, and whether it is a most or a least."""

    value: Number | str
    unit: str
    keeps: Keeps


#: beyond the number at which a rule changes its answer, so that it is clear of what measuring can be off: by unit
_CLEAR = {"mm": 40.0, "kg": 0.3, "degrees": 3.0, "months": 1.0}
#: what most vehicles and restraints have, by field
_USUAL: dict[str, Any] = {
    "rider.sits_upright": "yes",
    "row.cushion.length": 480, "row.cushion.above_floor": 320, "row.seatback.height": 640,
    "row.seatback.angle": {"height": 640, "angle": 22}, "row.slides": 0,
    "position.facing": "forward", "position.seat": "fixed", "position.belt.kind": "lap-shoulder",
    "position.belt.retractor": "switchable", "position.belt.latchplate": "locking", "position.belt.inflatable": "no",
    "position.belt.length": 3200, "position.head_restraint": {"removable": "yes", "juts": 0, "top": 820},
    "position.head_restraint.juts": 0, "position.head_restraint.removable": "yes", "position.head_restraint.top": 820,
    "position.airbag.front": "none", "position.support_leg": "allowed",
    "position.ahead.travel": 200,
    "position.manual.forbids": [], "position.manual.allows": ["lower-anchors-with-belt",
                                                                             "rear-facing-tether"],
    "position.i_size": "yes", "position.fixtures": ["R3", "F3", "B3"], "position.universal_belted": "both",
    "position.universal_isofix": "forward-only", "position.exit": "door",
    "restraint.mass": "6 kg", "restraint.condition.crash": "none", "restraint.condition.recall": "none",
    "restraint.condition.labels": "readable", "restraint.condition.history": "known",
    "mode.seat_up": 100, "mode.shell_height": 620, "mode.shoulder_slots": [200, 600],
    "mode.recline.packing": "none", "mode.tether_strap": "yes", "mode.tether_length": 2900,
    "mode.tether_from": [300, 550], "mode.touch_ahead": "may",
    "installation.belt_path": 300, "installation.belt_needed": 1800, "installation.lock_off": "yes",
    "installation.connectors": "flexible", "installation.mass_limit": "none", "installation.needs_tether": "no",
    "installation.support_leg": "no", "installation.leg_reach": [200, 600], "installation.leg_along": 480,
    "trip.front": 200,
}
#: what to try in turn where a value turns the arrangement down: lengths, and how far towards the middle of
#: the car a buckle is from that of its seat
_IN_TURN: dict[str, tuple[int, ...]] = {
    "position.ahead": (850, 1000, 1150), "position.ahead.gap": (850, 1000, 1150), "mode.parts.width": (400, 340, 280),
    "position.belt.buckle": (190, 160, 230, -190, -160), "position.belt.buckle.stalk": (190, 160, 230, -190, -160),
    "row.trim": (330, 420), "row.cushion.angle": (15, 12, 18, 9, 21),
}
#: heights at which the free length ahead is measured, mm
_HEIGHTS = (0, 300, 600, 900)
#: lowest and highest mass and height on usual labels
_LIMITS = {"rear": (["2 kg", "23 kg"], [400, 1250]), "front": (["9 kg", "36 kg"], [650, 1350]),
           "booster": (["15 kg", "60 kg"], [950, 1524])}
_BASE = {"along": [40, 430], "up": [0, 120]}
_SHELL = {"along": [60, 480], "up": [80, 640]}
#: words that a rule settles at and a file does not have
_SAID_OTHERWISE = frozenset(("restraint.expires", "restraint.made", "position.lower_anchors", "position.tether",
                             "row.lower_anchors", "row.cushion.angle", "rider.belt_fit", "position.fixtures",
                             "rider.mass"))


#: lengths at which an arrangement is tried until it tips: from the end that turns it down to the one that does, mm
_TIPS: dict[str, tuple[int, int, Keeps]] = {
    "position.ahead": (300, 1150, "least"), "position.ahead.gap": (300, 1150, "least"),
    "mode.parts.width": (700, 200, "most")}


def tips(asked: Asked) -> tuple[int, int, Keeps] | None:
    """Between which lengths an arrangement tips with a field, the bad end first; None where no number says it."""
    return _TIPS.get(asked.key)


def at_length(asked: Asked, mm: int, trip: Trip, day: date) -> Any:
    """The value of a field that tips, with all that is not known of it at one length."""
    return _made(asked, trip, day, mm)


def turns(asked: Asked) -> int:
    """How many values there are to try in turn."""
    return len(_IN_TURN.get(asked.key, "."))


def would_do(asked: Asked, settles: Sequence[Settled], trip: Trip, day: date, turn: int = 0) -> Any:
    """A value, as a file has it, the first one or that of a ``turn``; None where nobody can say one."""
    numbers = [s for s in settles if not isinstance(s.value, str)]
    likely = _likely(asked, trip, day)
    if asked.key == "mode.shoulder_slots":
        return _slots(numbers)
    if numbers and asked.key not in ("row.lower_anchors", "mode.recline.packing"):
        found = _beyond(numbers, likely)
        return None if found is None else _written(asked, found, numbers[0].unit)
    words = [str(s.value) for s in settles if isinstance(s.value, str)]
    if words and asked.key not in _SAID_OTHERWISE:
        return [words[0]] if asked.key == "restraint.approval.groups" else words[0]
    if likely is not None:
        return _written(asked, likely, asked.unit)
    made = _made(asked, trip, day, _IN_TURN.get(asked.key, (0,))[turn])
    return _USUAL.get(asked.key) if made is None else made


def _beyond(settles: Iterable[Settled], likely: float | None) -> float | None:
    """A number on the good side of all at which rules change their answer; None where there is none."""
    least = max((float(cast(Number, s.value)) for s in settles if s.keeps != "most"), default=None)
    most = min((float(cast(Number, s.value)) for s in settles if s.keeps == "most"), default=None)
    clear = _CLEAR.get(next((s.unit for s in settles if s.unit), ""), 0)
    if least is not None and most is not None:
        if least > most:
            return None
        clear = min(clear, (most - least) / 2)
    low = None if least is None else least + clear
    high = None if most is None else max(0.0, most - clear)
    if likely is not None:
        return min(max(likely, low if low is not None else likely), high if high is not None else max(likely, low or 0))
    return low if low is not None else high


def _written(asked: Asked, value: float, unit: str) -> Any:
    """A number as the file has it."""
    if unit == "kg":
        return f"{round(value, 1):g} kg"
    if unit == "months":
        return f"{ceil(value)} months"
    return int(value) if float(value).is_integer() else round(value) if unit == "mm" else round(value, 1)


def _likely(asked: Asked, trip: Trip, day: date) -> float | None:
    """The likely size of a body."""
    if not asked.path or asked.path[0] != "riders":
        return None
    rider = trip.riders[int(asked.path[1])]
    name = str(asked.path[-1])
    if name in SEATED:
        found = SEATED[name](rider)
        return None if found is None else float(found.middle)
    if name not in ("mass", "height"):
        return None
    if name == "mass" and rider.height is not None:
        return middle_mass(float(rider.height))
    age = None if rider.born is None else (day - rider.born).days / 30.44
    age = float(rider.age) if age is None and rider.age is not None else age
    if age is None or not 0 <= age < GROWN:
        return None
    return mean(lms_at("mass" if name == "mass" else "height", sex, age).m for sex in SEXES)


def _made(asked: Asked, trip: Trip, day: date, turn: int) -> Any:
    """A value that hangs on what else is known, or on what was tried."""
    way = list(steps(trip, asked.path))
    seat = next((one for one in way if isinstance(one, Position)), None)
    row = next((one for one in way if type(one).__name__ == "Row"), None)
    mode = next((one for one in way if isinstance(one, Mode)), None)
    centre = 500 if seat is None or seat.centre is None else seat.centre
    name = "" if seat is None else seat.position
    match asked.key:
        case "restraint.expires":
            return day.replace(day=1, year=day.year + 4).isoformat()
        case "restraint.made":
            return (day - timedelta(days=400)).isoformat()
        case "position.ahead":
            return {"gap": [[height, turn] for height in _HEIGHTS]}
        case "position.ahead.gap" if seat is not None and seat.ahead is not None:
            known = dict(seat.ahead.gap)
            return [list(one) for one in sorted((dict.fromkeys(_HEIGHTS, turn) | known).items())]
        case "mode.parts.width" | "row.cushion.angle":
            return turn
        case "position.centre":
            return centre
        case "position.belt.anchors" | "position.middle":
            return [max(0, centre - 170), centre + 170]
        case "position.belt.buckle" | "position.belt.buckle.stalk":
            return {"across": max(0, centre + (-turn if name[1:] == "R" else turn)), "stalk": 80}
        case "position.lower_anchors":
            return [f"{name}-a", f"{name}-b"]
        case "position.tether":
            return f"{name}-t"
        case "row.cushion.left" if row is not None:
            places = [p.centre for p in row.positions if p.centre is not None] or [500]
            return {"left": max(0, min(places) - 260), "right": max(places) + 260}
        case "row.lower_anchors" if row is not None:
            return _bars(row)
        case "row.tethers" if row is not None:
            return _anchors(row)
        case "row.trim" if row is not None:
            return _walls(row, turn)
        case "limits" if mode is not None:
            mass, height = _LIMITS["rear" if mode.rear_facing else "front" if mode.harness else "booster"]
            return {"mass": mass, "height": height}
        case "mode.recline" if mode is not None:
            return {"reference": 40, "allowed": [30, 50], "packing": "none"} if mode.rear_facing else {
                "reference": 15, "allowed": "none"}
        case "mode.parts.outline":
            return _BASE if asked.path[-1] == 0 else _SHELL
        case "mode.parts":
            return [{"part": "base", "width": 380, **_BASE}, {"part": "shell", "width": 420, **_SHELL}]
        case "mode.parts.base" if mode is not None:
            return [*map(_given, mode.parts), {"part": "base", "width": 380, **_BASE}]
    return None


def _slots(settles: Iterable[Settled]) -> list[int]:
    """The lowest and the highest strap exit."""
    low = min((float(s.value) for s in settles if s.keeps == "most"), default=220.0)
    high = max((float(s.value) for s in settles if s.keeps == "least"), default=560.0)
    return [round(max(0.0, low - 20)), round(max(high + 20, low))]


def _given(record: Record) -> dict[str, Any]:
    """What a record says, as a file has it."""
    return {key: value for key, value in record.data().items() if value is not None}


def _bars(row: Any) -> list[dict[str, Any]]:
    """The bars that are known, and those that a seat names, at their usual places."""
    known = {bar.bar: {"bar": bar.bar, "across": bar.across} for bar in row.lower_anchors or ()}
    for position in row.positions:
        centre = 500 if position.centre is None else position.centre
        for bar, aside in zip(position.lower_anchors or (), (-140, 140), strict=False):
            known.setdefault(bar, {"bar": bar, "across": max(0, centre + aside)})
    return list(known.values())


def _walls(row: Any, aside: int) -> list[dict[str, Any]]:
    """The parts of the side walls that are known, open sides filled in as far from the seats as doors usually are."""
    places = [position.centre for position in row.positions if position.centre is not None] or [500]
    known = [_given(one) for one in row.trim] or [{"name": "door"}]
    far = max(places) + aside
    made = []
    for one in known:
        sides = {"left": 0, "right": far} if one.get("only") is None else {one["only"]: {"left": 0, "right": far}[
            one["only"]]}
        made.append({**sides, **one})
    return made


def _anchors(row: Any) -> list[dict[str, Any]]:
    """The tether anchors that are known, and those that a seat names; each with a place."""
    known = {one.tether: _given(one) for one in row.tethers or ()}
    for position in row.positions:
        if position.tether not in (None, "none"):
            known.setdefault(position.tether, {"tether": position.tether})
            centre = 500 if position.centre is None else position.centre
            known[position.tether] = {"across": centre, "along": -150, "up": 500} | known[position.tether]
    return list(known.values())


def with_field(record: Any, path: Path, value: Any) -> Any:
    """The same records with one field as a file has it; what holds it is made where it is not there. Raises
    pydantic's ValidationError for what no file could hold."""
    if not path:
        return type(record).model_validate({**value, **_given(record)})
    step, rest = path[0], path[1:]
    if isinstance(record, dict):
        held = record.get(step)
        held = FrontLimit() if held is None else held
        return {**record, step: with_field(held, rest, value)}
    if isinstance(record, (list, tuple)):
        return [with_field(one, rest, value) if i == step else one for i, one in enumerate(record)]
    name = str(step)
    held = getattr(record, name)
    if not rest:
        made = _typed(type(record), name, {**value, **_given(held)} if isinstance(held, Record) and isinstance(
            value, dict) else value)
    elif held is None:
        for outer in reversed(rest):
            value = {outer: value}
        made = _typed(type(record), name, value)
    else:
        made = with_field(held, rest, value)
    if isinstance(record, Reckoned) and name in Rider.model_fields:
        ends = {end: with_field(getattr(record, end), path, value) for end in ("smaller", "larger")}
        return record.model_copy(update={name: made, **ends})
    return record.model_copy(update={name: made})


def _typed(record: type[Record], name: str, value: Any) -> Any:
    return _reader(record, name).validate_python(value)


@cache
def _reader(record: type[Record], name: str) -> TypeAdapter[Any]:
    info = record.model_fields[name]
    return TypeAdapter(Annotated[info.annotation, *info.metadata] if info.metadata else info.annotation)
