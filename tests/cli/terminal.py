"""The program on a terminal of a given width."""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios

RUN = "from seatplan.cli.main import run; run()"


def on_terminal(*args: str, columns: int, code: str = RUN, **environment: str) -> str:
    """Everything that one command writes there, both streams together, as it was sent; without colour, unless the
    ``environment`` has it so."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    kept = {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "NO_COLOR")}
    with subprocess.Popen([sys.executable, "-c", code, *args], stdin=theirs, stdout=theirs, stderr=theirs,
                          env={**kept, "TERM": "dumb", **environment}) as process:
        os.close(theirs)
        told = bytearray()
        while True:
            try:
                part = os.read(ours, 65536)
            except OSError:                     # the other end is closed
                break
            if not part:
                break
            told += part
        process.wait()
    os.close(ours)
    return told.decode().replace("\r\n", "\n")
