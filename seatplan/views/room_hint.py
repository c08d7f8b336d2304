"""The command that says how large a restraint may be."""

from __future__ import annotations

from datetime import date

from .say import t


def room_hint(asked: str, rider: str, on: date | None = None, what: str | None = None) -> str:
    """``asked``: trip and options as typed; ``on``: the day of travel, where it is another one; ``what`` may be so
    large, where "it" does not say."""
    name = f'"{rider}"' if " " in rider else rider
    command = f"`seatplan room {asked} --rider {name}{'' if on is None else f' --on {on.isoformat()}'}`"
    if what is None:
        return t("{command} says how large it may be", command=command)
    return t("{command} says how large {what} may be", command=command, what=what)
