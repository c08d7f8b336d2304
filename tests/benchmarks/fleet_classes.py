"""What a class of a fleet costs, as a share of a warm solve of its trip that counts nothing.

    python tests/benchmarks/fleet_classes.py [--workers]

A verdict is wanted within 1.2 warm solves, with all kits within 5, and a further booking of a class that is known
within 20 microseconds. Over the 108 classes of the three cities of ``seatplan fleet city`` with 24 bookings, a verdict
took 0.9 warm solves in the middle and 1.5 at most (times of 20 to 90 ms, which vary by a third on a busy machine), with
all kits where something serves 1.0 and 1.9. Where nothing serves, what would settle it or why not took 1.7 solves, 5
where ages are bands. Only a class of which nobody can be carried goes beyond, by its smallest conflict: 5 to 25 solves,
by a limit of steps at most 60,000 options tried, where it took up to 100. With ``--workers`` two processes are held
against one on work of 20 seconds and more, wanted at least 1.7 times as fast: 1.65 on work of 22 s, 1.77 of 30 s, 1.9
of 95 s, for each process has to get to know the types that it answers for; on a machine with fewer than two idle
cores that says nothing.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent.parent / "fleet"))

from small_worlds import child, world_of

from seatplan.fleet.batches import Here, Pool
from seatplan.fleet.classes import Engine, World, canonical
from seatplan.fleet.kept import Kept
from seatplan.fleet.matching import Matching, worker
from seatplan.fleet.records import Class, Member, Party, serves
from seatplan.solver.solve import Solve
from seatplan.store import Store

WANTED_VERDICT, WANTED_KITS, WANTED_KNOWN_S, WANTED_TWO = 1.2, 5.0, 20e-6, 1.7
KINDS = ("forward-solo", "lattice-combo", "nook-35", "cradle-13", "perch-high", "cushion-44", "perch-slim", "bastion")
TYPES = ("lindholm-estate", "marlow-saloon", "ferry-lane-nine", "half-measured-hatch")
_PARTIES: dict[str, list[Member]] = {
    "one child": [child(30, 13, 900)],
    "two children": [child(30, 13, 900), child(70, 21, 1160)],
    "three children": [child(8, 8.5, 700), child(30, 13, 900), child(70, 21, 1160)],
    "four, and an adult": [child(30, 13, 900), child(50, 17, 1050), child(70, 21, 1160), child(100, 28, 1300),
                           Member(adult=True)],
    "by age alone": [child(30), child(100)],
    "a band of ages": [child((48, 84), 21, 1160), Member(adult=True)],
}


def timed(works: Sequence[Callable[[], object]], times: int = 5) -> list[float]:
    """The least CPU time of each of some works, done in turn, seconds; the first round warms up and does not count."""
    least = [float("inf")] * len(works)
    for n in range(times + 1):
        for k, work in enumerate(works):
            start = process_time()
            work()
            if n:
                least[k] = min(least[k], process_time() - start)
    return least


class Told(NamedTuple):
    """A class with its costs in warm solves: the verdict, and all there is to say. ``why``: nothing serves, so that is
    why not, and what would settle it, too."""

    name: str
    verdict: float
    answer: float
    why: bool


def ratios(world: World) -> list[Told]:
    """What each class costs."""
    found = []
    for one in TYPES:
        for name, members in _PARTIES.items():
            engine = Engine(world, Store())
            party = canonical(members)

            def warm(engine: Engine = engine, party: Party = party, one: str = one) -> None:
                trip, _ = engine.trip(one, party)
                next(Solve(trip, world.profile, world.day, counted=False, store=engine.store).ranked(), None)

            solve, verdict, answer = timed([
                warm, partial(engine.verdict, one, party), partial(engine.answer, one, party)])
            why = not any(map(serves, engine.answer(one, party).ways))
            found.append(Told(f"{one}, {name}", verdict / solve, answer / solve, why))
    return found


def known_s(world: World) -> float:
    """Seconds that a further booking of a known class takes, its party put in order included."""
    members = _PARTIES["four, and an adult"][::-1]
    with Kept(None) as kept:
        matching = Matching(world, kept, Here(worker, world), "benchmark")
        list(matching.answers([Class(TYPES[0], canonical(members))]))
        times = 20_000
        told = []
        for _ in range(5):
            start = perf_counter()
            for _ in range(times):
                matching.known(Class(TYPES[0], canonical(members)))
            told.append((perf_counter() - start) / times)
    return min(told)


def two_workers(world: World, rounds: int) -> float:
    """How many times faster two processes are than one: the median of some rounds."""
    classes = [Class(one, canonical([child(20 + n, round(11 + n / 9, 1), 830 + 7 * n), child(70, 21, 1160),
                                     child(90, 25, 1260)])) for n in range(60) for one in TYPES[:3]]

    def run(workers: int) -> float:
        start = perf_counter()
        with Kept(None) as kept, Pool(worker, world, workers) as pool:
            for _ in Matching(world, kept, pool, "benchmark").answers(classes):
                pass
        return perf_counter() - start

    told = []
    for _ in range(rounds):
        one, two = run(1), run(2)
        print(f"  one {one:.1f} s, two {two:.1f} s", flush=True)
        told.append(one / two)
    return median(told)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--workers", action="store_true", help="two processes against one, too")
    parser.add_argument("--rounds", type=int, default=5, metavar="N", help="rounds of that (default 5)")
    asked = parser.parse_args()
    world = world_of(TYPES, KINDS)
    print(f"{'class':42} {'verdict':>8} {'answer':>8}   in warm solves")
    told = ratios(world)
    for one in told:
        print(f"{one.name:42} {one.verdict:8.2f} {one.answer:8.2f}{'   with why not' if one.why else ''}")
    kits = max(one.answer for one in told if not one.why)
    print(f"{'most, and with kits where any serve':42} {max(one.verdict for one in told):8.2f} {kits:8.2f}"
          f"   (wanted: {WANTED_VERDICT}, {WANTED_KITS})")
    print(f"a further booking of a known class: {known_s(world) * 1e6:.1f} microseconds "
          f"(at most {WANTED_KNOWN_S * 1e6:.0f})")
    if asked.workers:
        print(f"two workers: {two_workers(world, asked.rounds):.2f} times one (at least {WANTED_TWO})")


if __name__ == "__main__":
    main()
