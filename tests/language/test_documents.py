"""Drawings, sheets and reports stay English and metric: none is half in another language or in other units."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan


@pytest.mark.parametrize("command", [
    "draw three-across-school-run -o -", "sheet three-across-school-run -o -", "report three-across-school-run -o -",
    "report three-across-school-run --vehicle amberley-electric --vehicle cattlegate-crew-cab -o -",
])
def test_a_document_is_the_same_in_every_language_and_unit(command: str):
    plain = seatplan(*shlex.split(command)).out
    assert len(plain) > 1000
    assert seatplan(*shlex.split(command), "--lang", "es", "--units", "customary").out == plain
