"""Who does which work, by workers with a clock of ours: they keep to a lot, take the end of another's, end together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from types import SimpleNamespace

import pytest

from seatplan.fleet import batches
from seatplan.fleet.batches import KILLED, as_they_come, told

Costs = Callable[[str], float]


class Clocked:
    """Workers that take as long for a piece as ``costs`` says, seconds. They do what they are sent in that order, and
    what is done first is told first. ``done``: the pieces of each, in order; ``most``: sent at once and not yet done.
    Of ``deadly`` pieces the worker dies, with all that it was sent."""

    def __init__(self, workers: int, costs: Costs, deadly: Sequence[str] = ()) -> None:
        self.workers, self.costs, self.deadly = workers, costs, deadly
        self.now, self.most, self.sent = 0.0, 0, 0
        self.done: list[list[str]] = [[] for _ in range(workers)]
        self.ends = [0.0] * workers
        self._under_way: dict[Future[str], tuple[float, int, list[str]]] = {}

    def send(self, batch: Sequence[str], lane: int) -> Future[str]:
        future: Future[str] = Future()
        self.ends[lane] = max(self.now, self.ends[lane]) + sum(map(self.costs, batch))
        self._under_way[future] = self.ends[lane], lane, list(batch)
        self.most = max(self.most, len(self._under_way))
        self.sent += len(batch)
        return future

    def lost(self, error: BaseException) -> bool:
        return isinstance(error, BrokenProcessPool)

    def wait(self, futures: object, return_when: object) -> SimpleNamespace:
        """In the place of the one of ``concurrent.futures``: what is done next is done."""
        first = min(self._under_way, key=lambda future: self._under_way[future][0])
        self.now, lane, batch = self._under_way.pop(first)
        if set(batch).isdisjoint(self.deadly):
            self.done[lane] += batch
            first.set_result(told(batch, sum(map(self.costs, batch))))
            return SimpleNamespace(done=[first])
        broken = [first, *(future for future, (_, other, _) in self._under_way.items() if other == lane)]
        for future in broken:
            self._under_way.pop(future, None)
            future.set_exception(BrokenProcessPool())
        self.ends[lane] = self.now
        return SimpleNamespace(done=broken)


@pytest.fixture
def clocked(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Clocked]:
    def made(workers: int, costs: Costs, deadly: Sequence[str] = ()) -> Clocked:
        hands = Clocked(workers, costs, deadly)
        monkeypatch.setattr(batches, "wait", hands.wait)
        return hands
    return made


def lot(name: str, number: int) -> list[str]:
    return [f"{name}{n:03}" for n in range(number)]


def all_done(hands: Clocked, lots: Sequence[Sequence[str]]) -> None:
    pieces = [piece for one in lots for piece in one]
    assert sorted(as_they_come(hands, lots)) == list(enumerate(pieces))
    assert sorted(piece for lane in hands.done for piece in lane) == sorted(pieces)


def lots_in(lane: Sequence[str]) -> list[str]:
    """The lots of some pieces, each as often as it is begun."""
    return [piece[0] for n, piece in enumerate(lane) if n == 0 or lane[n - 1][0] != piece[0]]


@pytest.mark.parametrize("workers", [1, 2, 3, 5])
def test_a_worker_keeps_to_a_lot(clocked: Callable[..., Clocked], workers: int) -> None:
    lots = [lot(name, 30) for name in "abcdefghij"[:workers * 2]]
    hands = clocked(workers, lambda piece: 0.1)
    all_done(hands, lots)
    for lane in hands.done:
        begun = lots_in(lane)
        assert len(set(begun[:2])) == 2
        assert [piece for piece in lane if piece[0] in begun[:2]][:60] == [
            piece for name in begun[:2] for piece in lot(name, 30)]
    assert len({name for lane in hands.done for name in lots_in(lane)[:2]}) == workers * 2


def test_the_end_of_the_longest_lane_is_taken(clocked: Callable[..., Clocked]) -> None:
    hands = clocked(2, lambda piece: 0.3 if piece[0] == "a" else 0.1)
    all_done(hands, [lot("a", 60), lot("b", 6)])
    first, second = sorted(hands.done, key=lambda lane: lane[0])
    assert set(lots_in(first)) == {"a"}
    assert second[:6] == lot("b", 6)
    assert second[6] >= "a030"                                  # the later half of what waited, in its order
    assert second[6:20] == lot("a", 60)[int(second[6][1:]):][:14]
    assert len(first) + 3 > len(second) - 6                     # b took 0.6 s of 18.6, two pieces of a
    assert abs(hands.ends[0] - hands.ends[1]) < 0.31


@pytest.mark.parametrize("workers", [2, 3, 4, 7])
def test_nobody_is_idle_long_before_the_others(clocked: Callable[..., Clocked], workers: int) -> None:
    costs = {"a": 0.5, "b": 0.02, "c": 0.11}
    hands = clocked(workers, lambda piece: costs[piece[0]])
    all_done(hands, [lot("a", 50), lot("b", 300), lot("c", 90)])
    assert max(hands.ends) - min(hands.ends) <= 0.76            # the longest piece, and a batch


def test_nothing_waits_behind_what_takes_long_at_the_end(clocked: Callable[..., Clocked]) -> None:
    long = {"a016": 4.0}
    hands = clocked(2, lambda piece: long.get(piece, 0.2))
    all_done(hands, [lot("a", 20)])
    with_it = next(lane for lane in hands.done if "a016" in lane)
    assert with_it[-1] == "a016"


def test_what_is_under_way_is_bounded(clocked: Callable[..., Clocked]) -> None:
    hands = clocked(3, lambda piece: 0.01)
    found = as_they_come(hands, [lot("a", 3_000)])
    next(found)
    assert hands.most <= 6
    assert hands.sent <= 300
    found.close()


def test_who_dies_takes_its_own_lane_along_alone(clocked: Callable[..., Clocked]) -> None:
    lots = [lot("a", 40), lot("b", 40)]
    hands = clocked(2, lambda piece: 0.1, deadly=["a005"])
    found = [text for _, text in sorted(as_they_come(hands, lots))]
    assert found == [KILLED if piece == "a005" else piece for one in lots for piece in one]
    done = [piece for lane in hands.done for piece in lane]
    assert sorted(done) == sorted({*lots[0], *lots[1]} - {"a005"})
    # sent again: a batch or two of its lane, of the other lane what it was sent with the second time, then one by one
    assert hands.sent - 80 <= 20
