"""Answers on disk: the same again, found by content, whatever happens to the file or to the program."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import stat
import subprocess
import sys
import time
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from small_fleet import small_world, some_classes, texts_in
from small_worlds import child, world_of

from seatplan.files.errors import Unwritten
from seatplan.fleet.answers import (
    Damaged,
    answer_json,
    answer_of,
    canonical_json,
    party_json,
    party_of,
    read_answer,
)
from seatplan.fleet.classes import Engine, canonical
from seatplan.fleet.kept import Kept, Keys
from seatplan.fleet.records import ClassAnswer, Cover
from seatplan.model import Tried
from seatplan.store import Store

HERE = Path(__file__).parent
CAR = "lindholm-estate"


@pytest.fixture(scope="module")
def answers() -> list[ClassAnswer]:
    """An answer of each sort."""
    engine = Engine(world_of([CAR, "dowel-coupe"], ["lattice-combo", "cradle-13", "cushion-44"]), Store())
    asked = [(CAR, [child(30, 13, 900), child(62, 19, 1120)]), (CAR, [child((60, 66), 19.5, 1130)]),
             (CAR, [child((6, 84))]), (CAR, [child(62)]), ("dowel-coupe", [child(8, 8.5, 700)] * 4)]
    found = [engine.answer(vehicle, canonical(members)) for vehicle, members in asked]
    way = found[0].ways[0]
    return [*found, replace(found[2], covers=(Cover(way, way, ("rider.mass", 0, "18 kg")),), complete=False)]


def test_an_answer_comes_back_as_it_was(answers: list[ClassAnswer]) -> None:
    assert {answer.verdict for answer in answers} >= {"fits", "unmeasured", "rejected"}
    for answer in answers:
        assert read_answer(canonical_json(answer_json(answer))) == answer


def test_a_party_comes_back_as_it_was() -> None:
    for one in some_classes():
        assert party_of(json.loads(canonical_json(party_json(one.party)))) == one.party


def spoiled(value: Any) -> list[Any]:
    """The same with any one part gone, of another type, or out of range."""
    if isinstance(value, dict):
        found: list[Any] = [{name: inner for name, inner in value.items() if name != key} for key in value]
        found += [{**value, key: other} for key, inner in value.items() for other in spoiled(inner)]
        return [*found, {**value, "more": 1}]
    if isinstance(value, list):
        return [{}, *([*value[:n], other, *value[n + 1:]] for n, one in enumerate(value) for other in spoiled(one))]
    return [{"other": 1}, 1.5, [[]]]


def test_what_is_no_answer_is_damaged(answers: list[ClassAnswer]) -> None:
    told = 0
    for answer in answers:
        short = replace(answer, ways=answer.ways[:1], by_end=None)
        for value in spoiled(json.loads(canonical_json(answer_json(short)))):
            with pytest.raises(Damaged):
                answer_of(value)
            told += 1
    assert told > 200
    for text in ("", "nonsense", "[]", "null", "{", "[" * 100_000, '{"verdict": "fits"}'):
        with pytest.raises(Damaged):
            read_answer(text)


def test_a_key_hangs_on_content_and_on_nothing_else() -> None:
    world, party = world_of([CAR], ["nook-35"]), canonical([child(30, 13, 900)])
    key = Keys(world, "1").key(CAR, party)
    assert len(key) == 64
    assert Keys(world_of([CAR], ["nook-35"]), "1").key(CAR, party) == key
    assert Keys(replace(world, day=date(2027, 1, 1)), "1").key(CAR, party) == key
    more = world_of([CAR], ["nook-35", "bastion"])
    tried = Tried.model_validate({"restraint": "nook-35", "position": "2R", "by": "lower-anchors"})
    estate = world.types[CAR]
    others = [
        Keys(more, "1").key(CAR, party), Keys(world, "1").key(CAR, canonical([child(31, 13, 900)])),
        Keys(world, "1").key(CAR, canonical([child(30, 13, 900, None)])),
        Keys(world, "1").key(CAR, canonical([child((30, 31), 13, 900)])),
        Keys(world, "1").key(CAR, canonical([child(30, 13, 900)], ["nook-35"])),
        Keys(world_of([CAR], ["nook-35"], "un"), "1").key(CAR, party),
        Keys(replace(world, tried={CAR: [tried]}), "1").key(CAR, party),
        Keys(replace(world, drives={CAR: "1R"}), "1").key(CAR, party),
        Keys(replace(world, driver={"height": 1700}), "1").key(CAR, party),
        Keys(replace(world, front={CAR: {"1L": {"forward_at_most": 100}}}), "1").key(CAR, party),
        Keys(replace(world, types={CAR: estate.model_copy(update={"notes": "another"})}), "1").key(CAR, party),
    ]
    assert len({key, *others}) == 1 + len(others)


def test_another_version_asks_again() -> None:
    world, party = world_of([CAR], ["nook-35"]), canonical([child(30, 13, 900)])
    assert Keys(world, "2").key(CAR, party) != Keys(world, "1").key(CAR, party)


def test_a_try_of_a_later_day_makes_the_day_count() -> None:
    tried = Tried.model_validate({"restraint": "nook-35", "position": "2R", "by": "lower-anchors", "on": "2026-12-24"})
    world, party = replace(world_of([CAR], ["nook-35"]), tried={CAR: [tried]}), canonical([child(30, 13, 900)])
    assert Keys(world, "1").key(CAR, party) != Keys(replace(world, day=date(2026, 12, 24)), "1").key(CAR, party)


def test_answers_are_kept(tmp_path: Path, answers: list[ClassAnswer]) -> None:
    path = tmp_path / "kept"
    with Kept(path) as kept:
        kept.put((str(n), answer) for n, answer in enumerate(answers))
        assert len(kept) == len(answers)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with Kept(path) as kept:
        assert [kept.get(str(n)) for n in range(len(answers))] == answers
        assert kept.get("none") is None
        assert kept.damaged == 0


@pytest.mark.parametrize("change", [
    "UPDATE answers SET answer = '{}' WHERE key = '0'", "UPDATE answers SET hash = 'x' WHERE key = '0'",
    "UPDATE answers SET answer = replace(answer, 'fits', 'likely') WHERE key = '0'",
    "UPDATE answers SET answer = x'00ff' WHERE key = '0'",
    "UPDATE answers SET (answer, hash) = (SELECT answer, hash FROM answers WHERE key = '1') WHERE key = '0'"])
def test_a_damaged_entry_is_told_and_asked_again(tmp_path: Path, answers: list[ClassAnswer], change: str) -> None:
    path = tmp_path / "kept"
    with Kept(path) as kept:
        kept.put((str(n), answer) for n, answer in enumerate(answers))
    other = sqlite3.connect(path)
    with other:
        other.execute(change)
    other.close()
    with Kept(path) as kept:
        assert kept.get("0") is None
        assert kept.damaged == 1
        assert kept.get("1") == answers[1]
        kept.put([("0", answers[0])])
        assert kept.get("0") == answers[0]


def test_a_broken_file_is_put_aside_and_told(tmp_path: Path, answers: list[ClassAnswer]) -> None:
    path = tmp_path / "kept"
    with Kept(path) as kept:
        kept.put((str(n), answers[0]) for n in range(400))
    whole = path.read_bytes()
    path.write_bytes(whole[:100] + b"\xff" * (len(whole) - 100))
    with Kept(path) as kept:
        assert kept.get("0") is None
        assert kept.damaged >= 1
        kept.put([("0", answers[0])])
        assert kept.get("0") == answers[0]
    assert (tmp_path / "kept.damaged").exists()


def test_a_file_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "bookings.csv"
    path.write_text("id,start\n")
    with pytest.raises(Unwritten, match="no file of kept answers"):
        Kept(path)
    assert path.read_text() == "id,start\n"
    other = tmp_path / "other.db"
    with sqlite3.connect(other) as foreign:
        foreign.execute("PRAGMA application_id = 77")
        foreign.execute("CREATE TABLE mine (a)")
    with pytest.raises(Unwritten):
        Kept(other)
    with pytest.raises(Unwritten):
        Kept(tmp_path / "no" / "folder")


def run(path: Path) -> subprocess.Popen[str]:
    return subprocess.Popen([sys.executable, str(HERE / "small_fleet.py"), str(path)], stdout=subprocess.PIPE,
                            text=True, env={**os.environ, "PYTHONPATH": os.pathsep.join(
                                (str(HERE), str(HERE.parents[1]), os.environ.get("PYTHONPATH", "")))})


def test_killed_at_any_time_it_resumes(tmp_path: Path) -> None:
    whole, path = tmp_path / "whole", tmp_path / "killed"
    with run(whole) as process:
        assert process.stdout is not None
        assert process.stdout.read().split() == ["0", "24"]
    kills = 0
    while kills < 4:
        with run(path) as process:
            before = _entries(path)
            while process.poll() is None and _entries(path) <= before:
                time.sleep(0.02)
            if process.poll() is not None:
                break
            process.send_signal(signal.SIGKILL)
            kills += 1
    assert kills >= 1
    with Kept(path) as kept:
        known = len(kept)
    with run(path) as process:
        assert process.stdout is not None
        told = [int(n) for n in process.stdout.read().split()]
    assert told[0] == known >= 1
    assert sum(told) == 24
    assert texts_in(path) == texts_in(whole)


def _entries(path: Path) -> int:
    if not path.exists() or not path.stat().st_size:
        return 0
    try:
        opened = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
        try:
            return int(opened.execute("SELECT COUNT(*) FROM answers").fetchone()[0])
        finally:
            opened.close()
    except sqlite3.Error:
        return 0


def test_what_is_kept_says_nothing_of_a_booking(tmp_path: Path) -> None:
    """Neither names nor ids nor times are in a class; ages and sizes are, which nobody can tell a family by."""
    path = tmp_path / "kept"
    with Kept(path) as kept:
        one = some_classes(1)[0]
        kept.put([(Keys(small_world(), "1").key(*one), Engine(small_world(), Store()).answer(*one))])
    text = texts_in(path)
    assert "830" not in text
    assert '"11"' not in text
