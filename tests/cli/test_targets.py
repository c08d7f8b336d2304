"""Where a document is written to: nothing but a regular file of one's own is replaced, pipes and devices are written
to, and whatever cannot be written leaves one line, code 74, and everything as it was."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files import writer

TRIP = "two-seater-airbag-off"
COMMANDS = {"drawing": ("draw", TRIP), "sheet": ("sheet", TRIP), "report": ("report", TRIP),
            "calendar": ("outlook", TRIP, "--until", "1 month")}
EVERY = pytest.mark.parametrize("kind", COMMANDS)
FORCED = pytest.mark.parametrize("force", [(), ("--force",)], ids=["", "--force"])
PROGRAM = (sys.executable, "-m", "seatplan")
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="numbers of devices are those of Linux")


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("documents")
    for kind, command in COMMANDS.items():
        assert seatplan(*command, "-o", str(folder / kind)).code == 0
    return {kind: (folder / kind).read_bytes() for kind in COMMANDS}


def refused(command: tuple[str, ...], file: Path | str, told: str) -> None:
    said = seatplan(*command, "-o", str(file))
    assert (said.out, said.err, said.code) == ("", f"error: {file}: {told}\n", 74)


def device(path: Path, minor: int) -> None:
    """A node of our own beside the system's: 1:3 takes everything, 1:7 is always full."""
    try:
        os.mknod(path, stat.S_IFCHR | 0o666, os.makedev(1, minor))
        os.close(os.open(path, os.O_WRONLY))
    except PermissionError:
        pytest.skip("no device nodes may be made or opened here")


@EVERY
def test_a_named_pipe_gets_the_document(documents: dict[str, bytes], tmp_path: Path, kind: str):
    pipe, got = tmp_path / "pipe", []
    os.mkfifo(pipe)
    reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()), daemon=True)
    reader.start()
    said = seatplan(*COMMANDS[kind], "-o", str(pipe))
    assert (said.code, said.err[:6]) == (0, "wrote ")
    assert stat.S_ISFIFO(pipe.stat().st_mode), "it is still a pipe"
    reader.join(10)
    assert got == [documents[kind]]
    assert [path.name for path in tmp_path.iterdir()] == ["pipe"]


@EVERY
def test_a_command_behind_the_shells_pipe_gets_the_document(documents: dict[str, bytes], tmp_path: Path, kind: str):
    reader, writes = os.pipe()
    with subprocess.Popen([*PROGRAM, *COMMANDS[kind], "-o", f"/dev/fd/{writes}"], pass_fds=[writes],
                          cwd=tmp_path, stdout=subprocess.DEVNULL) as process:
        os.close(writes)
        with os.fdopen(reader, "rb") as stream:
            assert stream.read() == documents[kind]
    assert process.returncode == 0
    assert list(tmp_path.iterdir()) == []


@LINUX
@EVERY
def test_a_device_is_written_to_and_stays_a_device(tmp_path: Path, kind: str):
    node = tmp_path / "node"
    device(node, 3)
    link = tmp_path / "link"
    link.symlink_to(node)
    for name in (node, link):
        for force in ((), ("--force",)):
            assert seatplan(*COMMANDS[kind], *force, "-o", str(name)).code == 0
    assert stat.S_ISCHR(os.lstat(node).st_mode)
    assert node.stat().st_rdev == os.makedev(1, 3)
    assert link.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link", "node"]


@LINUX
@EVERY
def test_a_device_that_is_full_is_told(tmp_path: Path, kind: str):
    node = tmp_path / "node"
    device(node, 7)
    refused(COMMANDS[kind], node, "cannot be written to: no space left on device")
    assert stat.S_ISCHR(os.lstat(node).st_mode)


@LINUX
def test_a_full_device_behind_a_link_is_told(tmp_path: Path):
    (tmp_path / "plan.svg").symlink_to("/dev/full")
    refused(COMMANDS["drawing"], tmp_path / "plan.svg", "cannot be written to: no space left on device")
    assert (tmp_path / "plan.svg").is_symlink()


@EVERY
def test_a_link_is_followed_to_the_file_that_it_names(documents: dict[str, bytes], tmp_path: Path, kind: str):
    (tmp_path / "there").mkdir()
    link, file = tmp_path / "link", tmp_path / "there" / "file"
    link.symlink_to(Path("there") / "file")
    for _ in range(2):                                 # before the file is there, and over it
        assert seatplan(*COMMANDS[kind], "-o", str(link)).code == 0
        assert link.is_symlink()
        assert file.read_bytes() == documents[kind]
    assert [path.name for path in file.parent.iterdir()] == ["file"]


@EVERY
@FORCED
def test_a_link_to_itself_is_told(tmp_path: Path, kind: str, force: tuple[str, ...]):
    link = tmp_path / "link"
    link.symlink_to(link)
    refused((*COMMANDS[kind], *force), link,
            f"this file cannot be written: {os.strerror(errno.ELOOP).lower()}; nothing was written")
    assert os.readlink(link) == str(link)


@EVERY
@FORCED
@pytest.mark.parametrize("there", [True, False], ids=["there", "not there"])
def test_a_folder_that_may_only_be_read_is_told(documents: dict[str, bytes], tmp_path: Path, kind: str, there: bool,
                                                force: tuple[str, ...]):
    folder = tmp_path / "folder"
    folder.mkdir()
    if there:
        (folder / "plan").write_bytes(documents[kind])
    folder.chmod(0o555)
    try:
        refused((*COMMANDS[kind], *force), folder / "plan",
                "the folder may only be read; expected one that may be written to")
    finally:
        folder.chmod(0o755)
    assert [path.read_bytes() for path in folder.iterdir()] == ([documents[kind]] if there else [])


