"""Text in the language and the units that were asked for; English and metric unless `cli` says otherwise.

The English text is the key of its translation, so English looks nothing up. Names of people, seats, cars and
restraints are fields, never keys.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from seatplan.said import Joined, Said

from . import measures

if TYPE_CHECKING:
    from gettext import NullTranslations

#: language -> its own name
LANGUAGES = {"en": "English", "es": "español"}
UNITS = ("metric", "customary")
LOCALE = Path(__file__).resolve().parent.parent / "data" / "locale"
DOMAIN = "seatplan"
#: languages that write 0,5 for 0.5 and the day before the month
_COMMA, _DAY_FIRST = ("es",), ("es",)
_DAY = re.compile(r"(\d{4})-(\d\d)-(\d\d)")
_QUANTITY = re.compile(r"\{(\w+)\}(?:( to | and | a | y )\{(\w+)\})? (mm|kg)\b")
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
#: what is missing, or needed, is rounded up; what there is to spare, or free, is rounded down
_UP = ("shortfall", "short", "need", "needs", "reach", "overhang", "lacks")
_DOWN = ("free", "spare", "have", "room", "there")

#: fields that hold a word of the files, never a name
_WORDS = (
    "retractor",
    "latchplate",
    "side",
    "what",
    "unit",
    "words",
    "stricter",
    "done",
    "key",
    "lower",
    "mode",
    "EXAMPLES",
)

_language: ContextVar[str] = ContextVar("language", default="en")
_units: ContextVar[str] = ContextVar("units", default="metric")


def language() -> str:
    """The language in force, such as ``en``."""
    return _language.get()


def customary() -> bool:
    """Whether lengths are told in inches and masses in pounds."""
    return _units.get() == "customary"


@contextmanager
def speaking(lang: str = "en", units: str = "metric") -> Iterator[None]:
    """Everything inside is said in that language and in those units."""
    tokens = _language.set(lang), _units.set(units)
    try:
        yield
    finally:
        _language.reset(tokens[0])
        _units.reset(tokens[1])


@cache
def catalogue(lang: str) -> NullTranslations:
    """The translations of one language, read when the first text is asked for."""
    from gettext import translation

    return translation(DOMAIN, LOCALE, [lang])


def look_up(text: str) -> str:
    """The text or template in the language in force."""
    if language() == "en" or not text:
        return text
    return catalogue(language()).gettext(text)


def t(template: str, /, **fields: Any) -> str:
    """A text of a view: its translation, with the ``{fields}`` filled in."""
    here = look_up(template)
    return fill(here, fields) if fields else here


def tr(text: str) -> str:
    """What was said further down, in the language in force; anything else, such as a name, stays as it is."""
    if not isinstance(text, Said) or (language() == "en" and not customary()):
        return text
    here = look_up(text.template)
    if isinstance(text, Joined):
        return here.join(tr(part) for part in text.parts)
    return fill(here, {name: look_up(value) if name in _WORDS and isinstance(value, str) else _decimals(value)
                       for name, value in text.fields.items()}) if text.fields else here


def N(text: str) -> str:
    """Marks a text of a table for the catalogue; it is looked up where it is used."""
    return text


def plural(one: str, many: str, n: int) -> str:
    """The word for one or for many, by the rules of the language."""
    if language() == "en":
        return one if n == 1 else many
    return catalogue(language()).ngettext(one, many, n)


class Words(dict[str, str]):
    """A table of words or templates; looked up, they are in the language in force."""

    def __getitem__(self, key: str) -> str:
        return look_up(super().__getitem__(key))

    def get(self, key: str, other: Any = None) -> Any:
        return self[key] if key in self else other  # noqa: SIM401  # get is what this is

    def __or__(self, other: Mapping[str, str]) -> Words:  # type: ignore[override]  # a table again
        return Words({**dict(self.items()), **dict(other.items())})


def fill(template: str, fields: Mapping[str, Any]) -> str:
    """The template with its fields; quantities in the units, days and decimals in the manner of the language."""
    if language() == "en" and not customary():
        return template.format(**fields)
    told = {name: _told(value) for name, value in fields.items()}
    if customary():
        template = in_customary(template, told)
    return template.format(**told)


def in_customary(template: str, told: dict[str, Any], passed: bool | None = None) -> str:
    """The template without ``mm`` and ``kg`` behind its fields; the fields now carry inches and pounds.

    ``passed`` says whether ``measured`` keeps to ``limit``: a most is then rounded down and what is held against it
    up, a least the other way round.
    """
    ways, pair = _ways(told, passed)

    def quantity(found: re.Match[str]) -> str:
        first, between, second, unit = found.groups()
        for name in (first, second):
            value = measures.value_of(told.get(name)) if name else None
            if name and value is None:
                return found.group(0)
            if name:
                exact = pair is not None and name in ("measured", "limit") and measures.hidden(*pair, unit)
                told[f"{name}_{unit}"] = converted(value or 0.0, unit, ways.get(name, "near"), exact)
        ends = [f"{{{name}_{unit}}}" for name in (first, second) if name]
        return (between or "").join(ends)

    return _QUANTITY.sub(quantity, template)


def converted(value: float, unit: str, way: str = "near", exact: bool = False) -> str:
    """``438 mm`` as 17 1/4 in, ``8.9 kg`` as 19.6 lb."""
    return decimals(measures.inches(value, way, exact) if unit == "mm" else measures.pounds(value, way, exact))


def _ways(told: Mapping[str, Any], passed: bool | None) -> tuple[
        dict[str, str], tuple[float, str, float, str] | None]:
    """How each field is rounded; measured and limit with their ways, where one is held against the other."""
    ways = {**dict.fromkeys(_UP, "up"), **dict.fromkeys(_DOWN, "down")}
    measured, limit = (measures.value_of(told.get(name)) for name in ("measured", "limit"))
    if passed is None or measured is None or limit is None or measured == limit:
        return ways, None
    most = passed == (measured < limit)
    ways |= {"measured": "up", "limit": "down"} if most else {"measured": "down", "limit": "up"}
    return ways, (measured, ways["measured"], limit, ways["limit"])


def _told(value: Any) -> Any:
    if isinstance(value, Said):
        return tr(value)
    if isinstance(value, bool):
        return value
    if isinstance(value, float):
        return decimals(str(value))
    return days(str(value)) if isinstance(value, (str, date)) else value


def _decimals(value: Any) -> Any:
    """Numbers that were written out further down, with a point."""
    if isinstance(value, str) and not isinstance(value, Said) and _NUMBER.fullmatch(value):
        return decimals(value)
    return value


def decimals(text: str) -> str:
    """``0.5`` as the language writes it."""
    return text.replace(".", ",") if language() in _COMMA else text


def grouped(text: str) -> str:
    """``1,440.5`` as the language writes it: Spanish groups from five digits on, with a space that never breaks."""
    if language() not in _COMMA:
        return text
    whole, _, part = text.partition(".")
    digits = whole.replace(",", "")
    told = digits if len(digits.lstrip("-")) <= 4 else whole.replace(",", "\u00a0")
    return f"{told},{part}" if part else told


def days(text: str) -> str:
    """A text that is a day, such as 2026-11-30, as the language writes it; any other text as it is."""
    if language() in _DAY_FIRST and (found := _DAY.fullmatch(text)):
        return "/".join(reversed(found.groups()))
    return text


def day(on: date) -> str:
    """A day: 2026-11-30 in English, 30/11/2026 in Spanish."""
    return days(on.isoformat())
