"""Cautions stand first among the lines of an arrangement, grave ones before slight ones, and each says which it is."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest

from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.rules.registry import rule_by_id
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.views.arrangement_json import arrangement_json
from seatplan.views.notes_text import cautions_said
from seatplan.views.plan_text import plan_text

DAY = date(2026, 11, 28)
#: nine seats take long, and show no more
TRIPS = [name for name in names("trip") if name != "nine-seat-shuttle"]


def solved(name: str) -> Plan:
    trip = load_trip(name)
    return plan(trip, load_profile(trip.rules), trip.on or DAY, top=2)


@pytest.mark.parametrize("name", TRIPS)
def test_grave_ones_first_and_in_words(name: str) -> None:
    for arrangement in solved(name).arrangements:
        lines = cautions_said(arrangement)
        words = ["grave" if line.startswith("grave caution: ") else "slight" for line in lines
                 if not line.startswith("close: ")]
        assert words == sorted(words)                                    # grave comes before slight by name, too
        assert words == [rule_by_id(rule[1]).weight for line in lines if not line.startswith("close: ")
                         and (rule := re.search(r"\(([a-z0-9-]+)\)$", line))]


@pytest.mark.parametrize("name", TRIPS)
def test_nothing_stands_between_the_table_and_the_cautions(name: str) -> None:
    found = solved(name)
    for part in plan_text(found).split("\n\n"):
        lines = part.split("\n")
        told = [i for i, line in enumerate(lines) if line.startswith(("   grave caution: ", "   caution: "))]
        if told and lines[0][:1].isdigit():
            assert lines[told[0] - 1].startswith("   ")
            others = [i for i, line in enumerate(lines) if "could also be held by" in line or "recline setting" in line]
            assert all(i > max(told) for i in others)


@pytest.mark.parametrize("name", TRIPS)
def test_findings_of_json_have_their_weight_and_order(name: str) -> None:
    place: dict[Any, int] = {"grave": 0, "slight": 1, None: 2}
    for arrangement in solved(name).arrangements:
        told = arrangement_json(arrangement)
        for findings in (told["findings"], *(seat["findings"] for seat in told["seats"])):
            weights = [finding["weight"] for finding in findings]
            assert weights == sorted(weights, key=place.__getitem__)
            assert all((finding["weight"] is not None) == (finding["outcome"] == "caution") for finding in findings)


def test_both_weights_are_seen() -> None:
    seen = {finding["weight"] for name in TRIPS for arrangement in solved(name).arrangements
            for seat in arrangement_json(arrangement)["seats"] for finding in seat["findings"]}
    assert seen == {"grave", "slight", None}
