"""Whole outputs in Spanish and in inches; JSON that no language changes.

SEATPLAN_REWRITE_GOLDEN=1 writes the outputs anew; read the difference as you would read code.
"""

from __future__ import annotations

import os
import re
import shlex
import sys
from pathlib import Path

import pytest

from seatplan.files.library import names
from seatplan.rules.registry import RULES

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

GOLDEN = Path(__file__).parent / "golden"
REWRITE = os.environ.get("SEATPLAN_REWRITE_GOLDEN") == "1"
COMMANDS = {
    "es-demo": "--lang es demo",
    "es-arrange-half-measured": "arrange half-measured-car --top 1 --full --lang es",
    "es-short-refused": "arrange three-boosters-two-belts --lang es",
    "es-short-room": "room three-across-school-run --rider Wren --lang es",
    "es-shortage": "arrange three-boosters-two-belts --full --lang es",
    "es-why-inches": "why three-too-wide --rider Juno --position 2C --restraint Bastion --lang es --units customary",
    "es-room": "room tall-driver --rider Mina --position 2L --full --lang es",
    "es-rule": "rules head-near-shell-top --lang es",
    "es-rules": "rules --lang es",
    "es-help": "--lang es --help",
    "es-wrong-option": "arrange tall-driver --tpo 2 --lang es",
    "es-wrong-trip": "arrange three-two-wide --lang es",
    "es-measure-blank": "measure --blank vehicle --lang es",
    "es-new-trip": "new trip --lang es",
    "en-why-inches": "why tall-driver --rider Mina --position 2L --units customary",
    "wrong-language": "arrange tall-driver --lang xx",
}


@pytest.mark.parametrize("name", COMMANDS)
def test_output(name: str, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("COLUMNS", "80")
    said = seatplan(*shlex.split(COMMANDS[name]))
    told = "".join(line for line in said.err.splitlines(True) if "hasta ahora" not in line)    # a slow machine says so
    text = f"$ seatplan {COMMANDS[name]}\n{said.out}--- stderr\n{told}--- exit {said.code}\n"
    file = GOLDEN / f"{name}.txt"
    assert said.code != 70, text                 # a bug is never what is expected
    if REWRITE:
        GOLDEN.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
    assert max(map(len, said.out.splitlines()), default=0) <= 100


@pytest.mark.parametrize("command", ["arrange half-measured-car --top 1", "why tall-driver --rider Mina --position 2L",
                                     "room tall-driver --rider Mina --position 2L"])
def test_json_is_the_same_in_every_language_and_unit(command: str):
    given = [*shlex.split(command), "--json"]
    assert seatplan(*given, "--lang", "es", "--units", "customary").out == seatplan(*given).out


def test_language_from_the_environment(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SEATPLAN_LANG", "es")
    assert "ninguna regla" in seatplan("rules", "head-near").err
    assert "no rule" in seatplan("rules", "head-near", "--lang", "en").err


@pytest.mark.parametrize("command", [*(f"arrange {trip} --top 3 --full" for trip in sorted(names("trip"))),
                                     "why three-too-wide --rider Juno", "room three-across-school-run --rider Wren"])
def test_the_same_rules_are_told_in_spanish(command: str):
    """What is shown must not hang on the words in which it is told."""
    known = {rule.id for rule in RULES}
    english, spanish = ([word for word in re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", told) if word in known]
                        for told in (seatplan(*shlex.split(command), "--lang", lang).out for lang in ("en", "es")))
    assert english
    assert english == spanish
