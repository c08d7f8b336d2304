"""Print what a first answer costs beside the same trip measured throughout: random trips, whole and short.

    python tests/benchmarks/estimated.py

CPU times of this process with the garbage collector off, the median of several cold solves; only the ratios mean
something on another machine. A solve that is counted is what `arrange` asks for.
"""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path
from random import Random
from statistics import median
from time import process_time

from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import planned
from seatplan.store import Store

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "estimate"))

from short_and_whole import DAY, drawn

#: times as long as a cold solve of the trip that is measured throughout
WANTED = 3.0


def taken(trip: Trip, rounds: int) -> float:
    """CPU seconds of a solve that has nothing to go on."""
    profile = load_profile(trip.rules)
    times = []
    for _ in range(rounds):
        gc.collect()
        start = process_time()
        planned(trip, profile, DAY, store=Store())
        times.append(process_time() - start)
    return median(times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trips", type=int, default=30, metavar="N", help="random trips of each kind (default 30)")
    parser.add_argument("--rounds", type=int, default=3, metavar="N", help="medians of so many (default 3)")
    asked = parser.parse_args()
    gc.disable()
    for ages_only in (False, True):
        rng = Random(1)
        trips = [drawn(rng, ages_only) for _ in range(asked.trips)]
        taken(trips[0].short, 1), taken(trips[0].whole, 1)           # what the first solve of a process prepares
        times = [(taken(both.whole, asked.rounds), taken(both.short, asked.rounds)) for both in trips]
        shares = sorted(short / whole for whole, short in times)
        middle = [1000 * median(one[k] for one in times) for k in (0, 1)]
        print(f"{'ages only' if ages_only else 'masses and statures':20} whole {middle[0]:4.0f} ms, "
              f"short {middle[1]:4.0f} ms: median {median(shares):.1f}, worst {shares[-1]:.1f} (wanted {WANTED:.0f})")


if __name__ == "__main__":
    main()
