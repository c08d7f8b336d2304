"""The sheet for the car as a file: what stands on it, the sources of its words, nothing from elsewhere, all escaped."""

from __future__ import annotations

import re
from functools import cache
from typing import get_args

import pytest
from drawn import pictured
from pages import Page
from planned import DAY, FITTING, planned

from seatplan.files.load import load_trip
from seatplan.files.plain import trip_in_vehicles
from seatplan.files.steps import stages
from seatplan.rules.load import load_profile
from seatplan.solver.installing import Card, cards
from seatplan.solver.picture import picture
from seatplan.solver.plan import plan
from seatplan.views.caution import CAUTION
from seatplan.views.notes_text import cautions_said, findings_of
from seatplan.views.sheet.card import filled
from seatplan.views.sheet.sheet import sheet_html

EVERY_TRIP = pytest.mark.parametrize("name", FITTING)


@cache
def carded(name: str) -> tuple[Card, ...]:
    solved = planned(name)
    return cards(solved, solved.arrangements[0], pictured(name))


@cache
def sheet(name: str, paper: str = "a4") -> str:
    solved = planned(name)
    return sheet_html(solved, solved.arrangements[0], pictured(name), carded(name), paper)


@EVERY_TRIP
def test_one_section_for_the_order_and_one_a_restraint_and_a_child_on_the_belt(name: str):
    placements = [s.placement for s in planned(name).arrangements[0].seats]
    held = [p for p in placements if p.restraint]
    belted = [p for p in placements if not p.restraint and not p.rider.adult]
    read = Page(sheet(name))
    assert len(read.sections) == 1 + len(held) + len(belted)
    for placement in belted:
        assert sum(f"{placement.position.position} {placement.rider.rider} on the vehicle belt" in text
                   for text in read.sections[1:]) == 1
    for placement in held:
        assert placement.restraint is not None
        own = [text for text in read.sections[1:]
               if f"{placement.position.position} {placement.rider.rider} in {placement.restraint.restraint}" in text]
        assert len(own) == 1
        for bar in placement.bars:
            assert bar in own[0]
        assert (placement.tether or "no tether") in own[0]


@EVERY_TRIP
def test_caution_and_local_law_on_every_page(name: str):
    for text in Page(sheet(name)).sections:
        assert CAUTION in text
        assert "Local law and certified technicians come first." in text


@EVERY_TRIP
def test_nothing_from_elsewhere_and_no_script(name: str):
    text = sheet(name)
    assert set(re.findall(r"(?:https?:)?//[^\"'\s<]+", text)) <= {"http://www.w3.org/2000/svg"}
    tags = {tag for tag, _ in Page(text).tags}
    assert not tags & {"script", "link", "iframe", "img", "object", "base", "form"}
    assert not any(attr in held for _, held in Page(text).tags for attr in ("href", "src", "srcset", "action"))
    assert "@import" not in text
    assert set(re.findall(r"url\(([^)]*)\)", text)) <= {f"#{i}" for i in re.findall(r'id="([^"]+)"', text)}


@EVERY_TRIP
def test_ids_are_there_once(name: str):
    read = Page(sheet(name))
    assert len(read.ids) == len(set(read.ids))


@EVERY_TRIP
def test_every_step_names_its_source(name: str):
    for text, card in zip(Page(sheet(name)).sections[1:], carded(name), strict=True):
        told = text[text.index("Sources: "):]
        for stage in card.stages:
            for step in stage.steps:
                assert filled(step.source, card.values) in told
                assert re.search(re.escape(filled(step.text, card.values)) + r"\s*\[\d+\]", text)


def test_every_step_of_the_data_has_a_source_and_says_something():
    steps = [step for stage in stages() for step in stage.steps]
    assert len({step.step for step in steps}) == len(steps) > 30
    assert all(step.source and step.text.endswith((".", "}.")) for step in steps)


def test_every_tag_of_the_data_is_one_that_placements_have():
    """A tag that nothing ever carries would keep its step from every sheet."""
    from seatplan.solver import installing
    from seatplan.solver.orders import Kind, Word

    source = (installing.__file__ or "")
    with open(source, encoding="utf-8") as file:
        text = file.read()
    known = set(re.findall(r'^        "([a-z-]+)":', text, re.MULTILINE)) | {"recline-range", "recline-settings"}
    known |= {f"{kind}-{word}" for kind in get_args(Kind) for word in get_args(Word)}
    used = {tag for stage in stages() for step in stage.steps for tag in (*step.when, *step.unless)}
    assert used <= known


def names_of(card: Card) -> set[str]:
    return {step.step for stage in card.stages for step in stage.steps}


