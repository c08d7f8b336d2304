"""Answers that outlive a question: kept by what they depend on, dropped when they have not been asked for in a while.

A *shelf* holds answers of one kind. Its keys are made of contents and of what else an answer hangs on, so an answer is
right for whoever asks with the same key, whatever trip it came from. A shelf has two halves: when the young one is
full it becomes the old one, and what nobody asked for since is gone. Nobody relies on finding an answer: one that is
gone, or that two threads miss at once, is reckoned once more. Only shelves and numbers are handed out under a lock.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Hashable
from itertools import count
from threading import Lock
from typing import Any, Generic, TypeVar

Answer = TypeVar("Answer")

#: the smallest answers that are kept, in each half of a shelf
BOUND = 32_000


class Shelf(Generic[Answer]):
    """Answers of one kind by their keys; at most twice ``bound`` of them. None is no answer."""

    __slots__ = ("_bound", "_old", "_young")

    def __init__(self, bound: int = BOUND) -> None:
        self._bound = max(1, bound)
        self._young: dict[Hashable, Answer] = {}
        self._old: dict[Hashable, Answer] = {}

    def __len__(self) -> int:
        return len(self._young) + len(self._old)

    def get(self, key: Hashable) -> Answer | None:
        """The answer, if it is still there."""
        answer = self._young.get(key)
        if answer is None:
            answer = self._old.get(key)
            if answer is not None:
                self.put(key, answer)
        return answer

    def put(self, key: Hashable, answer: Answer) -> Answer:
        """Keep an answer; hands it back."""
        young = self._young
        if len(young) >= self._bound:
            self._old, self._young = young, {}
            young = self._young
        young[key] = answer
        return answer

    def ask(self, key: Hashable, reckon: Callable[[], Answer]) -> Answer:
        """The answer that is there, or else a new one."""
        answer = self.get(key)
        return self.put(key, reckon()) if answer is None else answer


class Store:
    """Shelves by the name of what they hold, and numbers for what is asked about often.

    ``bound``: the smallest answers in each half of a shelf, of heavier ones fewer. Safe to share between threads.
    """

    def __init__(self, bound: int = BOUND) -> None:
        self.bound = bound
        self._shelves: dict[str, Shelf[Any]] = {}
        self._lock = Lock()
        self._next = count(1)
        self._numbers: Shelf[int] = Shelf(bound)

    def __len__(self) -> int:
        """Answers that are kept."""
        return len(self._numbers) + sum(map(len, list(self._shelves.values())))

    def shelf(self, name: str, weight: int = 1) -> Shelf[Any]:
        """The shelf of that name. ``weight``: how many of the smallest answers take as much room as one of these."""
        with self._lock:
            kept = self._shelves.get(name)
            if kept is None:
                kept = self._shelves[name] = Shelf(self.bound // weight)
            return kept

    def number(self, key: Hashable) -> int:
        """A small number for a key. A key that was dropped gets another one: no number is used twice."""
        kept = self._numbers.get(key)
        if kept is None:
            with self._lock:
                kept = self._numbers.get(key)
                if kept is None:
                    kept = self._numbers.put(key, next(self._next))
        return kept


#: where questions keep their answers unless they bring a store of their own; tests let it hold few
COMMON = Store(int(os.environ.get("SEATPLAN_STORE", BOUND)))
