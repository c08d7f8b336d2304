"""Work in batches through any executor of ``concurrent.futures``: each result as soon as it is there.

Work comes in lots of pieces that are like each other, and a worker keeps what it reckoned for the next piece, so each
worker has a *lane*: it goes through a lot that nobody else began, and when there is none left, takes the end of what
waits in the lane that would take longest. Two then reckon the same thing twice as seldom as may be.

A batch takes about a tenth of a second at least, so that sending it costs little beside. How many may be under way is
bounded; towards the end nothing waits behind another. Nothing is lost when a worker is killed: what it had is asked
again, at last each piece by itself with nothing beside it, and one that kills its worker then is told as failed. What
comes back is JSON, so that whoever reads it can check it, wherever it was made.
"""

from __future__ import annotations

import atexit
import json
import multiprocessing
import os
from collections import Counter, deque
from collections.abc import Callable, Generator, Iterator, Sequence
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
from itertools import chain, islice
from types import TracebackType
from typing import Any, Protocol

from seatplan.cycles import look_seldom

#: seconds that a batch is meant to take at least, and as it is meant
LEAST_S, WANTED_S = 0.1, 0.25
#: batches under way for each worker, and pieces of a batch at most
_AHEAD, _MOST = 2, 2_000
#: so many batches for each worker are the end of the work: none waits there behind another that may take long
_LAST = 4
#: a piece may kill so many workers that have nothing else
_TIMES = 2


class Hands(Protocol):
    """Whoever does the work: sends a batch to the worker of a lane, from 0, and says how many there are. Hands that
    cannot choose a worker send it to any."""

    @property
    def workers(self) -> int: ...

    def send(self, batch: Sequence[str], lane: int) -> Future[str]: ...

    def lost(self, error: BaseException) -> bool:
        """Whether the error of a batch means that its worker died; whoever says so has another one at hand."""
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


#: a piece of work with its place among all
_Piece = tuple[int, str]