def test_steps_of_a_rear_facing_shell_on_the_belt():
    wren = next(card for card in carded("three-across-school-run") if card.placement.rider.rider == "Wren")
    assert {"level-ground", "belt-path-rear", "lock-off", "movement", "recline-read", "connectors-stowed",
            "straps-below", "head-below-top", "gap-ahead"} <= names_of(wren)
    assert not {"straps-above", "tether", "connectors-flexible", "lap-part", "switch-retractor"} & names_of(wren)
    assert [wren.values[name].value for name in ("setting", "angle", "low", "high")] == [32, 33, 30, 45]


def test_steps_of_a_forward_facing_harness_on_bars_with_tether():
    oslo = next(card for card in carded("three-across-school-run") if card.placement.rider.rider == "Oslo")
    assert {"connectors-flexible", "tether", "movement", "straps-above", "ears-below-top"} <= names_of(oslo)
    assert not {"straps-below", "belt-path-forward", "tether-stowed", "level-ground"} & names_of(oslo)


def test_steps_of_a_booster():
    tamsin = next(card for card in carded("three-across-school-run") if card.placement.rider.rider == "Tamsin")
    assert {"lap-part", "shoulder-part", "whole-ride"} <= names_of(tamsin)
    assert not {"movement", "pinch", "chest-clip", "press-and-tighten"} & names_of(tamsin)


def test_what_holds_on_every_ride_stands_once_on_the_cover():
    once = [step for stage in stages() if stage.once for step in stage.steps]
    assert {step.step for step in once} >= {"thick-coats", "add-ons", "loose-loads", "child-locks", "recall-check"}
    cover, *rest = Page(sheet("three-across-school-run")).sections
    assert {step.step for step in once if step.text not in cover} == {"long-sleep"}      # Wren has turned one
    assert not [step.step for step in once for page in rest if step.text in page]


def test_a_word_on_sleep_where_a_baby_faces_the_rear():
    once = {step.step: step for stage in stages() if stage.once for step in stage.steps}
    cover, *_ = Page(sheet("twins-small-hatch")).sections
    assert once["long-sleep"].text in cover


def test_the_movement_limit_is_that_of_the_rules():
    from dataclasses import replace

    solved = planned("three-across-school-run")
    limit = solved.profile.thresholds["movement_at_belt_path"]
    tighter = replace(solved, profile=replace(solved.profile, thresholds={
        **solved.profile.thresholds, "movement_at_belt_path": replace(limit, value=20.0)}))
    seen = picture(tighter, tighter.arrangements[0])
    text = sheet_html(tighter, tighter.arrangements[0], seen, cards(tighter, tighter.arrangements[0], seen), "a4")
    assert "it moves not more than 20 mm in any direction." in text         # 20 mm is no whole inch
    assert "it moves not more than 25 mm in any direction (1 inch)." in sheet("three-across-school-run")


def test_why_one_goes_in_before_another():
    """Borrowed bars, second arrangement: Rafi hangs on bars b and c at 2C, and Rosa's restraint lies over bar b."""
    solved = plan(load_trip("borrowed-bars"), load_profile("us"), DAY, top=2)
    arrangement = solved.arrangements[1]
    seen = picture(solved, arrangement)
    found = cards(solved, arrangement, seen)
    assert found[0].placement.rider.rider == "Rafi"
    text = Page(sheet_html(solved, arrangement, seen, found, "a4")).sections[0]
    assert "It goes in before Rosa's: with that in place, bar b would be covered." in text


def test_what_was_not_measured_is_something_to_check():
    texts = Page(sheet("half-measured-car")).sections
    for text, card in zip(texts[1:], carded("half-measured-car"), strict=True):
        assert card.unmeasured
        assert "Check here" in text
        for finding in card.unmeasured:
            assert f"Not measured: {finding.result.field}" in text
    assert "not everything was measured" in texts[0]


def test_what_is_close_is_something_to_check():
    trip = load_trip("three-across-school-run")
    measured = trip.vehicle.measured.model_copy(update={"tolerance": 20})
    vague = trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"measured": measured})})
    solved = plan(vague, load_profile("us"), DAY, top=200)
    arrangement = next(a for a in solved.arrangements if a.verdict == "close")
    seen = picture(solved, arrangement)
    texts = Page(sheet_html(solved, arrangement, seen, cards(solved, arrangement, seen), "a4")).sections
    assert "it is close: try it in the car" in texts[0]
    assert any("Across row 2 it is close" in text and "try it in the car" in text for text in texts[1:])


