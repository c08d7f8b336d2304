"""Batches through executors: every piece answered, bounds, and workers that die."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from random import Random

import pytest
from batch_work import doubling, slow

from seatplan.fleet.batches import KILLED, Garbled, Given, Hands, Here, Pool, as_they_come, read


def answers(hands: Hands, *lots: Sequence[str]) -> list[str]:
    """The answer to each piece, in the order of the pieces, each of them once."""
    places, texts = zip(*sorted(as_they_come(hands, lots)), strict=True)
    assert places == tuple(range(sum(map(len, lots))))
    return list(texts)


def test_every_piece_of_every_lot_is_answered() -> None:
    pieces = [str(n) for n in range(500)]
    with Pool(doubling, "x", 2) as pool:
        told: list[int] = []
        found = sorted(as_they_come(pool, [pieces[:3], [], pieces[3:100], pieces[100:]], told.append))
        assert found == [(n, f"x{piece}{piece}") for n, piece in enumerate(pieces)]
        assert told == sorted(set(told))
        assert told[-1] == 500
        assert list(as_they_come(pool, [])) == list(as_they_come(pool, [[], []])) == []


def test_any_executor_will_do() -> None:
    pieces = [str(n) for n in range(200)]
    with ThreadPoolExecutor(3) as threads:
        found = answers(Given(threads, doubling, "x", 3), pieces[:90], pieces[90:])
    assert found == answers(Here(doubling, "x"), pieces)


def test_a_killed_worker_loses_nothing(tmp_path: Path) -> None:
    pieces = [str(n) for n in range(30)]
    pieces[7] = f"die:{tmp_path / 'once'}"
    pieces[21] = f"die:{tmp_path / 'again'}"
    with Pool(doubling, "", 2) as pool:
        assert answers(pool, pieces[:9], pieces[9:]) == [piece * 2 for piece in pieces]
    assert (tmp_path / "once").exists()


def test_a_piece_that_kills_every_worker_fails_alone() -> None:
    pieces = [str(n) for n in range(12)]
    pieces[4] = "poison"
    with Pool(doubling, "", 2) as pool:
        found = answers(pool, pieces)
    assert found == [KILLED if piece == "poison" else piece * 2 for piece in pieces]


def test_an_error_is_the_answer_of_its_piece() -> None:
    assert answers(Here(doubling, ""), ["a", "wrong", "b"]) == ["aa", "failed: wrong", "bb"]


def test_whoever_is_killed_takes_nothing_of_another_worker() -> None:
    with Pool(doubling, "", 2) as pool:
        pieces = [str(n) for n in range(40)]
        coming = as_they_come(pool, [pieces])
        found = [next(coming)]
        lost, other = (next(iter(pool._lanes[lane]._processes or ())) for lane in (0, 1))
        os.kill(lost, signal.SIGKILL)
        assert sorted([*found, *coming]) == [(n, piece * 2) for n, piece in enumerate(pieces)]
        assert pool.send(["again"], 0).result() != ""
        assert [*(pool._lanes[1]._processes or ())] == [other]
        assert lost not in (pool._lanes[0]._processes or ())


def test_batches_take_a_tenth_of_a_second() -> None:
    with ThreadPoolExecutor(2) as threads:
        sizes = [int(size) for size in answers(Given(threads, slow, 0.004, 2), [*map(str, range(400))])]
    assert max(sizes) * 0.004 >= 0.1
    assert max(sizes) * 0.004 <= 1


def test_work_that_grows_heavier_is_all_done() -> None:
    """Batches become smaller and larger again."""
    rng = Random(1)

    class Odd(Here):
        def send(self, batch: Sequence[str], lane: int) -> Future[str]:
            future: Future[str] = Future()
            future.set_result(json.dumps([rng.choice((1e-6, 0.01, 3)) * len(batch), list(batch)]))
            return future

    for seed in range(20):
        rng.seed(seed)
        pieces = [str(n) for n in range(rng.randint(1, 3000))]
        assert answers(Odd(doubling, ""), pieces[:700], pieces[700:]) == pieces


def test_nobody_wants_more() -> None:
    with Pool(doubling, "", 2) as pool:
        found = as_they_come(pool, [[*map(str, range(10_000))]])
        place, text = next(found)
        assert text == f"{place}{place}"
        found.close()


@pytest.mark.parametrize("text", [None, 3, "", "{}", "[1]", "[1, [2]]",
                                  '[0.1, ["a", "b"]]', '["x", ["a"]]', "[" * 5000])
def test_what_is_no_answer_to_a_batch_is_told(text: object) -> None:
    with pytest.raises(Garbled):
        read(text, 1)
