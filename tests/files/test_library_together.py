"""A library folder that many write in at once, pages and commands, and whose programs are killed: no edit is lost."""

from __future__ import annotations

import random
import re
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest

from seatplan.files.library_index import INDEX
from seatplan.files.load import load_trip
from seatplan.files.own_library import OwnLibrary
from seatplan.files.setting import undo
from seatplan.files.versions import Changed

DAY = date(2026, 11, 25)
TRIP = """\
trip: Layout   # ours
vehicle: {vehicle: Layout car, rows: [{row: 1, positions: [{position: 1L}]}, {row: 2, positions: [{position: 2L}]}]}
drives: 1L
riders: [{rider: Wren, age: 1y}]
restraints: [{restraint: Nook, modes: [{mode: rear-facing-harness, installations: [{by: lap-shoulder-belt}]}]}]
"""
#: a page: adds a line to what it read, and reads again where somebody was quicker
PAGE = """\
import sys
from seatplan.files.own_library import OwnLibrary
from seatplan.files.versions import Changed

library, name, n, last = OwnLibrary(sys.argv[1]), sys.argv[2], 0, int(sys.argv[3])
while n < last:
    read = library.read("trip-1")
    try:
        library.save("trip-1", f"{read.text}# {name} {n + 1}\\n", read.version)
    except Changed:
        continue
    n += 1
    print(n, flush=True)
"""
#: a command: records in the same file
COMMAND = """\
import sys
from datetime import date
from seatplan.files.recording import record
for n in range(int(sys.argv[2])):
    record(sys.argv[1], {"restraint": "Nook", "position": "2L", "by": "lap-shoulder-belt", "moved": str(n % 90),
                         "note": f"number {n}"}, date(2026, 11, 25))
"""


@pytest.fixture
def library(tmp_path: Path) -> OwnLibrary:
    made = OwnLibrary(str(tmp_path))
    made.create("trip", TRIP)
    return made


def lines(library: OwnLibrary, name: str) -> list[int]:
    return [int(n) for n in re.findall(rf"^# {name} (\d+)$", library.read("trip-1").text, re.MULTILINE)]


def test_two_pages_lose_no_edit_of_two_hundred_each(library: OwnLibrary) -> None:
    both = [subprocess.Popen([sys.executable, "-c", PAGE, str(library.folder), name, "200"],
                             stdout=subprocess.DEVNULL) for name in ("a", "b")]
    assert [one.wait(200) for one in both] == [0, 0]
    assert lines(library, "a") == lines(library, "b") == list(range(1, 201))


def test_a_page_and_a_command_lose_no_edit(library: OwnLibrary) -> None:
    file = library.folder / "trip-1.yaml"
    page = subprocess.Popen([sys.executable, "-c", PAGE, str(library.folder), "a", "60"], stdout=subprocess.DEVNULL)
    command = subprocess.Popen([sys.executable, "-c", COMMAND, str(file), "30"])
    assert [page.wait(200), command.wait(200)] == [0, 0]
    assert lines(library, "a") == list(range(1, 61))
    assert [tried.note for tried in load_trip(str(file)).tried] == [f"number {n}" for n in range(30)]
    undo(str(file), today=DAY)


def test_whoever_lists_meanwhile_sees_whole_files(library: OwnLibrary) -> None:
    page = subprocess.Popen([sys.executable, "-c", PAGE, str(library.folder), "a", "60"], stdout=subprocess.DEVNULL)
    while page.poll() is None:
        [one] = library.listing().kept
        assert (one.state, one.title) == ("reads", "Layout")
    assert page.wait() == 0
    assert lines(library, "a") == list(range(1, 61))


def test_threads_of_one_program_wait_for_each_other(library: OwnLibrary) -> None:
    def edits(name: str) -> None:
        left = 25
        while left:
            read = library.read("trip-1")
            try:
                library.save("trip-1", f"{read.text}# {name} {26 - left}\n", read.version)
            except Changed:
                continue
            left -= 1

    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(edits, "abcd")) == [None] * 4
    for name in "abcd":
        assert lines(library, name) == list(range(1, 26))


def test_numbers_that_are_given_at_once_are_all_different(library: OwnLibrary) -> None:
    code = ("import sys\nfrom seatplan.files.own_library import OwnLibrary\n"
            "library, text = OwnLibrary(sys.argv[1]), sys.argv[2]\n"
            "for n in range(20):\n    print(library.create('trip', f'{text}# {sys.argv[3]} {n}\\n').number)\n")
    both = [subprocess.Popen([sys.executable, "-c", code, str(library.folder), TRIP, name], stdout=subprocess.PIPE,
                             text=True) for name in "ab"]
    numbers = [number for one in both for number in one.communicate(timeout=200)[0].split()]
    assert sorted(numbers, key=lambda number: int(number[5:])) == [f"trip-{n}" for n in range(2, 42)]
    assert len(library.listing().kept) == 41


def test_of_a_killed_page_no_acknowledged_edit_is_lost(library: OwnLibrary) -> None:
    dice, done = random.Random(20), 0
    for _ in range(12):
        page = subprocess.Popen([sys.executable, "-c", PAGE, str(library.folder), "k", "100000"],
                                stdout=subprocess.PIPE, text=True)
        assert page.stdout is not None
        first = page.stdout.readline()
        time.sleep(dice.uniform(0, 0.15))
        page.send_signal(signal.SIGKILL)
        told = [first, *page.stdout.read().splitlines()]
        page.wait()
        acknowledged = max((int(line) for line in told if line.strip()), default=0)
        there = lines(library, "k")[done:]
        assert there == list(range(1, len(there) + 1))               # whole, and in order
        assert len(there) in (acknowledged, acknowledged + 1)        # the last one may not have been told any more
        done += len(there)
        assert load_trip(str(library.folder / "trip-1.yaml")).riders[0].rider == "Wren"
        [one] = library.listing().kept
        assert one.state == "reads"
    assert done > 24
    read = library.read("trip-1")
    library.save("trip-1", TRIP, read.version)                      # no lock is left, and nothing in the way
    undo(str(library.folder / "trip-1.yaml"), today=DAY)
    assert library.read("trip-1") == read
    library.remove("trip-1", read.version)
    assert {path.name for path in library.folder.iterdir()} <= {INDEX, ".seatplan-library.yaml"}


def test_killed_while_it_is_made_or_removed_a_file_is_whole_or_not_there(library: OwnLibrary) -> None:
    code = ("import sys\nfrom seatplan.files.own_library import OwnLibrary\n"
            "library, text = OwnLibrary(sys.argv[1]), sys.argv[2]\n"
            "print('ready', flush=True)\n"
            "while True:\n    made = library.create('trip', text)\n"
            "    library.remove(made.number, made.version)\n")
    dice = random.Random(7)
    for _ in range(10):
        one = subprocess.Popen([sys.executable, "-c", code, str(library.folder), TRIP + "# " + "x" * 20_000 + "\n"],
                               stdout=subprocess.PIPE)
        assert one.stdout is not None
        one.stdout.readline()
        time.sleep(dice.uniform(0, 0.1))
        one.kill()
        one.wait()
        one.stdout.close()
        kept = library.listing().kept
        assert [each.state for each in kept] == ["reads"] * len(kept)
        assert all(len(library.read(each.number).text) in (len(TRIP), len(TRIP) + 20_003) for each in kept)
    for each in library.listing().kept:
        library.remove(each.number, each.version)
    made = library.create("trip", TRIP)
    assert int(made.number[5:]) > 1
