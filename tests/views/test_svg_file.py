"""The SVG as a file: titles, real text, escaping, contrast, the same bytes, letters large enough to read."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from drawn import NS, drawn, pictured
from planned import DAY, FITTING, planned

from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.solver.picture import picture
from seatplan.solver.plan import plan
from seatplan.views.caution import CAUTION
from seatplan.views.markup import el, html_file, svg_file
from seatplan.views.notes_text import findings_of
from seatplan.views.svg.plan import plan_svg

EVERY_TRIP = pytest.mark.parametrize("name", FITTING)
PHONE_PX = 360


@EVERY_TRIP
def test_title_description_and_caution(name: str):
    root = drawn(name)
    title, about = root.find(f"{NS}title"), root.find(f"{NS}desc")
    assert title is not None
    assert about is not None
    assert planned(name).trip.trip in (title.text or "")
    for seat in planned(name).arrangements[0].seats:
        assert seat.placement.rider.rider in (about.text or "")
    assert CAUTION in (about.text or "")
    assert "Caution:" in " ".join(text for t in root.iter(f"{NS}text") for text in t.itertext())


@EVERY_TRIP
def test_letters_are_large_enough_for_a_phone(name: str):
    root = drawn(name)
    px_per_mm = PHONE_PX / float(root.get("viewBox", "").split()[2])
    sizes = {float(t.get("font-size", "0")) * px_per_mm for t in root.iter(f"{NS}text")}
    assert min(sizes) > 9.5                                     # px; most are 11 or 12


@EVERY_TRIP
def test_it_is_as_wide_as_a_phone_and_as_high_as_that_makes_it(name: str):
    """Without a size of its own a viewer would make it as high as its window."""
    root = drawn(name)
    *_, wide, high = map(float, root.get("viewBox", "").split())
    assert root.get("width") == str(PHONE_PX)
    assert float(root.get("height", "0")) == pytest.approx(PHONE_PX * high / wide, abs=1)


@EVERY_TRIP
def test_every_panel_says_where_the_front_of_the_car_is(name: str):
    for root in (drawn(name), drawn(name, paper=True)):
        rows = [g for g in root.iter(f"{NS}g") if g.get("data-row")]
        sides = [g for g in root.iter(f"{NS}g") if g.get("data-side")]
        assert rows
        for panels, towards in ((rows, "up"), (sides, "right")):
            for panel in panels:
                marks = [g for g in panel.iter(f"{NS}g") if g.get("data-front")]
                assert [(mark.get("data-front"), "".join(mark.itertext()).strip()) for mark in marks] == [
                    (towards, "front")]


@EVERY_TRIP
def test_on_paper_it_fits_a4_and_letter(name: str):
    root = drawn(name, paper=True)
    wide, high = (float((root.get(side) or "").removesuffix("mm")) for side in ("width", "height"))
    assert wide <= 190 + 6
    assert high <= 254 + 6
    assert wide >= 120 or high >= 200                           # and is not left small


@EVERY_TRIP
def test_nothing_is_loaded_from_elsewhere(name: str):
    text = plan_svg(planned(name), planned(name).arrangements[0], pictured(name))
    urls = set(re.findall(r"(?:https?:)?//[^\"'\s]+", text))
    assert urls <= {"http://www.w3.org/2000/svg"}
    assert "href" not in text
    assert "<script" not in text
    assert "@import" not in text


@EVERY_TRIP
def test_ids_are_there_once_and_every_hatch_is_defined(name: str):
    root = drawn(name)
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    used = {ref for e in root.iter() for value in e.attrib.values() for ref in re.findall(r"url\(#([\w-]+)\)", value)}
    assert used <= set(ids)


def test_same_input_same_bytes():
    solved = planned("twins-small-hatch")
    once = plan_svg(solved, solved.arrangements[0], picture(solved, solved.arrangements[0]))
    assert once == plan_svg(solved, solved.arrangements[0], picture(solved, solved.arrangements[0]))


@pytest.mark.parametrize("name", ["<b>Wren</b>", '"& \'', "]]>", "<!--", "&amp;", "W" * 60, "娃娃 😀"])
def test_a_name_is_only_ever_text(name: str):
    trip = load_trip("three-across-school-run")
    riders = [r.model_copy(update={"rider": name}) if r.rider == "Wren" else r for r in trip.riders]
    restraints = [r.model_copy(update={"restraint": name + "?"[:60 - len(name)]}) if r.restraint == "Nook" else r
                  for r in trip.restraints]
    renamed = trip.model_copy(update={"riders": riders, "restraints": restraints, "wishes": [], "installed": {}})
    solved = plan(renamed, load_profile("us"), DAY, top=1)
    root = ElementTree.fromstring(plan_svg(solved, solved.arrangements[0], picture(solved, solved.arrangements[0])))
    tags = {e.tag.removeprefix(NS) for e in root.iter()}
    assert tags <= {"svg", "title", "desc", "style", "defs", "pattern", "rect", "path", "circle", "line", "polyline",
                    "g", "text"}
    assert any(g.get("data-rider") == name for g in root.iter(f"{NS}g"))


def test_characters_that_no_xml_can_hold_are_replaced():
    root = el("p", "a\x00b\x0bc\ud800d", title="x\x01y")
    assert (ElementTree.fromstring(svg_file(root)).text or "").strip() == "a\ufffdb\ufffdc\ufffdd"
    assert "x\ufffdy" in html_file(el("p", title="x\x01y"))


@pytest.mark.parametrize("name", ["half-measured-car", "three-across-school-run"])
def test_a_drawing_says_what_is_still_to_measure(name: str):
    arrangement = planned(name).arrangements[0]
    missing = [f for f in findings_of(arrangement) if f.outcome == "unmeasured"]
    assert bool(missing) == (name == "half-measured-car")
    said = " ".join(" ".join(text.text or "" for text in drawn(name).iter(f"{NS}text")).split())
    assert [f.rule for f in missing if f.result.how not in said] == []