@EVERY
@FORCED
def test_a_file_of_somebody_else_is_kept(documents: dict[str, bytes], tmp_path: Path, kind: str,
                                         force: tuple[str, ...], monkeypatch: pytest.MonkeyPatch):
    file = tmp_path / "plan"
    file.write_bytes(documents[kind])
    file.chmod(0o666)
    if os.geteuid() == 0:
        os.chown(file, 12345, -1)
    else:
        monkeypatch.setattr(writer.os, "geteuid", lambda: file.stat().st_uid + 1)
    before = file.stat()
    refused((*COMMANDS[kind], *force), file, "this file belongs to somebody else; nothing was written")
    monkeypatch.undo()
    assert (file.read_bytes(), file.stat().st_ino, file.stat().st_uid) == (
        documents[kind], before.st_ino, before.st_uid)
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]


@EVERY
@FORCED
@pytest.mark.parametrize("mode", [0o444, 0o466], ids=oct)
def test_a_file_that_may_only_be_read_is_kept(documents: dict[str, bytes], tmp_path: Path, kind: str, mode: int,
                                              force: tuple[str, ...]):
    file = tmp_path / "plan"
    file.write_bytes(documents[kind])
    file.chmod(mode)
    before = file.stat()
    refused((*COMMANDS[kind], *force), file, "this file may only be read; expected one that may be written")
    assert (file.read_bytes(), file.stat().st_ino) == (documents[kind], before.st_ino)
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]


@EVERY
@pytest.mark.parametrize("there", [True, False], ids=["there", "not there"])
def test_a_disk_without_room_leaves_what_was_there(documents: dict[str, bytes], tmp_path: Path, kind: str,
                                                   there: bool):
    file = tmp_path / "plan"
    if there:
        file.write_bytes(documents[kind])
    limited = ("import resource, sys\nresource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))\n"
               "from seatplan.cli.main import run\nrun(sys.argv[1:])")
    done = subprocess.run([sys.executable, "-c", limited, *COMMANDS[kind], "-o", str(file)], check=False,
                          capture_output=True, text=True)
    told = f"error: {file}: this file cannot be written: {os.strerror(errno.EFBIG).lower()}; nothing was written\n"
    assert (done.stdout, done.stderr, done.returncode) == ("", told, 74)
    assert [path.read_bytes() for path in tmp_path.iterdir()] == ([documents[kind]] if there else [])


@EVERY
def test_a_folder_that_is_not_there_is_told_and_not_made(tmp_path: Path, kind: str):
    told = "the folder is not there; expected a file in a folder that is"
    refused(COMMANDS[kind], tmp_path / "none" / "plan", told)
    refused(COMMANDS[kind], f"{tmp_path / 'none'}/", told)
    (tmp_path / "link").symlink_to(tmp_path / "none" / "plan")
    refused(COMMANDS[kind], tmp_path / "link", told)
    assert [path.name for path in tmp_path.iterdir()] == ["link"]


@pytest.fixture
def gone(tmp_path: Path) -> Iterator[Path]:
    """The current folder was deleted; what is given is still there."""
    before = Path.cwd()
    (tmp_path / "gone").mkdir()
    (tmp_path / "there").mkdir()
    os.chdir(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    yield tmp_path / "there"
    os.chdir(before)


@EVERY
def test_a_current_folder_that_was_deleted_is_told(gone: Path, kind: str):
    refused(COMMANDS[kind], "plan", "the current folder is no longer there; expected a path from the root")
    assert seatplan(*COMMANDS[kind], "-o", str(gone / "plan")).code == 0
    assert [path.name for path in gone.iterdir()] == ["plan"]


def test_a_record_in_a_current_folder_that_was_deleted_is_told(gone: Path):
    said = seatplan("record", "trip.yaml", "--undo")
    assert (said.out, said.code) == ("", 2)
    assert said.err == "error: trip.yaml: there is no such file\n"


@EVERY
def test_a_folder_and_no_name_at_all_are_mistakes(tmp_path: Path, kind: str):
    for name in (str(tmp_path), ""):
        said = seatplan(*COMMANDS[kind], "-o", name)
        assert (said.out, said.code) == ("", 2)
        assert said.err.endswith("hint: expected the name of a file\n")


@pytest.mark.parametrize("force", [False, True])
def test_what_comes_there_while_it_is_worked_out_is_kept(tmp_path: Path, force: bool, monkeypatch: pytest.MonkeyPatch):
    file, whole = tmp_path / "plan.svg", os.fsync

    def meanwhile(handle: int) -> None:
        whole(handle)
        file.write_text("somebody's", encoding="utf-8")
        if force:
            file.chmod(0o444)

    monkeypatch.setattr(writer.os, "fsync", meanwhile)
    said = seatplan(*COMMANDS["drawing"], "-o", str(file), *(["--force"] if force else []))
    monkeypatch.undo()
    assert said.code == (74 if force else 2)
    assert file.read_text(encoding="utf-8") == "somebody's"
    assert [path.name for path in tmp_path.iterdir()] == ["plan.svg"]


def test_nothing_is_worked_out_for_a_place_that_cannot_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    import seatplan.solver.plan as solver

    monkeypatch.setattr(solver, "plan", lambda *args, **options: pytest.fail("it was solved first"))
    assert seatplan(*COMMANDS["drawing"], "-o", str(tmp_path / "none" / "plan.svg")).code == 74


def test_a_calendar_that_cannot_be_written_is_told_in_json_too(tmp_path: Path):
    import json

    said = seatplan(*COMMANDS["calendar"], "--json", "-o", str(tmp_path / "none" / "plan.ics"))
    failure = json.loads(said.out)
    assert (said.code, failure["verdict"]) == (74, "error")
    assert said.err == f"error: {failure['errors'][0]['path']}: {failure['errors'][0]['text']}\n"
