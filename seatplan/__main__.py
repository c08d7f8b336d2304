"""Where the program starts: Ctrl-C leaves with 130 and no traceback from the first import to the last line.

The console script and ``python -m seatplan`` come here. A stop ends the program at once: as an exception it would come
to libraries that swallow it or print it while they are imported, as numpy and pydantic do. Only while a file takes
its name a stop waits (``files/writer.py``). Once the answer is written its exit code stands.
"""

from __future__ import annotations

try:
    import os
    import signal
    from contextlib import suppress
    from types import FrameType

    _told = b"error: stopped\n"

    def _leave(number: int, frame: FrameType | None) -> None:
        with suppress(OSError):
            os.write(2, _told)
        os._exit(130)

    # where whoever started the program has it ignore a stop, as behind nohup, that stays
    _HEEDED = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if _HEEDED:
        signal.signal(signal.SIGINT, _leave)
except KeyboardInterrupt:
    raise SystemExit(130) from None


def run() -> None:
    """Run the program and leave with its exit code."""
    from seatplan.cli.main import exit_code

    code = exit_code(spoken=_speak)
    if _HEEDED:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise SystemExit(code)


def _speak() -> None:
    """The language in force is that of the last word, too."""
    from seatplan.views.say import t

    global _told
    _told = f"{t('error: stopped')}\n".encode()


if __name__ == "__main__":
    run()
