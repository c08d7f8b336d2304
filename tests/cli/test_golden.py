"""Whole outputs as text: stdout, stderr and exit code together.

SEATPLAN_REWRITE_GOLDEN=1 writes them anew; read the difference as you would read code.
"""

from __future__ import annotations

import os
import shlex
import shutil
from pathlib import Path

import pytest
from running import seatplan

from seatplan.files.library import find

GOLDEN = Path(__file__).parent.parent / "views" / "golden"
REWRITE = os.environ.get("SEATPLAN_REWRITE_GOLDEN") == "1"
#: name of the file -> the command
COMMANDS = {
    "demo": "demo",
    "arrange-half-measured": "arrange half-measured-car --top 2 --full",
    "arrange-half-measured-strict": "arrange half-measured-car --strict --full",
    "arrange-shortage": "arrange three-boosters-two-belts --full",
    "arrange-too-wide": "arrange three-too-wide --full",
    "arrange-one-tether": "arrange two-children-one-tether --full",
    "arrange-two-seater": "arrange two-seater-airbag-off --full",
    "arrange-un-rules": "arrange i-size-family --top 1 --full",
    "arrange-tall-driver": "arrange tall-driver --full",
    "arrange-slide-decides": "arrange slide-decides --top 1 --worst-case --full",
    "arrange-other-vehicle": "arrange three-boosters-two-belts --vehicle skiff-two --full",
    "short": "arrange three-across-school-run",
    "short-close": "arrange twins-small-hatch",
    "short-in-front": "arrange two-seater-airbag-off",
    "short-refused": "arrange three-too-wide",
    "short-refused-count": "arrange two-children-one-tether --worst-case",
    "short-spanish": "arrange i-size-family --strict --worst-case --lang es",
    "short-strict": "arrange half-measured-car --strict",
    "short-unsettled": "arrange half-measured-car",
    "why-rider": "why three-boosters-two-belts --rider Pim",
    "why-one-place": "why three-too-wide --rider Juno --position 2C --restraint Bastion",
    "why-not": 'why three-across-school-run --not "Tamsin=2C"',
    "why-not-at-all": 'why three-too-wide --not "Juno=2C"',
    "why-not-blocked": 'why tall-driver --not "Mina=1R"',
    "why-against": "why three-across-school-run --arrangement 2 --against 1",
    "why-nothing-asked": "why tall-driver",
    "room": "room three-across-school-run --rider Wren --position 2C --full",
    "room-along": "room tall-driver --rider Mina --position 2L --full",
    "room-short": "room three-across-school-run --rider Wren",
    "room-short-open": "room half-measured-car --rider Beck",
    "room-wrong-rider": "room tall-driver --rider Aldous",
    "why-along": "why slide-decides --rider Mina --position 2L --restraint Nook",
    "arrange-later-day": "arrange tall-driver --on 2028-03-01 --top 1 --full",
    "outlook-wrong-until": "outlook tall-driver --until 20y",
    "rules": "rules",
    "rules-one": "rules head-near-shell-top",
    "list-trips": "list trips",
    "help": "--help",
    "help-arrange": "arrange --help",
    "wrong-command": "arange three-too-wide",
    "wrong-trip": "arrange three-two-wide",
    "wrong-rider": "why three-too-wide --rider Jumo",
    "wrong-json": "arrange three-too-wide --rules eu --json",
    "measure-blank": "measure --blank vehicle",
    "compare": "compare three-across-school-run --vehicle skiff-two --vehicle cattlegate-crew-cab",
    "compare-first": "compare twins-small-hatch --vehicle quarry-saloon --vehicle half-measured-hatch",
    "help-compare": "compare --help",
    "help-record": "record --help",
    "record-too-loose": "record my-trip.yaml --restraint Nook --position 2C --by lap-shoulder-belt --moved 38 "
                        "--on 2026-11-24",
    "record-held": "record my-trip.yaml --restraint Nook --position 2C --by lap-shoulder-belt --moved '1/2 in' "
                   "--level yes --mode rear-facing-harness --on 2026-11-24",
    "record-not-confirmed": "record my-trip.yaml --restraint nook --position 2R --by lower-anchors --moved 12 "
                            "--on 2026-11-24",
    "wrong-record": "record my-trip.yaml --restraint Nok --position 2D --by lap-shoulder-belt --moved far "
                    "--on 2026-11-24",
    "wrong-record-too-late": "record my-trip.yaml --restraint Nook --position 2C --by lap-belts --failed "
                             "--on 2026-12-24",
    "measure-half-measured": "measure half-measured-car",
    "measure-blank-restraint": "measure --blank restraint",
    "measure-blank-rider": "measure --blank rider",
    "help-measure": "measure --help",
    "measure-set-dry-run": "measure my-trip.yaml --set 'Wren.sitting_height=18 in' --dry-run",
    "measure-set-bundled": "measure my-trip.yaml --set 2C.belt.length=2400",
    "wrong-measure-set": "measure my-trip.yaml --set 2C.belt.lenght=2400 --set 'Wern.mass=9 kg' --set 2C.gap",
    "measure-nothing-left": "measure two-seater-airbag-off",
}


@pytest.mark.parametrize("name", COMMANDS)
def test_output(name: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    shutil.copyfile(find("trip", "three-across-school-run"), tmp_path / "my-trip.yaml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")          # help is as wide as the terminal
    said = seatplan(*shlex.split(COMMANDS[name]))
    text = f"$ seatplan {COMMANDS[name]}\n{said.out}--- stderr\n{said.err}--- exit {said.code}\n"
    file = GOLDEN / f"{name}.txt"
    assert said.code != 70, text                 # a bug is never what is expected
    if REWRITE:
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


def test_no_file_is_left_over():
    assert {file.stem for file in GOLDEN.glob("*.txt")} == set(COMMANDS)


def test_the_readme_shows_what_the_demo_prints() -> None:
    """Line by line in order; where three dots stand, lines are left out."""
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    shown = readme.split("What it prints")[1].split("\n", 1)[1].split("\n## ")[0].splitlines()
    printed = iter((GOLDEN / "demo.txt").read_text(encoding="utf-8").splitlines())
    for line in (one.removeprefix("    ") for one in shown if one.strip() not in ("", "...")):
        assert line in printed, line
