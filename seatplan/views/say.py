"""Text in the language and the units that were asked for; English and metric unless `cli` says otherwise.

The English text is the key of its translation, so English looks nothing up. Names of people, seats, cars and
restraints are fields, never keys.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
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
_QUANTITY = re.compile(r"\{(\w+)\}(?:( to | and | a | y )\{(\w+)\})? (mm|cm|kg)\b")
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
#: several numbers with a word from one to the next, such as 268 to 292
_NUMBER_TOLD = re.compile(r"\d[\d.,]*")
_SPANS = re.compile(r"\d[\d.,]*( \w+ \d[\d.,]*)+")
_SOUNDS_I = re.compile(r"h?[ií](?![aeoáéó])", re.IGNORECASE)
_SOUNDS_O = re.compile(r"h?[oó]|8|11\b", re.IGNORECASE)
#: what is missing, or needed, is rounded up; what there is to spare, or free, is rounded down
_UP = ("shortfall", "short", "need", "needs", "reach", "overhang", "lacks", "asked", "head")
_DOWN = ("free", "spare", "have", "room", "there", "gap")

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
    "noun",
    "kind",
    "other",
    "lower",
    "mode",
)

#: names of parts that also mean something else: what to look up for them
_PARTS = {"seat": "seat of a restraint"}

_language: ContextVar[str] = ContextVar("language", default="en")
_units: ContextVar[str] = ContextVar("units", default="metric")


def length_unit() -> str:
    """The unit of lengths that stand without one, such as ``mm``."""
    return look_up("inches") if customary() else "mm"


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
        return linked(here, [tr(part) for part in text.parts])
    return fill(here, {name: _field(name, value) for name, value in text.fields.items()}) if text.fields else here


def _field(name: str, value: Any) -> Any:
    if isinstance(value, str) and name in ("part_name", "trim_name"):
        return part(value)
    return look_up(value) if name in _WORDS and isinstance(value, str) else _decimals(value)


def part(name: str) -> str:
    """What a part of a restraint, or a trim, is mostly called; any other name as it is."""
    if language() == "en":
        return name
    return look_up(_PARTS.get(name, name))


def linked(word: str, parts: Sequence[str]) -> str:
    """The parts with ``word``, such as `` y ``, from one to the next, as it is said before each of them."""
    return "".join(part if i == 0 else before(word, part) + part for i, part in enumerate(parts))


def before(word: str, following: str) -> str:
    """``and`` or ``or`` as it is said before a word: Spanish says ``e`` for ``y`` before the sound of an i, ``u`` for
    ``o`` before that of an o."""
    if language() == "es":
        if word.strip() == "y" and _SOUNDS_I.match(following):
            return word.replace("y", "e")
        if word.strip() == "o" and _SOUNDS_O.match(following):
            return word.replace("o", "u")
    return word


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
        if not second and _SPANS.fullmatch(str(told.get(first))):
            told[first] = _spans(told, first, unit)
            return f"{{{first}}}"
        ends = []
        for name in (first, second) if second else (first,):
            value = measures.value_of(told.get(name))
            ends.append(f"{{{name}}}" if value is None else f"{{{name}_{unit}}}")
            if value is not None:
                exact = pair is not None and name in ("measured", "limit") and measures.hidden(*pair, unit)
                told[f"{name}_{unit}"] = converted(value, unit, ways.get(name, "near"), exact)
        if ends[-1] == f"{{{second or first}}}":
            return found.group(0)                            # no number has that unit
        return (between or "").join(ends)

    return _QUANTITY.sub(quantity, template)


def _spans(told: dict[str, Any], name: str, unit: str) -> str:
    """``268 to 292`` in inches; finer where ``measured`` would seem to lie on one of the ends and does not."""
    ends = [value for found in _NUMBER_TOLD.findall(str(told[name])) if (value := measures.value_of(found)) is not None]
    measured = measures.value_of(told.get("measured"))
    exact = measured is not None and any(
        converted(end, unit) == converted(measured, unit) and end != measured for end in ends)
    if exact:
        told[f"measured_{unit}"] = converted(measured or 0.0, unit, exact=True)
    parts = iter(converted(end, unit, exact=exact) for end in ends)
    spans = _NUMBER_TOLD.sub(lambda _: next(parts).rpartition(" ")[0], str(told[name]))
    return f"{spans} {'lb' if unit == 'kg' else 'in'}"


def converted(value: float, unit: str, way: str = "near", exact: bool = False) -> str:
    """``438 mm`` as 17 1/4 in, ``8.9 kg`` as 19.6 lb."""
    if unit == "kg":
        return decimals(measures.pounds(value, way, exact))
    return decimals(measures.inches(value * 10 if unit == "cm" else value, way, exact))


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
