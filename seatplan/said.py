"""A sentence that remembers its template, so that views can say it in another language.

Below the views everything is said in English: findings, problems and labels are compared, sorted and put into JSON as
the English text that they are. What a person reads is looked up by the template (``seatplan.views.say.tr``).
"""

from __future__ import annotations

import shlex
import unicodedata
from collections.abc import Iterable
from typing import Any


class Verbatim(str):
    """What somebody wrote, such as a name: shown as it is in every language and unit, never looked up, and never taken
    for a number, a day or a quantity."""

    __slots__ = ()


#: controls, marks that change the direction of writing or join letters, halves of pairs, breaks of lines
_UNSEEN = ("Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp")


def visible(text: str) -> str:
    """A text on one line in which whatever acts on a terminal, or hides, is written out: ``\\x1b``, ``\\n``."""
    return text if text.isprintable() else "".join(map(_written_out, text))


def _written_out(letter: str) -> str:
    if unicodedata.category(letter) not in _UNSEEN:
        return letter
    if "\udc80" <= letter <= "\udcff":                        # a byte of a file name that is no text
        return f"\\x{ord(letter) - 0xdc00:02x}"
    return letter.encode("unicode_escape").decode()


def quoted(word: str) -> str:
    """A word as a shell takes it, fit to be shown."""
    if word.isprintable():
        return shlex.quote(word)
    return "$'" + visible(word.replace("\\", "\\\\").replace("'", "\\'")) + "'"


class Said(str):
    """English text, with the template and the fields that it was made of."""

    template: str
    fields: dict[str, Any]


def said(template: str, /, **fields: Any) -> Said:
    """The template with its ``{fields}`` filled in. Without fields the text stands as it is, braces and all."""
    text = Said(template.format(**fields) if fields else template)
    text.template, text.fields = template, fields
    return text


class Joined(Said):
    """Several texts with one word between them, such as ``a or b``."""

    parts: tuple[str, ...]


def joined(between: str, parts: Iterable[str]) -> Joined:
    """The parts with ``between``, such as `` or ``, from one to the next."""
    kept = tuple(parts)
    text = Joined(between.join(kept))
    text.template, text.fields, text.parts = between, {}, kept
    return text
