"""Text in the language and the units that were asked for; English and metric unless `cli` says otherwise.

The English text is the key of its translation, so English looks nothing up. Names of people, seats, cars and
restraints are fields, never keys.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from seatplan.said import Joined, Said
from seatplan.written import Verbatim

from .customary import in_customary
from .manner import customary, days, decimals, language, linked

if TYPE_CHECKING:
    from gettext import NullTranslations

LOCALE = Path(__file__).resolve().parent.parent / "data" / "locale"
DOMAIN = "seatplan"
_NUMBER = re.compile(r"-?\d+(\.\d+)?")
#: fields that hold a word of the files, never a name
_WORDS = (
    "retractor",
    "latchplate",
    "side",
    "what",
    "unit",
    "words",
    "stricter",
    "noun",
    "kind",
    "other",
    "lower",
    "mode",
)

#: names of parts that also mean something else: what to look up for them
_PARTS = {"seat": "seat of a restraint"}


def length_unit() -> str:
    """The unit of lengths that stand without one, such as ``mm``."""
    return look_up("inches") if customary() else "mm"


@cache
def catalogue(lang: str) -> NullTranslations:
    """The translations of one language, read when the first text is asked for."""
    from gettext import translation

    return translation(DOMAIN, LOCALE, [lang])


def look_up(text: str) -> str:
    """The text or template in the language in force."""
    if language() == "en" or not text or isinstance(text, Verbatim):
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
    return look_up(_PARTS.get(name, str(name)))


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


def _told(value: Any) -> Any:
    if isinstance(value, Said):
        return tr(value)
    if isinstance(value, (bool, Verbatim)):
        return value
    if isinstance(value, float):
        return decimals(str(value))
    return days(str(value)) if isinstance(value, (str, date)) else value


def _decimals(value: Any) -> Any:
    """Numbers that were written out further down, with a point."""
    if isinstance(value, str) and not isinstance(value, (Said, Verbatim)) and _NUMBER.fullmatch(value):
        return decimals(value)
    return value
