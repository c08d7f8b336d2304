"""What a file leaves out that a rule asks for, as `seatplan check` prints it."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.message import Name
from seatplan.rules.not_given import NotGiven

from .say import N, t
from .text import count, wrapped

#: what stands before the fields of one thing, and of several; the fields of a restraint stand alone
_OF = {
    "row": (N("row {names}: {fields}"), N("rows {names}: {fields}")),
    "position": (N("position {names}: {fields}"), N("positions {names}: {fields}")),
    "mode": (N("mode {names}: {fields}"), N("modes {names}: {fields}")),
    "rider": (N("rider {names}: {fields}"), N("riders {names}: {fields}")),
}
#: fields that are named; of more of them their number is told
MOST = 24
#: of one thing
MOST_OF_ONE = 8


def not_given_text(lacking: Sequence[NotGiven]) -> str:
    """One paragraph, alike things together; empty where nothing is left out."""
    alike: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for one in lacking:
        alike.setdefault((one.of, one.fields), []).append(one.name)
    parts, left, more = [], MOST, 0
    for (of, fields), names in alike.items():
        shown = fields[:min(MOST_OF_ONE, left)]
        left -= len(shown)
        more += (len(fields) - len(shown)) * len(names)
        if shown:
            told = Name(", ".join(shown))
            parts.append(t(_OF[of][len(names) > 1], names=Name(", ".join(names)), fields=told) if of in _OF
                         else told)
    if more:
        parts.append(t("and {fields} more", fields=count(more, "field")))
    return wrapped(t("not given: {parts}", parts="; ".join(parts)), "  ", "    ") if parts else ""
