"""The report as a file: verdict first, every section, nothing from elsewhere, readable without its script, small."""

from __future__ import annotations

import re
from functools import cache
from html import escape

import pytest
from pages import Page
from planned import DAY, FITTING, TRIPS, planned

from seatplan.files.load import load_trip, shelf
from seatplan.rules.load import load_profile
from seatplan.solver.explain import Explanation, explain
from seatplan.solver.picture import picture, varied
from seatplan.solver.plan import plan
from seatplan.solver.results import Plan
from seatplan.views.caution import CAUTION
from seatplan.views.conflict_text import lines_of
from seatplan.views.content import plain
from seatplan.views.grid_text import square_told
from seatplan.views.manner import number
from seatplan.views.repairs_text import done_in, losses_of, notes_of, seats_of, to_try
from seatplan.views.report.report import SECTIONS, report_html
from seatplan.views.shortage_text import shortage
from seatplan.views.terminal import lines_of as laid_out
from seatplan.views.text import mm

EVERY_TRIP = pytest.mark.parametrize("name", TRIPS)
#: these take seconds to explain, and are like another one
QUICK = [*FITTING, "two-children-one-tether"]


def written(solved: Plan, most: int = 2) -> str:
    explained = None if solved.arrangements else explain(solved, shelf())
    pictures = {a.rank: picture(solved, a) for a in varied(solved, most)}
    return report_html(solved, pictures, explained, "TRIP")


@cache
def refused(name: str) -> tuple[Plan, Explanation]:
    explained = explain(planned(name), shelf())
    assert explained is not None
    return planned(name), explained


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


def test_one_is_told_as_one() -> None:
    sure = planned("i-size-family").tally.sure
    assert (sure["fits"], sure["close"]) == (1, 5)
    assert "arrangements, 1 fits, 5 are close." in report("i-size-family")


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
        assert cell["data-word"] == square_told(square, solved.tally.complete)
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


@pytest.mark.parametrize("name", ["two-children-one-tether", "three-boosters-two-belts", "three-too-wide"])
def test_a_refusal_says_what_the_text_says(name: str):
    """Every line of the text output stands in the report, as a list, a table or lines to copy."""
    solved, explained = refused(name)
    page = Page(report_html(solved, {}, explained, "TRIP"))
    told = dict(zip([held["id"] for tag, held in page.tags if tag == "section"], page.sections, strict=True))
    short = laid_out([shortage(solved, solved.shortage)]).split("\n   ") if solved.shortage else []
    for line in (*lines_of(explained.conflict.reasons), *short):
        assert " ".join(line.split()) in " ".join(told["conflict"].split())
    if explained.nearest is not None:
        squeeze = explained.nearest.squeeze
        for step in squeeze.steps:
            for addend in step.addends:
                assert f"{addend.label}{number(abs(addend.mm))}" in told["conflict"]
        assert f"short{mm(squeeze.short)}" in told["conflict"]
    assert explained.repairs.repairs
    for repair in explained.repairs.repairs:
        lines = [done_in(repair), *seats_of(repair), *losses_of(repair), *notes_of(repair),
                 *(line for head, entries in to_try(repair) for line in (head, *entries))]
        for line in lines:
            assert plain(line).replace("`", "") in told["repairs"]
    assert "seatplan room TRIP --rider" in told["repairs"]


def test_lines_to_copy_keep_their_breaks():
    solved, explained = refused("three-too-wide")
    text = report_html(solved, {}, explained, "TRIP")
    entries = [entries for repair in explained.repairs.repairs for _, entries in to_try(repair) if len(entries) > 1]
    assert entries
    for lines in entries:
        assert f"<pre>{escape(chr(10).join(lines), quote=False)}</pre>" in text


@pytest.mark.parametrize("name", ["<b>Wren</b>", "</script>", "& 'co'"])
def test_a_name_in_a_refusal_is_only_ever_text(name: str):
    trip = load_trip("two-children-one-tether")
    first = trip.riders[-1].rider
    riders = [r.model_copy(update={"rider": name}) if r.rider == first else r for r in trip.riders]
    solved = plan(trip.model_copy(update={"riders": riders, "wishes": [], "installed": {}}), load_profile("us"), DAY)
    page = Page(written(solved))
    assert "b" not in [tag for tag, _ in page.tags]
    assert any(name in text for text in page.sections[:2])


def test_what_was_not_measured_has_a_section():
    page = Page(report("half-measured-car"))
    text = next(text for text in page.sections if text.startswith("Not measured yet"))
    assert "whether the belt" in text


@pytest.mark.parametrize("name", ["<b>Wren</b>", '"><script>alert(1)</script>', "</script>", "& 'co'"])
def test_a_name_is_only_ever_text(name: str):
    trip = load_trip("three-across-school-run")
    riders = [r.model_copy(update={"rider": name}) if r.rider == "Wren" else r for r in trip.riders]
    renamed = trip.model_copy(update={"riders": riders, "wishes": [], "installed": {}, "trip": name})
    page = Page(written(plan(renamed, load_profile("us"), DAY, top=2)))
    tags = [tag for tag, _ in page.tags]
    assert "b" not in tags
    assert tags.count("script") == 1
    assert any(name in text for text in page.sections)


def test_same_input_same_bytes():
    assert written(planned("twins-small-hatch")) == report("twins-small-hatch")


def test_sections_are_a_plain_list_to_add_to():
    assert [make.__name__ for make in SECTIONS] == [
        "conflict", "repairs", "tried", "best", "changes", "timeline", "everything", "who_where", "measuring",
        "why_not"]


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


def test_each_heading_says_who_sits_where_and_what_differs_from_the_first():
    told = re.findall(r'<p class="who">([^<]*)</p>', report("three-across-school-run"))
    assert told == ["Ines 1L, Oslo 2L, Wren 2C, Tamsin 2R",
                    "Ines 1L, Oslo 2L, Wren 2C in Slim rear-facing, Tamsin 2R"]


@pytest.mark.parametrize("name", QUICK)
def test_letters_of_gaps_are_explained_below_their_drawing(name: str):
    solved = planned(name)
    if not solved.arrangements:
        return
    figures = re.findall(r"<figure>(.*?)</figure>", report(name), re.DOTALL)
    rows = [figure for figure in figures if "data-row" in figure]
    assert rows
    for figure in rows:
        letters = set(re.findall(r'data-gap="([A-Z]+)"', figure))
        caption = re.findall(r"<li>([A-Z]+) ", figure)
        assert set(caption) == letters
        assert all(re.search(rf"<li>{letter} [^<]*: [^<]* to [^<]*</li>", figure) for letter in letters)
    assert 'data-front="up"' in rows[0]


def test_names_of_seats_are_said_in_words():
    text = report("three-across-school-run")
    assert "Seats, as seen when facing forward: 1L row 1, on the left; 1R row 1, on the right; " in text
    assert "2C row 2, in the centre" in text
