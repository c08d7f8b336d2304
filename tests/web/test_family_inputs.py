"""From an empty library to an answer, counted: every field that is filled, every choice that is made is one input."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

pytest.importorskip("starlette")

from served import Browser, opened

from seatplan.app.arrange import Arrange, arrange
from seatplan.app.days import at
from seatplan.solver.results import Plan

DAY = date(2026, 11, 30)
KINDS = ("infant-carrier", "harness-to-booster", "high-back")
CHILDREN = {"t.riders.0.born": "2026-05-04", "t.riders.0.mass": "7.2 kg", "t.riders.0.height": "65 cm",
            "t.riders.1.born": "2023-06-02", "t.riders.1.mass": "15 kg", "t.riders.1.height": "96 cm",
            "t.riders.2.born": "2019-08-21", "t.riders.2.mass": "23 kg", "t.riders.2.height": "121 cm",
            "t.riders.2.sits_upright": "yes"}
LABELS = {"0.limits.mass": "1.8-13 kg", "0.limits.height": "0-85 cm",
          "1.limits.forward_facing.mass": "10-29 kg", "1.limits.forward_facing.height": "76-124 cm",
          "1.limits.booster.mass": "18-45 kg", "1.limits.booster.height": "100-145 cm",
          "2.limits.mass": "18-45 kg", "2.limits.height": "100-145 cm"}
SEATS = {f"{k}.{name}": value for k, width in enumerate(("44 cm", "44 cm", "42 cm"))
         for name, value in (("in_order", "yes"), ("width", width))}
BARS = {"0.limits.on_lower_anchors": "13 kg", "1.limits.on_lower_anchors": "20.4 kg", "0.level_adjusts": "yes",
        "0.support_leg": "no", "1.support_leg": "no"}
CAR = {"c.every_seat.forward_and_fixed": "yes", "c.every_seat.belt": "lap-shoulder",
       "c.every_seat.retractor": "switchable", "c.every_seat.inflatable": "no", "c.every_seat.forbids": "none",
       "c.every_seat.support_leg": "allowed"}
LENGTHS = {"c.rows.0.positions.1.airbag.front": "active", "c.rows.1.trim.0.right": "1550",
           **{f"c.rows.1.positions.{n}.{name}": value for n, centre, free in (
               (0, "330", "665"), (2, "1220", "820"))
              for name, value in (("centre", centre), ("lower_anchors", "yes"), ("tether", "yes"),
                                  ("ahead.free", free))},
           "c.rows.1.positions.1.lower_anchors": "none", "c.rows.1.positions.1.belt.buckle.across": "965"}


class Counted:
    """A visitor with a new trip of three children, and how much was put in."""

    def __init__(self, folder: Path) -> None:
        self.browser: Browser = opened(folder)
        self.path = self.browser.begun(children="3", layout="2-3")
        self.inputs = 2                                  # how many children, which seats

    def add(self, kind: str) -> None:
        assert self.browser.change(self.path, do=f"seat:{kind}").status_code == 200
        self.inputs += 1

    def put(self, values: dict[str, str], before: str = "") -> str:
        """What the page says afterwards."""
        answer = self.browser.change(self.path, live=True, **{before + name: value for name, value in values.items()})
        assert answer.status_code == 200, answer.text
        self.inputs += len(values)
        return str(answer.text)

    def plan(self) -> Plan:
        return arrange(Arrange(trip=str(self.browser.folder / "trip-1.yaml"))).answer.plan


@pytest.fixture
def counted(tmp_path: Path) -> Counted:
    return Counted(tmp_path)


def test_first_answer_for_three_children_takes_at_most_40_inputs(counted: Counted) -> None:
    """Verdict, who sits where, and the first thing to read."""
    with at(DAY):
        for kind in KINDS:
            counted.add(kind)
        counted.put(CHILDREN)
        counted.put(LABELS, "t.restraints.")
        page = counted.put({"c.every_seat.belt": "lap-shoulder"})
        plan = counted.plan()
    assert counted.inputs <= 40
    assert plan.arrangements
    assert {seat.placement.rider.rider for seat in plan.arrangements[0].seats} == {
        "Child 1", "Child 2", "Child 3"}
    assert all(seat.placement.restraint is not None for seat in plan.arrangements[0].seats)
    answer = page[page.index('id="answer"'):]
    for told in ("Not settled", "Who sits where", "To find out first"):
        assert told in answer


def test_two_of_three_are_likely_with_at_most_60_inputs(counted: Counted) -> None:
    with at(DAY):
        for kind in KINDS:
            counted.add(kind)
        counted.put(CHILDREN)
        counted.put({**SEATS, **LABELS, **BARS}, "t.restraints.")
        counted.put({**CAR, **LENGTHS})
        plan = counted.plan()
    assert counted.inputs <= 60
    best = plan.arrangements[0]
    assert best.verdict == "likely"
    assert sum(not seat.cell.blocked and not seat.cell.unmeasured for seat in best.seats) >= 2
