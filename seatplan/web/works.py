"""What is being worked out beside the pages, to be looked at once it is done, or given up.

Only the browser that asked sees it. It is kept in memory, and goes with the visit.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import CancelledError, Future
from concurrent.futures.process import BrokenProcessPool
from contextvars import copy_context
from dataclasses import dataclass, field
from itertools import count
from threading import Event, Lock, Thread
from typing import Any, Literal

from .apart import Apart

State = Literal["waits", "works", "done", "failed", "given up"]
#: so many at once of one browser; the oldest makes room
MOST_EACH = 5
#: so often one is begun again that fell with another one
_TRIES = 5


@dataclass(slots=True, eq=False)
class Work:
    """One question. ``about``: the trip by its number, and ``version`` of it when this was asked; ``told``: the
    question in words."""

    number: str
    owner: str
    about: str
    version: str
    told: str
    answer: Any = None
    finished: Event = field(default_factory=Event)
    given_up: bool = False
    failed: bool = False
    working: bool = False
    future: Future[Any] | None = None

    @property
    def state(self) -> State:
        if self.given_up:
            return "given up"
        if self.finished.is_set():
            return "failed" if self.failed else "done"
        return "works" if self.working else "waits"


class Works:
    """All that is being worked out, one after the other. Safe with several threads."""

    def __init__(self, apart: Apart) -> None:
        self._apart, self._lock, self._turn, self._numbers = apart, Lock(), Lock(), count(1)
        self._all: OrderedDict[str, Work] = OrderedDict()

    def begin(self, owner: str, about: str, version: str, told: str, question: Callable[..., Any],
              *asked: Any) -> Work:
        """Have a question worked out: a function of a module, and what it is asked, which go to another process."""
        with self._lock:
            work = Work(str(next(self._numbers)), owner, about, version, told)
            self._all[work.number] = work
            mine = [one for one in self._all.values() if one.owner == owner]
        for old in mine[:-MOST_EACH]:
            self.give_up(old)
        # in the language, the units and on the day of whoever asks
        context = copy_context()
        Thread(target=context.run, args=(self._worked_out, work, question, asked), daemon=True).start()
        return work

    def of(self, owner: str, about: str) -> list[Work]:
        """What one browser has asked about a trip, the newest first."""
        with self._lock:
            return [one for one in reversed(self._all.values()) if (one.owner, one.about) == (owner, about)]

    def find(self, owner: str, about: str, number: str) -> Work | None:
        """One of them by its number."""
        return next((one for one in self.of(owner, about) if one.number == number), None)

    def give_up(self, work: Work) -> None:
        """It is not worked out any further, and forgotten."""
        with self._lock:
            self._all.pop(work.number, None)
        work.given_up = True                            # first: whoever begins it meanwhile looks at this
        if work.working and not work.finished.is_set():
            self._apart.stop()

    def leave(self, owner: str) -> None:
        """Everything of one browser is given up."""
        with self._lock:
            mine = [one for one in self._all.values() if one.owner == owner]
        for one in mine:
            self.give_up(one)

    def close(self) -> None:
        """Nothing is worked out any more, and nothing that was stopped is begun again."""
        with self._lock:
            every = list(self._all.values())
        for one in every:
            self.give_up(one)
        self._apart.stop()

    def _worked_out(self, work: Work, question: Callable[..., Any], asked: tuple[Any, ...]) -> None:
        try:
            with self._turn:
                work.working = True
                self._tried(work, question, asked)
        except Exception:  # noqa: BLE001  # the top of a thread; what went wrong may hold a name, and is not told
            work.failed = True
        finally:
            work.finished.set()

    def _tried(self, work: Work, question: Callable[..., Any], asked: tuple[Any, ...]) -> None:
        for _ in range(_TRIES):
            if work.given_up:
                return
            try:
                work.future = self._apart.begin(question, *asked)
                if work.given_up:                       # before there was anything to stop
                    self._apart.stop()
                    return
                work.answer = work.future.result()
                return
            except (BrokenProcessPool, CancelledError):
                continue                                # somebody else's was given up while it ran
        work.failed = True
