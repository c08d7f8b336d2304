"""A real server in a process of its own, and a browser that came in by the link that it printed."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import httpx

#: the folder that the package is imported from
ROOT = Path(__file__).resolve().parents[2]


class Server:
    """``log``: all that it printed beside the link; the process is killed at the end whatever it does."""

    def __init__(self, library: Path, log: Path, before: tuple[str, ...] = (), **environment: str) -> None:
        self.log = log
        with log.open("w") as err:
            self.process = subprocess.Popen(
                [*before, sys.executable, "-m", "seatplan", "serve", "--library", str(library), "--port", "0"],
                stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=err, text=True, start_new_session=True,
                cwd=log.parent, env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1",
                                     **environment})
        assert self.process.stdout is not None
        self.link = self.process.stdout.readline().removeprefix("open ").strip()
        assert self.link.startswith("http://127.0.0.1:"), self.log.read_text()
        self.address = self.link.partition("/open/")[0]
        self.process.stdout.readline()

    def browser(self) -> Browser:
        return Browser(self)

    def kill(self) -> None:
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


class Browser(httpx.Client):
    """With the session of the link, which opens once."""

    def __init__(self, server: Server) -> None:
        super().__init__(base_url=server.address, headers={"origin": server.address}, timeout=60, trust_env=False)
        came = self.get(server.link)
        assert came.status_code == 303
        self.word = word_of(self.get("/").text)


def word_of(page: str) -> str:
    """What a form of a page brings back."""
    found = re.search(r'name="form" value="([^"]+)"', page)
    assert found is not None
    return found[1]


@contextmanager
def served(library: Path, log: Path, **more: Any) -> Iterator[Server]:
    """A server while something is tried with it."""
    server = Server(library, log, **more)
    try:
        yield server
    finally:
        server.kill()
