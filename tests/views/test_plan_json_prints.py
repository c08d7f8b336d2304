"""Every number of a plan is one that JSON can print, exact fractions included."""

from __future__ import annotations

import json
from datetime import date

import pytest

from seatplan import arrange
from seatplan.model import Trip
from seatplan.views.plan_json import plan_json


def _belt(centre: int) -> dict[str, object]:
    return {"kind": "lap-shoulder", "anchors": [centre - 150, centre + 150], "length": 3000,
            "buckle": {"across": centre + 150, "stalk": 70}}


def _three(hips: int) -> Trip:
    """Three grown-ups abreast between doors 1,340 mm apart, their seats 445 mm apart."""
    centres = {"2L": 225, "2C": 670, "2R": 1115}
    return Trip.model_validate({
        "trip": "Three abreast", "on": date(2026, 11, 25), "drives": "1L", "rules": "us",
        "vehicle": {"vehicle": "Odd Wagon", "invented": True,
                    "every_seat": {"facing": "forward", "tip_up": False, "slides": False}, "rows": [
            {"row": 1, "trim": [{"name": "door", "left": 0, "right": 1340}],
             "positions": [{"position": "1L", "centre": 400, "belt": _belt(400)}]},
            {"row": 2, "trim": [{"name": "door", "left": 0, "right": 1340}], "positions": [
                {"position": name, "centre": centre, "belt": _belt(centre)} for name, centre in centres.items()]}]},
        "riders": [{"rider": "Bram", "adult": True, "drives": True, "age": "40y"},
                   *({"rider": name, "adult": True, "age": "40y", "hips": hips, "shoulders": hips}
                     for name in ("Ada", "Bo", "Cy"))]})


@pytest.mark.parametrize("hips", range(440, 456))
def test_a_row_that_is_short_within_what_the_tape_may_be_off(hips: int) -> None:
    """What lacks is shared among the gaps: a third or a quarter of a mm, kept exact by the geometry."""
    solved = arrange(_three(hips), top=None)
    text = json.dumps(plan_json(solved))
    assert json.loads(text)["trip"] == "Three abreast"


def test_there_are_close_rows_among_them() -> None:
    spares = [a.spare_mm for hips in range(440, 456) for a in arrange(_three(hips), top=1).arrangements]
    assert any(spare is not None and spare < 0 for spare in spares)
    assert any(spare is not None and spare != int(spare) for spare in spares)
