"""Run every `seatplan` command that the documents show: python tests/docs_commands.py README.md DEVELOPERS.md

A command is an indented or fenced line that begins with `seatplan ` or `.venv/bin/seatplan `. It is expected
to leave with 0, or with N where the line ends with a comment `# exit N`; one with `# until Ctrl-C` is stopped so once
it has said something. The commands of one document run in
order in one scratch folder that shows the files beside the document, so what they write does not stay.
"""

from __future__ import annotations

import os
import re
import select
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

_STARTS = ("seatplan ", ".venv/bin/seatplan ")
_EXIT = re.compile(r"#\s*exit (\d+)\b")
_STOPPED = re.compile(r"#\s*until Ctrl-C\b")
#: seconds that a command which goes on until it is stopped has to say something, and then to end
_PATIENCE = 60


def commands(text: str) -> Iterator[tuple[int, str]]:
    """(line number, command) of every command in a document; a backslash at the end joins lines."""
    fenced, held, first = False, "", 0
    for n, line in enumerate(text.splitlines(), 1):
        bare = line.strip()
        if bare.startswith("```"):
            fenced = not fenced
            continue
        if not held:
            if not (fenced or line.startswith(("    ", "\t"))) or not bare.startswith(_STARTS):
                continue
            first = n
        held += bare.removesuffix("\\")
        if not bare.endswith("\\"):
            yield first, held.removeprefix(".venv/bin/")
            held = ""


def run(command: str, folder: Path) -> str:
    """What is wrong with a command; empty if it left as the document says."""
    said = _EXIT.search(command)
    expected = int(said[1]) if said else 0
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
    # whatever would open a browser is told that it did
    begun = subprocess.Popen(
        ["bash", "-o", "pipefail", "-c", command], cwd=folder, env={**os.environ, "PATH": path, "BROWSER": "true"},
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True)
    wrong = ""
    if _STOPPED.search(command):
        wrong = stopped(begun)
    _, err = begun.communicate()
    if begun.returncode == expected and not wrong:
        return ""
    return f"exit {begun.returncode}, expected {expected}: {command}\n{wrong}{err}"


def stopped(begun: subprocess.Popen[str]) -> str:
    """Stop a command as Ctrl-C does, once it has said something; what is wrong where it says nothing or goes on."""
    assert begun.stdout is not None
    said, _, _ = select.select([begun.stdout], [], [], _PATIENCE)
    if said:
        os.killpg(begun.pid, signal.SIGINT)
        try:
            begun.wait(_PATIENCE)
        except subprocess.TimeoutExpired:
            os.killpg(begun.pid, signal.SIGKILL)
            return "it went on after Ctrl-C\n"
        return ""
    os.killpg(begun.pid, signal.SIGKILL)
    return f"it said nothing in {_PATIENCE} s\n"


def check(document: Path) -> tuple[int, int]:
    """How many commands of a document passed and failed."""
    passed = failed = 0
    with tempfile.TemporaryDirectory() as scratch:
        for beside in document.resolve().parent.iterdir():
            (Path(scratch) / beside.name).symlink_to(beside)
        for line, command in commands(document.read_text(encoding="utf-8")):
            wrong = run(command, Path(scratch))
            passed, failed = passed + (not wrong), failed + bool(wrong)
            if wrong:
                print(f"{document}:{line}: {wrong}", file=sys.stderr)
    return passed, failed


def main(documents: list[str]) -> int:
    counts = [check(Path(document)) for document in documents]
    passed, failed = sum(p for p, _ in counts), sum(f for _, f in counts)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
