"""Text in the language and the units that were asked for; English and metric unless `cli` says otherwise.

The English text is the key of its translation, so English looks nothing up. Names of people, seats, cars and
restraints are fields, never keys; every field is shown by its type (``seatplan.message``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from seatplan.message import Amount, Day, Figure, Joined, Message, Name, PartName, Unit, Word

from . import measures
from .manner import customary, day, decimals, language, linked, number

if TYPE_CHECKING:
    from gettext import NullTranslations

LOCALE = Path(__file__).resolve().parent.parent / "data" / "locale"
DOMAIN = "seatplan"


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
    if language() == "en" or not text or isinstance(text, Name):
        return text
    return catalogue(language()).gettext(text)


def t(template: str, /, **fields: Any) -> str:
    """A text of a view: its translation, with the ``{fields}`` filled in."""
    here = look_up(template)
    return fill(here, fields) if fields else here


def tr(text: str) -> str:
    """What was said further down, in the language and the units in force; anything else, such as a name, as it is."""
    return _message(text, plain=True) if isinstance(text, Message) else text


def _message(text: Message, *, plain: bool) -> str:
    if plain and language() == "en" and not customary():
        return text
    here = look_up(text.template)
    if isinstance(text, Joined):
        return linked(here, [str(shown(part, plain=plain)) for part in text.parts])
    return filled(here, text.fields, plain=plain) if text.fields else here


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


#: parts of restraints and trims, as they are mostly called
_PARTS = Words({word: word for word in (
    "armrest", "arms", "backrest", "base", "bed", "body", "console", "door", "envelope", "foot-end", "handle",
    "head-end", "pillar", "shell", "tunnel", "wheel arch", "wings")}) | Words({"seat": "seat of a restraint"})


def part(name: str) -> str:
    """What a part of a restraint, or a trim, is mostly called; any other name as it is."""
    return name if language() == "en" else str(_PARTS.get(name, name))


def fill(template: str, fields: Mapping[str, Any]) -> str:
    """A template, in the language in force, with its fields as they are shown: thousands set apart, but for what was
    said of a file, where numbers stand as they are written."""
    return template.format_map({
        name: shown(value, plain=isinstance(value, Message)) for name, value in fields.items()})


def filled(template: str, fields: Mapping[str, Any], *, plain: bool = False) -> str:
    """The same with everything in it in one manner, however deep; ``plain``: no thousands are set apart."""
    return template.format_map({name: shown(value, plain=plain) for name, value in fields.items()})


class _Told(str):
    """An amount as it is shown; in ``{low:bare}`` without its unit."""

    bare: str

    def __format__(self, spec: str) -> str:
        return self.bare if spec == "bare" else str(self)


def shown(value: Any, *, plain: bool = False) -> Any:
    """A field by its type, in the language and the units in force; ``plain``: no thousands are set apart."""
    kind = type(value)
    if kind is str or kind is int:
        return value
    if kind is Amount:
        return _amount(value, plain)
    if isinstance(value, Message):
        return _message(value, plain=plain)
    for known, show in _BY_TYPE:
        if isinstance(value, known):
            return show(value)
    return value


def unit(name: str) -> str:
    """A unit as it is shown: that of inches or pounds where they are in force, words such as ``degrees`` looked up."""
    return measures.unit_of(name) if name in measures.SYMBOLS else look_up(name)


def _amount(value: Amount, plain: bool) -> _Told:
    if value.unit == "months" and not value.unknown:
        from .ages import age

        told = _Told(age(value.value))
        told.bare = str(told)
        return told
    bare = measures.shown(value, plain=plain)
    told = _Told(f"{bare} {unit(value.unit)}".rstrip())
    told.bare = bare
    return told


_BY_TYPE: tuple[tuple[type | tuple[type, ...], Callable[[Any], str]], ...] = (
    (Name, str),
    (Word, look_up),
    (Unit, unit),
    (PartName, part),
    ((Day, date), day),
    (Figure, lambda value: number(value.value)),
    ((float, Fraction), lambda value: decimals(str(value))),
)
