"""The room that is kept for a whole solve: legs are kept by rider, shells by how they are installed and lean."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from build import subject

from seatplan.geometry.recline import Setting
from seatplan.model import Rider
from seatplan.rules.ahead import need_ahead
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement, RuleContext

CAR: dict[str, Any] = {
    "position": {"ahead": {"seat": "1L", "gap": [[0, 700], [600, 700]], "travel": 200}},
    "row": {"cushion": {"angle": 15, "above_floor": 330}},
}


def _placed(**more: Any) -> tuple[Placement, RuleContext]:
    placement, world = subject(rule_by_id("no-room-ahead"), {**CAR, **more})
    assert isinstance(placement, Placement)
    return placement, world


def _need(placement: Placement, world: RuleContext) -> int:
    need = need_ahead(placement, world)
    assert need is not None
    assert need.mm is not None
    return need.mm


def test_legs_are_their_owners() -> None:
    """Two children on the seat belt at one seat, and on one booster, each with knees of their own."""
    for mode in (None, {"mode": "backless-booster"}):
        given: dict[str, Any] = {"restraint": None} if mode is None else {"mode": mode}
        short, world = _placed(rider={"height": 1100}, **given)
        tall = replace(short, rider=Rider(rider="Oslo", height=1500))
        assert _need(short, world) < _need(tall, world) == _need(tall, replace(world, kept={}))
        assert _need(short, world) == _need(short, replace(world, kept={}))


def test_a_shell_is_the_same_whoever_sits_in_it_and_another_where_it_leans() -> None:
    shell = {"mode": "rear-facing-harness", "touch_ahead": "may",
             "parts": [{"part": "shell", "along": [60, 760], "up": [100, 500], "width": 440}],
             "recline": {"reference": 45, "allowed": [30, 45], "settings": [35, 45]}}
    placed, world = _placed(mode=shell)
    flat, upright = (replace(placed, recline=Setting(setting, 0, setting)) for setting in (45, 35))
    assert _need(flat, world) == 60
    assert need_ahead(replace(flat, rider=Rider(rider="Oslo")), world) is need_ahead(flat, world)
    assert _need(upright, world) < 60
