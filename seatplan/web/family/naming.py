"""What a trip is called that nobody called anything: its children by their names."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from seatplan.app.filling import Fill
from seatplan.views.manner import LANGUAGES, speaking
from seatplan.views.text import listed
from seatplan.web.fields import as_written

from .asks import is_adult
from .beginning import first_title

#: letters that a title may have
_MOST = 60


def title_follows(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Fill]:
    """The title anew, where it was none that somebody typed: the first one, once a child is called otherwise, or one
    made here of the names as they were, in whatever language, once they are others."""
    names, renamed, title = _children(before), _children(after), as_written(before.get("trip"))
    if not renamed or renamed == names or as_written(after.get("trip")) != title:
        return []
    follows = title in _in_each_language(lambda: _title(names)) or (
        len(renamed) == len(names) and title in _in_each_language(first_title))
    return [Fill(("trip",), _title(renamed))] if follows else []


def _in_each_language(told: Callable[[], str]) -> set[str]:
    found = set()
    for language in LANGUAGES:
        with speaking(language):
            found.add(told())
    return found


def _title(names: Sequence[str]) -> str:
    """All names, or the first ones where that is too long."""
    whole = listed(names)
    kept = len(names) - 1
    while len(whole) > _MOST and kept > 0:
        whole, kept = ", ".join([*names[:kept], "\u2026"]), kept - 1
    return whole


def _children(data: Mapping[str, Any]) -> list[str]:
    return [as_written(one.get("rider")) for one in data.get("riders") or ()
            if isinstance(one, Mapping) and not is_adult(one)]
