"""Field types: quantities with units and the limits that a person's numbers must keep.

A value outside its limits is an error, not a finding: 17,250 mm is a slip of the pen. The limits are wide
and only catch slips.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, WithJsonSchema
from pydantic_core import PydanticCustomError

from seatplan import units


class Record(BaseModel):
    """What a person wrote down. Unknown keys are errors; a record never changes after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def _reader(parse: Callable[[object], Any], low: float, high: float, unit: str) -> BeforeValidator:
    def read(value: object) -> Any:
        try:
            number = parse(value)
        except units.UnitError as error:
            raise PydanticCustomError("quantity", "{allowed}", {"allowed": str(error)}) from None
        if not low <= number <= high:
            raise PydanticCustomError("quantity", "{allowed}", {"allowed": f"expected {low:g} to {high:g} {unit}"})
        return number

    return BeforeValidator(read)


def _schema(kind: str, low: float, high: float, unit: str) -> WithJsonSchema:
    return WithJsonSchema({
        "description": f"{low:g} to {high:g} {unit}; {units.EXAMPLES[kind]}",
        "anyOf": [{"type": "number", "minimum": low, "maximum": high}, {"type": "string", "pattern": "[0-9]"}],
    })


def _duration_schema(high: int) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "description": f"up to {high} months; {units.EXAMPLES['duration']}"})


def _length(low: int, high: int) -> Any:
    return Annotated[int, _reader(units.length_mm, low, high, "mm"), _schema("length", low, high, "mm")]


def _mass(low: float, high: float) -> Any:
    return Annotated[float, _reader(units.mass_kg, low, high, "kg"), _schema("mass", low, high, "kg")]


Size = _length(1, 3000)            # how big a thing is
Length = _length(0, 6000)          # how far, never negative
Place = _length(-2000, 6000)       # a coordinate: across, along or up
Stature = _length(300, 2300)
Tolerance = _length(0, 100)
BodyMass = _mass(0.5, 250)
RestraintMass = _mass(0.1, 40)
MassLimit = _mass(0, 250)
Angle = Annotated[float, _reader(units.angle_deg, -30, 90, "degrees"), _schema("angle", -30, 90, "degrees")]
Duration = Annotated[int, _reader(units.duration_months, 0, 1440, "months"), _duration_schema(1440)]
Fraction01 = Annotated[float, _reader(lambda v: _plain_number(v), 0, 1, "(a fraction)"),
                       WithJsonSchema({"type": "number", "minimum": 0, "maximum": 1})]


def _plain_number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise units.UnitError("expected a fraction from 0 to 1, such as 0.8")
    return float(value)


def _pair_of(item: Any, words: str, ordered: bool = True) -> Any:
    """Two values; ``words`` says which, and ``ordered`` that the second is not below the first."""

    def two(value: object) -> object:
        if not isinstance(value, (list, tuple)) or len(value) != 2:
            raise PydanticCustomError("pair", "{allowed}", {"allowed": f"expected two values, {words}"})
        return value

    def in_order(value: tuple[Any, Any]) -> tuple[Any, Any]:
        if value[0] > value[1]:
            raise PydanticCustomError("pair", "{allowed}", {"allowed": f"expected the lower one first, {words}"})
        return value

    pair = tuple[item, item]
    if ordered:
        return Annotated[pair, AfterValidator(in_order), BeforeValidator(two)]
    return Annotated[pair, BeforeValidator(two)]


def _range_of(item: Any) -> Any:
    return _pair_of(item, "[lowest, highest]")


LengthRange = _range_of(Length)
PlaceRange = _range_of(Place)
StatureRange = _range_of(_length(0, 2300))
MassRange = _range_of(MassLimit)
AngleRange = _range_of(Angle)
DurationRange = _range_of(Duration)
Sides = _pair_of(Place, "[left, right]")
Point = _pair_of(Place, "[along, up]", ordered=False)
HeightAndGap = _pair_of(Length, "[height, free length]", ordered=False)


