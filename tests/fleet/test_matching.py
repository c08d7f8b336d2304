"""The same answers, byte by byte, whoever solves the classes: this process, a pool, a cluster, with workers killed."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Iterator, Sequence
from concurrent.futures import Future
from pathlib import Path
from threading import Thread
from time import sleep
from typing import Any

import pytest
from small_fleet import small_world, some_classes, texts_in
from small_worlds import child

from seatplan.files.errors import InputError
from seatplan.fleet.answers import party_of
from seatplan.fleet.batches import Here, Pool, Work, told
from seatplan.fleet.classes import canonical
from seatplan.fleet.cluster import Address, checked, cluster
from seatplan.fleet.kept import Kept
from seatplan.fleet.matching import Failed, Matching, Untrue, worker
from seatplan.fleet.records import Class, ClassAnswer

CLASSES = some_classes(16)


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What this process alone keeps."""
    return matched(tmp_path_factory.mktemp("here") / "kept", Here(worker, small_world()))


def matched(path: Path, hands: Any, sample: int = 0) -> str:
    with Kept(path) as kept:
        matching = Matching(small_world(), kept, hands, "1", sample)
        found = list(matching.answers(CLASSES))
        assert [one for one, _ in found] == CLASSES
        assert all(isinstance(answer, ClassAnswer) for _, answer in found)
        assert not sample or matching.counts.checked >= 1
    return texts_in(path)


def test_a_pool_answers_alike(tmp_path: Path, here: str) -> None:
    with Pool(worker, small_world(), 2) as pool:
        assert matched(tmp_path / "kept", pool) == here


def test_a_pool_answers_alike_with_a_worker_killed(tmp_path: Path, here: str) -> None:
    with Pool(worker, small_world(), 2) as pool:
        killed: list[int] = []
        killing = Thread(target=kill_one, args=(pool, killed))
        killing.start()
        assert matched(tmp_path / "kept", pool) == here
        killing.join()
        assert killed


def kill_one(pool: Pool, killed: list[int]) -> None:
    """Kill a worker of a pool once it is at work."""
    for _ in range(600):
        processes = [process for lane in [*pool._lanes.values()] for process in [*(lane._processes or {}).values()]]
        if len(processes) == 2:
            sleep(1.5)
            killed.append(processes[0].pid)
            os.kill(processes[0].pid, signal.SIGKILL)
            return
        sleep(0.05)


class Noting(Here):
    """Does the work of so many workers, and notes what each was sent."""

    def __init__(self, workers: int) -> None:
        super().__init__(worker, small_world())
        self.workers = workers
        self.sent: list[list[Class]] = [[] for _ in range(workers)]

    def send(self, batch: Sequence[str], lane: int) -> Future[str]:
        self.sent[lane] += [Class(json.loads(text)[0], party_of(json.loads(text)[1])) for text in batch]
        return super().send(batch, lane)


def test_each_worker_begins_with_the_large_parties_of_a_type() -> None:
    with Kept(None) as kept:
        hands = Noting(2)
        assert [one for one, _ in Matching(small_world(), kept, hands, "1").answers(CLASSES)] == CLASSES
    assert sorted(map(str, (one for lane in hands.sent for one in lane))) == sorted(map(str, CLASSES))
    first = [lane[0].vehicle_type for lane in hands.sent]
    assert first[0] != first[1]
    for lane in hands.sent:
        sizes = [len(one.party.members) for one in lane if one.vehicle_type == lane[0].vehicle_type][:4]
        assert sizes == sorted(sizes, reverse=True)
        assert sizes[0] == 2


def test_one_worker_keeps_the_order() -> None:
    with Kept(None) as kept:
        hands = Noting(1)
        list(Matching(small_world(), kept, hands, "1").answers(CLASSES))
    assert hands.sent == [CLASSES]


def test_what_is_known_is_not_asked_again(tmp_path: Path, here: str) -> None:
    path = tmp_path / "kept"
    assert matched(path, Here(worker, small_world())) == here

    def nobody(given: object) -> Work:
        raise AssertionError("nobody is to be asked")

    class Nobody(Here):
        def __init__(self) -> None:
            self._work = nobody

    with Kept(path) as kept:
        matching = Matching(small_world(), kept, Nobody(), "1")
        list(matching.answers([*CLASSES, *CLASSES]))
        assert (matching.counts.known, matching.counts.asked) == (len(CLASSES), 0)
        assert all(matching.known(one) is not None for one in CLASSES)


