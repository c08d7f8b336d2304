"""The first repair of each bundled refusal, made by hand in the YAML file as the printed text says: then it fits."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from running import seatplan

from seatplan.files.library import find

REFUSED = ("three-boosters-two-belts", "three-too-wide", "two-children-one-tether")


def _edited(text: str, write: str, change: dict[str, Any]) -> str:
    """The file with what `write` says done to its lines."""
    lines = text.split("\n")
    if gone := re.fullmatch(r"in the trip, take (\w+) out of `riders`", write):
        return "\n".join(_without(lines, gone[1]))
    if write.startswith("in the trip, take `must: yes` out of the wish for "):
        rider = change["riders"][0]
        return "\n".join(line.replace(", must: yes", "") if f"{{rider: {rider}" in line and "must: yes" in line
                         else line for line in lines)
    if write.startswith("in the trip, under `restraints`:\n"):
        at = lines.index("restraints:")
        entry = ["  " + line for line in write.split("\n")[1:]]
        return "\n".join([*lines[:at + 1], *entry, *lines[at + 1:]])
    raise AssertionError(f"no hand for: {write}")


def _without(lines: list[str], rider: str) -> list[str]:
    """Without the rider's entry, which may run over several lines, and without the wishes that name nobody else."""
    kept: list[str] = []
    dropping = False
    for line in lines:
        if line.startswith("  - "):
            dropping = f"rider: {rider}," in line
        elif not line.startswith("    "):
            dropping = False
        if not dropping:
            kept.append(line)
    # a list without entries is no list
    text = re.sub(r"(?m)^wishes:[^\n]*\n(?!  )", "", "\n".join(kept))
    return text.split("\n")


@pytest.mark.parametrize("name", REFUSED)
def test_the_first_repair_opens_it(name: str, tmp_path: Path) -> None:
    told = json.loads(seatplan("arrange", name, "--json").out)
    assert told["verdict"] == "rejected"
    repair = told["explanation"]["repairs"][0]
    text = find("trip", name).read_text()
    printed = re.sub(r"\s+", " ", seatplan("arrange", name, "--full").out)
    for change in repair["changes"]:
        assert change["write"].split("\n")[0] in printed
        text = _edited(text, change["write"], change)
    file = tmp_path / "by-hand.yaml"
    file.write_text(text)
    again = seatplan("arrange", str(file), "--json")
    assert again.code == 0, again.err
    answer = json.loads(again.out)
    assert answer["verdict"] == repair["arrangement"]["verdict"]
    assert [p["position"] for p in answer["arrangements"][0]["seats"]] == [
        p["position"] for p in repair["arrangement"]["seats"]]
