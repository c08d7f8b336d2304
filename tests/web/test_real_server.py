"""A server as people run it: what it prints, many at once, killed in the middle, without room, without a network."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("uvicorn")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).parent))

import httpx
from running_server import ROOT, Browser, Server, served

from seatplan.files.library import find
from seatplan.files.load import load_trip

TRIP = "two-children-one-tether"
root = pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0 or sys.platform != "linux",
                          reason="only root on Linux can mount and unshare")
posix = pytest.mark.skipif(os.name != "posix", reason="signals and rights as POSIX has them")


@pytest.fixture
def library(tmp_path: Path) -> Path:
    made = tmp_path / "library"
    made.mkdir(mode=0o700)
    shutil.copy(find("trip", TRIP), made / "trip-1.yaml")
    return made


@posix
def test_no_name_no_word_and_no_path_of_a_request_is_ever_printed(library: Path, tmp_path: Path) -> None:
    name = "Zebulonia"
    text = (library / "trip-1.yaml").read_text()
    (library / "trip-2.yaml").write_text(text.replace("trip: ", f"trip: {name} ", 1))
    with served(library, tmp_path / "log") as server:
        browser = server.browser()
        for path in ("/", "/trips/trip-2", f"/{name}", f"/trips/{name}", f"/?{name}", f"/api/files/{name}",
                     f"/open/{name}"):
            assert browser.get(path).status_code < 500
        form = {"form": browser.word, "t.riders.0.rider": name, "do": name, "t.trip": f"{name}: [", "children": name,
                "layout": name}
        for path in ("/trips/trip-2", "/trips", "/manner", "/enter", f"/{name}"):
            assert browser.post(path, data=form).status_code < 500
        for body in ({"trip": name}, {"trip": {"trip": name}}, {"trip": "trip-2", "rider": name, "so": name}):
            for path in ("arrange", "why", "why-not", "record", "set"):
                assert browser.post(f"/api/{path}", json=body).status_code < 500
        browser.post("/api/files", json={"kind": "trip", "text": f"trip: {name}\n  x"})
        with httpx.Client(trust_env=False) as rough:
            for raw in (f"GET /{name} HTTP/1.1\r\n\r\n", f"{name}\r\n\r\n", f"GET / HTTP/1.1\r\nhost: {name}\r\n\r\n"):
                _raw(server, raw)
            rough.get(server.address, headers={"host": name})
    printed = (tmp_path / "log").read_text()
    assert "caution" in printed
    for secret in (name, browser.word, "trip-2", "Traceback", next(iter(browser.cookies.jar)).value or "?"):
        assert secret not in printed, printed


def _raw(server: Server, text: str) -> None:
    import socket

    with socket.create_connection(("127.0.0.1", int(server.address.rpartition(":")[2])), 5) as sock:
        sock.sendall(text.encode())
        sock.settimeout(5)
        with suppress(OSError):
            sock.recv(4096)


@posix
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_a_stop_ends_what_was_begun_beside_the_server_too(number: signal.Signals, library: Path,
                                                          tmp_path: Path) -> None:
    with served(library, tmp_path / "log") as server:
        asked = server.browser().post("/api/compare", json={"trip": "trip-1", "vehicles": ["skiff-two"]})
        assert asked.status_code == 200
        os.kill(server.process.pid, number)
        assert server.process.wait(30) == (-number if number == signal.SIGKILL else 0)
        until = time.monotonic() + 20
        while _running(server.process.pid) and time.monotonic() < until:
            time.sleep(0.1)
        assert _running(server.process.pid) == []
    assert "Traceback" not in (tmp_path / "log").read_text()


def _running(group: int) -> list[str]:
    """What still runs of a group of processes; one that only waits to be buried does not."""
    told = subprocess.run(["ps", "-e", "-o", "pgid=,stat="], capture_output=True, text=True, check=True).stdout
    return [line for line in told.splitlines() if line.split()[0] == str(group) and "Z" not in line]


# --- many at once

def _edits(server: Server, cookies: Any, who: int, until: float, kept: list[str], statuses: set[int]) -> None:
    """Write a mark of one's own below the file, over the version that was read, until the time is over; each that was
    acknowledged is kept."""
    with httpx.Client(base_url=server.address, headers={"origin": server.address}, cookies=cookies, timeout=60,
                      trust_env=False) as client:
        n = 0
        while time.monotonic() < until:
            seen = client.get("/api/files/trip-1")
            statuses.add(seen.status_code)
            if seen.status_code != 200:
                continue
            mark = f"# edit {who}.{n}\n"
            put = client.put("/api/files/trip-1", json={"text": seen.json()["text"] + mark},
                             headers={"if-match": seen.headers["etag"]})
            statuses.add(put.status_code)
            if put.status_code == 200:
                kept.append(mark)
                n += 1


def _twenty_editors(library: Path, log: Path, seconds: float) -> None:
    kept: list[str] = []
    statuses: set[int] = set()
    with served(library, log) as server:
        cookies = server.browser().cookies
        until = time.monotonic() + seconds
        with ThreadPoolExecutor(20) as threads:
            for done in [threads.submit(_edits, server, cookies, who, until, kept, statuses) for who in range(20)]:
                done.result()
    text = (library / "trip-1.yaml").read_text()
    assert [mark for mark in kept if mark not in text] == []
    assert text.count("# edit ") == len(kept)
    assert statuses <= {200, 409}
    assert len(kept) > 5
    load_trip(str(library / "trip-1.yaml"))
    assert "bug" not in log.read_text()


@posix
def test_twenty_editors_lose_no_edit(library: Path, tmp_path: Path) -> None:
    _twenty_editors(library, tmp_path / "log", 4)


@posix
@pytest.mark.whole
def test_twenty_editors_for_two_minutes_lose_no_edit(library: Path, tmp_path: Path) -> None:
    _twenty_editors(library, tmp_path / "log", 120)


@posix
@pytest.mark.parametrize("seed", [0, 1, *(pytest.param(n, marks=pytest.mark.whole) for n in range(2, 20))])
def test_killed_while_saving_no_acknowledged_edit_is_lost(seed: int, library: Path, tmp_path: Path) -> None:
    kept: list[str] = []
    with served(library, tmp_path / "log") as server:
        cookies = server.browser().cookies
        threads = [threading.Thread(target=_until_it_is_gone, args=(server, cookies, who, kept)) for who in range(3)]
        for thread in threads:
            thread.start()
        until = time.monotonic() + 60
        while len(kept) < 3 and time.monotonic() < until:
            time.sleep(0.01)
        time.sleep(random.Random(seed).random() / 2)
        server.kill()
        for thread in threads:
            thread.join()
    text = (library / "trip-1.yaml").read_text()
    load_trip(str(library / "trip-1.yaml"))
    assert kept
    assert [mark for mark in kept if mark not in text] == []
    with served(library, tmp_path / "log") as server:       # and what was cut off stands in nobody's way
        assert server.browser().get("/trips/trip-1").status_code == 200


def _until_it_is_gone(server: Server, cookies: Any, who: int, kept: list[str]) -> None:
    with suppress(httpx.HTTPError):
        _edits(server, cookies, who, time.monotonic() + 60, kept, set())


# --- no room, no right to write

def _told_and_kept(browser: Browser, library: Path) -> None:
    """That nothing can be saved is said, what was typed stands in the page, and the file is as it was."""
    before = (library / "trip-1.yaml").read_bytes()
    typed = "A name that nobody has yet"
    version = browser.get("/api/files/trip-1").json()["version"]
    page = browser.post("/trips/trip-1", data={"form": browser.word, "t.version": version, "t.trip": typed})
    assert page.status_code == 507
    assert typed in page.text
    assert "not" in page.text.lower()
    seen = browser.get("/api/files/trip-1")
    put = browser.put("/api/files/trip-1", json={"text": seen.json()["text"] + "# " + "x" * 20_000 + "\n"},
                      headers={"if-match": seen.headers["etag"]})
    assert (put.status_code, put.json()["kind"]) == (507, "failure")
    assert str(library) not in put.text
    made = browser.post("/trips", data={"form": browser.word, "children": "2", "layout": "2-3", "drives": "1L",
                                        "rules": "us"})
    assert made.status_code == 507
    assert (library / "trip-1.yaml").read_bytes() == before


@posix
def test_a_library_that_may_only_be_read_is_told_and_what_was_typed_is_kept(library: Path, tmp_path: Path) -> None:
    library.chmod(0o500)
    try:
        with served(library, tmp_path / "log") as server:
            _told_and_kept(server.browser(), library)
    finally:
        library.chmod(0o700)


@root
def test_a_full_disk_is_told_and_what_was_typed_is_kept(tmp_path: Path) -> None:
    library = tmp_path / "full"
    library.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k,mode=700", "tmpfs", str(library)],
                      capture_output=True).returncode:
        pytest.skip("no tmpfs can be mounted here")
    try:
        shutil.copy(find("trip", TRIP), library / "trip-1.yaml")
        with served(library, tmp_path / "log") as server:
            browser = server.browser()
            browser.get("/trips/trip-1")
            filler = library / "filler"
            with pytest.raises(OSError), filler.open("wb", buffering=0) as out:  # noqa: PT011, PT012
                while True:
                    out.write(b"x" * 4096)
            _told_and_kept(browser, library)
            filler.unlink()
            assert browser.get("/trips/trip-1").status_code == 200
    finally:
        subprocess.run(["umount", "-l", str(library)], check=True)


# --- no network

@root
def test_all_of_it_works_without_a_network(library: Path, tmp_path: Path) -> None:
    if shutil.which("unshare") is None:
        pytest.skip("no unshare here")
    done = subprocess.run(["unshare", "-n", sys.executable, str(Path(__file__)), str(library), str(tmp_path / "log")],
                          capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)}, timeout=300)
    if "unshare failed" in done.stderr:
        pytest.skip("no namespace of its own here")
    assert done.returncode == 0, done.stderr[-2000:]


def _without_a_network(library: Path, log: Path) -> None:
    import fcntl
    import socket
    import struct

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sock:    # the loopback alone is up (SIOCSIFFLAGS)
        fcntl.ioctl(sock.fileno(), 0x8914, struct.pack("16sh14x", b"lo", 1))
        try:
            sock.connect(("192.0.2.1", 9))
            raise AssertionError("there is a network")
        except OSError:
            pass
    with served(library, log) as server:
        browser = server.browser()
        for path in ("/", "/trips/trip-1", "/cars", "/day", "/api/openapi.json"):
            assert browser.get(path).status_code == 200, path
        for path in ("arrange", "report", "sheet", "outlook"):
            body = {"trip": "trip-1"} | ({"until": "1 month"} if path == "outlook" else {})
            assert browser.post(f"/api/{path}", json=body).status_code in (200, 422), path


if __name__ == "__main__":
    _without_a_network(Path(sys.argv[1]), Path(sys.argv[2]))
