"""What a fleet costs where it is large. Each line is one command, for a machine on which nothing else runs:

    python tests/benchmarks/fleet_scale.py memory     # a million bookings read and matched: peak memory, under 1 GB
    python tests/benchmarks/fleet_scale.py days       # days of 2,000 bookings planned in one process: memory stays flat
    python tests/benchmarks/fleet_scale.py workers    # two processes against one, at least 1.7 times as fast
    python tests/benchmarks/fleet_scale.py known      # one more of a class that is known: within 20 microseconds
    python tests/benchmarks/fleet_scale.py cluster    # from which size of job on two workers of a cluster pay

Read and matched, a million bookings of 132 classes took 190 MB and 56 microseconds of CPU each, once the classes were
known. They are no plan of one day: days of 2,000 take minutes each, 500 of them a night and more. So ``days``
plans a few (``--days``) and shows the memory after each. A cluster pays where its own cost for each batch, told by
``cluster``, is small beside the batch, and what it takes to begin beside all of them.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

sys.path.insert(0, str(Path(__file__).parent.parent / "fleet"))
sys.path.insert(0, str(Path(__file__).parent))

from fleet_classes import KINDS, TYPES, WANTED_KNOWN_S, WANTED_TWO, known_s, two_workers
from invented_days import invented
from small_worlds import child, world_of

from seatplan.app.fleet.match import Match, match
from seatplan.fleet.batches import Given, Here, Pool
from seatplan.fleet.city import city
from seatplan.fleet.classes import canonical
from seatplan.fleet.kept import Kept
from seatplan.fleet.matching import Matching, worker
from seatplan.fleet.planning import planned
from seatplan.fleet.records import Class

DAY = date(2026, 11, 30)
MOST_MB = 1_000
#: bookings of the city whose rows are written over and over, with ids of their own
_DRAWN = 120


def memory(asked: argparse.Namespace) -> None:
    """A file of so many bookings of a drawn city, read and matched as `fleet match` does it."""
    with TemporaryDirectory() as folder:
        where = Path(folder)
        made = city("roomy", 1, DAY, _DRAWN)
        for name, text in made.files.items():
            (where / name).write_text(text, encoding="utf-8")
        _repeated(where / "bookings.csv", asked.bookings)
        begin = process_time()
        answer = match(Match(fleet=str(where / "fleet.yaml"), bookings=str(where / "bookings.csv"), workers=1),
                       "benchmark").answer
        took = process_time() - begin
        print(f"{'bookings':>10} {'rejected':>9} {'classes':>8} {'CPU s':>7} {'us each':>8} {'peak MB':>8}")
        print(f"{answer.counts.taken:10,} {answer.counts.rejected:9} {len(answer.answers):8} {took:7.0f} "
              f"{took / asked.bookings * 1e6:8.0f} {peak_mb():8.0f}   (at most {MOST_MB})")


def _repeated(path: Path, number: int) -> None:
    """The rows of a file of bookings over and over, each with an id of its own, written as they come."""
    head, *rows = path.read_text(encoding="utf-8").splitlines()
    cells = [row.split(",", 1)[1] for row in rows]
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(head + "\n")
        file.writelines(f"B-{n:07},{cells[n % len(cells)]}\n" for n in range(number))


def days(asked: argparse.Namespace) -> None:
    """Days that are planned one after the other."""
    print(f"{'day':>4} {'served':>7} {'at most':>8} {'CPU s':>7} {'peak MB':>8}")
    for number in range(asked.days):
        day = invented(number, bookings=asked.bookings, vehicles=max(2, asked.bookings // 14), depots=3, types=4,
                       kinds=3, parties=25, copies=asked.bookings // 16, span=1000)
        begin = process_time()
        plan = planned(day, whole=False)
        print(f"{number + 1:4} {plan.served:7,} {plan.bound:8,} {process_time() - begin:7.0f} {peak_mb():8.0f}",
              flush=True)


def workers(asked: argparse.Namespace) -> None:
    told = two_workers(world_of(TYPES, KINDS), asked.rounds)
    print(f"two workers: {told:.2f} times one, the median of {asked.rounds} (at least {WANTED_TWO})")


def known(asked: argparse.Namespace) -> None:
    print(f"a further booking of a known class: {known_s(world_of(TYPES, KINDS)) * 1e6:.1f} microseconds "
          f"(at most {WANTED_KNOWN_S * 1e6:.0f})")


def cluster(asked: argparse.Namespace) -> None:
    """Jobs of more and more classes by two processes and by two workers of a cluster on this machine."""
    from distributed import Client, KilledWorker, LocalCluster

    world = world_of(TYPES, KINDS)

    @contextmanager
    def processes() -> Iterator[Pool]:
        with Pool(worker, world, 2) as pool:
            yield pool

    @contextmanager
    def workers_of_a_cluster() -> Iterator[Given]:
        with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as local, Client(local) as client:
            shared = client.scatter(world, broadcast=True, hash=False)
            yield Given(client.get_executor(pure=False), worker, shared, 2, (KilledWorker,))

    print(f"{'classes':>8} {'one s':>7} {'two processes s':>16} {'two of a cluster s':>19}   medians of {asked.rounds}")
    for number in asked.classes:
        classes = [Class(TYPES[n % 3], canonical([child(20 + n // 3, round(11 + n / 27, 1), 830 + 2 * n)]))
                   for n in range(number)]

        def one() -> None:
            with Kept(None) as kept:
                list(Matching(world, kept, Here(worker, world), "benchmark").answers(classes))  # noqa: B023

        def by(hands: Callable[[], object]) -> float:
            with Kept(None) as kept, hands() as ready:  # type: ignore[attr-defined]
                begin = perf_counter()
                list(Matching(world, kept, ready, "benchmark").answers(classes))  # noqa: B023
                return perf_counter() - begin

        alone = median(_wall(one) for _ in range(asked.rounds))
        two = median(by(processes) for _ in range(asked.rounds))
        there = median(by(workers_of_a_cluster) for _ in range(asked.rounds))
        print(f"{number:8} {alone:7.2f} {two:16.2f} {there:19.2f}", flush=True)


def _wall(work: Callable[[], None]) -> float:
    begin = perf_counter()
    work()
    return perf_counter() - begin


def peak_mb() -> float:
    """The most memory that this process ever held, MB."""
    return getrusage(RUSAGE_SELF).ru_maxrss / 1024


_WORKS: Mapping[str, Callable[[argparse.Namespace], None]] = {
    "memory": memory, "days": days, "workers": workers, "known": known, "cluster": cluster}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=list(_WORKS))
    parser.add_argument("--bookings", type=int, metavar="N", help="of `memory` (1,000,000) or of each day (2,000)")
    parser.add_argument("--days", type=int, default=3, metavar="N", help="days that are planned (default 3)")
    parser.add_argument("--rounds", type=int, default=5, metavar="N", help="rounds of each (default 5)")
    parser.add_argument("--classes", type=int, nargs="+", default=[12, 60, 240], metavar="N", help="sizes of jobs")
    asked = parser.parse_args()
    asked.bookings = asked.bookings or (1_000_000 if asked.what == "memory" else 2_000)
    _WORKS[asked.what](asked)


if __name__ == "__main__":
    main()
