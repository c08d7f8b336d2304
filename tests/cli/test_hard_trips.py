"""Trips that are far too large to look at every seating of: every command ends by counted work, in little memory, says
that it stopped, and calls nothing impossible that it did not look at."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

HELPERS = Path(__file__).parent.parent / "solver"
sys.path.insert(0, str(HELPERS))

import hard_trips  # noqa: E402

#: what a command may hold at its peak, and what of the address space it gets at all, MiB
MOST_MB = 300
#: row plans, placements and units of joining that one process may spend: three solves' worth
MOST_WORK, MOST_UNITS = 350_000, 60_000_000
#: runs one command, then says on the last line of stderr its peak (MiB) and what it spent
_RUN = """
import sys
from seatplan.cli.main import run
from seatplan.solver import budget, walk
from seatplan.solver import solve as solves
spent = {"units": 0, "work": 0, "steps": 0}
spend, solve, go = budget.Work.spend, solves.Solve.__init__, walk.Steps.go
def counted(self, units):
    spent["units"] += units
    spend(self, units)
def solved(self, *given, **more):
    solve(self, *given, **more)
    spent["work"] += self.work
def gone(self):
    spent["steps"] += 1
    return go(self)
budget.Work.spend, solves.Solve.__init__, walk.Steps.go = counted, solved, gone
code = 70
try:
    run(sys.argv[1:])
except SystemExit as left:
    code = left.code
finally:
    sys.stdout.flush()
    # of this program alone: ru_maxrss also knows the process that it was started from
    peak = next(int(line.split()[1]) // 1024 for line in open("/proc/self/status") if line.startswith("VmHWM"))
    print(peak, spent["work"], spent["units"], spent["steps"], file=sys.stderr)
sys.exit(code)
"""


def run(folder: Path, name: str, *args: str) -> tuple[subprocess.CompletedProcess[str], list[int]]:
    """One command in a process of its own, with the trip's file in the place of TRIP."""
    file = folder / "trip.yaml"
    file.write_text(hard_trips.written(name), encoding="utf-8")
    given = [str(file) if arg == "TRIP" else arg for arg in args]
    done = subprocess.run([sys.executable, "-c", _RUN, *given], capture_output=True, text=True, check=False)
    return done, [int(n) for n in done.stderr.splitlines()[-1].split()]


@pytest.mark.parametrize(("name", "args", "codes"), [
    ("mixed", ("arrange", "TRIP"), {0, 3}),
    ("mixed", ("arrange", "TRIP", "--json"), {0, 3}),
    ("alike", ("draw", "TRIP", "-o", "-"), {3}),
    ("musts", ("arrange", "TRIP"), {0, 3}),
    ("mixed", ("room", "TRIP", "--rider", "Child 3", "--position", "5C"), {0, 3}),
    ("mixed", ("measure", "TRIP"), {0}),
    ("mixed", ("outlook", "TRIP", "--json"), {3}),
    ("crowded", ("arrange", "TRIP"), {1}),
], ids=lambda value: "-".join(value[:1]) if isinstance(value, tuple) else None)
def test_it_ends_and_says_that_it_stopped(name: str, args: tuple[str, ...], codes: set[int], tmp_path: Path):
    done, (peak, work, units, steps) = run(tmp_path, name, *args)
    assert done.returncode in codes, done.stderr
    assert peak < MOST_MB
    assert work <= MOST_WORK
    assert units <= MOST_UNITS
    assert steps <= 1_500_000
    if (name, args[0], done.returncode) == ("mixed", "arrange", 0):
        return                            # within its limits
    if args[-1] == "--json":
        answer = json.loads(done.stdout)
        assert answer.get("complete") is False or answer["verdict"] == "error"
    elif args[0] not in ("draw",):
        assert "stopped at its limit" in " ".join((done.stdout + done.stderr).split())
    assert "caution" in done.stdout or args[0] == "draw"


def test_check_and_list_of_hard_trips(tmp_path: Path):
    for name in hard_trips.HARD:
        done, _ = run(tmp_path, name, "check", "TRIP")
        assert done.returncode == 0, done.stderr
