"""Work in batches through any executor of ``concurrent.futures``: results in the order of what was asked.

A batch takes about a tenth of a second at least, so that sending it costs little beside. How many may be under way is
bounded, and so is what waits for its turn; nothing is lost when a worker is killed: what was under way is asked again,
at last each piece by itself with nothing beside it, and one that kills its worker then is told as failed. What comes
back is JSON, so that whoever reads it can check it, wherever it was made.
"""

from __future__ import annotations

import json
import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from itertools import islice
from types import TracebackType
from typing import Any, Protocol
from weakref import WeakKeyDictionary

#: seconds that a batch is meant to take at least, and as it is meant
LEAST_S, WANTED_S = 0.1, 0.25
#: batches under way for each worker, and pieces of a batch at most
_AHEAD, _MOST = 3, 2_000
#: a piece may kill so many workers that have nothing else
_TIMES = 2


class Hands(Protocol):
    """Whoever does the work: sends a batch to a worker, and says how many there are."""

    @property
    def workers(self) -> int: ...

    def send(self, batch: Sequence[str]) -> Future[str]: ...

    def lost(self, error: BaseException, future: Future[str] | None) -> bool:
        """Whether an error means that a worker died; whoever says so has other workers at hand. ``future``: of the
        batch that it is the error of, None where that could not be sent."""
        ...


#: what answers a batch: a text for each piece, and the seconds that it took, as ``told`` writes them
Work = Callable[[Sequence[str]], str]


class Garbled(Exception):
    """What came back is no answer to a batch."""


def told(texts: Sequence[str], seconds: float) -> str:
    """The answer to a batch. A text that begins with ``FAILED`` is the error of its piece."""
    return json.dumps([seconds, list(texts)], ensure_ascii=False)


def read(text: object, pieces: int) -> tuple[list[str], float]:
    """The texts of a batch of so many pieces, and the seconds that it took. Raises Garbled."""
    try:
        seconds, texts = json.loads(text) if isinstance(text, str) else (None, None)
    except (ValueError, RecursionError) as wrong:
        raise Garbled from wrong
    if (not isinstance(seconds, (int, float)) or not isinstance(texts, list) or len(texts) != pieces
            or not all(isinstance(one, str) for one in texts)):
        raise Garbled
    return texts, float(seconds)


#: no JSON begins like that
FAILED = "failed: "
#: the error of work that no worker outlives
KILLED = FAILED + "the worker was killed each time"


@dataclass(slots=True)
class _Batch:
    """Some pieces under way, with the place of the first of them, and how often they were lost; ``alone``: with nothing
    beside them."""

    at: int
    pieces: list[str]
    lost: int = 0
    alone: bool = False


@dataclass(slots=True)
class _Line:
    """What is under way and what waits to be told, in order."""

    hands: Hands
    pieces: Iterator[str]
    under_way: dict[Future[str], _Batch] = field(default_factory=dict)
    again: deque[_Batch] = field(default_factory=deque)
    suspects: deque[_Batch] = field(default_factory=deque)
    done: dict[int, str] = field(default_factory=dict)
    sent: int = 0
    told: int = 0
    each_s: float = LEAST_S
    all_sent: bool = False

    @property
    def size(self) -> int:
        """Pieces to a batch, by what one took so far."""
        return max(1, min(_MOST, round(WANTED_S / max(self.each_s, 1e-6))))

    def fill(self) -> None:
        """Send what may be sent."""
        most = self.hands.workers * _AHEAD
        while len(self.under_way) < most and self.again:
            self._send(self.again.popleft())
        if self.suspects:
            if not self.under_way:
                self._send(self.suspects.popleft())
            return
        # whoever is slow at the front keeps the others from running away: what waits to be told stays bounded
        while len(self.under_way) < most and self.sent - self.told < 2 * most * self.size:
            pieces = list(islice(self.pieces, self.size))
            if not pieces:
                self.all_sent = True
                return
            self._send(_Batch(self.sent, pieces))
            self.sent += len(pieces)

    def _send(self, batch: _Batch) -> None:
        try:
            self.under_way[self.hands.send(batch.pieces)] = batch
        except Exception as error:
            if not self.hands.lost(error, None):
                raise
            self.under_way[self.hands.send(batch.pieces)] = batch

    def take(self) -> None:
        """Wait for a batch, and take what is done."""
        for future in wait(self.under_way, return_when=FIRST_COMPLETED).done:
            batch = self.under_way.pop(future)
            error = CancelledError() if future.cancelled() else future.exception()
            if error is None:
                self._note(batch, future.result())
            elif isinstance(error, CancelledError) or self.hands.lost(error, future):
                self._ask_again(batch)
            else:
                raise error

    def _note(self, batch: _Batch, text: object) -> None:
        texts, seconds = read(text, len(batch.pieces))
        self.done.update(enumerate(texts, batch.at))
        self.each_s = (self.each_s + seconds / len(batch.pieces)) / 2

    def _ask_again(self, batch: _Batch) -> None:
        """Nobody knows which of all that was under way it was: who is lost once is sent again with others, then
        alone."""
        batch.lost += 1
        if batch.alone and len(batch.pieces) > 1:
            self.suspects.extend(_Batch(batch.at + n, [piece], 0, True) for n, piece in enumerate(batch.pieces))
        elif batch.alone and batch.lost >= _TIMES:
            self.done[batch.at] = KILLED
        elif batch.alone or batch.lost > 1:
            self.suspects.append(_Batch(batch.at, batch.pieces, batch.lost if batch.alone else 0, True))
        else:
            self.again.append(batch)


