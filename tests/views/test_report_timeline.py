"""How long it lasts, in the report: the drawing of time, and a table that says the same."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from itertools import pairwise

import pytest
from pages import Page

from seatplan.files.load import load_trip
from seatplan.growth.outlook import Outlook, outlook
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.views.outlook_chart import children, spans
from seatplan.views.outlook_text import answer_lines, step_head, step_notes
from seatplan.views.report.report import report_html
from seatplan.views.words import MODES

EACH = pytest.mark.parametrize("name", ["two-seater-airbag-off", "two-children-one-tether"])


@cache
def ahead(name: str) -> Outlook:
    trip = load_trip(name)
    assert trip.on is not None
    return outlook(trip, load_profile(trip.rules), trip.on, trip.on.replace(year=trip.on.year + 3))


def written(found: Outlook | None, name: str = "two-seater-airbag-off") -> str:
    trip = found.trip if found else load_trip(name)
    assert trip.on is not None
    return report_html(plan(trip, load_profile(trip.rules), trip.on, top=1), {}, None, "TRIP", found)


def section(text: str) -> str:
    part = re.search(r'<section[^>]* id="timeline".*?</section>', text, re.DOTALL)
    assert part is not None
    return part[0]


def rows(text: str) -> list[tuple[str, date, date, str, str]]:
    """Child, first day, last day, in what, whether to measure first."""
    found = []
    child = ""
    for row in re.findall(r"<tr[^>]*>(.*?)</tr>", section(text), re.DOTALL):
        cells = re.findall(r"<t[dh][^>]*>([^<]*)</t[dh]>", row)
        if cells[0] == "child":
            continue
        if len(cells) == 5:
            child = cells.pop(0)
        found.append((child, date.fromisoformat(cells[0]), date.fromisoformat(cells[1]), cells[2], cells[3]))
    return found


@EACH
def test_the_table_says_what_the_drawing_shows(name: str):
    found = ahead(name)
    told = rows(written(found))
    assert {child for child, *_ in told} == set(children(found))
    for child in children(found):
        own = [row for row in told if row[0] == child]
        assert own[0][1] == found.start
        assert own[-1][2] == found.end
        assert all(after[1] == before[2] + timedelta(1) and before[3:] != after[3:]
                   for before, after in pairwise(own))
        for span in spans(found, found.protection, child):
            row = next(row for row in own if row[1] <= span.first <= row[2])
            assert span.last <= row[2]
            assert (MODES[span.mode] in row[3]) if span.mode else row[3] in ("nothing at hand works", "not born yet")
            assert bool(row[4]) == span.unsure


@EACH
def test_the_answer_the_days_and_the_reasons_are_told(name: str):
    found = ahead(name)
    page = Page(written(found))
    text = next(text for text in page.sections if text.startswith("How long it lasts"))
    steps = found.protection.steps
    lines = [*answer_lines(found), *(step_head(found, step) for step in steps),
             *(line for step, before in zip(steps, [None, *steps], strict=False)
               for line in step_notes(found, step, before))]
    assert len(lines) > 3
    for line in lines:
        assert line in text


@EACH
def test_the_drawing_is_part_of_the_page(name: str):
    text = written(ahead(name))
    page = Page(text)
    assert re.search(r'<svg[^>]* viewBox="0 0 900', section(text))
    assert "ns0:" not in text
    assert len(page.ids) == len(set(page.ids))
    assert {"time-title", "time-desc", "time-measure"} <= set(page.ids)
    assert "#timeline" in {held.get("href") for tag, held in page.tags if tag == "a"}


def test_without_a_look_ahead_there_is_no_timeline():
    assert "timeline" not in Page(written(None)).ids


@pytest.mark.parametrize("name", ["<b>Pip</b>", '"><script>alert(1)</script>'])
def test_a_name_is_only_ever_text(name: str):
    found = ahead("two-seater-airbag-off")
    trip = found.trip.model_copy(update={"trip": name, "riders": [
        r.model_copy(update={"rider": name}) if r.rider == "Pip" else r for r in found.trip.riders]})
    steps = tuple(replace(step, doubts=(), change=None, leg=replace(step.leg, seating=None if step.leg.seating is None
                  else tuple(p._replace(rider=name if p.rider == "Pip" else p.rider) for p in step.leg.seating)))
                  for step in found.protection.steps)
    page = Page(written(replace(found, trip=trip, protection=replace(found.protection, steps=steps))))
    tags = [tag for tag, _ in page.tags]
    assert "b" not in tags
    assert tags.count("script") == 1
    assert any(name.replace("\x01", "\ufffd") in text for text in page.sections)
