"""The report as a file: verdict first, every section, nothing from elsewhere, readable without its script, small."""

from __future__ import annotations

import re
from functools import cache

import pytest
from pages import Page
from planned import DAY, TRIPS, planned

from seatplan.files.load import load_trip, shelf
from seatplan.rules.load import load_profile
from seatplan.solver.explain import explain
from seatplan.solver.picture import picture, varied
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.views.caution import CAUTION
from seatplan.views.grid_text import square_word
from seatplan.views.report.report import SECTIONS, report_html

EVERY_TRIP = pytest.mark.parametrize("name", TRIPS)
#: these take seconds to explain, and are like another one
QUICK = [name for name in TRIPS if planned(name).arrangements or name == "two-children-one-tether"]


def written(solved: Plan, most: int = 2) -> str:
    explained = None if solved.arrangements else explain(solved, shelf())
    pictures = {a.rank: picture(solved, a) for a in varied(solved, most)}
    return report_html(solved, pictures, explained, "TRIP")


@cache
def report(name: str) -> str:
    return written(planned(name))


@pytest.mark.parametrize("name", QUICK)
def test_verdict_first_then_sections_with_headings(name: str):
    text = report(name)
    page = Page(text)
    assert text.index('class="verdict"') < text.index("<main>")
    assert text.count(CAUTION) >= 2
    ids = page.ids
    assert len(ids) == len(set(ids))
    sections = [held["id"] for tag, held in page.tags if tag == "section"]
    for section in sections:
        assert f"{section}-head" in ids
    links = {held["href"] for tag, held in page.tags if tag == "a"}
    assert links <= {f"#{i}" for i in ids}
    assert {f"#{s}" for s in sections if s != "choose"} <= links
    assert "grid" in sections


@pytest.mark.parametrize("name", QUICK)
def test_one_file_and_small(name: str):
    text = report(name)
    assert len(text.encode()) < 1_000_000
    assert set(re.findall(r"(?:https?:)?//[^\"'\s<]+", re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL))) <= {
        "http://www.w3.org/2000/svg"}
    assert not {tag for tag, _ in Page(text).tags} & {"link", "img", "iframe", "object", "base"}
    assert "src" not in {name for _, held in Page(text).tags for name in held}
    script = re.search(r"<script>(.*?)</script>", text, re.DOTALL)
    assert script is not None
    for word in ("fetch", "XMLHttpRequest", "import(", "innerHTML", "eval(", "localStorage"):
        assert word not in script[1]


def test_what_only_a_script_can_do_is_hidden_without_it():
    page = Page(report("three-across-school-run"))
    hidden = [held.get("id") for _, held in page.tags if "hidden" in held]
    assert hidden == ["choose"]


@pytest.mark.parametrize("name", QUICK)
def test_every_square_of_the_grid_with_its_reasons(name: str):
    solved = planned(name)
    cells = {(held["data-rider"], held["data-seat"]): held for tag, held in Page(report(name)).tags
             if tag == "td" and "data-seat" in held}
    for (r, p), square in solved.squares.items():
        cell = cells[str(r), solved.choices.positions[p].position]
        assert cell["data-word"] == square_word(square, solved.tally.complete)
        blocked = not square.allowed and not solved.strict
        assert not blocked or cell["data-why"], "a no has a reason"
    assert len(cells) == len(solved.squares)


def test_lines_carry_the_seats_that_the_script_filters_by():
    solved = planned("three-across-school-run")
    held = [h["data-at"] for tag, h in Page(report("three-across-school-run")).tags if tag == "tr" and "data-at" in h]
    want = []
    for arrangement in solved.arrangements:
        seats = {s.placement.rider.rider: s.placement.position.position for s in arrangement.seats}
        want.append(" ".join(seats[rider.rider] for rider in solved.trip.riders))
    assert held == want


def test_where_nothing_fits_it_says_why_and_what_would_change_it():
    page = Page(report("two-children-one-tether"))
    sections = [held["id"] for tag, held in page.tags if tag == "section"]
    assert sections[:2] == ["conflict", "repairs"]
    assert "best" not in sections
    assert "Nothing fits" in report("two-children-one-tether")
    assert all(len(text.split()) > 10 for text in page.sections[:2])


def test_what_was_not_measured_has_a_section():
    page = Page(report("half-measured-car"))
    text = next(text for text in page.sections if text.startswith("Not measured yet"))
    assert "whether the belt" in text


@pytest.mark.parametrize("name", ["<b>Wren</b>", '"><script>alert(1)</script>', "</script>", "& 'co'"])
def test_a_name_is_only_ever_text(name: str):
    trip = load_trip("three-across-school-run")
    riders = [r.model_copy(update={"rider": name}) if r.rider == "Wren" else r for r in trip.riders]
    renamed = trip.model_copy(update={"riders": riders, "wishes": [], "current": {}, "trip": name})
    page = Page(written(plan(renamed, load_profile("us"), DAY, top=2)))
    tags = [tag for tag, _ in page.tags]
    assert "b" not in tags
    assert tags.count("script") == 1
    assert any(name in text for text in page.sections)


def test_same_input_same_bytes():
    assert written(planned("twins-small-hatch")) == report("twins-small-hatch")


def test_sections_are_a_plain_list_to_add_to():
    assert [make.__name__ for make in SECTIONS] == [
        "conflict", "repairs", "best", "everything", "who_where", "measuring", "why_not"]


def test_drawn_are_the_best_three_and_the_best_for_each_rider_and_seat():
    solved = plan(load_trip("three-across-school-run"), load_profile("us"), DAY, top=None)
    ranks = [a.rank for a in varied(solved, 100)]
    assert ranks[:3] == [1, 2, 3]
    assert ranks == sorted(ranks)
    covered = {(s.placement.rider.rider, s.placement.position.position)
               for a in solved.arrangements if a.rank in ranks for s in a.seats}
    everything = {(s.placement.rider.rider, s.placement.position.position)
                  for a in solved.arrangements for s in a.seats}
    assert covered == everything
    assert len(varied(solved, 5)) == 5
