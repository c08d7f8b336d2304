"""Every optional field of the records that an arrangement uses, without it, and with all that could stand there.

Fields are read from the schema, so that a new one is asked about before anybody thinks of it. What could stand there:
every word of the field, ``none`` where it may be said, and both ends of the band of a number (data/bands.yaml).
"""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import product
from math import ceil, floor
from typing import Any, Literal

from pinned import GOOD, Pinned
from pydantic import BaseModel, ValidationError

from seatplan.doubt.bands import number, table
from seatplan.doubt.bodies import SEATED
from seatplan.doubt.labels import kind_of
from seatplan.files.door import checked
from seatplan.files.errors import InputError
from seatplan.model import Restraint, Rider, Trip
from seatplan.model.doubt import Path, steps
from seatplan.model.listed import OrNone
from seatplan.model.restraint import Mode, Recline
from seatplan.model.vehicle import EverySeat
from seatplan.solver.measure import with_value
from seatplan.units import Stature

#: read into every seat and row, which are asked about themselves
_SAID_ONCE = (EverySeat,)
_YEAR = timedelta(days=365)
_AGES = ("0 months", "6 months", "12 months", "2 years", "4 years", "8 years", "12 years", "17 years")


@dataclass(frozen=True)
class Field:
    """An optional field: ``path`` from the trip; ``given``: the files say something there."""

    path: Path
    given: bool

    @property
    def name(self) -> str:
        """The path without numbers and names."""
        kept = [str(step) for k, step in enumerate(self.path) if isinstance(step, str)
                and not (k and self.path[k - 1] in ("front", "installed", "arrived"))]
        return ".".join(kept)


@dataclass(frozen=True)
class Told:
    """What the verdict without a field is. ``mode``: that of the restraint that it is part of; ``refused``: the first
    value with which it is ``rejected`` or ``unmeasured``, None where no value does that; ``tried``: how many values
    could stand there."""

    trip: str
    field: Field
    mode: str
    without: str
    tried: int
    refused: Any
    verdict: str

    @property
    def kind(self) -> str:
        """``unknown``: absence is never the answer that helps; ``estimated``: a body's size; ``helps``; or ``alike``:
        no value decides."""
        if self.without not in GOOD:
            return "unknown"
        if self.verdict == "":
            return "alike"
        estimated = self.without == "likely" and (
            (self.field.path[0] == "riders" and self.field.path[-1] in (*SEATED, "mass", "height"))
            or self.field.name == "front.forward_at_most")          # from the stature of whoever sits there
        return "estimated" if estimated else "helps"


#: of a restraint that only says its kind; one that names its modes needs none of them, and cannot do without its modes
_OF_A_KIND = ("kind", "width", "limits", "level_adjusts", "support_leg", "in_order", "modes")


def fields(pinned: Pinned) -> Iterator[Field]:
    """Every optional field of what the arrangement uses, in the order of the files."""
    for name in ("vehicle", "riders", "restraints", "front"):
        yield from _inside(pinned, getattr(pinned.trip, name), (name,))
    for name, info in Trip.model_fields.items():
        if not info.is_required() and name not in ("sure", "restraints", "front"):
            yield Field((name,), bool(getattr(pinned.trip, name)))


def _inside(pinned: Pinned, value: Any, path: Path) -> Iterator[Field]:
    if not pinned.uses(path):
        return
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _inside(pinned, inner, (*path, key))
    elif isinstance(value, list):
        for k, inner in enumerate(value):
            yield from _inside(pinned, inner, (*path, k))
    elif isinstance(value, BaseModel) and not isinstance(value, _SAID_ONCE):
        for name, info in type(value).model_fields.items():
            own = getattr(value, name)
            if name == "sure" or isinstance(own, _SAID_ONCE):
                continue
            if not info.is_required() and not (isinstance(value, Restraint) and name in _OF_A_KIND):
                yield Field((*path, name), own != info.get_default(call_default_factory=True))
            yield from _inside(pinned, own, (*path, name))


def without(trip: Trip, field: Field) -> Trip:
    """The trip with nothing in a field."""
    beside = list(steps(trip, field.path[:-1]))[-1]
    info = type(beside).model_fields[str(field.path[-1])]
    default = info.get_default(call_default_factory=True)
    changed: Trip = (trip.model_copy(update={field.path[0]: default}) if len(field.path) == 1
                     else with_value(trip, field.path, default))
    size = field.path[-1]
    if isinstance(beside, Rider) and any(getattr(entry, str(size), None) is not None for entry in beside.measured):
        entries = [entry.model_copy(update={str(size): None}) for entry in beside.measured]
        changed = with_value(changed, (*field.path[:-1], "measured"), entries)
    return changed


