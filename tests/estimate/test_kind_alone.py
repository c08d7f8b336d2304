"""With its kind and its width alone a restraint is unmeasured, whatever child rides in it; its label is asked first."""

from __future__ import annotations

from datetime import date
from typing import Any, get_args

import pytest

from seatplan import arrange
from seatplan.model.restraint import Kind
from seatplan.views.plan_json import plan_json

DAY = date(2026, 11, 30)
#: children of every size that some kind is for
CHILDREN: list[dict[str, Any]] = [
    {"rider": "A", "age": "1 months", "mass": "4.2 kg", "height": 540},
    {"rider": "A", "age": "8 months", "mass": "8.4 kg", "height": 690},
    {"rider": "A", "age": "3y", "mass": "14 kg", "height": 950},
    {"rider": "A", "age": "6y", "mass": "21 kg", "height": 1160, "sits_upright": True},
    {"rider": "A", "age": ["4y", "7y"]},
]


def trip(kind: str, child: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"trip": "T", "vehicle": "broadmere-tall", "drives": "1L", "on": DAY, "riders": [child],
            "restraints": [{"restraint": "Ours", "kind": kind, "width": 440, **more}]}


@pytest.mark.parametrize("child", CHILDREN, ids=lambda child: str(child["age"]))
@pytest.mark.parametrize("kind", get_args(Kind))
@pytest.mark.parametrize("more", [{}, {"in_order": True, "level_adjusts": True}], ids=["", "in order"])
def test_the_label_is_asked_first(kind: str, child: dict[str, Any], more: dict[str, Any]) -> None:
    """A child who may ride in the belt of the car by itself is the only one who needs no label."""
    plan = arrange(trip(kind, child, **more), today=DAY, top=None)
    mine = [a for a in plan.arrangements if a.seats[0].placement.restraint is not None]
    assert {a.verdict for a in mine} <= {"unmeasured"}
    assert plan.tally.sure["fits"] == plan.tally.sure["close"] == plan.tally.sure["likely"] == 0
    if mine and plan.arrangements[0] is mine[0]:
        asked = plan_json(plan)["measure"]
        assert asked[0]["rule"] == "child-limits-unknown"
        assert asked[0]["restraint"] == "Ours"


def test_every_kind_is_for_one_of_these_children() -> None:
    for kind in get_args(Kind):
        assert any(arrange(trip(kind, child), today=DAY, top=1).arrangements for child in CHILDREN), kind
