"""`seatplan new`: forms are printed, or written where nothing is yet."""

from __future__ import annotations

from pathlib import Path

import pytest
from running import seatplan

from seatplan.model.kinds import KINDS


def test_the_kinds_are_told_apart() -> None:
    said = seatplan("new", "restraint", "--kind", "help")
    assert said.code == 0
    assert seatplan("new", "restraint", "--kind", "?") == said
    for kind in KINDS:
        assert f"   {kind}: " in said.out
    assert max(map(len, said.out.splitlines())) <= 100


@pytest.mark.parametrize("kind", KINDS)
def test_a_form_says_how_to_tell_its_kind_and_is_good(kind: str, tmp_path: Path) -> None:
    file = tmp_path / "seat.yaml"
    said = seatplan("new", "restraint", "--kind", kind, str(file))
    assert (said.code, said.out) == (0, "")
    assert f"wrote {file}" in said.err
    assert KINDS[kind].tell.split()[0] in file.read_text(encoding="utf-8")
    checked = seatplan("check", str(file))
    assert checked.code == 0
    assert "restraint (" in checked.out


@pytest.mark.parametrize("words", [("vehicle", "--short"), ("trip", "--short"), ("vehicle",), ("restraint",)])
def test_what_is_printed_is_what_is_written(words: tuple[str, ...], tmp_path: Path) -> None:
    file = tmp_path / "form.yaml"
    assert seatplan("new", *words, str(file)).code == 0
    assert file.read_text(encoding="utf-8") == seatplan("new", *words).out


def test_nothing_is_written_over(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("vehicle: mine\n", encoding="utf-8")
    said = seatplan("new", "vehicle", "--short", str(file))
    assert said.code == 2
    assert "is there already" in said.err
    assert file.read_text(encoding="utf-8") == "vehicle: mine\n"
    assert seatplan("new", "vehicle", str(tmp_path)).code == 2
    assert seatplan("new", "vehicle", str(tmp_path / "car.txt")).code == 2
    assert list(tmp_path.iterdir()) == [file]


def test_a_short_car_grows_in_the_language_asked_for(tmp_path: Path) -> None:
    short, full = tmp_path / "short.yaml", tmp_path / "full.yaml"
    short.write_text(seatplan("new", "vehicle", "--short").out.replace("tether:  ", "tether: yes", 1), encoding="utf-8")
    said = seatplan("new", "vehicle", "--from", str(short), str(full), "--lang", "es")
    assert said.code == 0
    text = full.read_text(encoding="utf-8")
    assert "        tether: t1" in text
    assert "not_measured: estimate" in text
    assert seatplan("check", str(full)).code == 0


@pytest.mark.parametrize(("words", "told"), [
    (("restraint", "--kind", "bakless"), "did you mean `backless`?"),
    (("vehicle", "--kind", "backless"), "seatplan new vehicle --short"),
    (("restraint", "--short"), "seatplan new restraint --kind help"),
    (("vehicle", "--from", "harrow-estat"), "harrow-estate"),
])
def test_mistakes_say_what_to_do(words: tuple[str, ...], told: str) -> None:
    said = seatplan("new", *words)
    assert said.code == 2
    assert told in said.err
