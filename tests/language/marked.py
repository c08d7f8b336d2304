"""A catalogue that puts every text between marks, and what of an output stands outside of them."""

from __future__ import annotations

import re
import shutil
from functools import cache
from gettext import NullTranslations
from pathlib import Path

import pytest

from seatplan.cli import language as cli_language
from seatplan.files.library import find, names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.rules.registry import RULES
from seatplan.views import say

OPEN, CLOSE = "\u27e6", "\u27e7"
MARKED = re.compile(f"{OPEN}[^{OPEN}{CLOSE}]*{CLOSE}")


class Marks(NullTranslations):
    """Every text in marks; what stands in its fields is within them, too."""

    def gettext(self, message: str) -> str:
        return f"{OPEN}{message}{CLOSE}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"{OPEN}{msgid1 if n == 1 else msgid2}{CLOSE}"


def mark_all(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    """Put the marks in force, in a folder with a trip of one's own: my-trip.yaml."""
    monkeypatch.setattr(say, "catalogue", lambda lang: Marks())
    monkeypatch.setattr(cli_language, "tell_click", lambda: None)
    monkeypatch.setenv("COLUMNS", "100")
    shutil.copyfile(find("trip", "three-across-school-run"), folder / "my-trip.yaml")
    monkeypatch.chdir(folder)


@cache
def data_words() -> frozenset[str]:
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
        vehicle = load_vehicle(key)
        found |= set(re.findall(r"\w+", f"{key} {vehicle.vehicle} {vehicle.notes}"))
        found |= {word for row in vehicle.rows for p in row.positions if p.manual
                  for word in re.findall(r"\w+", f"{p.manual.notes} {p.manual.page}")}
    for key in names("restraint"):
        restraint = load_restraint(key)
        found |= set(re.findall(r"\w+", f"{key} {restraint.restraint}"))
        found |= {word for mode in restraint.modes for part in mode.parts for word in re.findall(r"\w+", part.part)}
    found |= {word for rule in RULES for word in rule.id.split("-")}
    return frozenset(found)


def unmarked(text: str) -> set[str]:
    """Words outside all marks, but for data, numbers, units, options and what stands in backquotes."""
    depth, kept = 0, []
    for character in text:
        depth += (character == OPEN) - (character == CLOSE)
        if depth == 0 and character != CLOSE:
            kept.append(character)
    # what is typed, options, numbers and seats, ids, and the bars of a chart
    told = re.sub(r"`[^`]*`|--[\w-]+|\b\d\w*|\([a-z0-9-]+\)|[rlfvbca?!.]{12,}|(?<=  )[rlfvbca]{3,11}$", " ",
                  "".join(kept), flags=re.MULTILINE)
    return set(re.findall(r"[A-Za-z]{3,}", told)) - data_words()