@dataclass(slots=True)
class _Lot:
    """Pieces that are like each other and wait for their turn; ``each_s``: what one took so far."""

    waiting: deque[_Piece]
    each_s: float = LEAST_S

    @property
    def left_s(self) -> float:
        return len(self.waiting) * self.each_s

    @property
    def size(self) -> int:
        """Pieces to a batch."""
        return max(1, min(_MOST, round(WANTED_S / max(self.each_s, 1e-6))))

    def batch(self) -> list[_Piece]:
        return [self.waiting.popleft() for _ in range(min(self.size, len(self.waiting)))]

    def end(self) -> _Lot:
        """The later half of what waits, as a lot of its own."""
        taken = [self.waiting.pop() for _ in range((len(self.waiting) + 1) // 2)]
        return _Lot(deque(reversed(taken)), self.each_s)


@dataclass(slots=True)
class _Batch:
    """Some pieces of a lot under way in a lane, and how often they were lost; ``alone``: with nothing beside them."""

    pieces: list[_Piece]
    lot: _Lot
    lane: int = 0
    lost: int = 0
    alone: bool = False


@dataclass(slots=True)
class _Line:
    """What is under way, and what waits: ``begun`` in each lane, and lots that nobody began."""

    hands: Hands
    lots: list[_Lot]
    begun: list[_Lot] = field(init=False)
    under_way: dict[Future[str], _Batch] = field(default_factory=dict)
    again: deque[_Batch] = field(default_factory=deque)
    suspects: deque[_Batch] = field(default_factory=deque)

    def __post_init__(self) -> None:
        self.begun = [_Lot(deque()) for _ in range(self.hands.workers)]

    @property
    def open(self) -> bool:
        """Whether anything is not answered yet."""
        return bool(self.under_way or self.again or self.suspects or self.lots or any(
            lot.waiting for lot in self.begun))

    def fill(self) -> None:
        """Send what may be sent."""
        if self.suspects and not self.again:
            if not self.under_way:
                self._send(self.suspects.popleft(), 0)
            return
        has = Counter(batch.lane for batch in self.under_way.values())
        for ahead in range(_AHEAD):                 # nobody gets a second batch before everybody has a first one
            for lane in range(self.hands.workers):
                batch = self._next(lane, ahead) if has[lane] == ahead else None
                if batch is not None:
                    self._send(batch, lane)
                    has[lane] += 1

    def _at_its_end(self) -> bool:
        left_s = sum(lot.left_s for lot in (*self.lots, *self.begun))
        return left_s < _LAST * WANTED_S * self.hands.workers

    def _next(self, lane: int, ahead: int) -> _Batch | None:
        """What a lane does next: what was lost, or a part of its lot. ``ahead``: batches that it has."""
        if self.again:
            return self.again.popleft()
        if self.suspects or (ahead and self._at_its_end()):
            return None
        if not self.begun[lane].waiting:
            self.begun[lane] = self._another()
        lot = self.begun[lane]
        return _Batch(lot.batch(), lot) if lot.waiting else None

    def _another(self) -> _Lot:
        """For a lane that has nothing: the longest lot that nobody began, else the end of the longest lane."""
        if self.lots:
            longest = max(self.lots, key=lambda lot: lot.left_s)
            self.lots.remove(longest)
            return longest
        return max(self.begun, key=lambda lot: lot.left_s).end()

    def _send(self, batch: _Batch, lane: int) -> None:
        batch.lane = lane
        self.under_way[self.hands.send([text for _, text in batch.pieces], lane)] = batch

    def take(self) -> Iterator[tuple[int, str]]:
        """Wait for a batch, and take what is done: the place of each piece, and its answer."""
        for future in wait(self.under_way, return_when=FIRST_COMPLETED).done:
            batch = self.under_way.pop(future)
            error = CancelledError() if future.cancelled() else future.exception()
            if error is None:
                yield from _answers(batch, future.result())
            elif isinstance(error, CancelledError) or self.hands.lost(error):
                yield from self._ask_again(batch)
            else:
                raise error

    def _ask_again(self, batch: _Batch) -> Iterator[tuple[int, str]]:
        """Nobody knows which of all that was under way it was: who is lost once is sent again with others, then
        alone."""
        batch.lost += 1
        if batch.alone and len(batch.pieces) > 1:
            self.suspects.extend(_Batch([piece], batch.lot, alone=True) for piece in batch.pieces)
        elif batch.alone and batch.lost >= _TIMES:
            yield from ((at, KILLED) for at, _ in batch.pieces)
        elif batch.alone or batch.lost > 1:
            self.suspects.append(_Batch(batch.pieces, batch.lot, lost=batch.lost if batch.alone else 0, alone=True))
        else:
            self.again.append(batch)


def _answers(batch: _Batch, text: object) -> Iterator[tuple[int, str]]:
    texts, seconds = read(text, len(batch.pieces))
    batch.lot.each_s = (batch.lot.each_s + seconds / len(batch.pieces)) / 2
    return ((at, one) for (at, _), one in zip(batch.pieces, texts, strict=True))


def as_they_come(hands: Hands, lots: Sequence[Sequence[str]],
                 progress: Callable[[int], None] | None = None) -> Generator[tuple[int, str], None, None]:
    """Each piece of work with its answer, by its place among all of all lots, in the order in which they are done.
    ``lots``: pieces that are like each other, those that take long first. ``progress`` is told how many are done. What
    is under way is called off when nobody wants more."""
    pieces, done = enumerate(chain.from_iterable(lots)), 0
    line = _Line(hands, [_Lot(deque(islice(pieces, len(lot)))) for lot in lots if lot])
    try:
        line.fill()
        while line.open:
            taken = list(line.take())
            line.fill()                             # nobody waits for whoever reads the answers
            done += len(taken)
            yield from taken
            if progress is not None:
                progress(done)
    finally:
        for future in line.under_way:
            future.cancel()


# --- processes of this machine

_HERE: list[Work] = []


def _begin(make: Callable[[Any], Work], given: Any) -> None:
    """What a worker does once: it is given what all of its work needs."""
    import signal

    look_seldom()
    # what it got to know is not taken apart piece by piece at its end, which took seconds
    atexit.register(os._exit, 0)
    # Ctrl-C goes to all processes of a terminal; the one that asked ends the others
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _HERE[:] = [make(given)]


def _work(batch: Sequence[str]) -> str:
    return _HERE[0](batch)


class Pool(AbstractContextManager["Pool"]):
    """Processes of this machine, one for each lane, each started afresh when it is first needed and given what it needs
    once. One that was killed is replaced, and takes nothing of the others with it."""

    def __init__(self, make: Callable[[Any], Work], given: Any,
                 workers: int | None = None) -> None:
        """``make`` gets ``given`` in each worker, and hands back what answers batches; both must be importable and
        picklable."""
        self._make, self._given = make, given
        self._workers = workers or _cores()
        self._lanes: dict[int, ProcessPoolExecutor] = {}

    @property
    def workers(self) -> int:
        return self._workers

    def send(self, batch: Sequence[str], lane: int) -> Future[str]:
        """Give a batch to the worker of a lane."""
        if lane in self._lanes:
            try:
                return self._lanes[lane].submit(_work, tuple(batch))
            except BrokenExecutor:
                self._lanes.pop(lane).shutdown(wait=False, cancel_futures=True)
        self._lanes[lane] = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), _begin,
                                                (self._make, self._given))
        return self._lanes[lane].submit(_work, tuple(batch))

    def lost(self, error: BaseException) -> bool:
        """A worker died, and with it its lane: what is sent next gets a new one."""
        return isinstance(error, BrokenExecutor)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        while self._lanes:
            self._lanes.popitem()[1].shutdown(wait=True, cancel_futures=True)


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

    def send(self, batch: Sequence[str], lane: int) -> Future[str]:
        """Give a batch to a worker, whoever is free."""
        return self._executor.submit(_work_given, self._make, self._given, tuple(batch))

    def lost(self, error: BaseException) -> bool:
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

    def send(self, batch: Sequence[str], lane: int) -> Future[str]:
        """Do a batch at once."""
        future: Future[str] = Future()
        future.set_result(self._work(batch))
        return future

    def lost(self, error: BaseException) -> bool:
        return False


def _cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
