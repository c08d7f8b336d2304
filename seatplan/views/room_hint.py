"""The command that says how large a restraint may be."""

from __future__ import annotations

from datetime import date


def room_hint(asked: str, rider: str, on: date | None = None, what: str = "it") -> str:
    """``asked``: trip and options as typed; ``on``: the day of travel, where it is another one; ``what`` may be so
    large."""
    name = f'"{rider}"' if " " in rider else rider
    day = "" if on is None else f" --on {on}"
    return f"`seatplan room {asked} --rider {name}{day}` says how large {what} may be"
