"""What to measure next: the order, and that typing a value into the file does what was foretold."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from seatplan import arrange, load_trip
from seatplan.files.library import find
from seatplan.rules.load import load_profile
from seatplan.solver.measurable import unknowns
from seatplan.solver.measure import Measure, measure, with_value
from seatplan.solver.plan import plan

DAY = date(2026, 11, 30)


@pytest.fixture(scope="module")
def half() -> Measure:
    trip = load_trip("half-measured-car")
    return measure(trip, load_profile(trip.rules), DAY)


def test_those_that_decide_most_come_first(half: Measure) -> None:
    decides = [m.decides for m in half.measurements]
    assert decides == sorted(decides, reverse=True)
    assert decides[0] > 0
    assert half.now.verdict == "unmeasured"


def test_every_end_is_what_a_new_solve_says(half: Measure) -> None:
    for m in half.measurements[:6]:
        for k, end in enumerate(m.ends):
            trip = with_value(half.trip, m.unknown.path, m.unknown.ends[k])
            sure = plan(trip, load_profile(trip.rules), DAY, top=1).tally.sure      # which asks nobody to be sure
            assert (end.sure, end.open) == (sure["fits"] + sure["close"], sure["unmeasured"])


def test_typing_the_first_one_in_changes_the_answer_as_foretold(half: Measure, tmp_path: Path) -> None:
    first = half.measurements[0]
    assert first.unknown.name == "mass of Beck"
    text = find("trip", "half-measured-car").read_text(encoding="utf-8")
    for k, mass in enumerate(first.unknown.ends):
        file = tmp_path / f"trip-{k}.yaml"
        own = f"rider: Beck, mass: {mass}, sure: {{mass: {mass}, height: 1180}},"
        file.write_text(text.replace("rider: Beck,", own), encoding="utf-8")
        sure = arrange(load_trip(file), top=1, today=DAY).tally.sure
        told = (sum(sure.values()) - sure["unmeasured"], sure["unmeasured"])
        assert told == (first.ends[k].sure, first.ends[k].open)


def test_nothing_is_asked_that_is_known() -> None:
    trip = load_trip("two-seater-airbag-off")
    assert measure(trip, load_profile(trip.rules), DAY).measurements == ()


def test_every_unknown_can_be_set() -> None:
    for name in ("half-measured-car", "three-across-school-run", "i-size-family"):
        trip = load_trip(name)
        for unknown in unknowns(trip, DAY):
            for value in unknown.ends:
                changed = with_value(trip, unknown.path, value)
                assert type(changed) is type(trip)
                assert changed != trip or value in ("none", ())
