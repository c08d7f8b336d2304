"""Print how fast the search is beside its peers, an explanation beside its plan, and a start beside bare imports.

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
from time import perf_counter, process_time

from loans import WANTED, loans
from refusal import Refusal, marco, ours
from tables import CONTENDERS, tables_of

from seatplan.files.load import load_trip, shelf
from seatplan.rules.load import load_profile
from seatplan.solver.conflict import smallest_conflict, smallest_groups
from seatplan.solver.explain import GROUPS_LOOKED_AT
from seatplan.solver.plan import plan
from seatplan.solver.repairs.verify import repairs_of
from seatplan.solver.seater import solve_seater
from seatplan.solver.solve import Solve

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


#: bundled trips that nothing fits
_REFUSED = ("three-boosters-two-belts", "three-too-wide", "two-children-one-tether")


def conflicts(rounds: int = 5) -> None:
    """Every smallest conflict and correction of a refusal with about 40 occasions."""
    refusal = Refusal()
    times = []
    for _ in range(rounds):
        start = perf_counter()
        found = ours(refusal)
        times.append(perf_counter() - start)
    start = perf_counter()
    theirs = marco(refusal)
    taken = perf_counter() - start
    if found != theirs:
        raise SystemExit("conflicts: they disagree")
    own = median(times)
    print(f"{len(refusal.occasions)} occasions: {len(found[0])} conflicts, {len(found[1])} corrections; "
          f"ours {own * 1000:.1f} ms, MARCO over CP-SAT {taken * 1000:.0f} ms")
    print(f"  marco / ours = {taken / own:.0f}  (wanted: at least 100)")


def explanations(rounds: int = 3) -> None:
    """Groups, conflict, sets of one and two changes, and those shown solved again, beside the plan itself."""
    restraints = shelf()
    for name in _REFUSED:
        trip = load_trip(name)
        profile, day = load_profile(trip.rules), trip.on
        assert day is not None
        times: list[tuple[float, float]] = []
        for _ in range(rounds):
            start = perf_counter()
            plan(trip, profile, day)
            planned = perf_counter()
            solve = Solve(trip, profile, day)
            seater = solve_seater(solve)
            for group in smallest_groups(seater)[:GROUPS_LOOKED_AT]:
                smallest_conflict(seater, group)
            repairs_of(solve, restraints, most=2)
            times.append((planned - start, perf_counter() - planned))
        plain, explained = (median(taken) for taken in zip(*times, strict=True))
        print(f"{name}: plan {plain * 1000:.0f} ms, its explanation {explained * 1000:.0f} ms = "
              f"{explained / plain:.1f}  (wanted: below 25)")


def copies(rounds: int = 5) -> None:
    """A pool of twenty, two of each, beside one of each: CPU time, in turn."""
    trips = loans(1), loans(2)
    times: list[tuple[float, ...]] = []
    for _ in range(rounds):
        taken = []
        for trip in trips:
            assert trip.on is not None
            begin = process_time()
            plan(trip, load_profile(trip.rules), trip.on, top=3)
            taken.append(process_time() - begin)
        times.append(tuple(taken))
    one, two = (median(each) for each in zip(*times, strict=True))
    print(f"{len(trips[0].restraints)} restraints: {one * 1000:.0f} ms; two of each: {two * 1000:.0f} ms = "
          f"{two / one:.2f}  (wanted: at most {WANTED})")


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
    gc.set_threshold(2_000_000, 50, 100)    # as the program does, see cli/main.py
    starts()
    searches()
    copies()
    conflicts()
    explanations()
    outlooks()
