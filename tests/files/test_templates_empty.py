"""The files to fill in hold no answer: every word that may stand there is told, and nothing is decided by them."""

from __future__ import annotations

import re
import sys
import typing
from datetime import date
from pathlib import Path
from typing import Any, Literal

import pytest
import yaml
from pydantic import BaseModel

from seatplan import arrange, load_trip
from seatplan.files import library
from seatplan.files.load import load_restraint
from seatplan.model import Restraint, Trip, Vehicle
from seatplan.model.fleet import Fleet
from seatplan.model.trip import Copy
from seatplan.views.manner import LANGUAGES

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

FOLDER = Path(library.__file__).parent.parent / "data" / "templates"
MODELS: dict[str, type[BaseModel]] = {"vehicle": Vehicle, "restraint": Restraint, "trip": Trip}
FILES: dict[str, type[BaseModel]] = {**MODELS, "fleet": Fleet}
DAY = date(2026, 11, 30)
#: what names a thing or says what there is; `rules` chooses, it answers nothing
NAMES = {"vehicle", "restraint", "trip", "rider", "use", "as", "name", "row", "position", "mode", "by", "part",
         "drives", "adult", "rules", "fleet", "depot", "type", "driver", "kind", "serial"}


def words(annotation: Any, leave: tuple[type, ...]) -> set[str]:
    """Every word that a type allows, those of the records in it too."""
    if typing.get_origin(annotation) is Literal:
        return set(typing.get_args(annotation))
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return set() if annotation in leave else set().union(
            *(words(field.annotation, leave) for field in annotation.model_fields.values()))
    return set().union(*(words(inner, leave) for inner in typing.get_args(annotation)))


def answers(data: Any, key: str = "") -> list[tuple[str, Any]]:
    if isinstance(data, dict):
        return [found for name, value in data.items() for found in answers(value, name)]
    if isinstance(data, list):
        return [found for value in data for found in answers(value, key)]
    return [] if data is None or key in NAMES else [(key, data)]


@pytest.mark.parametrize("lang", LANGUAGES)
@pytest.mark.parametrize("kind", FILES)
def test_every_allowed_word_is_told(kind: str, lang: str) -> None:
    model = FILES[kind]
    allowed = set().union(*(words(field.annotation, tuple(MODELS.values())) for field in model.model_fields.values()))
    if kind == "trip":
        allowed |= words(Copy, ())
    text = " ".join(seatplan("new", kind, "--lang", lang).out.replace("#", " ").split())
    assert len(allowed) >= 13
    assert sorted(word for word in allowed if not re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", text)) == []


@pytest.mark.parametrize("kind", FILES)
def test_nothing_is_answered(kind: str) -> None:
    assert answers(yaml.safe_load((FOLDER / f"{kind}.yaml").read_text(encoding="utf-8"))) == []


def test_untouched_is_unmeasured_and_says_what_to_measure(tmp_path: Path) -> None:
    for kind in MODELS:
        (tmp_path / f"{kind}.yaml").write_text((FOLDER / f"{kind}.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    trip = load_trip(tmp_path / "trip.yaml", tmp_path / "vehicle.yaml")
    for restraint in (trip.restraints[0], load_restraint(str(tmp_path / "restraint.yaml"))):
        plan = arrange(trip.model_copy(update={"restraints": [restraint]}), today=DAY, top=None)
        assert plan.arrangements
        assert {arrangement.verdict for arrangement in plan.arrangements} == {"unmeasured"}
        assert plan.tally.sure["fits"] == plan.tally.sure["close"] == 0
    assert {mode.mode for mode in restraint.modes} == {"rear-facing-harness", "forward-facing-harness"}


def test_an_untouched_trip_in_a_measured_car_is_unmeasured(tmp_path: Path) -> None:
    (tmp_path / "trip.yaml").write_text((FOLDER / "trip.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    plan = arrange(load_trip(tmp_path / "trip.yaml"), today=DAY, top=None)
    assert {arrangement.verdict for arrangement in plan.arrangements} == {"unmeasured"}
    assert plan.tally.sure["fits"] == plan.tally.sure["close"] == 0


def test_measure_lists_what_stands_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for kind in MODELS:
        Path(f"{kind}.yaml").write_text((FOLDER / f"{kind}.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    told = " ".join(seatplan("arrange", "trip.yaml", "--vehicle", "vehicle.yaml", "--top", "50", "--full").out.split())
    for asked in ("mass of Wren", "the belt of this seat", "lower anchors of this seat", "front airbag at this seat",
                  "free length ahead of this seat", "what the vehicle handbook forbids", "whether it was in a crash"):
        assert asked in told
