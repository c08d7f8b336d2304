"""What a page of the sheet says of child, label and failing; rows on one scale; gaps in words."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from functools import cache

import pytest
from drawn import pictured
from pages import Page
from planned import DAY, FITTING, planned

from seatplan.files.load import load_trip
from seatplan.growth.family import trip_on
from seatplan.rules.load import load_profile
from seatplan.rules.restraint_condition import use_until
from seatplan.rules.subjects import Placement
from seatplan.solver.installing import cards
from seatplan.solver.instead import next_without, other_ways
from seatplan.solver.picture import picture
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.units import Quantity
from seatplan.views.manner import speaking
from seatplan.views.seated_text import seated
from seatplan.views.sheet.child import child_said, takes_said
from seatplan.views.sheet.sheet import sheet_html
from seatplan.views.words import VERDICTS

EVERY_TRIP = pytest.mark.parametrize("name", FITTING)


def written(solved: Plan, note: str | None = "mine.yaml", paper: str = "a4") -> str:
    arrangement = solved.arrangements[0]
    seen = picture(solved, arrangement)
    return sheet_html(solved, arrangement, seen, cards(solved, arrangement, seen), paper, None,
                      "mine.yaml --on 2026-11-25", note)


@cache
def sheet(name: str) -> str:
    return written(planned(name))


def page_of(text: str, rider: str) -> str:
    return next(text for text in Page(text).sections[1:] if f"{rider} in " in text.split("Child, ")[0])


def placement_of(solved: Plan, rider: str):
    return next(s.placement for s in solved.arrangements[0].seats if s.placement.rider.rider == rider)


@EVERY_TRIP
def test_the_child_on_the_day_and_whom_the_mode_takes(name: str):
    solved = planned(name)
    for seat in solved.arrangements[0].seats:
        if seat.placement.restraint is not None:
            text = page_of(sheet(name), seat.placement.rider.rider)
            assert f"Child, {solved.day}{child_said(solved, seat.placement)}" in text
            assert f"It takes{takes_said(seat.placement)}" in text


def test_sizes_and_limits_in_words():
    solved = planned("three-across-school-run")
    wren, oslo = placement_of(solved, "Wren"), placement_of(solved, "Oslo")
    assert child_said(solved, wren) == "15 months, 9.6 kg, 755 mm"
    assert takes_said(wren) == "2.3 kg to 18.1 kg, up to 1,092 mm"
    assert takes_said(oslo) == ("11.3 kg to 29.5 kg, 813 mm to 1,245 mm, 2 years to 12 years, "
                                "on lower anchors up to 20.4 kg")


def test_limits_are_never_rounded_in_anybodys_favour():
    solved = planned("three-across-school-run")
    with speaking("en", "customary"):
        told = takes_said(placement_of(solved, "Wren"))
    low, high = map(float, re.findall(r"([\d.]+) lb", told))
    assert low * 0.45359237 >= 2.3
    assert high * 0.45359237 <= 18.1


def test_what_is_not_known_of_a_child_is_said():
    solved = planned("half-measured-car")
    assert "mass not known" in child_said(solved, placement_of(solved, "Beck"))


def test_reckoned_sizes_have_their_range_and_say_so():
    trip = load_trip("three-across-school-run")
    assert trip.on is not None
    later = date(trip.on.year + 1, trip.on.month, trip.on.day)
    solved = plan(trip_on(trip, later, trip.on), load_profile("us"), later, top=1)
    told = child_said(solved, placement_of(solved, "Oslo"))
    assert re.search(r"[\d.]+ kg \([\d.]+ kg to [\d.]+ kg\)", told)
    assert told.endswith("reckoned from growth tables: measure again")


@EVERY_TRIP
def test_boxes_for_what_the_label_says_and_what_the_file_says_of_it(name: str):
    for seat in planned(name).arrangements[0].seats:
        restraint = seat.placement.restraint
        if restraint is None:
            continue
        text = page_of(sheet(name), seat.placement.rider.rider)
        made = f"day made  (in the file: {restraint.made})" if restraint.made else "day made "
        until = f"use until  (in the file: {use_until(restraint)})" if use_until(restraint) else "use until "
        assert f"On its label: serial number {made}{until}" in text


def test_if_it_will_not_hold():
    solved = plan(load_trip("three-across-school-run"), load_profile("us"), DAY, top=8)
    text = written(solved)
    first = solved.arrangements[0]
    for card in cards(solved, first, picture(solved, first)):
        placement, rider = card.placement, card.placement.rider.rider
        found = next_without(solved, placement, card.before)
        assert found is not None
        own = page_of(text, rider)
        mode = f" --mode {placement.mode_name}" if len(placement.restraint.modes) > 1 else ""
        failed = "--belt-fits no" if placement.booster else "--failed"
        assert (f"note it: seatplan record mine.yaml --rider {rider} --restraint {placement.restraint.restraint} "
                f"--position {placement.position.position} --by {placement.by}{mode} --") in own
        assert f"and note it by the same command, in place of what was read with {failed}." in own
        assert f"arrangement {found.rank} ({VERDICTS[found.verdict]}): {seated(found, first)}." in own
        assert f"seatplan sheet mine.yaml --on 2026-11-25 --arrangement {found.rank} -o sheet-{found.rank}.html" in own
    assert "It may be held by lap-shoulder belt, tether t1 instead." in page_of(text, "Oslo")


def way_of(placement: Placement) -> tuple[str, ...]:
    name = placement.restraint.restraint if placement.restraint else ""
    return name, placement.position.position, placement.mode_name, placement.by


def test_what_is_next_does_without_it_and_keeps_what_went_in_before():
    solved = plan(load_trip("three-across-school-run"), load_profile("us"), DAY, top=40)
    first = solved.arrangements[0]
    kept_another = 0
    for card in cards(solved, first, picture(solved, first)):
        placement, before = card.placement, {way_of(one) for one in card.before}
        ways = {a.rank: {way_of(s.placement) for s in a.seats} for a in solved.arrangements}
        found = next_without(solved, placement, card.before)
        assert found is not None
        without = {rank: held for rank, held in ways.items() if way_of(placement) not in held}
        most = max(len(held & before) for held in without.values())
        assert found.rank == min(rank for rank, held in without.items() if len(held & before) == most)
        kept_another += found.rank != min(without)
        assert all(other.by != placement.by for other in other_ways(first, placement))
    assert kept_another


def test_in_another_car_nothing_is_noted_in_the_file():
    text = written(planned("three-across-school-run"), note=None)
    assert "seatplan record" not in text
    assert "do not travel like that." in text


@EVERY_TRIP
def test_letters_of_gaps_are_explained_on_the_cover_and_on_each_page(name: str):
    figures = [f for f in re.findall(r"<figure[^>]*>(.*?)</figure>", sheet(name), re.DOTALL) if "data-row" in f]
    assert len(figures) > 1
    for figure in figures:
        assert set(re.findall(r"<li>([A-Z]+) ", figure)) == set(re.findall(r'data-gap="([A-Z]+)"', figure))


@EVERY_TRIP
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_rows_of_the_cover_are_on_one_scale(name: str, paper: str):
    text = written(planned(name), paper=paper)
    cover = text[text.index('class="cover"'):text.index("In this order")]
    widths = re.findall(r'<figure style="width:(\d+)mm"', cover)
    boxes = [box.split()[2] for box in re.findall(r'viewBox="([^"]*)"', cover)]
    assert len(widths) == len(boxes) >= 1
    assert len(set(widths)) == len(set(boxes)) == 1              # as wide on paper, as wide in the drawing
    assert int(widths[0]) >= 70


@EVERY_TRIP
def test_a_row_with_nobody_but_adults_on_the_belt_is_a_line(name: str):
    text = Page(sheet(name)).sections[0]
    for row in pictured(name).rows:
        alone = all(b.guessed or (b.placement.restraint is None and b.placement.rider.adult) for b in row.bodies)
        assert (f"Row {row.row.row} from above" in text) == (not alone)
        if alone and row.bodies:
            assert f"Row {row.row.row}, with the vehicle belt alone: " in text


def test_a_limit_is_never_told_higher_than_it_is():
    """9.07 kg is 20 lb: told with one decimal it would let a child of 9.1 kg in."""
    wren = placement_of(planned("three-across-school-run"), "Wren")
    assert wren.mode is not None
    limits = wren.mode.limits.model_copy(update={"mass": (Quantity("2.27 kg"), Quantity("9.07 kg"))})
    light = replace(wren, mode=wren.mode.model_copy(update={"limits": limits}))
    assert takes_said(light).startswith("2.27 kg to 9.07 kg, ")
    with speaking("en", "customary"):
        assert takes_said(light).startswith("5.1 lb to 19.9 lb, ")


def test_what_to_try_next_says_how_sure_it_is():
    solved = plan(load_trip("half-measured-car"), load_profile("us"), DAY, top=40)
    text = page_of(written(solved), "Arlo")
    found = re.search(r"Next to try without it, arrangement \d+ \(([a-z ]+)\): ", text)
    assert found is not None
    assert found.group(1) == "not all measured"
