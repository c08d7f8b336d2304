"""Every text goes through the catalogue: with one that wraps each text in marks, nothing readable stands outside."""

from __future__ import annotations

import re
import shlex
import shutil
import sys
from gettext import NullTranslations
from pathlib import Path

import pytest

from seatplan.cli import language as cli_language
from seatplan.files.library import find, names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.rules.registry import RULES
from seatplan.views import say

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan
from test_golden import COMMANDS

OPEN, CLOSE = "\u27e6", "\u27e7"
MARKED = re.compile(f"{OPEN}[^{OPEN}{CLOSE}]*{CLOSE}")


class Marks(NullTranslations):
    """Every text in marks; what stands in its fields is within them, too."""

    def gettext(self, message: str) -> str:
        return f"{OPEN}{message}{CLOSE}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"{OPEN}{msgid1 if n == 1 else msgid2}{CLOSE}"


def data_words() -> set[str]:
    """Names of people, cars, restraints, their parts and trims, notes, ids and words of the files."""
    found: set[str] = set()
    for key in names("trip"):
        trip = load_trip(key)
        found |= set(re.findall(r"\w+", " ".join(
            [trip.trip, trip.notes, trip.vehicle.vehicle, key, *(r.rider for r in trip.riders),
             *(r.restraint for r in trip.restraints)])))
        found |= {word for row in trip.vehicle.rows for trim in row.trim for word in re.findall(r"\w+", trim.name)}
        found |= {part.part for r in trip.restraints for mode in r.modes for part in mode.parts}
    for key in names("vehicle"):
        found |= set(re.findall(r"\w+", f"{key} {load_vehicle(key).vehicle} {load_vehicle(key).notes}"))
    for key in names("restraint"):
        restraint = load_restraint(key)
        found |= set(re.findall(r"\w+", f"{key} {restraint.restraint}"))
        found |= {word for mode in restraint.modes for part in mode.parts for word in re.findall(r"\w+", part.part)}
    found |= {word for rule in RULES for word in rule.id.split("-")}
    return found


@pytest.fixture
def marks(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(say, "catalogue", lambda lang: Marks())
    monkeypatch.setattr(cli_language, "tell_click", lambda: None)
    monkeypatch.setenv("COLUMNS", "100")
    shutil.copyfile(find("trip", "three-across-school-run"), tmp_path / "my-trip.yaml")
    monkeypatch.chdir(tmp_path)


def unmarked(text: str) -> set[str]:
    """Words outside all marks, but for data, numbers, units, options and what stands in backquotes."""
    depth, kept = 0, []
    for character in text:
        depth += (character == OPEN) - (character == CLOSE)
        if depth == 0 and character != CLOSE:
            kept.append(character)
    told = re.sub(r"`[^`]*`|--[\w-]+|\b\d\w*|\([a-z0-9-]+\)", " ", "".join(kept))
    return set(re.findall(r"[A-Za-z]{3,}", told)) - data_words()


def test_marks_are_seen(marks: None):
    assert unmarked(f"{OPEN}fits {OPEN}close{CLOSE}{CLOSE} hangs") == {"hangs"}


@pytest.mark.parametrize("command", [
    *(text for name, text in COMMANDS.items()
      if "--json" not in text and "--help" not in text and not name.startswith("rules")),
    *(f"arrange {trip} --top 2" for trip in sorted(names("trip"))), "list", "measure half-measured-car", "rules",
])
def test_nothing_readable_stands_outside_the_catalogue(command: str, marks: None):
    said = seatplan(*shlex.split(command), "--lang", "es")
    text = "\n".join(line for line in said.out.splitlines() if not line.lstrip().startswith(("- {", "condition:")))
    errors = "\n".join(line for line in said.err.splitlines() if OPEN in line)
    assert unmarked(text) | unmarked(errors) == set()
