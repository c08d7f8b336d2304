"""The commands, the Python API, the report and the sheet give one answer: the same children in the same seats, in the
same restraints, with the same verdict."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from running import seatplan

from seatplan import arrange

#: fits, close, not settled, by other rules, in another vehicle
ASKED = [("three-across-school-run",), ("twins-small-hatch",), ("half-measured-car",), ("i-size-family",),
         ("school-run-second-car", "--vehicle", "tidewater-carrier"), ("taxi-ride", "--worst-case")]


@pytest.mark.parametrize("asked", ASKED, ids=" ".join)
def test_four_times_the_same_answer(asked: tuple[str, ...]) -> None:
    told = json.loads(seatplan("arrange", *asked, "--json").out)
    first = told["arrangements"][0]
    options = {"vehicle": asked[2]} if "--vehicle" in asked else {"worst_case": True} if len(asked) > 1 else {}
    plan = arrange(asked[0], top=3, **options)
    best = plan.arrangements[0]

    assert [(s["rider"], s["position"], s["restraint"], s["mode"], s["by"]) for s in first["seats"]] == [
        (p.rider.rider, p.position.position, p.restraint.restraint if p.restraint else None, p.mode_name, p.by)
        for p in (seat.placement for seat in best.seats)]
    assert (told["verdict"], first["spare_mm"], told["tally"]["valid"]) == (
        plan.verdict, best.spare_mm, plan.tally.valid)

    said = seatplan("arrange", *asked)
    report, sheet = (_words(seatplan(command, *asked, "-o", "-").out) for command in ("report", "sheet"))
    assert said.code == seatplan("report", *asked, "-o", "-").code == seatplan("sheet", *asked, "-o", "-").code
    for seat in best.seats:
        rider, position = seat.placement.rider.rider, seat.placement.position.position
        assert f"{rider} {position}" in report
        assert seat.placement.restraint is None or f"{position} {rider}" in sheet
        assert re.search(rf"{re.escape(rider)} +{position} ", said.out)


def _words(page: str) -> str:
    return unescape(" ".join(re.sub(r"<[^>]+>", " ", page).split()))
