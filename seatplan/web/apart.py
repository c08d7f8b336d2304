"""Questions that take long, worked out in one process beside the server: pages stay quick for everybody else.

What goes over is a request of ``seatplan.app`` and the name of a function that asks it; what comes back is what a page
shows of the ``Outcome``, since a plan holds much that cannot go from one process to another. Both are our own between
two processes of one program, and are never read from a file or a network.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from datetime import date
from threading import Lock, Thread
from typing import Any

from seatplan.cycles import look_seldom


class Apart:
    """One worker, begun when it is first asked, and anew where it was killed."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._pool: ProcessPoolExecutor | None = None

    def ask(self, question: Callable[..., Any], *asked: Any) -> Any:
        """What the question answers. Raises what it raises."""
        for last in (False, True):
            try:
                return self.begin(question, *asked).result()
            except BrokenProcessPool:
                self.close()
                if last:
                    raise
        raise AssertionError

    def begin(self, question: Callable[..., Any], *asked: Any) -> Future[Any]:
        """Have a question answered. Raises BrokenProcessPool where the worker was stopped meanwhile."""
        with self._lock:                                # or it could begin in a worker that is being stopped
            return self._begun().submit(_answered, question, asked, *_manner())

    def stop(self) -> None:
        """End the worker at once, in the middle of what it does; the next question begins another one."""
        with self._lock:
            pool, self._pool = self._pool, None
            if pool is not None:
                for process in list((pool._processes or {}).values()):
                    process.terminate()
                pool.shutdown(wait=False, cancel_futures=False)

    def close(self) -> None:
        """The worker ends."""
        with self._lock:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=False, cancel_futures=True)

    def _begun(self) -> ProcessPoolExecutor:
        """The worker; whoever asks holds the lock."""
        if self._pool is None:
            # a forked copy of a process with threads can stand still at a lock that nobody there lets go
            self._pool = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), _ends_with_server)
        return self._pool


def _ends_with_server() -> None:
    """In the worker: however the server ends, killed too, its worker does not go on alone."""
    server = multiprocessing.parent_process()

    def wait() -> None:
        if server is not None:
            server.join()
        os._exit(0)

    look_seldom()
    signal.signal(signal.SIGINT, signal.SIG_IGN)        # Ctrl-C at a terminal is the server's to answer
    if hasattr(os, "nice"):
        os.nice(10)                                     # pages come before what somebody waits for anyway
    Thread(target=wait, daemon=True).start()


def _manner() -> tuple[str, str, date]:
    from seatplan.app.days import today
    from seatplan.views.manner import customary, language

    return language(), "customary" if customary() else "metric", today()


def _answered(question: Callable[..., Any], asked: tuple[Any, ...], lang: str, units: str, day: date) -> Any:
    from seatplan.app.days import at
    from seatplan.views.manner import speaking

    with speaking(lang, units), at(day):
        return question(*asked)
