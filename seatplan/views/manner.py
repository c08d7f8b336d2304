"""The language and the units in force, and the manner of the language: numbers, days, and words before a vowel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from fractions import Fraction

from seatplan.message import digits

#: language -> its own name
LANGUAGES = {"en": "English", "es": "español"}
UNITS = ("metric", "customary")
#: languages that write 0,5 for 0.5 and the day before the month
_COMMA, _DAY_FIRST = ("es",), ("es",)
#: letters before which an i is no vowel of its own
_GLIDES = ("a", "e", "o", "á", "é", "ó")

#: columns of text: off a terminal always the most, for longer lines are hard to read
NARROWEST, WIDEST = 60, 100

_language: ContextVar[str] = ContextVar("language", default="en")
_units: ContextVar[str] = ContextVar("units", default="metric")
_colour: ContextVar[bool] = ContextVar("colour", default=False)
_page: ContextVar[int] = ContextVar("page", default=WIDEST)


def language() -> str:
    """The language in force, such as ``en``."""
    return _language.get()


def customary() -> bool:
    """Whether lengths are told in inches and masses in pounds."""
    return _units.get() == "customary"


def page() -> int:
    """How many columns a line of text may take."""
    return _page.get()


def coloured() -> bool:
    """Whether verdicts and cautions have a colour on a terminal."""
    return _colour.get()


@contextmanager
def speaking(lang: str = "en", units: str = "metric", columns: int = WIDEST, colour: bool = False) -> Iterator[None]:
    """Everything inside is said in that language and in those units, on a page of so many columns (60 to 100)."""
    tokens = _language.set(lang), _units.set(units), _page.set(min(WIDEST, max(NARROWEST, columns)))
    shade = _colour.set(colour)
    try:
        yield
    finally:
        _language.reset(tokens[0])
        _units.reset(tokens[1])
        _page.reset(tokens[2])
        _colour.reset(shade)


def linked(word: str, parts: Sequence[str]) -> str:
    """The parts with ``word``, such as `` y ``, from one to the next, as it is said before each of them."""
    return "".join(part if i == 0 else before(word, part) + part for i, part in enumerate(parts))


def before(word: str, following: str) -> str:
    """``and`` or ``or`` as it is said before a word: Spanish says ``e`` for ``y`` before the sound of an i, ``u`` for
    ``o`` before that of an o."""
    if language() == "es":
        if word.strip() == "y" and _sounds_i(following):
            return word.replace("y", "e")
        if word.strip() == "o" and _sounds_o(following):
            return word.replace("o", "u")
    return word


def _sounds_i(following: str) -> bool:
    """Whether a word begins with the sound of an i: ``Ines``, ``hilo``, not ``hierro``."""
    start = following.casefold().removeprefix("h")
    return start[:1] in ("i", "í") and start[1:2] not in _GLIDES


def _sounds_o(following: str) -> bool:
    """Whether a word, or a number, begins with the sound of an o: ``Oslo``, ``hoy``, 8 (ocho), 11 (once)."""
    start = following.casefold().removeprefix("h")
    return start[:1] in ("o", "ó") or following[:1] == "8" or (
        following[:2] == "11" and not (following[2:3].isalnum() or following[2:3] == "_"))


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


def month(on: date) -> str:
    """A month: 2026-11 in English, 11/2026 in Spanish."""
    return f"{on:%m/%Y}" if language() in _DAY_FIRST else f"{on:%Y-%m}"


def day(on: date | str) -> str:
    """A day, also one that is written as 2026-11-30: that in English, 30/11/2026 in Spanish."""
    told = str(on)
    return "/".join(reversed(told.split("-"))) if language() in _DAY_FIRST else told


def number(value: float | Fraction) -> str:
    """``12.0`` as 12, ``0.10`` as 0.1, thousands set apart, as the language writes it."""
    return grouped(digits(value, grouped=True))
