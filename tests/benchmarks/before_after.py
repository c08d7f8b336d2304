"""Measure this checkout beside another one: whole commands, and answers to a trip in which one number was changed.

    python tests/benchmarks/before_after.py --before ../checkout

Times are CPU time of child processes, each the median of several taken in turn; only shares mean something on another
machine. Compiled bytecode is at hand on both sides, as after an installation.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import yaml
from pool import pool

_HERE = Path(__file__).resolve()
_CHECKOUT = _HERE.parents[2]
_PROGRAM = "from seatplan.cli.main import run; run()"
_COPIES = 4
#: what is edited -> the share of a cold solve of the other checkout that is wanted of the median at most
_WANTED_EDITED = {"rider": 0.15, "wish": 0.15, "restraint": 0.25}
_WANTED_WORST = 0.6
#: commands -> the share of the other checkout's time that is wanted at most
_COMMANDS = (
    ("outlook three-across-school-run --until 4y", 1 / 7),
    ("arrange three-too-wide", 0.3),
    ("arrange nine-seat-shuttle", 0.35),
    ("arrange three-across-school-run", 0.9),
)
_WANTED_COPIES = 1.4


@dataclass(frozen=True)
class Side:
    """A checkout whose program is measured."""

    checkout: Path
    scratch: Path

    def run(self, *arguments: str | Path) -> tuple[float, str]:
        """(CPU seconds of a Python process, what it printed). The process starts in a folder without a program."""
        path = os.pathsep.join(map(str, (self.checkout, _HERE.parent, _CHECKOUT / "tests" / "solver")))
        environment = {**os.environ, "PYTHONPATH": path, "PYTHONPYCACHEPREFIX": str(self.scratch / "bytecode")}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([sys.executable, *arguments], cwd=self.scratch, env=environment, text=True,
                              capture_output=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        if done.returncode not in (0, 1, 3) or "Traceback" in done.stderr:
            raise SystemExit(f"{self.checkout}: {arguments} left with {done.returncode}\n{done.stderr}")
        return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime, done.stdout

    def command(self, *arguments: str | Path) -> float:
        """CPU seconds of one command of the program."""
        return self.run("-c", _PROGRAM, *arguments)[0]


Pair = tuple[float, float]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--before", type=Path, required=True, help="the other checkout")
    parser.add_argument("--rounds", type=int, default=5, metavar="N", help="medians of so many (default 5)")
    parser.add_argument("--only", metavar="WORD", help="only lines with this word: a command, copies, edited")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        sides = [Side(checkout, Path(folder, name)) for checkout, name in
                 ((asked.before.resolve(), "before"), (_CHECKOUT, "now"))]
        for side in sides:
            side.scratch.mkdir()
            side.command("arrange", "two-children-one-tether")          # compiles, and warms the disk
        _row("what", "before", "now", "share", "wanted")
        for command, wanted in _COMMANDS:
            if _meant(command, asked.only):
                _commands(sides, command, wanted, asked.rounds)
        if _meant("copies", asked.only):
            _copies(sides, Path(folder), asked.rounds)
        if _meant("edited", asked.only):
            _edited(sides, asked.rounds)


def _meant(line: str, only: str | None) -> bool:
    return only is None or only in line


def _row(what: str, before: str, now: str, share: str, wanted: str) -> None:
    print(f"{what:<58} {before:>10} {now:>10} {share:>8} {wanted:>8}", flush=True)


def _in_turn(sides: Sequence[Side], rounds: int, measure: Callable[[Side], float]) -> Pair:
    """The median of both, measured in turn."""
    taken = [[measure(side) for side in sides] for _ in range(rounds)]
    before, now = (median(times) for times in zip(*taken, strict=True))
    return before, now


def _commands(sides: Sequence[Side], command: str, wanted: float, rounds: int) -> None:
    before, now = _in_turn(sides, rounds, lambda side: side.command(*command.split()))
    _row(command, f"{before:.2f} s", f"{now:.2f} s", f"{now / before:.2f}", f"{wanted:.2f}")


def _copies(sides: Sequence[Side], folder: Path, rounds: int) -> None:
    """A pool with several copies of each model, beside a pool with one of each, in the same checkout."""
    files = []
    for copies in (1, _COPIES):
        files.append(folder / f"pool-{copies}.yaml")
        files[-1].write_text(yaml.safe_dump(pool(copies), sort_keys=False), encoding="utf-8")
    single, many = ([_in_turn(sides, rounds, lambda side, file=file: side.command("arrange", file))][0]
                    for file in files)
    for title, (before, now) in (("arrange a pool with one of each", single), (f"  with {_COPIES} copies", many)):
        _row(title, f"{before:.2f} s", f"{now:.2f} s", f"{now / before:.2f}", "")
    before, now = (many[i] / single[i] for i in range(2))
    _row(f"  {_COPIES} copies / one of each", f"{before:.2f}", f"{now:.2f}", "", f"{_WANTED_COPIES:.2f}")


def _edited(sides: Sequence[Side], rounds: int) -> None:
    """One number of a loaded trip changed and answered again, beside a cold solve: shares of single edits."""
    script = _HERE.with_name("edited.py")
    runs: list[list[dict[str, float]]] = [[], []]
    kinds: list[str] = []
    for _ in range(rounds):
        for side, times in zip(sides, runs, strict=True):
            told = json.loads(side.run(script)[1])
            kinds = [kind for kind, _, _ in told]
            times.append({f"{what} {i}": taken[k] for i, taken in enumerate(told) for k, what in ((1, "cold"),
                                                                                                 (2, "again"))})
    before, now = ({key: median(one[key] for one in times) for key in times[0]} for times in runs)
    for kind, wanted in _WANTED_EDITED.items():
        numbers = [i for i, other in enumerate(kinds) if other == kind]
        for against, cold in (("before", before), ("now", now)):
            shares = [now[f"again {i}"] / cold[f"cold {i}"] for i in numbers]
            middle = [1000 * median(times[f"{what} {i}"] for i in numbers) for what, times in (
                ("cold", cold), ("again", now))]
            title = f"one number edited: {kind}, again / cold {against}, median of {len(numbers)}"
            _row(title, f"{middle[0]:.0f} ms", f"{middle[1]:.0f} ms", f"{median(shares):.2f}", f"{wanted:.2f}")
            _row("  worst", "", "", f"{max(shares):.2f}", f"{_WANTED_WORST:.2f}")


if __name__ == "__main__":
    main()
