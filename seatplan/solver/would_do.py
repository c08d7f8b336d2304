"""A value that would do for a field that nobody filled in, as a file has it, and a trip with it.

Where a rule says at which number it changes its answer, the value is on the good side of that; of bodies it is the
likely one, if that is. Elsewhere it is the answer that most vehicles and restraints give (common practice, no source).
It only shows what a reading would come to: what was not measured is never taken to be so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from math import ceil
from statistics import mean
from typing import Any, NamedTuple, cast

from seatplan.doubt.bodies import GROWN, middle_mass
from seatplan.geometry.anthropometry import SEATED
from seatplan.geometry.growth_tables import SEXES, charts, lms_at
from seatplan.model import Reckoned, Rider, Trip
from seatplan.model.field_value import field_value
from seatplan.model.record import Record
from seatplan.model.trip import FrontLimit
from seatplan.rules.finding import Keeps
from seatplan.units import Number

from .asked import Asked, Path
from .usual import given, usual


class Settled(NamedTuple):
    """A value at which a rule changes its answer, its unit, and whether it is a most or a least."""

    value: Number | str
    unit: str
    keeps: Keeps


#: beyond the number at which a rule changes its answer, so that it is clear of what measuring can be off: by unit
_CLEAR = {"mm": 40.0, "kg": 0.3, "degrees": 3.0, "months": 1.0}
#: what to try in turn where a value turns the arrangement down: lengths, and how far towards the middle of
#: the car a buckle is from that of its seat
_IN_TURN: dict[str, tuple[int, ...]] = {
    "position.ahead": (850, 1000, 1150), "position.ahead.gap": (850, 1000, 1150), "mode.parts.width": (400, 340, 280),
    "position.belt.buckle": (190, 160, 230, -190, -160), "position.belt.buckle.stalk": (190, 160, 230, -190, -160),
    "row.trim": (330, 420), "row.cushion.angle": (15, 12, 18, 9, 21),
}
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
    return usual(asked, trip, day, mm)


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
    return usual(asked, trip, day, _IN_TURN.get(asked.key, (0,))[turn])


def _beyond(settles: Iterable[Settled], likely: float | None) -> float | None:
    """A number on the good side of all at which rules change their answer; None where there is none."""
    exact = next((float(cast(Number, s.value)) for s in settles if not s.keeps and s.unit != "months"), None)
    if exact is not None:
        return exact
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
    if least is not None and most is not None:
        return (least + most) / 2
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
    return mean(lms_at("mass" if name == "mass" else "height", sex, age, chart=chart).m
                for sex in SEXES for chart in charts(age))


def _slots(settles: Iterable[Settled]) -> list[int]:
    """The lowest and the highest strap exit."""
    low = min((float(s.value) for s in settles if s.keeps == "most"), default=220.0)
    high = max((float(s.value) for s in settles if s.keeps == "least"), default=560.0)
    return [round(max(0.0, low - 20)), round(max(high + 20, low))]


def with_field(record: Any, path: Path, value: Any) -> Any:
    """The same records with one field as a file has it; what holds it is made where it is not there. Raises
    ValueError for what no file could hold."""
    if not path:
        return type(record).model_validate({**value, **given(record)})
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
        made = field_value(type(record), name, {**value, **given(held)} if isinstance(held, Record) and isinstance(
            value, dict) else value)
    elif held is None:
        for outer in reversed(rest):
            value = {outer: value}
        made = field_value(type(record), name, value)
    else:
        made = with_field(held, rest, value)
    if isinstance(record, Reckoned) and name in Rider.model_fields:
        ends = {end: with_field(getattr(record, end), path, value) for end in ("smaller", "larger")}
        return record.model_copy(update={name: made, **ends})
    return record.model_copy(update={name: made})