def told(pinned: Pinned, field: Field) -> Told:
    """What becomes of the arrangement without a field, and with all that could stand there."""
    trip = pinned.trip
    mode = next((one.mode for one in steps(trip, field.path) if isinstance(one, Mode)), "")
    bare = without(trip, field)
    verdict = pinned.judge(bare) if field.given else pinned.verdict
    if verdict not in GOOD:
        return Told(trip.trip, field, mode, verdict, 0, None, "")
    tried = 0
    for value in values(pinned, field):
        try:
            with_it = (bare.model_copy(update={field.path[0]: value}) if len(field.path) == 1
                       else with_value(bare, field.path, value))
            changed = checked(with_it, pinned.day)
        except InputError:
            continue                                   # a file with it is refused
        judge, judged = pinned.told(changed)
        if getattr(judge.trip, "doubted", ()):
            continue                                   # it would count as unknown
        tried += 1
        said = "rejected" if judged is None else judged.verdict
        if said not in GOOD:
            return Told(trip.trip, field, mode, verdict, tried, value, said)
    return Told(trip.trip, field, mode, verdict, tried, None, "")


def values(pinned: Pinned, field: Field) -> Iterator[Any]:
    """What could stand in a field, as a file has it."""
    beside = list(steps(pinned.trip, field.path[:-1]))[-1]
    if isinstance(beside, Rider) and field.path[-1] in SEATED:
        yield from _body(beside, str(field.path[-1]))
        return
    yield from _Values(pinned, field).of(type(beside), str(field.path[-1]), field.name)


def _body(rider: Rider, name: str) -> Iterator[int]:
    """Both ends of a size that is estimated: the 5th and 95th percentile of bodies of that stature, which is the band
    that it is estimated by. Those of ``bands.yaml`` are wider, so as to catch slips only."""
    estimate = SEATED[name](rider.model_copy(update={name: None}))
    if estimate is not None:
        yield from (ceil(estimate.low), floor(estimate.high))
    else:
        yield from table()["body"]["alone"][name]


