"""What an outlook looks like: within the page, well formed, the same in words, drawing and JSON."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from families import looked
from jsonschema import Draft202012Validator

from seatplan.cli.schema import answer_schema
from seatplan.growth.outlook import Outlook
from seatplan.views.caution import CAUTION
from seatplan.views.outlook_chart import children, spans
from seatplan.views.outlook_json import outlook_json
from seatplan.views.outlook_svg import outlook_svg
from seatplan.views.outlook_text import outlook_text

SCHEMA = answer_schema("outlook")
SVG = "{http://www.w3.org/2000/svg}"
TRIPS = (("third-child-on-the-way", 2), ("two-seater-airbag-off", 4), ("tall-driver", 3))
EACH = pytest.mark.parametrize(("name", "n"), TRIPS)


def called(found: Outlook, old: str, new: str) -> Outlook:
    """The same with another name for the trip and a child, in every place that holds it."""
    trip = found.trip.model_copy(update={
        "trip": new, "riders": [r.model_copy(update={"rider": new if r.rider == old else r.rider})
                                for r in found.trip.riders]})
    steps = tuple(replace(step, doubts=(), change=None, leg=replace(step.leg, seating=None if step.leg.seating is None
                  else tuple(p._replace(rider=new if p.rider == old else p.rider) for p in step.leg.seating)))
                  for step in found.protection.steps)
    return replace(found, trip=trip, protection=replace(found.protection, steps=steps))


@EACH
def test_text_fits_the_page_and_ends_with_the_caution(name: str, n: int) -> None:
    text = outlook_text(looked(name, n), name)
    assert max(map(len, text.splitlines())) <= 100
    assert CAUTION in " ".join(text.split())
    assert f"hint: `seatplan arrange {name} --on " in text


@EACH
def test_the_spans_of_a_child_follow_without_a_gap(name: str, n: int) -> None:
    found = looked(name, n)
    for child in children(found):
        days = list(spans(found, found.protection, child))
        assert (days[0].first, days[-1].last) == (found.start, found.end)
        for before, after in pairwise(days):
            assert after.first == before.last + timedelta(1)


@EACH
def test_the_chart_says_the_letter_of_each_day(name: str, n: int) -> None:
    """Column by column, the middle day of a column lies in the span whose letter it has."""
    from seatplan.views.outlook_chart import ABSENT, LETTERS, MEASURE, NOTHING, chart

    found = looked(name, n)
    lines = chart(found, found.protection).splitlines()
    total = (found.end - found.start).days + 1
    for child in children(found):
        line = next(line for line in lines if line.startswith(child))
        margin = max(len(c) for c in children(found)) + 2
        row, columns = line[margin:], 100 - margin
        assert len(row) == columns
        for k in range(columns):
            ends = {found.start + timedelta(days=min(total - 1, d)) for d in (
                k * total // columns, ((k + 1) * total - 1) // columns)}
            there = [s for s in spans(found, found.protection, child) if any(s.first <= d <= s.last for d in ends)]
            letters = {LETTERS[s.mode] if s.mode else NOTHING if s.born else ABSENT for s in there}
            letters |= {MEASURE for s in there if s.unsure}
            assert row[k] in letters


@EACH
def test_the_drawing_is_well_formed_and_says_what_it_shows(name: str, n: int) -> None:
    found = looked(name, n)
    root = ElementTree.fromstring(outlook_svg(found))
    assert root.tag == f"{SVG}svg"
    described = root.findtext(f"{SVG}desc") or ""
    for child in children(found):
        assert child in described
    texts = [element.text for element in root.iter(f"{SVG}text")]
    assert set(children(found)) <= set(texts)
    for rect in root.findall(f"{SVG}rect"):
        assert 0 <= float(rect.get("x") or -1) <= 900
        assert float(rect.get("x") or 0) + float(rect.get("width") or 0) <= 900


def test_names_are_escaped_in_the_drawing() -> None:
    found = called(looked("two-seater-airbag-off", 4), "Pip", '<b>"&')
    root = ElementTree.fromstring(outlook_svg(found, ident='a"b'))
    assert '<b>"&' in [element.text for element in root.iter(f"{SVG}text")]
    assert not list(root.iter("b"))


@EACH
def test_json_is_as_described(name: str, n: int) -> None:
    Draft202012Validator.check_schema(SCHEMA)
    told = json.loads(json.dumps(outlook_json(looked(name, n))))
    assert [e.message for e in Draft202012Validator(SCHEMA).iter_errors(told)] == []
    told["protection"]["steps"][0]["surprise"] = 1
    assert list(Draft202012Validator(SCHEMA).iter_errors(told))


def test_what_opens_later_and_what_hangs_from_the_start_is_told() -> None:
    shut = " ".join(outlook_text(looked("two-children-one-tether", 1)).split())
    assert "Nothing at hand works up to 2027-08-31." in shut
    assert "The first change: From 2027-09-01 on something at hand works." in shut
    open_ = " ".join(outlook_text(looked("half-measured-car", 1)).split())
    assert "Whether what is at hand works hangs on what was not measured, already on the first day" in open_
    assert "likely enough" not in open_


def test_the_answer_comes_first_and_names_change_and_purchase() -> None:
    lines = outlook_text(looked("third-child-on-the-way", 2)).splitlines()
    top = " ".join(lines[3:8])
    assert "from then on nothing works" in top
    assert "The first change: Liv weighs more than 15.9 kg" in top
    assert "The first purchase: another restraint" in top


@EACH
def test_text_is_as_it_was(name: str, n: int) -> None:
    """SEATPLAN_REWRITE_GOLDEN=1 writes it anew; read the difference as a parent would."""
    file = Path(__file__).parent / "golden" / f"{name}.txt"
    text = outlook_text(looked(name, n), name)
    if os.environ.get("SEATPLAN_REWRITE_GOLDEN") == "1":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