def test_a_class_that_fails_is_a_record_with_its_error() -> None:
    wrong = Class("no such type", CLASSES[0].party)
    with Kept(None) as kept:
        matching = Matching(small_world(), kept, Here(worker, small_world()), "1")
        with pytest.raises(KeyError):
            matching._keys.key(*wrong)
        bad = Class(CLASSES[0].vehicle_type, canonical([child(30, 13, 900)], ["no such kind"]))
        found = dict(matching.answers([CLASSES[0], bad, CLASSES[1]]))
        assert isinstance(found[bad], Failed)
        assert "no such kind" in found[bad].error
        assert isinstance(found[CLASSES[1]], ClassAnswer)
        assert len(kept) == 2
        assert matching.counts.failed == 1


class Liar(Here):
    """Answers each class with what it says of another one."""

    def __init__(self, text: str | None = None) -> None:
        super().__init__(worker, small_world())
        self.text = text

    def send(self, batch: Sequence[str], lane: int) -> Future[str]:
        future: Future[str] = Future()
        texts = [self.text if self.text is not None else "{}" for _ in batch]
        future.set_result(told(texts, 0.1))
        return future


def test_answers_from_elsewhere_are_checked() -> None:
    with Kept(None) as kept:
        with pytest.raises(Untrue):
            list(Matching(small_world(), kept, Liar(), "1").answers(CLASSES))
        rejected = ('{"verdict":"rejected","ways":[],"conflict":null,"by_end":null,"covers":[],"readings":[],'
                    '"complete":true}')
        with pytest.raises(Untrue, match="found here"):
            list(Matching(small_world(), kept, Liar(rejected), "1", sample=1).answers(CLASSES))


# --- a cluster

@pytest.fixture(scope="module")
def two_workers() -> Iterator[Any]:
    """A scheduler and two worker processes on this machine, as somebody else would run them."""
    pytest.importorskip("distributed")
    program = textwrap.dedent("""
        from distributed import LocalCluster
        if __name__ == "__main__":
            with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1") as cluster:
                pids = [worker.pid for worker in cluster.workers.values()]
                print(cluster.scheduler_address, *pids, flush=True)
                input()
        """)
    folder = str(Path(__file__).parent)
    process = subprocess.Popen(
        [sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join((folder, str(Path(folder).parents[1]), os.environ.get(
            "PYTHONPATH", "")))})
    assert process.stdout is not None
    assert process.stdin is not None
    address, *pids = process.stdout.readline().split()
    try:
        yield address, [int(pid) for pid in pids]
    finally:
        process.stdin.write("\n")
        process.stdin.close()
        try:
            process.wait(30)
        except subprocess.TimeoutExpired:
            process.kill()


def test_a_cluster_answers_alike(tmp_path: Path, here: str, two_workers: tuple[str, list[int]]) -> None:
    address, _ = two_workers
    with cluster(Address(address), worker, small_world()) as hands:
        assert hands.workers == 2
        assert matched(tmp_path / "kept", hands, sample=4) == here


def test_a_cluster_answers_alike_with_a_worker_killed(tmp_path: Path, here: str,
                                                      two_workers: tuple[str, list[int]]) -> None:
    address, pids = two_workers
    with cluster(Address(address), worker, small_world()) as hands:
        killing = Thread(target=lambda: (sleep(1), os.kill(pids[0], signal.SIGKILL)))
        killing.start()
        assert matched(tmp_path / "kept", hands) == here
        killing.join()


@pytest.mark.parametrize("address", [
    "tcp://10.0.0.7:8786", "tcp://example.invalid:8786", "tcp://0.0.0.0:8786", "ucx://127.0.0.1:8786", "10.0.0.7:8786",
    "tcp://[2001:db8::1]:8786", "tcp://127.0.0.1", "", "tls://", "tcp://127.0.0.1.example.invalid:8786",
    "tcp://localhost@10.0.0.7:8786", "http://127.0.0.1:99999999"])
def test_plain_connections_stay_on_this_machine(address: str) -> None:
    with pytest.raises(InputError, match="--cluster"):
        checked(Address(address))


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:8786", "tcp://localhost:8786", "tcp://[::1]:8786"])
def test_this_machine_needs_no_certificate(address: str) -> None:
    assert checked(Address(address)).address == address


def test_both_sides_show_who_they_are(tmp_path: Path) -> None:
    authority, certificate, key = (tmp_path / name for name in ("ca.pem", "cert.pem", "key.pem"))
    for path in (authority, certificate, key):
        path.write_text("")
    address = "tls://fleet.example.invalid:8786"
    assert checked(Address(address, authority, certificate, key)).address == address
    for missing in (Address(address), Address(address, authority), Address(address, authority, certificate),
                    Address(address, None, certificate, key)):
        with pytest.raises(InputError, match="--cluster-"):
            checked(missing)
    with pytest.raises(InputError, match="is no file"):
        checked(Address(address, authority, certificate, tmp_path / "none.pem"))


def test_nobody_answers() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(InputError, match="nobody answers"), cluster(
            Address("tcp://127.0.0.1:9"), worker, small_world(), wait_s=2):
        pass
