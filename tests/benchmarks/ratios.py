"""Print how fast the search is beside its peers, and a whole start beside bare imports.

    python tests/benchmarks/ratios.py

Times are those of this process and of whole child processes; only the ratios mean something on another machine.
The contenders run in turn with the garbage collector off; a start is the median of several, taken in turn too,
with compiled bytecode at hand on both sides, as after an installation.
"""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import tempfile
from statistics import median
from time import perf_counter

from tables import CONTENDERS, tables_of

_PROGRAM = "from seatplan.cli.main import run; run()"
_BARE_CLICK = """
import click
@click.group()
def main(): "Bare."
@main.command()
def one(): "One."
main()
"""
_BARE_IMPORTS = "import networkx, shapely, pydantic, click, yaml"
_STARTS = (
    ("seatplan --help / bare click group --help", [_PROGRAM, "--help"], [_BARE_CLICK, "--help"], 1.5),
    ("seatplan arrange three-across-school-run / bare imports",
     [_PROGRAM, "arrange", "three-across-school-run"], [_BARE_IMPORTS], 1.6),
)
#: trip, how often each contender runs
_TRIPS = (("three-across-school-run", {"ours": 20, "cp-sat": 3, "constraint2": 20}),
          ("nine-seat-shuttle", {"ours": 5, "cp-sat": 1, "constraint2": 5}))
#: how many times as long a peer is wanted to take
_WANTED = {"cp-sat": 20, "constraint2": 3}


def searches() -> None:
    """Every seating of two bundled trips."""
    for name, rounds in _TRIPS:
        tables = tables_of(name)
        times: dict[str, list[float]] = {who: [] for who in CONTENDERS}
        counts: set[int] = set()
        gc.collect()
        gc.disable()
        for turn in range(max(rounds.values())):
            for who, enumerate_all in CONTENDERS.items():
                if turn < rounds[who]:
                    start = perf_counter()
                    found = enumerate_all(tables)
                    times[who].append(perf_counter() - start)
                    counts.add(len(found))
                    del found
        gc.enable()
        if len(counts) != 1:
            raise SystemExit(f"{name}: they disagree, {sorted(counts)}")
        middle = {who: median(taken) for who, taken in times.items()}
        shown = ", ".join(f"{who} {seconds * 1000:.1f} ms" for who, seconds in middle.items())
        print(f"{name}: {counts.pop()} seatings; {shown}")
        for who, wanted in _WANTED.items():
            print(f"  {who} / ours = {middle[who] / middle['ours']:.1f}  (wanted: at least {wanted})")


def starts(rounds: int = 15) -> None:
    """Whole processes, from start to exit."""
    with tempfile.TemporaryDirectory() as bytecode:
        environment = {**os.environ, "PYTHONPYCACHEPREFIX": bytecode}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)

        def start(arguments: list[str]) -> float:
            begin = perf_counter()
            subprocess.run([sys.executable, "-c", *arguments], stdout=subprocess.DEVNULL, env=environment, check=True)
            return perf_counter() - begin

        for title, ours, bare, wanted in _STARTS:
            start(ours), start(bare)                          # compiles, and warms the disk
            times = [(start(ours), start(bare)) for _ in range(rounds)]
            one, other = (median(taken) for taken in zip(*times, strict=True))
            print(f"{title}: {one * 1000:.0f} ms / {other * 1000:.0f} ms = {one / other:.2f}  "
                  f"(wanted: at most {wanted})")


def outlooks() -> None:
    """Four years of one bundled trip, beside the median of plain solves of it."""
    from seatplan import arrange, load_trip
    from seatplan.growth.outlook import outlook
    from seatplan.rules.load import load_profile

    trip = load_trip("three-across-school-run")
    assert trip.on is not None
    plain = []
    for _ in range(9):
        begin = perf_counter()
        arrange(trip, top=3)
        plain.append(perf_counter() - begin)
    begin = perf_counter()
    found = outlook(trip, load_profile(trip.rules), trip.on, trip.on.replace(year=trip.on.year + 4))
    taken = perf_counter() - begin
    each = taken / len(found.events)
    print(f"outlook --until 4y: {len(found.events)} events, {found.solves} whole solves, {taken:.1f} s; "
          f"an event / a plain solve = {each / median(plain):.1f}  (wanted: below 15)")


if __name__ == "__main__":
    starts()
    searches()
    outlooks()
