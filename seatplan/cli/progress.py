"""How far a long piece of work is, on stderr."""

from __future__ import annotations

import os
import sys
import time
from types import TracebackType

from seatplan.views.manner import number
from seatplan.views.say import N, t
from seatplan.views.text import columns, cut

#: seconds before anything is told, and between two tellings
_STEP = 1.0


class Slow:
    """Says what the work is at once it takes longer than a second: on a terminal in one line, which is written anew and
    is gone when the work is done; elsewhere once."""

    def __init__(self, told: str = N("{stage}: {n} ways looked at so far")) -> None:
        self._told = told
        self._next = time.monotonic() + _STEP
        self._room = _columns()
        self._shown = 0
        self._silent = False

    def __enter__(self) -> Slow:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        if self._shown:
            self._write("")

    def __call__(self, stage: str, n: int) -> None:
        if self._silent or time.monotonic() < self._next:
            return
        self._next = time.monotonic() + _STEP
        text = t(self._told, stage=stage, n=number(n))
        if self._room:
            self._write(cut(text, self._room - 1))
        else:
            self._silent = True
            print(text, file=sys.stderr)

    def _write(self, text: str) -> None:
        """The text in place of the one before."""
        print(f"\r{' ' * self._shown}\r{text}", end="", file=sys.stderr, flush=True)
        self._shown = columns(text)


def _columns() -> int:
    """How wide the terminal is that stderr goes to; 0 where it goes elsewhere."""
    try:
        return os.get_terminal_size(sys.stderr.fileno()).columns or 80
    except (OSError, ValueError, AttributeError):
        return 0
