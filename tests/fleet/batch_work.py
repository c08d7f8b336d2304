"""Work for the tests of batches: importable in every process."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from time import perf_counter

from seatplan.fleet.batches import FAILED, told


def doubling(given: str) -> Callable[[Sequence[str]], str]:
    """Doubles what it is given; ``die:PATH`` kills the worker once, ``poison`` each time, ``wrong`` is an error."""

    def one(piece: str) -> str:
        if piece == "poison":
            os.kill(os.getpid(), signal.SIGKILL)
        if piece.startswith("die:") and not Path(piece[4:]).exists():
            Path(piece[4:]).touch()
            os.kill(os.getpid(), signal.SIGKILL)
        if piece == "wrong":
            return f"{FAILED}wrong"
        return f"{given}{piece}{piece}"

    def work(batch: Sequence[str]) -> str:
        start = perf_counter()
        texts = [one(piece) for piece in batch]
        return told(texts, perf_counter() - start)

    return work


def slow(given: float) -> Callable[[Sequence[str]], str]:
    """Takes so long for each piece, and says how many came together."""

    def work(batch: Sequence[str]) -> str:
        start = perf_counter()
        time.sleep(given * len(batch))
        return told([str(len(batch)) for _ in batch], perf_counter() - start)

    return work
