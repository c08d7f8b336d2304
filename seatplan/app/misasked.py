"""A request that cannot be answered as it stands: a word that nothing is called by, a day that cannot be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from seatplan.files.errors import InputError, Problem
from seatplan.message import said


class Misasked(InputError):
    """``field`` is the field of the request that is wrong; ``text`` says what was found, ``hint`` what is allowed, or
    what to do. For programs: ``found`` is the word, ``allowed`` what may stand there (as of a ``Problem``)."""

    def __init__(self, field: str, text: str, hint: str = "", found: str | None = None,
                 allowed: Mapping[str, Any] | None = None) -> None:
        self.field, self.text, self.hint, self.found, self.allowed = field, text, hint, found, allowed
        whole = said("{text}; {hint}", text=text, hint=hint) if hint else text
        super().__init__([Problem("", 0, 0, whole, (field,), found, allowed)])


def one_of(word: str, known: Sequence[str], field: str, text: str, all_in: str = "") -> str:
    """The word as ``known`` spells it, whatever its capitals.

    Raises Misasked: ``text``, which says that there is no such word, and as hint the nearest one, or all of them;
    ``all_in`` is the hint where they are many.
    """
    for name in known:
        if name.casefold() == word.casefold():
            return name
    near = get_close_matches(word, known, 1)
    hint = (said("did you mean `{near}`?", near=near[0]) if near else
            all_in or said("expected one of {known}", known=", ".join(known)))
    raise Misasked(field, text, hint, word, {"one_of": list(known)})