def test_pages_of_the_handbook_are_filled_in_where_known():
    trip = load_trip("three-across-school-run")
    rows = [row.model_copy(update={"positions": [
        p.model_copy(update={"manual": p.manual.model_copy(update={"page": f"p. 4{p.position}"})}) if p.manual else p
        for p in row.positions]}) for row in trip.vehicle.rows]
    known = trip.model_copy(update={"vehicle": trip.vehicle.model_copy(update={"rows": rows})})
    solved = plan(known, load_profile("us"), DAY, top=1)
    seen = picture(solved, solved.arrangements[0])
    text = sheet_html(solved, solved.arrangements[0], seen, cards(solved, solved.arrangements[0], seen), "a4")
    values = {held.get("value") for tag, held in Page(text).tags if tag == "input"}
    assert {"p. 42L", "p. 42C", "p. 42R"} <= values
    assert not any((held.get("value") or "") for tag, held in Page(sheet("three-across-school-run")).tags
                   if tag == "input")


@pytest.mark.parametrize("name", ["<b>Wren</b>", '"><script>alert(1)</script>', "</style>", "& 'co'"])
def test_a_name_is_only_ever_text(name: str):
    trip = load_trip("three-across-school-run")
    riders = [r.model_copy(update={"rider": name}) if r.rider == "Wren" else r for r in trip.riders]
    renamed = trip.model_copy(update={"riders": riders, "wishes": [], "installed": {}, "trip": name})
    solved = plan(renamed, load_profile("us"), DAY, top=1)
    seen = picture(solved, solved.arrangements[0])
    text = sheet_html(solved, solved.arrangements[0], seen, cards(solved, solved.arrangements[0], seen), "a4")
    read = Page(text)
    assert not {tag for tag, _ in read.tags} & {"b", "script"}
    assert any(name in section for section in read.sections)
    assert len([tag for tag, _ in read.tags if tag == "style"]) == 1


def test_paper_and_same_bytes():
    assert "size: A4 portrait" in sheet("tall-driver")
    assert "size: letter portrait" in sheet("tall-driver", "letter")
    solved = planned("tall-driver")
    seen = picture(solved, solved.arrangements[0])
    again = sheet_html(solved, solved.arrangements[0], seen, cards(solved, solved.arrangements[0], seen), "a4")
    assert again == sheet("tall-driver")


def test_every_caution_of_the_arrangement_stands_somewhere_on_the_sheet():
    [loaded] = trip_in_vehicles("school-run-second-car", ["pipkin-hatch"])[-1:]
    solved = plan(loaded.trip, load_profile("us"), DAY, top=1)
    best = solved.arrangements[0]
    seen = picture(solved, best)
    cover, *pages = Page(sheet_html(solved, best, seen, cards(solved, best, seen), "a4")).sections
    noted = {finding.rule for finding in findings_of(best) if finding.outcome == "caution"}
    assert noted == {"child-before-airbag", "front-seat-under-13", "side-airbag-in-seat"}
    assert "Tamsin, aged 8, rides in front while 2C is free or holds somebody older" in cover
    [own] = [text for text in pages if "1R Tamsin" in text]
    assert "the front airbag at 1R is active" in own
    assert "There is a front airbag before this seat." in own
    assert "a side airbag is in the seat at 1R" in own


@EVERY_TRIP
def test_no_caution_is_lost(name: str):
    told = " ".join(" ".join(Page(sheet(name)).sections).split())
    for line in cautions_said(planned(name).arrangements[0]):
        about, _, _ = line.removeprefix("caution: ").rpartition(" (")
        said = re.escape(about.rpartition(": ")[2])
        assert re.search(said.replace(re.escape("this seat"), "(this seat|[1-9][LCR])"), told)       # on its own card


def test_the_recline_is_told_by_its_place_among_the_settings():
    text = " ".join(" ".join(Page(sheet("three-across-school-run")).sections).split())
    [nook] = [card for card in carded("three-across-school-run") if card.placement.rear_facing]
    assert nook.placement.mode is not None
    assert nook.placement.mode.recline is not None
    assert sorted(nook.placement.mode.recline.settings) == [32, 38, 45]
    assert "Set the recline to setting 1 of 3, counted from the most upright: the one of 32 degrees" in text


@EVERY_TRIP
def test_everything_to_measure_stands_on_the_sheet(name: str):
    told = " ".join(" ".join(Page(sheet(name)).sections).split())
    missing = [f for f in findings_of(planned(name).arrangements[0]) if f.outcome == "unmeasured"]
    assert [f.rule for f in missing if f.result.how not in told] == []


def test_what_is_to_measure_about_somebody_without_a_restraint_is_a_box_on_the_cover():
    cover, *pages = Page(sheet("half-measured-car")).sections
    line = "1L: the belt of this seat: look whether it has a lap and a shoulder part (no-belt: fine if lap-shoulder)"
    assert line in cover
    assert not any(line in page for page in pages)


def test_bars_that_nobody_looked_for_are_not_told_as_none():
    held = [card for card in carded("half-measured-car") if card.placement.on_lower_anchors]
    assert [card.placement.bars for card in held] == [()]
    [own] = [page for page in Page(sheet("half-measured-car")).sections if "bars still to be found" in page]
    assert "Hook both connectors to bars ____." in own
