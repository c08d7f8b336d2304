"""The command that says how large a restraint may be."""

from __future__ import annotations

from datetime import date

from seatplan.written import quoted

from .content import Text, Typed, spans


def room_hint(asked: str, rider: str, on: date | None = None, what: str | None = None) -> Text:
    """``asked``: trip and options as typed; ``on``: the day of travel, where it is another one; ``what`` may be so
    large, where "it" does not say."""
    command = Typed(f"seatplan room {asked} --rider {quoted(rider)}{'' if on is None else f' --on {on.isoformat()}'}")
    if what is None:
        return spans("`{command}` says how large it may be", command=command)
    return spans("`{command}` says how large {what} may be", command=command, what=what)
