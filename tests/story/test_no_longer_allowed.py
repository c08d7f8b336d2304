"""What is under way and installed, once the rules forbid it: every command says so, and names no next step of it."""

from __future__ import annotations

import json
import re
import shutil
import sys
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from seatplan.files.library import find

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

ON = ("--on", "2026-11-24")
HELD = ("--sideways", "12", "--forwards", "9", "--level", "yes", *ON)
#: what becomes of the file meanwhile, the rule that forbids it then, and whether another arrangement fits
MEANWHILE = [
    pytest.param([("as: Nook, made: 2024-03-01", "as: Nook, made: 2024-03-01, expires: 2026-11-25")],
                 "restraint-expired", True, id="expired"),
    pytest.param([("mass: 9.6 kg", "mass: 18.6 kg, sure: {mass: 18.6 kg}")], "child-too-heavy", False, id="outgrown"),
    pytest.param([("{rider: Wren, at: [2R]} ", "{rider: Wren, not_at: [2C], must: yes} ")],
                 "wish-for-seat-not-met", True, id="a must"),
]
COMMANDS = (("arrange",), ("arrange", "--full"), ("sheet", "-o", "-"), ("checkup", "-o", "-"), ("measure",),
            ("why", "--rider", "Wren"), ("report", "-o", "-"), ("outlook", "--until", "1 month"),
            ("compare", "--vehicle", "harrow-estate"))


@pytest.fixture
def trip(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A trip with an arrangement under way, of which one restraint is in and holds."""
    monkeypatch.chdir(tmp_path)
    path = Path(shutil.copyfile(find("trip", "three-across-school-run"), "my-trip.yaml"))
    assert seatplan("record", "my-trip.yaml", "--go-on-with", "1").code == 0
    assert seatplan("record", "my-trip.yaml", "--rider", "Wren", *HELD).code == 0
    assert under_way()["Wren"]["holds"]
    return path


def under_way(command: str = "arrange", *words: str) -> dict[str, dict[str, Any]]:
    found = json.loads(seatplan(command, "my-trip.yaml", *words, "--json").out)["under_way"]
    return {one["rider"]: one for one in found}


def told(*command: str) -> str:
    """What a command says, on one line and without tags."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", seatplan(command[0], "my-trip.yaml", *command[1:]).out)).split())


def changed(path: Path, edits: list[tuple[str, str]]) -> None:
    text = path.read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


@pytest.mark.parametrize(("edits", "rule", "fits"), MEANWHILE)
def test_every_command_names_the_rule_and_no_next_step(trip: Path, edits: list[tuple[str, str]], rule: str, fits: bool):
    changed(trip, edits)
    for words in (("arrange",), ("checkup", "-o", "-"), ("measure",), ("why", "--rider", "Wren")):
        seats = under_way(*words)
        assert not any(one["holds"] or one["next"] or one["possible"] for one in seats.values()), words
        assert rule in [finding["rule"] for finding in seats["Wren"]["refused_by"]], words
        assert seats["Oslo"]["refused_by"] == []
    for command in COMMANDS:
        said = told(*command)
        if command[0] in ("sheet", "report") and not fits:
            continue                       # nothing to draw: they say why, as arrange does
        assert "(0 of 3 hold). It cannot be like that any more:" in said, command
        assert f"({rule})" in said.split("any more:", 1)[1][:300], command
        assert "; next:" not in said, command
    assert ("No other arrangement is found, so nothing is to be installed next." in told("arrange")) is not fits
    assert ("`--give-up` of `seatplan record` goes on to the next." in told("arrange")) is fits


@pytest.mark.parametrize(("edits", "rule", "fits"), MEANWHILE)
def test_the_next_try_goes_on_without_it(trip: Path, edits: list[tuple[str, str]], rule: str, fits: bool):
    """What is forbidden is not kept because it holds, and is never called done."""
    changed(trip, edits)
    said = seatplan("record", "my-trip.yaml", "--rider", "Oslo", *HELD, "--json")
    assert said.code == (0 if fits else 1), said.err
    noted = json.loads(said.out)
    assert not noted["all_holds"]
    wren = next((one for one in noted["under_way"] or [] if one["rider"] == "Wren"), None)
    if not fits:
        assert noted["under_way"] is None
    else:
        assert wren is not None
        assert (wren["restraint"], wren["position"]) != ("Nook", "2C")
        assert wren["refused_by"] == []
        assert [one["rider"] for one in noted["under_way"] if one["next"]] == [
            one["rider"] for one in noted["under_way"] if not one["holds"]][:1]


@pytest.mark.parametrize(("edits", "rule", "fits"), MEANWHILE)
def test_a_checkup_names_what_forbids_what_is_installed(trip: Path, edits: list[tuple[str, str]], rule: str,
                                                        fits: bool):
    changed(trip, edits)
    data = json.loads(seatplan("checkup", "my-trip.yaml", "-o", "-", "--json").out)
    assert data["state"] == ("open" if fits else "nothing-fits")
    point = next(one for one in data["open"] if (one["kind"], one["rider"]) == ("not-allowed", "Wren"))
    assert rule in [finding["rule"] for finding in point["refused_by"]]
    said = told("checkup", "-o", "-")
    assert "Wren: what is noted as installed is in no arrangement that fits: " in said
    assert f"({rule})" in said.split("in no arrangement that fits: ", 1)[1][:200]


def test_an_airbag_that_is_on_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A shell in front of an airbag that was off: it held, and is over once the airbag is on."""
    monkeypatch.chdir(tmp_path)
    trip = Path(shutil.copyfile(find("trip", "two-seater-airbag-off"), "my-trip.yaml"))
    assert seatplan("record", "my-trip.yaml", "--go-on-with", "1").code == 0
    trip.write_text(trip.read_text(encoding="utf-8") + """\
installed:
  Pip: {restraint: Cradle, position: 1R, mode: rear-facing-harness, by: lower-anchors,
        readings: {sideways: 12, forwards: 9, level: yes}}
""", encoding="utf-8")
    before = under_way()["Pip"]
    assert (before["holds"], before["possible"], before["refused_by"]) == (True, True, [])
    assert "; all of it holds." in told("arrange")
    changed(trip, [("airbags_off: [1R]\n", "")])
    after = under_way()["Pip"]
    assert (after["holds"], after["possible"]) == (False, False)
    assert [finding["rule"] for finding in after["refused_by"]] == ["rear-facing-before-airbag"]
    assert "all of it holds" not in told("arrange")
    assert "(rear-facing-before-airbag)" in told("checkup", "-o", "-").split("It cannot be like that any more:")[1]


def test_each_may_ride_so_and_not_all_together(trip: Path):
    """Two who must not sit beside each other any more: both are named by the rule, and neither is next."""
    changed(trip, [("{apart: [Oslo, Tamsin]}", "{apart: [Oslo, Wren], must: yes}")])
    seats = under_way()
    assert not any(one["next"] or one["possible"] for one in seats.values())
    assert {rider for rider, one in seats.items() if one["refused_by"]} == {"Wren", "Oslo"}


def test_strict_counts_what_was_not_measured_as_a_no(trip: Path):
    changed(trip, [("as: Nook, made: 2024-03-01,", "as: Nook,")])
    assert under_way()["Oslo"]["next"]
    strict = under_way("arrange", "--strict")
    assert not strict["Oslo"]["next"]
    assert strict["Wren"]["refused_by"][0]["outcome"] == "unmeasured"
    assert "It cannot be like that any more:" in told("why", "--rider", "Wren", "--strict")
