"""Field types: quantities with units and the limits that a person's numbers must keep.

A value outside its limits is an error, not a finding: 17,250 mm is a slip of the pen. The limits are wide
and only catch slips.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from seatplan import message, units
from seatplan.frozen import frozen
from seatplan.message import Amount, Seat, joined, said
from seatplan.written import NAME, as_name, word_of


def refused(allowed: str, **limits: Any) -> PydanticCustomError:
    """An error whose text says what is allowed, and ``limits`` the same for programs; what was found is in the error
    itself."""
    return PydanticCustomError("refused", "{allowed}", {"allowed": allowed, "limits": limits})


@frozen
class ReadBy:
    """Metadata of a field type: a function of the value alone, which reads it before its type does. pydantic's own
    looks at the signature of its function again in each field of that type."""

    read: Callable[[Any], object]

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))


@frozen
class KeptAs:
    """The same behind its type: what the value is kept as."""

    make: Callable[[Any], object]

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_after_validator_function(self.make, handler(source))


#: what lengths, masses, angles and times are told in
_UNITS = ("mm", "kg", "degrees", "months")


@frozen(eq=False)
class _Reads:
    """Metadata of a field type: how a value is read, within which limits, and what the JSON Schema says."""

    parse: Callable[[object], Any]
    low: float
    high: float
    unit: str
    json: dict[str, Any]
    write: Callable[[Any], Any] | None = None        # what is read again as the same value, where that is another
    exact: bool = False                 # the value is a Quantity or a Stature, kept as it is and written as it was

    def read(self, value: object) -> Any:
        try:
            number = self.parse(value)
        except units.UnitError as error:
            raise refused(error.args[0], **self._limits()) from None   # as it was said, so that it can be translated
        if not self.low <= number <= self.high:
            raise refused(said("expected {low:bare} to {high}{meant}", low=Amount(self.low, self.unit),
                               high=Amount(self.high, self.unit), meant=self._meant(value, number)), **self._limits())
        return number

    def _limits(self) -> dict[str, Any]:
        """What is allowed, for programs."""
        unit = {"unit": self.unit} if self.unit in _UNITS else {}
        written_out = {"with_unit": True} if self.unit in ("kg", "months") else {}
        return {"at_least": self.low, "at_most": self.high, **unit, **written_out}

    def _meant(self, value: object, number: float) -> str:
        """A plain number that would do in another unit."""
        if self.unit != "mm" or isinstance(value, str):
            return ""
        fitting = [
            said('"{number} {as_typed}"', number=f"{number:g}", as_typed=unit)
            for unit, factor in (("cm", 10), ("in", 25.4))
            if self.low <= number * factor <= self.high
        ]
        return said("; is it {fitting}?", fitting=joined(' or ', fitting)) if fitting else ""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        if self.exact:
            return core_schema.no_info_plain_validator_function(
                self.read, serialization=core_schema.plain_serializer_function_ser_schema(written, when_used="json"))
        return core_schema.no_info_before_validator_function(
            self.read, handler(source), serialization=None if self.write is None else
            core_schema.plain_serializer_function_ser_schema(self.write))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return self.json.copy()


class _OrNone(_Reads):
    """A mass at most, or the word ``none``: looked for, and nothing is printed."""

    def read(self, value: object) -> Any:
        return value if value == "none" else super().read(value).stricter(upper=True)

    def _limits(self) -> dict[str, Any]:
        return {**super()._limits(), "one_of": ["none"]}


def written(value: units.Quantity | units.Stature | str) -> str | int:
    """What reads back as the same quantity: the text of a mass; whole mm of a stature, or a text where it has a
    fraction of one."""
    if isinstance(value, str):
        return value
    if isinstance(value, units.Quantity):
        return value.written
    return int(value) if value.exact.denominator == 1 else f"{units.decimal_text(value.exact)} mm"


def _quantity(parse: Callable[[object], Any], kind: str, low: float, high: float, unit: str) -> _Reads:
    text = {"type": "string", "pattern": "[0-9]", "maxLength": 40}
    return _Reads(parse, low, high, unit, {
        "description": said("{low:bare} to {high}; {EXAMPLES}", low=Amount(low, unit), high=Amount(high, unit),
                            EXAMPLES=units.EXAMPLES[kind]),
        "anyOf": [{"type": "number", "minimum": low, "maximum": high}, text]})


def unit_of(metadata: Iterable[Any]) -> str:
    """What a quantity is told in, by the metadata of its type: mm, kg, degrees or months; empty where it is none."""
    return next((one.unit for one in metadata if isinstance(one, _Reads) and one.unit in _UNITS), "")


def _length(low: int, high: int) -> _Reads:
    return _quantity(units.length_mm, "length", low, high, "mm")


def _moved(low: int, high: int) -> _Reads:
    reads = _quantity(units.whole_mm, "length", low, high, "mm")
    number, text = reads.json["anyOf"]
    return replace(reads, json={**reads.json, "anyOf": [{**number, "type": "integer"}, text]})


def _stature(low: int, high: int) -> _Reads:
    return replace(_quantity(units.stature, "length", low, high, "mm"), exact=True)


def _mass(low: float, high: float) -> _Reads:
    reads = _quantity(units.mass, "mass", low, high, "kg")
    return replace(reads, exact=True, json={**reads.json, "anyOf": [reads.json["anyOf"][-1], {"const": 0}]})


def _or_none(low: float, high: float) -> _OrNone:
    reads = _mass(low, high)
    return _OrNone(reads.parse, low, high, reads.unit, {
        **reads.json, "anyOf": [*reads.json["anyOf"], {"const": "none"}]}, exact=True)


def _fraction(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise units.UnitError(said("expected a fraction from 0 to 1, such as 0.8"))
    return float(value)


def _number(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise units.UnitError(said("expected a whole number"))
    return value


def _whole(low: int, high: int) -> _Reads:
    schema = {"type": "integer", "minimum": low, "maximum": high}
    return _Reads(_number, low, high, said("in whole numbers"), schema)


Size = Annotated[int, _length(1, 3000)]            # how big a thing is
Length = Annotated[int, _length(0, 6000)]          # how far, never negative
Moved = Annotated[int, _moved(0, 6000)]            # how far a restraint moved when it was tried
Place = Annotated[int, _length(-2000, 6000)]       # a coordinate: across, along or up
Stature = Annotated[units.Stature, _stature(300, 2300)]
StatureLimit = Annotated[units.Stature, _stature(0, 2300)]
Tolerance = Annotated[int, _length(0, 100)]
BodyMass = Annotated[units.Quantity, _mass(0.5, 250)]
RestraintMass = Annotated[units.Quantity, _mass(0.1, 40)]
MassLimit = Annotated[units.Quantity, _mass(0, 250)]
Angle = Annotated[float, _quantity(units.angle_deg, "angle", -30, 90, "degrees")]
Duration = Annotated[int, _Reads(units.duration_months, 0, 1440, "months", {
    "type": "string", "pattern": "[0-9]", "maxLength": 40,
    "description": f"up to 1440 months; {units.EXAMPLES['duration']}"},
    write=lambda months: f"{months} months" if type(months) is int else months)]
Fraction01 = Annotated[float, _Reads(_fraction, 0, 1, "(a fraction)", {
    "type": "number", "minimum": 0, "maximum": 1})]
RowNumber = Annotated[int, _whole(1, 9)]
Year = Annotated[int, _whole(1950, 2100)]


@frozen(eq=False)
class _Pair:
    """Metadata of two values; ``words`` says which; ``ordered``: the second is not below the first."""

    words: str
    ordered: bool = True

    def two(self, value: object) -> object:
        if not isinstance(value, (list, tuple)) or len(value) != 2:
            raise refused(said("expected two values, {words}", words=self.words), type="list", count=2)
        return value

    def in_order(self, value: tuple[Any, Any]) -> tuple[Any, Any]:
        if self.ordered and value[0] > value[1]:
            raise refused(said("expected the lower one first, {words}", words=self.words), type="list", count=2)
        return value

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        ordered = core_schema.no_info_after_validator_function(self.in_order, handler(source))
        return core_schema.no_info_before_validator_function(self.two, ordered)


class _RangeOrNone(_Pair):
    """A range, or ``none``, which reads as an empty one."""

    def two(self, value: object) -> object:
        return () if value in ("none", [], ()) else super().two(value)

    def in_order(self, value: tuple[Any, ...]) -> tuple[Any, ...]:
        return value and super().in_order((value[0], value[1]))


class _MassRange(_Pair):
    """A range of masses; as a text too, in one unit or in both as labels print it."""

    def two(self, value: object) -> object:
        try:
            return super().two(units.mass_range(value))
        except units.UnitError as error:
            raise refused(error.args[0]) from None

    def in_order(self, value: tuple[Any, Any]) -> tuple[Any, Any]:
        return super().in_order((value[0].stricter(upper=False), value[1].stricter(upper=True)))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"type": "string", "pattern": "[0-9].*[A-Za-z]", "maxLength": 40}]}


class _StatureRange(_Pair):
    """A range of statures; as a text too, in one unit."""

    def two(self, value: object) -> object:
        try:
            return super().two(units.stature_range(value))
        except units.UnitError as error:
            raise refused(error.args[0]) from None

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"type": "string", "pattern": "[0-9].*[A-Za-z]", "maxLength": 40}]}


class _DurationRange(_Pair):
    """Two durations; as a text too, in one unit."""

    def two(self, value: object) -> object:
        return super().two(units.duration_range(value))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"type": "string", "pattern": "[0-9].*[A-Za-z]", "maxLength": 40}]}


_RANGE = _Pair("[lowest, highest]")
LengthRange = Annotated[tuple[Length, Length], _RANGE]
PlaceRange = Annotated[tuple[Place, Place], _RANGE]
StatureRange = Annotated[tuple[StatureLimit, StatureLimit], _StatureRange("[lowest, highest]")]
MassRange = Annotated[tuple[MassLimit, MassLimit], _MassRange("[lowest, highest]")]
#: a mass that may not be exceeded: of two readings of one label the lower one counts
MassAtMost = Annotated[MassLimit, KeptAs(lambda mass: mass.stricter(upper=True))]
#: the same, as a label prints it: ``none`` where it was looked for and is not there
MassOnLabel = Annotated[units.Quantity | Literal["none"], _or_none(0, 250)]
AngleRange = Annotated[tuple[Angle, Angle], _RANGE]
#: empty where the instructions were read and name none
AngleRangeOrNone = Annotated[tuple[Angle, ...], Field(max_length=2), _RangeOrNone("[lowest, highest], or none")]
DurationRange = Annotated[tuple[Duration, Duration], _DurationRange("[lowest, highest]")]
Sides = Annotated[tuple[Place, Place], _Pair("[left, right]")]
Point = Annotated[tuple[Place, Place], _Pair("[along, up]", ordered=False)]
#: a length forward of the bight may lie behind it
LengthAndHeight = Annotated[tuple[Place, Size], _Pair("[forward, height]", ordered=False)]
HeightAndGap = Annotated[tuple[Length, Length], _Pair("[height, free length]", ordered=False)]


#: so many years after today nobody plans a ride, and nothing that is known of a child of today holds
MOST_YEARS_AHEAD = 25
FIRST_DAY = date(1900, 1, 1)


def last_day(today: date) -> date:
    """The last day that anything may be planned for or dated."""
    year = today.year + MOST_YEARS_AHEAD
    return today.replace(year=year, day=28) if (today.month, today.day) == (2, 29) else today.replace(year=year)


def _read_day(value: object, info: ValidationInfo) -> date:
    """A day as YAML or JSON has it; never a number, which could be read as seconds since 1970. ``today`` of the
    context bounds it from above, where it is known."""
    day = value
    if isinstance(value, str) and len(value) == 10:
        try:
            day = date.fromisoformat(value)
        except ValueError:
            day = None
    if not isinstance(day, date) or isinstance(day, datetime) or not FIRST_DAY <= day <= date(2100, 12, 31):
        raise refused(said("expected a date such as 2026-03-01"), type="day")
    today = (info.context or {}).get("today")
    if today is not None and day > last_day(today):
        raise refused(said("expected a day up to {last}, {years} years ahead", last=last_day(today),
                           years=MOST_YEARS_AHEAD), type="day", at_most=last_day(today))
    return day


Day = Annotated[date, BeforeValidator(_read_day), WithJsonSchema(
    {"type": "string", "format": "date", "pattern": "^(19[0-9]{2}|20[0-9]{2}|2100)-[0-9]{2}-[0-9]{2}$"})]


def _read_moment(value: object, info: ValidationInfo, next_day: bool = False) -> str:
    """A day and a time of it, as ``2026-11-30T14:00``; a day alone is its beginning, or with ``next_day`` its end."""
    told = value.replace("T", " ") if isinstance(value, str) else value
    day, _, time = told.partition(" ") if isinstance(told, str) else (told, "", "")
    if time and not _TIME_OF_DAY.fullmatch(time):
        raise refused(said('expected a day, or a day with a time of day, such as "2026-03-01 14:00"'), type="day")
    start = _read_day(day, info)
    if not time:
        return f"{start + timedelta(days=1 if next_day else 0)}T00:00"
    return f"{start + timedelta(days=1 if time == '24:00' else 0)}T{'00:00' if time == '24:00' else time}"


def _read_time(value: object) -> str:
    if not isinstance(value, str) or not _TIME_OF_DAY.fullmatch(value):
        raise refused(said("expected a time of day from 00:00 to 24:00, such as 06:30"), type="text")
    return value


_TIME_OF_DAY = re.compile(r"([01]\d|2[0-3]):[0-5]\d|24:00")
_MOMENT = WithJsonSchema({"type": "string", "pattern": "^(19[0-9]{2}|20[0-9]{2}|2100)-[0-9]{2}-[0-9]{2}"
                                                       "([T ](([01][0-9]|2[0-3]):[0-5][0-9]|24:00))?$"})
#: from when on: a day, from its beginning, or a day and a time
From = Annotated[str, BeforeValidator(_read_moment), _MOMENT]
#: until when: a day, all of it, or a day and a time
Until = Annotated[str, BeforeValidator(lambda value, info: _read_moment(value, info, next_day=True)), _MOMENT]
TimeOfDay = Annotated[str, ReadBy(_read_time), WithJsonSchema(
    {"type": "string", "pattern": "^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$"})]
Minutes = Annotated[int, _whole(0, 600)]
#: days that something is kept
Days = Annotated[int, _whole(1, 3650)]
Price = Annotated[int, _whole(0, 1_000_000)]


def _read_text(value: object) -> str:
    """Free text; a bare number or date, a page say, is text too."""
    if isinstance(value, (str, int, float, date)) and not isinstance(value, bool) and len(str(value)) <= 4000:
        return str(value)
    raise refused(said("expected text of up to 4000 characters"), type="text")


Text = Annotated[str, ReadBy(_read_text),
                 WithJsonSchema({"type": ["string", "number"], "maxLength": 4000})]

#: yes and no, as YAML 1.1 and people write them
YES_NO = {"yes": True, "no": False, "true": True, "false": False, "on": True, "off": False}


def _read_yes_no(value: object) -> object:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.lower() in YES_NO:
        return YES_NO[value.lower()]
    raise refused(said("expected yes or no"), one_of=["yes", "no"])


def _any_case(words: list[str]) -> str:
    """A pattern that matches the words in any mix of capitals."""
    return "^(" + "|".join("".join(f"[{c.upper()}{c}]" for c in word) for word in words) + ")$"


YesNo = Annotated[bool, ReadBy(_read_yes_no), WithJsonSchema(
    {"anyOf": [{"type": "boolean"}, {"type": "string", "pattern": _any_case(sorted(YES_NO))}]})]


class _FromAMass:
    """Metadata of yes, no, or ``{from: 18 kg}``, which reads as that mass."""

    mass = _mass(0.5, 250)

    def read(self, value: object) -> bool | units.Quantity:
        if isinstance(value, units.Quantity):
            return value
        if isinstance(value, dict) and set(value) == {"from"}:
            return self._mass_of(value["from"]).stricter(upper=True)   # of two readings of a label: it begins sooner
        if isinstance(value, (bool, str)):
            return bool(_read_yes_no(value))
        raise refused(said("expected yes, no, or from which mass of the child on, such as {from: 18 kg}"))

    def _mass_of(self, value: object) -> units.Quantity:
        """The mass; what is wrong with it is told of `from`, where it stands."""
        try:
            found: units.Quantity = self.mass.read(value)
        except PydanticCustomError as error:
            raise PydanticCustomError("refused", "{allowed}", {**(error.context or {}), "within": ("from",)}) from None
        return found

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read, serialization=core_schema.plain_serializer_function_ser_schema(
                lambda value: {"from": written(value)} if isinstance(value, units.Quantity) else value))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        words = {"type": "string", "pattern": _any_case(sorted(YES_NO))}
        return {"anyOf": [{"type": "boolean"}, words, {
            "type": "object", "additionalProperties": False, "required": ["from"],
            "properties": {"from": self.mass.json}}]}


#: yes, no, or the mass of the child from which on it is so
YesNoOrFrom = Annotated[bool | units.Quantity, _FromAMass()]

#: a short name in one word, as bars, tethers and parts have
_KEY = ReadBy(lambda v: _read_key(v)), WithJsonSchema(
    {"anyOf": [{"type": "string", "pattern": "^[\\w.-]{1,40}$"}, {"type": "integer"}]})
Key = Annotated[str, *_KEY, KeptAs(message.Name)]
PartKey = Annotated[str, *_KEY, KeptAs(message.PartName)]
#: a name that people read
_NAME = ReadBy(lambda v: _read_name(v)), WithJsonSchema(
    {"anyOf": [{"type": "string", "pattern": "[^\\s]", "maxLength": 60}, {"type": "integer"}]})
Name = Annotated[str, *_NAME, KeptAs(message.Name)]
RiderName = Annotated[str, *_NAME, KeptAs(message.RiderName)]
RestraintName = Annotated[str, *_NAME, KeptAs(message.RestraintName)]
TrimName = Annotated[str, *_NAME, KeptAs(message.PartName)]
PositionName = Annotated[str, ReadBy(lambda v: _read_position(v)), KeptAs(Seat), WithJsonSchema(
    {"type": "string", "pattern": "^[1-9][LCR]$"})]


def _read_key(value: object) -> str:
    text = word_of(value)
    if not 0 < len(text) <= 40 or any(c not in "_.-" and not c.isalnum() for c in text):
        raise refused(said("expected one short word of letters and digits"), type="text")
    return text


def _read_name(value: object) -> str:
    name = as_name(value)
    if name is None:
        raise refused(NAME, type="text")
    return name


def _read_position(value: object) -> str:
    if not isinstance(value, str) or len(value) != 2 or value[0] not in "123456789" or value[1] not in "LCR":
        raise refused(said("expected row and side, such as 1L, 2C or 3R"))
    return value
