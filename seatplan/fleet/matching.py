"""Classes answered: those that are known from what is kept, the others by workers, each once.

Whoever answers them, the answers are the same: a class is answered by itself, and what a worker keeps between two of
them changes nothing but the time. Classes travel as they are kept, without ids, names, times or places; answers come
back as JSON, are checked field by field on arrival, and from a machine that is not this one a sample of them is solved
again here.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import groupby, islice
from time import perf_counter

from seatplan.frozen import frozen

from .answers import Damaged, answer_json, canonical_json, party_json, party_of, read_answer
from .batches import FAILED, Garbled, Hands, Work, as_they_come, told
from .classes import Engine, World
from .kept import Kept, Keys
from .records import Class, ClassAnswer

#: of so many answers from elsewhere one is solved again here
SAMPLE = 50
#: classes that are looked at together: what is known of them is told, what is not is asked; and so many stay at hand
_TOGETHER, _AT_HAND = 4_096, 20_000
#: seconds of work that are lost at most where the program is killed
_KEEP_EVERY_S = 0.5


@frozen
class Failed:
    """A class that was not answered, and why, in the words of the error."""

    error: str


class Untrue(Exception):
    """An answer from elsewhere is not the one that this machine gives, or none at all."""


@dataclass(slots=True)
class Counts:
    """What became of the classes of a run."""

    asked: int = 0
    known: int = 0
    failed: int = 0
    checked: int = 0


@dataclass(slots=True)
class Matching:
    """Answers of one world's classes. ``hands``: whoever solves what is not known; ``version``: of the program.
    ``sample``: of so many answers that were made elsewhere one is solved again here; 0: they are made by this program
    on this machine."""

    world: World
    kept: Kept
    hands: Hands
    version: str
    sample: int = 0
    counts: Counts = field(default_factory=Counts)
    _keys: Keys = field(init=False)
    _known: dict[Class, ClassAnswer | Failed] = field(default_factory=dict)
    _engine: Engine = field(init=False)

    def __post_init__(self) -> None:
        self._keys, self._engine = Keys(self.world, self.version), Engine(self.world)

    def known(self, one: Class) -> ClassAnswer | Failed | None:
        """The answer of a class that was asked before in this run; it takes a few microseconds."""
        return self._known.get(one)

    def answers(self, classes: Iterable[Class],
                progress: Callable[[int], None] | None = None) -> Iterator[tuple[Class, ClassAnswer | Failed]]:
        """Each class with its answer, in the order in which they come; one that comes again is told again. Raises
        Untrue and Unwritten."""
        coming = iter(classes)
        while True:
            some = list(islice(coming, _TOGETHER))
            if not some:
                return
            if len(self._known) > _AT_HAND:          # the others are in what is kept
                for one in list(islice(self._known, len(self._known) - _AT_HAND // 2)):
                    del self._known[one]
            self._answer([one for one in dict.fromkeys(some) if one not in self._known], progress)
            for one in some:
                yield one, self._known[one]

    def _answer(self, classes: Sequence[Class], progress: Callable[[int], None] | None) -> None:
        """Find out those of which nothing is known yet. What is solved is kept at once, batch by batch."""
        open_: list[Class] = []
        for one in classes:
            kept = self.kept.get(self._keys.key(*one))
            if kept is None:
                open_.append(one)
            else:
                self._known[one] = kept
                self.counts.known += 1
        lots = _alike(open_) if self.hands.workers > 1 else [open_]     # alone, what types share is fresher so
        asked = [one for lot in lots for one in lot]
        waiting: list[tuple[str, ClassAnswer]] = []
        since = perf_counter()
        try:
            with closing(as_they_come(self.hands, [list(map(class_json, lot)) for lot in lots], progress)) as texts:
                for n, text in texts:
                    one = asked[n]
                    answer = self._read(one, text)
                    self._known[one] = answer
                    if isinstance(answer, ClassAnswer):
                        waiting.append((self._keys.key(*one), answer))
                    if perf_counter() - since > _KEEP_EVERY_S:
                        self.kept.put(waiting)
                        waiting, since = [], perf_counter()
        except Garbled as garbled:
            raise Untrue("what came back answers nothing that was asked") from garbled
        finally:
            self.kept.put(waiting)

    def _read(self, one: Class, text: str) -> ClassAnswer | Failed:
        self.counts.asked += 1
        if text.startswith(FAILED):
            self.counts.failed += 1
            return Failed(text.removeprefix(FAILED))
        try:
            answer = read_answer(text)
        except Damaged as damaged:
            raise Untrue(str(damaged)) from damaged
        if self.sample and _in_sample(self._keys.key(*one), self.sample):
            self.counts.checked += 1
            if self._engine.answer(*one) != answer:
                raise Untrue("an answer is not the one that is found here")
        return answer


def _in_sample(key: str, each: int) -> bool:
    """Whether a class is of the sample: by its key, so that nobody who answers it can choose."""
    return int(sha256(key.encode()).hexdigest()[:8], 16) % each == 0


def _alike(classes: Iterable[Class]) -> list[list[Class]]:
    """Classes in lots by their type: whoever answers one has much of what the next one of that type asks. Larger
    parties, which take longest, come first."""
    ordered = sorted(classes, key=lambda one: (one.vehicle_type, -len(one.party.members)))
    return [list(lot) for _, lot in groupby(ordered, key=lambda one: one.vehicle_type)]


def class_json(one: Class) -> str:
    """A class as text: the content of its type, and its party."""
    return canonical_json([one.vehicle_type, party_json(one.party)])


def worker(world: World) -> Work:
    """What answers batches of classes as text, in any process."""
    engine = Engine(world)

    def work(batch: Sequence[str]) -> str:
        start = perf_counter()
        return told([_answered(engine, text) for text in batch], perf_counter() - start)

    return work


def _answered(engine: Engine, text: str) -> str:
    """One class answered. What goes wrong with it is its answer: the others are answered all the same."""
    try:
        vehicle_type, party = json.loads(text)
        answer = answer_json(engine.answer(vehicle_type, party_of(party)))
    except Exception as error:  # noqa: BLE001  # whatever it is, it is of this class alone
        return f"{FAILED}{type(error).__name__}: {error}"
    return canonical_json(answer)
