"""Where the program starts: Ctrl-C leaves with 130 and no traceback from the first import to the last line.

The console script and ``python -m seatplan`` come here. While modules are imported there is nothing to put away, and
the program ends at once; while a command runs a stop is an exception, so that half a file is put away; once the answer
is written its exit code stands.
"""

from __future__ import annotations

try:
    import os
    import signal
    from types import FrameType

    def _leave(number: int, frame: FrameType | None) -> None:
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

    if _HEEDED:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        code = exit_code()
    except KeyboardInterrupt:
        code = 130
    if _HEEDED:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    raise SystemExit(code)


if __name__ == "__main__":
    run()
