"""Notices and how far the work is, on stderr."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from seatplan.app.notices import Listener, Notice, Progress, Stage
from seatplan.views.notice_text import notice_text
from seatplan.views.say import N

from .progress import Slow

if TYPE_CHECKING:
    from seatplan.app.records import Trip

_COUNTED: dict[Stage, str] = {
    "ways": N("{stage}: {n} ways looked at so far"),
    "fields": N("{n} fields looked at"),
    "days": N("{stage}: {n} so far"),
    "classes": N("{n} parties and types matched so far"),
}


class Told(Listener):
    """``before``: what is done with the trip as soon as it is read, before anything is worked out."""

    def __init__(self, before: Callable[[Trip], None] = lambda trip: None) -> None:
        self._before = before

    def notice(self, notice: Notice) -> None:
        print(notice_text(notice), file=sys.stderr)

    def read(self, trip: Trip) -> None:
        self._before(trip)

    @contextmanager
    def progress(self, stage: Stage) -> Iterator[Progress | None]:
        with Slow(_COUNTED[stage]) as slow:
            yield slow
