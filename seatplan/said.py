"""A sentence that remembers its template, so that views can say it in another language.

Below the views everything is said in English: findings, problems and labels are compared, sorted and put into JSON as
the English text that they are. What a person reads is looked up by the template (``seatplan.views.say.tr``).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


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