def in_order(hands: Hands, pieces: Iterable[str],
             progress: Callable[[int], None] | None = None) -> Generator[str, None, None]:
    """The answer to each piece of work, in the order of the pieces, as soon as it and all before it are there.
    ``progress`` is told how many are done. What is under way is called off when nobody wants more."""
    line = _Line(hands, iter(pieces))
    try:
        while True:
            line.fill()
            while line.told in line.done:
                line.told += 1
                yield line.done.pop(line.told - 1)
            if not line.under_way and not line.again and not line.suspects:
                if line.all_sent:
                    return
                continue
            if line.under_way:
                line.take()
                if progress is not None:
                    progress(line.told + len(line.done))
    finally:
        for future in line.under_way:
            future.cancel()


# --- processes of this machine

_HERE: list[Work] = []


def _begin(make: Callable[[Any], Work], given: Any) -> None:
    """What a worker does once: it is given what all of its work needs."""
    import signal

    # Ctrl-C goes to all processes of a terminal; the one that asked ends the others
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _HERE[:] = [make(given)]


def _work(batch: Sequence[str]) -> str:
    return _HERE[0](batch)


class Pool(AbstractContextManager["Pool"]):
    """Processes of this machine, each started afresh and given what it needs once. A pool that broke is replaced."""

    def __init__(self, make: Callable[[Any], Work], given: Any,
                 workers: int | None = None) -> None:
        """``make`` gets ``given`` in each worker, and hands back what answers batches; both must be importable and
        picklable."""
        self._make, self._given = make, given
        self._workers = workers or _cores()
        self._pool: ProcessPoolExecutor | None = None
        self._pool_of: WeakKeyDictionary[Future[str], ProcessPoolExecutor] = WeakKeyDictionary()

    @property
    def workers(self) -> int:
        return self._workers

    def send(self, batch: Sequence[str]) -> Future[str]:
        """Give a batch to a worker."""
        if self._pool is None:
            self._pool = ProcessPoolExecutor(self._workers, multiprocessing.get_context("spawn"), _begin,
                                             (self._make, self._given))
        future = self._pool.submit(_work, tuple(batch))
        self._pool_of[future] = self._pool
        return future

    def lost(self, error: BaseException, future: Future[str] | None) -> bool:
        """A worker died, and with it the pool: the next batch gets a new one. Other batches of the pool that broke are
        told later."""
        if not isinstance(error, BrokenExecutor):
            return False
        if future is None or self._pool_of.get(future) is self._pool:
            self._end()
        return True

    def _end(self) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = None

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None


class Given:
    """Any executor, with what the work needs sent beside each batch; ``given`` may stand for it, as a scattered value
    of a cluster does. ``died``: the errors that mean that a worker was killed."""

    def __init__(self, executor: Executor, make: Callable[[Any], Work], given: Any,
                 workers: int, died: tuple[type[BaseException], ...] = (BrokenExecutor,)) -> None:
        self._executor, self._make, self._given, self._workers = executor, make, given, workers
        self._died = died

    @property
    def workers(self) -> int:
        return self._workers

    def send(self, batch: Sequence[str]) -> Future[str]:
        """Give a batch to a worker."""
        return self._executor.submit(_work_given, self._make, self._given, tuple(batch))

    def lost(self, error: BaseException, future: Future[str] | None) -> bool:
        return isinstance(error, self._died)


_MADE: list[tuple[Any, Work]] = []


def _work_given(make: Callable[[Any], Work], given: Any, batch: Sequence[str]) -> str:
    """What was made of the same thing is used again, as long as that is at hand."""
    for known, work in _MADE:
        if known is given or known == given:
            return work(batch)
    work = make(given)
    _MADE[:] = [(given, work)]
    return work(batch)


class Here:
    """This process alone: for few pieces of work, and for tests."""

    workers = 1

    def __init__(self, make: Callable[[Any], Work], given: Any) -> None:
        self._work = make(given)

    def send(self, batch: Sequence[str]) -> Future[str]:
        """Do a batch at once."""
        future: Future[str] = Future()
        future.set_result(self._work(batch))
        return future

    def lost(self, error: BaseException, future: Future[str] | None) -> bool:
        return False


def _cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