def _whole(low: int, high: int) -> Any:
    def read(value: object) -> int:
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        raise PydanticCustomError("whole", "{allowed}", {"allowed": f"expected a whole number, {low} to {high}"})

    return Annotated[int, BeforeValidator(read),
                     WithJsonSchema({"type": "integer", "minimum": low, "maximum": high})]


RowNumber = _whole(1, 9)
Year = _whole(1950, 2100)


def _read_day(value: object) -> date:
    """A day as YAML or JSON has it; never a number, which could be read as seconds since 1970."""
    day = value
    if isinstance(value, str) and len(value) == 10:
        try:
            day = date.fromisoformat(value)
        except ValueError:
            day = None
    if isinstance(day, date) and not isinstance(day, datetime) and 1900 <= day.year <= 2100:
        return day
    raise PydanticCustomError("day", "{allowed}", {"allowed": "expected a date such as 2026-03-01"})


Day = Annotated[date, BeforeValidator(_read_day),
                WithJsonSchema({"type": "string", "format": "date", "pattern": "^(19|20|21)[0-9]{2}-[0-9]{2}-[0-9]{2}$"})]


def _read_text(value: object) -> str:
    """Free text; a bare number or date, a page say, is text too."""
    if isinstance(value, (str, int, float, date)) and not isinstance(value, bool) and len(str(value)) <= 4000:
        return str(value)
    raise PydanticCustomError("text", "{allowed}", {"allowed": "expected text of up to 4000 characters"})


Text = Annotated[str, BeforeValidator(_read_text),
                 WithJsonSchema({"type": ["string", "number"], "maxLength": 4000})]

#: yes and no, as YAML 1.1 and people write them
YES_NO = {"yes": True, "no": False, "true": True, "false": False, "on": True, "off": False}


def _read_yes_no(value: object) -> object:
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.lower() in YES_NO:
        return YES_NO[value.lower()]
    raise PydanticCustomError("yes_no", "{allowed}", {"allowed": "expected yes or no"})


def _any_case(words: list[str]) -> str:
    """A pattern that matches the words in any mix of capitals."""
    return "^(" + "|".join("".join(f"[{c.upper()}{c}]" for c in word) for word in words) + ")$"


YesNo = Annotated[bool, BeforeValidator(_read_yes_no), WithJsonSchema(
    {"anyOf": [{"type": "boolean"}, {"type": "string", "pattern": _any_case(sorted(YES_NO))}]})]

#: a short name in one word, as bars, tethers and parts have
Key = Annotated[str, BeforeValidator(lambda v: _read_key(v)), WithJsonSchema(
    {"anyOf": [{"type": "string", "pattern": "^[\\w.-]{1,40}$"}, {"type": "integer"}]})]
#: a name that people read
Name = Annotated[str, BeforeValidator(lambda v: _read_name(v)), WithJsonSchema(
    {"anyOf": [{"type": "string", "pattern": "[^\\s]", "maxLength": 60}, {"type": "integer"}]})]
PositionName = Annotated[str, BeforeValidator(lambda v: _read_position(v)), WithJsonSchema(
    {"type": "string", "pattern": "^[1-9][LCR]$"})]


def _read_key(value: object) -> str:
    text = str(value) if isinstance(value, (str, int)) and not isinstance(value, bool) else ""
    if not 0 < len(text) <= 40 or any(c not in "_.-" and not c.isalnum() for c in text):
        raise PydanticCustomError("key", "{allowed}", {"allowed": "expected one short word of letters and digits"})
    return text


def _read_name(value: object) -> str:
    text = " ".join(str(value).split()) if isinstance(value, (str, int)) and not isinstance(value, bool) else ""
    if not 0 < len(text) <= 60 or not text.isprintable():
        raise PydanticCustomError("name", "{allowed}", {"allowed": "expected a name of 1 to 60 characters"})
    return text


def _read_position(value: object) -> str:
    if not isinstance(value, str) or len(value) != 2 or value[0] not in "123456789" or value[1] not in "LCR":
        raise PydanticCustomError("position", "{allowed}",
                                  {"allowed": "expected row and side, such as 1L, 2C or 3R"})
    return value
