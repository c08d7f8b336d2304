"""A file is replaced as a whole or not at all: whatever fails, whoever else writes, whenever the program is killed."""

from __future__ import annotations

import errno
import os
import random
import signal
import stat
import subprocess
import sys
import threading
import time
from datetime import date
from pathlib import Path

import pytest

from seatplan.files import writer
from seatplan.files.errors import InputError, Unwritten
from seatplan.files.load import load_trip
from seatplan.files.recording import record
from seatplan.files.setting import undo
from seatplan.files.versions import Changed, version_of
from seatplan.files.writer import held

DAY = date(2026, 11, 25)
TRIP = """\
trip: Layout   # ours
vehicle: {vehicle: Layout car, rows: [{row: 1, positions: [{position: 1L}]}, {row: 2, positions: [{position: 2L}]}]}
drives: 1L
riders: [{rider: Wren, age: 1y}]
restraints: [{restraint: Nook, modes: [{mode: rear-facing-harness, installations: [{by: lap-shoulder-belt}]}]}]
"""
TOLD = {"restraint": "Nook", "position": "2L", "by": "lap-shoulder-belt", "moved": "38"}
ENTRY = "{restraint: Nook, position: 2L, by: lap-shoulder-belt, moved: 38, on: 2026-11-25, recorded: yes}"
AFTER = TRIP + f"tried:\n  - {ENTRY}\n"
#: what the system is asked on the way, in order
STEPS = ("unlink", "open", "write", "fchown", "fchmod", "fsync", "replace")
#: run in a process of its own: the program is killed at one step
KILLED = """\
import os, signal, sys
from datetime import date
from seatplan.files.recording import record

left = int(sys.argv[3])

def killed(*args, **options):
    os.kill(os.getpid(), signal.SIGKILL)

def counted(whole, after=False):
    def called(*args, **options):
        global left
        left -= 1
        if after:
            found = whole(*args, **options)
        if not left:
            killed()
        return found if after else whole(*args, **options)
    return called

file, step, told = sys.argv[1], sys.argv[2], {"restraint": "Nook", "position": "2L", "by": "lap-shoulder-belt"}
if step == "half written":
    whole = os.write
    def half(handle, data):
        global left
        left -= 1
        whole(handle, bytes(data)[:100])
        return killed() if not left else 100
    os.write = half
elif step == "after replace":
    os.replace = counted(os.replace, after=True)
else:
    setattr(os, step, counted(getattr(os, step)))
record(file, {**told, "moved": "38"}, date(2026, 11, 25))
"""
#: records and takes back until it is killed
ENDLESS = """\
import sys
from datetime import date
from seatplan.files.recording import record
from seatplan.files.setting import undo

told = {"restraint": "Nook", "position": "2L", "by": "lap-shoulder-belt", "moved": "38"}
print("ready", flush=True)
while True:
    record(sys.argv[1], told, date(2026, 11, 25))
    undo(sys.argv[1])
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "trip.yaml"
    path.write_text(TRIP, encoding="utf-8")
    return path


def names(file: Path) -> list[str]:
    return sorted(path.name for path in file.parent.iterdir())


@pytest.mark.parametrize("step", [s for s in STEPS if s not in ("unlink", "fchown")])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_a_step_that_fails_leaves_the_old_file(file: Path, step: str, code: int, monkeypatch: pytest.MonkeyPatch):
    whole, folder_of = getattr(os, step), str(file.parent)

    def fails(*args: object, **options: object) -> object:
        if step == "open" and str(args[0]) == folder_of:        # the lock on the folder
            return whole(*args, **options)
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(writer.os, step, fails)
    with pytest.raises(Unwritten) as wrong:
        record(str(file), TOLD, DAY)
    monkeypatch.undo()
    assert str(wrong.value) == (
        f"{file}: this file cannot be written: {os.strerror(code).lower()}; nothing was written")
    assert file.read_text(encoding="utf-8") == TRIP
    assert names(file) == ["trip.yaml"]
    record(str(file), TOLD, DAY)
    assert file.read_text(encoding="utf-8") == AFTER


def test_a_disk_that_fills_up_half_way_leaves_the_old_file(file: Path, monkeypatch: pytest.MonkeyPatch):
    whole, calls = os.write, []

    def short(handle: int, data: bytes) -> int:
        calls.append(handle)
        if len(calls) > 3:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return whole(handle, data[:50])

    monkeypatch.setattr(writer.os, "write", short)
    with pytest.raises(Unwritten, match="no space left on device; nothing was written"):
        record(str(file), TOLD, DAY)
    assert file.read_text(encoding="utf-8") == TRIP
    assert names(file) == ["trip.yaml"]


def test_writes_that_are_cut_short_are_gone_on_with(file: Path, monkeypatch: pytest.MonkeyPatch):
    whole = os.write
    monkeypatch.setattr(writer.os, "write", lambda handle, data: whole(handle, data[:7]))
    record(str(file), TOLD, DAY)
    assert file.read_text(encoding="utf-8") == AFTER


@pytest.mark.parametrize("time", [1, 2, 3])
@pytest.mark.parametrize("step", [*STEPS, "half written", "after replace"])
def test_killed_at_any_step_nothing_is_lost(file: Path, step: str, time: int):
    """Of the first write, which is what the file was before, or of the second, which is the file."""
    if step == "unlink":
        (file.parent / ".trip.yaml.seatplan-new").write_text("left by a run before", encoding="utf-8")
    done = subprocess.run([sys.executable, "-c", KILLED, str(file), step, str(time)], check=False, capture_output=True)
    assert done.returncode in (-signal.SIGKILL, 0), done.stderr.decode()
    after = file.read_text(encoding="utf-8")
    assert after in (TRIP, AFTER)
    record(str(file), TOLD, DAY)
    assert names(file) == [".trip.yaml.seatplan-undo", "trip.yaml"], "what was left half written is cleared away"
    assert len(load_trip(str(file)).tried) == 1 + (after == AFTER)
    undo(str(file))
    assert file.read_text(encoding="utf-8") == after
    if after == AFTER:
        undo(str(file))
    with pytest.raises(InputError, match="nothing to take back"):
        undo(str(file))
    assert file.read_text(encoding="utf-8") == TRIP
    assert names(file) == ["trip.yaml"]


@pytest.mark.parametrize("time", [1, 2, 3])
@pytest.mark.parametrize("step", ["write", "replace", "after replace"])
def test_killed_while_it_takes_back_nothing_is_lost(file: Path, step: str, time: int):
    record(str(file), TOLD, DAY)
    record(str(file), {**TOLD, "moved": "40"}, DAY)
    program = KILLED.replace("recording import record", "setting import undo").replace(
        'record(file, {**told, "moved": "38"}, date(2026, 11, 25))', "undo(file)")
    subprocess.run([sys.executable, "-c", program, str(file), step, str(time)], check=False, capture_output=True)
    left = len(load_trip(str(file)).tried)
    assert left in (1, 2)
    for n in range(left - 1, -1, -1):
        undo(str(file))
        assert len(load_trip(str(file)).tried) == n
    assert file.read_text(encoding="utf-8") == TRIP
    with pytest.raises(InputError, match="nothing to take back"):
        undo(str(file))


def test_killed_at_any_time_nothing_is_lost(file: Path):
    moments = random.Random(7)
    seen = set()
    for _ in range(12):
        with subprocess.Popen([sys.executable, "-c", ENDLESS, str(file)], stdout=subprocess.PIPE) as running:
            assert running.stdout is not None
            running.stdout.readline()
            time.sleep(moments.uniform(0, 0.08))
            running.kill()
        text = file.read_text(encoding="utf-8")
        assert text in (TRIP, AFTER)
        seen.add(text)
        if text == AFTER:
            undo(str(file))
    assert seen


def test_ten_writers_at_once_lose_no_entry(file: Path):
    writers = [subprocess.Popen([sys.executable, "-c", (
        "import sys\nfrom datetime import date\nfrom seatplan.files.recording import record\n"
        "told = {'restraint': 'Nook', 'position': '2L', 'by': 'lap-shoulder-belt', 'moved': sys.argv[2]}\n"
        "record(sys.argv[1], told, date(2026, 11, 25))"), str(file), str(n)]) for n in range(10)]
    assert [writer.wait() for writer in writers] == [0] * 10
    assert sorted(t.moved or 0 for t in load_trip(str(file)).tried) == list(range(10))
    for _ in range(10):
        undo(str(file))
    assert file.read_text(encoding="utf-8") == TRIP


def test_a_file_that_an_editor_changed_meanwhile_is_not_overwritten(file: Path):
    with held(str(file)) as mine:
        file.write_text(TRIP + "rules: un\n", encoding="utf-8")
        with pytest.raises(Changed, match="changed by something else meanwhile; nothing was written") as wrong:
            mine.replace(b"other")
    assert (wrong.value.expected, wrong.value.found) == (version_of(TRIP.encode()),
                                                         version_of(file.read_bytes()))
    assert (wrong.value.wanted, wrong.value.there) == ("other", TRIP + "rules: un\n")
    assert file.read_text(encoding="utf-8") == TRIP + "rules: un\n"
    assert names(file) == ["trip.yaml"]


def test_another_writer_is_waited_for_and_not_for_ever(file: Path, monkeypatch: pytest.MonkeyPatch):
    ready, done = threading.Event(), threading.Event()

    def holds() -> None:
        with held(str(file)):
            ready.set()
            done.wait()

    other = threading.Thread(target=holds)
    other.start()
    ready.wait()
    monkeypatch.setattr(writer, "WAIT_S", 0.2)
    with pytest.raises(Unwritten, match="another `seatplan` is writing in this folder"):
        record(str(file), TOLD, DAY)
    monkeypatch.undo()
    threading.Timer(0.3, done.set).start()
    record(str(file), TOLD, DAY)
    other.join()
    assert file.read_text(encoding="utf-8") == AFTER


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_permissions_stay(file: Path, mode: int):
    file.chmod(mode)
    before = file.stat()
    record(str(file), TOLD, DAY)
    after = file.stat()
    assert stat.S_IMODE(after.st_mode) == mode
    assert (after.st_uid, after.st_gid) == (before.st_uid, before.st_gid)


def test_a_link_stays_and_what_it_names_is_written(file: Path, tmp_path: Path):
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "link.yaml"
    link.symlink_to(Path("..") / "trip.yaml")
    record(str(link), TOLD, DAY)
    assert link.is_symlink()
    assert file.read_text(encoding="utf-8") == AFTER
    assert names(link) == ["link.yaml"]
    undo(str(link))
    assert file.read_text(encoding="utf-8") == TRIP


def test_a_file_that_may_only_be_read_is_left_alone(file: Path):
    file.chmod(0o444)
    with pytest.raises(Unwritten, match="this file may only be read"):
        record(str(file), TOLD, DAY)
    assert file.read_text(encoding="utf-8") == TRIP


def test_a_folder_that_may_only_be_read_is_told(file: Path):
    file.parent.chmod(0o555)
    try:
        with pytest.raises(Unwritten, match="the folder may only be read"):
            record(str(file), TOLD, DAY)
    finally:
        file.parent.chmod(0o755)
    assert file.read_text(encoding="utf-8") == TRIP
    assert names(file) == ["trip.yaml"]


def test_a_file_of_somebody_else_is_left_alone(file: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(writer.os, "geteuid", lambda: file.stat().st_uid + 1)
    with pytest.raises(Unwritten, match="this file belongs to somebody else; nothing was written"):
        record(str(file), TOLD, DAY)
    assert file.read_text(encoding="utf-8") == TRIP


def test_a_pipe_is_no_trip_to_record_in(tmp_path: Path):
    os.mkfifo(tmp_path / "trip.yaml")
    with pytest.raises(InputError, match="this is a pipe; expected a YAML file"):
        record(str(tmp_path / "trip.yaml"), TOLD, DAY)


def test_a_folder_in_place_of_a_file_is_told(tmp_path: Path):
    with pytest.raises(InputError, match=r"this file cannot be read: is a directory"):
        record(str(tmp_path / "."), TOLD, DAY)
