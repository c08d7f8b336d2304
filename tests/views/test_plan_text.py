"""The answer in words: the caution, the page width, counts that add up, sums that a pencil confirms."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from planned import DAY, REFUSED, SQUEEZED, TRIPS, planned

from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.budget import Budget
from seatplan.solver.plan import plan
from seatplan.solver.why import why
from seatplan.views.caution import CAUTION
from seatplan.views.plan_text import plan_text
from seatplan.views.squeeze_text import sum_of
from seatplan.views.terminal import lines_of
from seatplan.views.text import WIDTH
from seatplan.views.why_json import why_json
from seatplan.views.why_text import why_text

#: words that people at a car do not use
JARGON = re.compile(r"\b(illegal|simply|constraints?|unsat|core|domains?|safe|infeasible|solver|None)\b")


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", TRIPS)
def test_answer_of_every_bundled_trip(name: str):
    text = plan_text(planned(name), name)
    assert max(map(len, text.splitlines())) <= WIDTH
    assert f"caution: {CAUTION}" in one_line(text)
    assert not JARGON.search(text), JARGON.search(text)
    assert "  -  " not in text.replace("   - ", "")        # no fact that a sentence asked for is missing
    assert text.endswith("\n")
    assert not text.endswith("\n\n")


@pytest.mark.parametrize("name", TRIPS)
def test_counts_in_the_text_add_up(name: str):
    solved = planned(name)
    text = one_line(plan_text(solved, name))
    total = solved.tally.placement + solved.tally.contest + solved.tally.squeeze
    assert total + solved.tally.valid == solved.tally.seatings
    if total:
        assert f"{total:,} were ruled out" in text
    for n in (solved.tally.placement, solved.tally.contest, solved.tally.squeeze):
        assert not n or f" {n:,}: " in text


@pytest.mark.parametrize("name", REFUSED)
def test_a_no_ends_with_the_next_command(name: str):
    solved = planned(name)
    last = one_line(plan_text(solved, name)).rpartition("hint: ")[2]
    command = re.match(rf"`seatplan why {name} --rider (.+?)`", last)
    assert command
    assert command[1].strip('"') in {rider.rider for rider in solved.trip.riders}


def test_trips_are_refused_and_too_narrow_as_they_are_listed():
    assert tuple(name for name in TRIPS if not planned(name).arrangements) == REFUSED
    assert tuple(name for name in TRIPS if planned(name).squeezes) == SQUEEZED


@pytest.mark.parametrize("name", SQUEEZED)
def test_the_sums_add_up_as_they_are_printed(name: str):
    for shown in planned(name).squeezes:
        text = one_line(lines_of([sum_of(shown.squeeze)]))
        found = re.fullmatch(r"needs (.+) = ([\d.,]+) mm there (.+) = ([\d.,]+) mm short ([\d.,]+) mm", text)
        assert found, text
        needs, there = (sum(float(re.search(r"[\d.,]+$", part.strip())[0].replace(",", ""))
                            for part in found[i].split(" + ")) for i in (1, 3))
        need, have, short = (float(found[i].replace(",", "")) for i in (2, 4, 5))
        assert needs == need
        assert there == have
        assert need - have == short > 0


def test_a_measurement_is_asked_for_once():
    solved = planned("half-measured-car")
    text = one_line(plan_text(solved).partition("To measure")[2].partition("Who can sit where")[0])
    asked = re.findall(r"- (.*?: .*?) \(", text)
    assert asked
    assert len(asked) == len({item.partition(": ")[2] for item in asked})
    assert text.count("belt-inflatable") == 1
    assert "- 2L and 2R: whether the belt of this seat is inflatable: " in text


def test_riders_without_a_place_are_told_why_in_numbers():
    trip = load_trip("two-seater-airbag-off")
    fourth = [trip.riders[1].model_copy(update={"rider": name}) for name in ("Quill", "Rook")]
    crowd = trip.model_copy(update={"riders": [*trip.riders, *fourth], "wishes": [], "installed": {}})
    solved = plan(crowd, load_profile(trip.rules), DAY)
    text = one_line(plan_text(solved))
    assert solved.verdict == "rejected"
    assert "There are 4 riders and only 2 seats." in text
    assert re.search(r"not at 1L: 1L is the driver's seat \(driver-seat-taken\)", text)


def test_a_search_that_stopped_claims_nothing():
    trip = load_trip("three-across-school-run")
    solved = plan(trip, load_profile(trip.rules), DAY, budget=Budget(plans=3))
    assert not solved.tally.complete
    text = one_line(plan_text(replace(solved, arrangements=(), verdict="rejected")))
    assert text.count("limit") >= 2
    assert "Nothing fits" not in text
    assert "others left out" not in text


def test_why_carries_the_caution_and_lists_what_passed_in_numbers():
    trip = load_trip("three-across-school-run")
    child = next(rider for rider in trip.riders if not rider.adult)
    narrow = why(trip, load_profile("us"), DAY, child.rider, trip.restraints[0].restraint, "2C")
    text = one_line(why_text(narrow, narrow=True))
    assert f"caution: {CAUTION}" in text
    assert re.search(r"ok: weighs [\d.]+ kg; this mode takes up to [\d.]+ kg \(child-too-heavy\)", text)
    assert why_json(narrow)["caution"] == CAUTION


@pytest.mark.parametrize("name", [name for name in TRIPS if name != "nine-seat-shuttle"])
def test_why_keeps_to_the_page(name: str):
    trip = load_trip(name)
    aboard = [rider.rider for rider in trip.riders if rider.due is None]
    answer = why(trip, load_profile(trip.rules), DAY, aboard[-1])
    for narrow in (False, True):
        text = why_text(answer, f"{name} --rider X", narrow)
        assert max(map(len, text.splitlines())) <= WIDTH
        assert not JARGON.search(text)


def test_seats_with_the_same_answer_share_a_block():
    trip = load_trip("three-boosters-two-belts")
    answer = why(trip, load_profile(trip.rules), DAY, "Pim")
    heads = [line for line in why_text(answer).splitlines() if re.match(r"[1-9][LCR]", line)]
    assert len(heads) < len(answer.modes)
    assert any(line.startswith("2L and 2R ") for line in heads)
