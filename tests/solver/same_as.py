"""Say what another checkout of this program answers differently: every bundled trip, and random ones.

    python tests/solver/same_as.py --before ../checkout --random 500

Each checkout answers in a process of its own, from the bundled files of its own; the random trips are those of the
tests beside this file. What differs is told by kind: where in the JSON, how often, and the first of each. Exit code 1
where anything does.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path
from random import Random
from typing import Any

_HERE = Path(__file__).resolve()
_CHECKOUT = _HERE.parents[2]
#: arrangements of one trip that are compared one by one
MOST = 2_000
#: of the random trips that nothing fits, every so many is explained as well, which takes longer than its plan
_EXPLAINED = 10
#: options of a bundled trip -> how it is asked for
_OPTIONS: dict[str, dict[str, Any]] = {
    "plain": {"top": 5}, "strict": {"top": 5, "strict": True}, "worst-case": {"top": 5, "worst_case": True},
    "all": {"top": None}}
#: other questions, asked as a person does
_COMMANDS = (
    ("outlook", "three-across-school-run", "--until", "1y", "--json"),
    ("outlook", "third-child-on-the-way", "--until", "1y", "--json"),
    ("outlook", "two-children-one-tether", "--until", "4y", "--json"),
    ("outlook", "third-child-on-the-way", "--stock", "--until", "12 months", "--json"),
    ("compare", "three-across-school-run", "--vehicle", "cattlegate-crew-cab", "--vehicle", "pipkin-hatch", "--json"),
    ("compare", "taxi-ride", "--vehicle", "tidewater-carrier", "--json"),
    ("room", "three-across-school-run", "--rider", "Wren", "--json"),
    ("measure", "half-measured-car"),
    ("measure", "school-run-second-car"),
    ("why", "three-across-school-run", "--rider", "Wren", "--position", "2C", "--json"),
    ("why", "three-across-school-run", "--not", "Wren=2R", "--json"),
    ("why", "three-across-school-run", "--arrangement", "2", "--json"),
)

Answer = tuple[str, Any]


@dataclass
class Kind:
    """Differences at one place of the JSON: how many, in which answers, and the first."""

    count: int = 0
    answers: set[str] = field(default_factory=set)
    first: str = ""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--before", type=Path, required=True, help="the other checkout")
    parser.add_argument("--random", type=int, default=500, metavar="N", help="so many random trips (default 500)")
    parser.add_argument("--trip", action="append", help="of the bundled trips only this one; may be given again")
    parser.add_argument("--commands", action="store_true", help="ask other commands too; takes minutes")
    parser.add_argument("--write", type=Path, help=argparse.SUPPRESS)      # in a process of one checkout
    asked = parser.parse_args()
    if asked.write is not None:
        with asked.write.open("w", encoding="utf-8") as out:
            for answer in _answers(asked.trip, asked.random, asked.commands):
                out.write(json.dumps(answer, default=list) + "\n")
        return 0
    with tempfile.TemporaryDirectory() as folder:
        files = [Path(folder, "before"), Path(folder, "now")]
        children = [_child(checkout, file) for checkout, file in
                    zip((asked.before.resolve(), _CHECKOUT), files, strict=True)]
        left = [child.wait() for child in children]
        if any(left):
            raise SystemExit("one of them gave no answers")
        answers, kinds = _compared(*files)
    print(f"{answers} answers; {len(kinds)} kinds of differences")
    for place, kind in sorted(kinds.items(), key=lambda item: -item[1].count):
        print(f"{place}: {kind.count} in {len(kind.answers)} answers; first {kind.first}")
    return 1 if kinds else 0


def _child(checkout: Path, file: Path) -> subprocess.Popen[bytes]:
    """This tool again, with the program of a checkout. It is run from a folder that holds no program at all."""
    path = os.pathsep.join(map(str, (checkout, _HERE.parent, _CHECKOUT / "tests" / "cli")))
    return subprocess.Popen([sys.executable, _HERE, *sys.argv[1:], "--write", file], cwd=file.parent,
                            env={**os.environ, "PYTHONPATH": path})


def _answers(trips: list[str] | None, drawn: int, commands: bool) -> Iterator[Answer]:
    """(What was asked, the answer), in an order that does not hang on the program."""
    yield from _bundled(trips)
    yield from _random(drawn)
    if commands:
        from running import seatplan

        for command in _COMMANDS:
            said = seatplan(*command)
            told = json.loads(said.out) if "--json" in command else said.out.splitlines()
            yield " ".join(command), {"code": said.code, "told": told, "aside": said.err.splitlines()}


def _bundled(trips: list[str] | None) -> Iterator[Answer]:
    from seatplan import arrange, explain, load_trip
    from seatplan.views.plan_json import plan_json

    for name in trips or sorted(file.stem for file in (_CHECKOUT / "seatplan" / "data" / "trips").glob("*.yaml")):
        valid = 0
        for option, how in _OPTIONS.items():
            if option == "all" and not 0 < valid <= MOST:
                continue
            plan = arrange(load_trip(name), **how)
            valid = plan.tally.valid if option == "plain" else valid
            explanation = explain(plan)
            yield f"{name} {option}", plan_json(plan, explanation)


def _random(drawn_trips: int) -> Iterator[Answer]:
    from worlds import drawn

    from seatplan import explain
    from seatplan.rules.load import load_profile
    from seatplan.solver.plan import planned
    from seatplan.views.plan_json import plan_json

    for seed in range(drawn_trips):
        rng = Random(seed)
        strict, worst_case = rng.random() < 0.3, rng.random() < 0.3
        trip = drawn(seed)
        assert trip.on is not None
        plan = planned(trip, load_profile(trip.rules), trip.on, top=None, strict=strict, worst_case=worst_case)
        explanation = explain(plan) if seed % _EXPLAINED == 0 else None
        yield f"random {seed}", plan_json(plan, explanation)


def _compared(before: Path, now: Path) -> tuple[int, dict[str, Kind]]:
    """How many answers there are, and what differs, by its place in the JSON."""
    kinds: dict[str, Kind] = {}
    answers = 0
    with before.open(encoding="utf-8") as old, now.open(encoding="utf-8") as new:
        for one, other in zip_longest(old, new):
            if one is None or other is None:
                raise SystemExit("they answered different questions")
            answers += 1
            (asked, was), (asked_now, is_now) = json.loads(one), json.loads(other)
            if asked != asked_now:
                raise SystemExit(f"they answered different questions: {asked}, {asked_now}")
            for place, what in differences(was, is_now):
                kind = kinds.setdefault(place, Kind(first=f"{asked}: {what}"))
                kind.count += 1
                kind.answers.add(asked)
    return answers, kinds


def differences(was: Any, now: Any, place: str = "") -> Iterator[tuple[str, str]]:
    """(Place without numbers, what was and what is) of every difference between two JSON values."""
    if isinstance(was, dict) and isinstance(now, dict):
        for key in _in_order(was, now):
            there = f"{place}.{key}" if place else key
            if key not in was or key not in now:
                yield f"{there} ({'new' if key not in was else 'gone'})", _brief((was if key in was else now)[key])
            else:
                yield from differences(was[key], now[key], there)
    elif isinstance(was, list) and isinstance(now, list):
        if len(was) != len(now):
            yield f"{place}[] (how many)", f"{len(was)} -> {len(now)}"
        for one, other in zip(was, now, strict=False):
            yield from differences(one, other, f"{place}[]")
    elif type(was) is not type(now) or was != now:
        yield place, f"{_brief(was)} -> {_brief(now)}"


def _in_order(was: Iterable[str], now: Iterable[str]) -> list[str]:
    return list(dict.fromkeys([*was, *now]))


def _brief(value: Any) -> str:
    told = json.dumps(value, ensure_ascii=False)
    return told if len(told) <= 120 else told[:117] + "..."


if __name__ == "__main__":
    sys.exit(main())
