"""Every text goes through the catalogue: with one that wraps each text in marks, nothing readable stands outside."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path

import pytest
from marked import CLOSE, OPEN, mark_all, unmarked

from seatplan.files.library import names

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan
from test_golden import COMMANDS


@pytest.fixture
def marks(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    mark_all(monkeypatch, tmp_path)


def test_marks_are_seen(marks: None):
    assert unmarked(f"{OPEN}fits {OPEN}close{CLOSE}{CLOSE} hangs") == {"hangs"}


@pytest.mark.parametrize("command", [
    *(text for name, text in COMMANDS.items()
      if "--json" not in text and "--help" not in text and not name.startswith("rules")
          and "--dry-run" not in text),                  # which shows lines of a file
    *(f"arrange {trip} --top 2" for trip in sorted(names("trip"))), "list", "measure half-measured-car", "rules",
    "outlook three-across-school-run --until 2y", "outlook upright-only --until 1y --stock",
    "outlook third-child-on-the-way --until 1y", "outlook i-size-family --until 2y",
])
def test_nothing_readable_stands_outside_the_catalogue(command: str, marks: None):
    said = seatplan(*shlex.split(command), "--lang", "es")
    text = "\n".join(line for line in said.out.splitlines() if not line.lstrip().startswith(("- {", "condition:")))
    errors = "\n".join(line for line in said.err.splitlines() if OPEN in line)
    assert unmarked(text) | unmarked(errors) == set()
