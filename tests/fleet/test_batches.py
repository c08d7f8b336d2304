"""Batches through executors: order, bounds, and workers that die."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from random import Random
from threading import Timer

import pytest
from batch_work import doubling, slow

from seatplan.fleet.batches import KILLED, Garbled, Given, Here, Pool, in_order, read


def test_answers_come_in_the_order_of_the_pieces() -> None:
    pieces = [str(n) for n in range(500)]
    with Pool(doubling, "x", 2) as pool:
        assert list(in_order(pool, pieces)) == [f"x{piece}{piece}" for piece in pieces]
        assert list(in_order(pool, [])) == []


def test_any_executor_will_do() -> None:
    pieces = [str(n) for n in range(200)]
    with ThreadPoolExecutor(3) as threads:
        found = list(in_order(Given(threads, doubling, "x", 3), pieces))
    assert found == list(in_order(Here(doubling, "x"), pieces))


def test_a_killed_worker_loses_nothing(tmp_path: Path) -> None:
    pieces = [str(n) for n in range(30)]
    pieces[7] = f"die:{tmp_path / 'once'}"
    pieces[21] = f"die:{tmp_path / 'again'}"
    with Pool(doubling, "", 2) as pool:
        assert list(in_order(pool, pieces)) == [piece * 2 for piece in pieces]
    assert (tmp_path / "once").exists()


def test_a_piece_that_kills_every_worker_fails_alone() -> None:
    pieces = [str(n) for n in range(12)]
    pieces[4] = "poison"
    with Pool(doubling, "", 2) as pool:
        found = list(in_order(pool, pieces))
    assert found == [KILLED if piece == "poison" else piece * 2 for piece in pieces]


def test_an_error_is_the_answer_of_its_piece() -> None:
    assert list(in_order(Here(doubling, ""), ["a", "wrong", "b"])) == ["aa", "failed: wrong", "bb"]


def test_batches_take_a_tenth_of_a_second() -> None:
    with ThreadPoolExecutor(2) as threads:
        sizes = [int(size) for size in in_order(Given(threads, slow, 0.004, 2), map(str, range(400)))]
    assert max(sizes) * 0.004 >= 0.1
    assert max(sizes) * 0.004 <= 1


class Slowest:
    """Hands that leave the first batch undone while others are asked."""

    workers = 2

    def __init__(self) -> None:
        self.first: Future[str] | None = None
        self.answered = 0

    def send(self, batch: list[str]) -> Future[str]:
        future: Future[str] = Future()
        if self.first is None:
            self.first, self.kept = future, batch
        else:
            future.set_result(json.dumps([0.05 * len(batch), batch]))
            self.answered += len(batch)
        return future

    def lost(self, error: BaseException, future: Future[str] | None) -> bool:
        return False


def test_what_waits_for_its_turn_is_bounded() -> None:
    taken = 0

    def pieces() -> Iterator[str]:
        nonlocal taken
        for n in range(100_000):
            taken += 1
            yield str(n)

    hands = Slowest()
    # the first answer is there only after all that may be sent was sent
    timer = Timer(0.5, lambda: hands.first and hands.first.set_result(json.dumps([0.05, hands.kept])))
    timer.start()
    found = in_order(hands, pieces())
    assert next(found) == "0"
    assert taken <= 200
    found.close()


def test_work_that_grows_heavier_is_all_done() -> None:
    """Batches become smaller while larger ones wait to be told."""
    rng = Random(1)

    class Odd(Here):
        def send(self, batch: Sequence[str]) -> Future[str]:
            future: Future[str] = Future()
            future.set_result(json.dumps([rng.choice((1e-6, 0.01, 3)) * len(batch), list(batch)]))
            return future

    for seed in range(20):
        rng.seed(seed)
        pieces = [str(n) for n in range(rng.randint(1, 3000))]
        assert list(in_order(Odd(doubling, ""), pieces)) == pieces


def test_nobody_wants_more() -> None:
    with Pool(doubling, "", 2) as pool:
        found = in_order(pool, map(str, range(10_000)))
        assert next(found) == "00"
        found.close()


@pytest.mark.parametrize("text", [None, 3, "", "{}", "[1]", "[1, [2]]",
                                  '[0.1, ["a", "b"]]', '["x", ["a"]]', "[" * 5000])
def test_what_is_no_answer_to_a_batch_is_told(text: object) -> None:
    with pytest.raises(Garbled):
        read(text, 1)