class _Values:
    """What could stand in the fields of one place of a trip."""

    def __init__(self, pinned: Pinned, field: Field) -> None:
        self.pinned, self.field, trip = pinned, field, pinned.trip
        way = list(steps(trip, field.path))
        self.mode = next((str(r.mode) for r in way if type(r).__name__ == "Mode"), "")
        self.kind = next((kind_of(r) for r in way if isinstance(r, Restraint)), "")
        self.row = next((r for r in way if type(r).__name__ == "Row"), None)
        position = next((r for r in way if type(r).__name__ == "Position"), None)
        if position is None and self.row is not None:
            here = {pick.position for pick in pinned.picks}
            position = next(p for p in self.row.positions if p.position in here)
        self.centre = position.centre if position is not None and position.centre is not None else 500
        self.held = way[-1] if len(way) == len(field.path) + 1 else None
        self.beside = way[-1] if len(way) == len(field.path) else way[-2]

    def of(self, record: type[BaseModel], name: str, dotted: str) -> Iterator[Any]:
        own = record.model_fields[name]
        plain = dotted.split(".", 1)[1] if dotted.startswith(("vehicle.", "restraints.")) else dotted
        special = self._special(record, name, plain)
        if special is not None:
            yield from special
            return
        yield from self._typed(own.annotation, list(own.metadata), plain, dotted)

    def _typed(self, kind: Any, metadata: list[Any], plain: str, dotted: str) -> Iterator[Any]:
        origin, inner = typing.get_origin(kind), typing.get_args(kind)
        if any(isinstance(m, OrNone) for m in metadata):
            yield "none"
        if origin is typing.Annotated:
            yield from self._typed(inner[0], [*metadata, *kind.__metadata__], plain, dotted)
        elif origin in (typing.Union, types.UnionType):
            for one in inner:
                if one is not type(None):
                    yield from self._typed(one, metadata, plain, dotted)
        elif origin is Literal:
            yield from inner
        elif kind is bool:
            yield from (True, False)
        elif kind is date:
            yield from (self.pinned.day + k * _YEAR for k in (-30, -1, 1, 5))
        elif isinstance(kind, type) and issubclass(kind, BaseModel) and not isinstance(kind, types.GenericAlias):
            yield from self._record(kind, dotted)
        elif origin is list and self._numbers(plain) is None:
            members = list(self._typed(inner[0], [], plain, dotted))
            yield from ([member] for member in members)
            if len(members) > 1 and all(isinstance(member, str) for member in members):
                yield members
        else:
            yield from self._numbers(plain) or ()

    def _record(self, kind: type[BaseModel], dotted: str) -> Iterator[BaseModel]:
        """Every record of that kind with one optional field more than it must have."""
        needed = [name for name, own in kind.model_fields.items() if own.is_required()]
        choices = [list(self.of(kind, name, f"{dotted}.{name}"))[:8] for name in needed]
        least = [dict(zip(needed, chosen, strict=True)) for chosen in product(*choices)]
        made = list(least)
        for name, own in kind.model_fields.items():
            if not own.is_required() and name != "sure" and least:
                made += [{**least[0], name: value} for value in self.of(kind, name, f"{dotted}.{name}")]
        for one in made:
            with suppress(ValidationError):
                yield kind.model_validate(one)

    def _numbers(self, plain: str) -> list[Any] | None:
        """Both ends of the bands of a field, as the field is written; None where there is no band."""
        bands: dict[str, dict[str, Any]] = {}
        for entry in table()["bands"]:
            if entry["field"] == plain and entry.get("kind", self.kind) == self.kind \
                    and entry.get("mode", self.mode) == self.mode:
                bands.setdefault(entry.get("item", ""), entry)
        if not bands:
            return None
        ends = {item: [self._unit(end, band["unit"]) for end in
                       (band["low"], band["high"], *([0] if band.get("zero") else []))] for item, band in bands.items()}
        if "" in ends:
            return ends[""]
        if "[]" in ends:
            return [[end] for end in ends["[]"]]
        if "[][1]" in ends and "gap" in plain:
            return [[[h, gap] for h in (0, 300, 600)] for gap in ends["[][1]"]]
        if "[][0]" in ends:
            (a, b, *_), (c, d, *_) = ends["[][0]"], ends["[][1]"]
            return [[[a, c], [b, c], [b, d], [a, d]]]
        if "[0]" in ends:
            pairs = [list(pair) for pair in product(ends["[0]"], ends["[1]"])]
            if "span" in ends:
                pairs += [[low, low + span] for low in (0, *ends["[0]"]) for span in ends["span"]]
            return pairs
        start = self.centre if "across" in plain or "anchors" in plain else 0
        return [pair for span in ends["span"] for pair in (
            [start - span // 2, start + span - span // 2], [start, start + span], [300, 300 + span])]

    def _unit(self, value: float, unit: str) -> Any:
        return f"{value} kg" if unit == "kg" else value

    def _special(self, record: type[BaseModel], name: str, plain: str) -> list[Any] | None:
        """What no band holds, since it hangs on what stands beside it."""
        row, held, day = self.row, self.held, self.pinned.day
        if held is not None and not isinstance(held, (int, float, Fraction, Stature, tuple)):
            held = None                                # a record that is out as a whole
        if record.__name__ in ("Rider", "Measured") and name in ("mass", "height"):
            if held is None:
                return ["3 kg", "12 kg", "30 kg", "90 kg"] if name == "mass" else [500, 900, 1300, 1700]
            shares = (0.75, 0.9, 1.1, 1.3) if name == "mass" else (0.9, 0.95, 1.05, 1.1)
            return [f"{float(held) * s:.1f} kg" if name == "mass" else round(float(number(held)) * s) for s in shares]
        if name == "due":
            return []                                  # not aboard before that day: another trip
        if name == "born":
            return [day - timedelta(days=round(365.25 * years)) for years in (0, 0.5, 1, 2, 4, 8, 12, 17)]
        if name == "age":
            return list(_AGES) if record.__name__ == "Rider" else [[a, b] for a, b in (
                ("0 months", "1 months"), ("0 months", "24 months"), ("4 years", "12 years"), ("14 years", "17 years"))]
        if name == "expires_after":
            return ["4 years", "6 years", "10 years"]
        if name == "model_year":
            return [1970, 1995, 2005, 2020]
        if name in ("tether", "retrofit_tether") and record.__name__ == "Position" and row is not None:
            return ["none", *(str(t.tether) for t in row.tethers or ())]
        if name in ("lower_anchors", "borrow") and record.__name__ == "Position" and row is not None:
            bars = [str(bar.bar) for bar in row.lower_anchors or ()]
            return ["none", *([a, b] for k, a in enumerate(bars) for b in bars[k + 1:])]
        if name == "settings":                         # the one at which it was measured is always one of them
            own = self.beside.reference if isinstance(self.beside, Recline) else 30
            return [[min(own, end), max(own, end)] for end in (10, 65) if end != own]
        if name == "supported_base":
            return [0.5, 0.8, 1.0]
        if name == "stature":
            return [1450, 1900]
        if plain.endswith("limits.mass") or (record.__name__ == "ReclineRange" and name == "mass"):
            own = table()["limits"][self.mode or "rear-facing-harness"]
            lows = own["lower"]
            return [[f"{low} kg", f"{high} kg"] for low in lows for high in own["upper"]]
        if plain.endswith("limits.height"):
            own = table()["heights"][self.mode or "rear-facing-harness"]
            return [[low, high] for low in own["lower"] for high in own["upper"]]
        if record.__name__ in ("Cushion", "Trim") and name == "right":
            return [(held or self.centre) + k for k in (-130, -60, 0, 60, 130)]
        if record.__name__ in ("Cushion", "Trim") and name == "left" and held is not None:
            return [held + k for k in (-130, -60, 0, 60, 130)]
        if name in ("centre", "across") and record.__name__ != "Raised":
            start = held if isinstance(held, int) else self.centre
            return [start + k for k in (-420, -300, -130, -60, -35, 0, 35, 60, 130, 300, 420)]
        if name == "anchors":
            start = sum(held) // 2 if held else self.centre
            return [[start + k - half, start + k + half] for k in (-130, 0, 130) for half in (83, 200, 325)]
        if name in ("name", "bar", "part"):
            return ["one"]
        return None


