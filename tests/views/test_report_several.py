"""Several vehicles in one report: the overview, all of each under its own ids, what changes, escaped, small."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import pytest
from pages import Page
from planned import DAY

from seatplan.files.load import shelf
from seatplan.files.plain import trip_in_vehicles
from seatplan.message import said
from seatplan.rules.load import load_profile
from seatplan.solver.compare import Comparison, compare
from seatplan.solver.explain import explain
from seatplan.solver.picture import picture, varied
from seatplan.views.compare_text import lost_said, overview, seat_row, together
from seatplan.views.report.report import several_html
from seatplan.views.report.shown import Compared, Shown

#: where all fit, where there are too few seats, and a small one
CARS = ("marlow-saloon", "skiff-two")
LEFT_OUT = (said("left out: {what}; {why}", what="the wish for 2R", why="this car has no such position"),)


def written(found: Comparison) -> str:
    each = [Shown(one.plan, {a.rank: picture(one.plan, a) for a in varied(one.plan, 6)},
                  None if one.plan.arrangements else explain(one.plan, shelf()), f"TRIP --vehicle {n}", None,
                  Compared(found, n, LEFT_OUT if n else ())) for n, one in enumerate(found.vehicles)]
    return several_html(found, each)


def compared(name: str = "", rider: str = "Wren") -> Comparison:
    trips = [one.trip for one in trip_in_vehicles("three-across-school-run", CARS)]
    if name:
        trips = [trip.model_copy(update={
            "trip": name, "wishes": [], "installed": {},
            "riders": [r.model_copy(update={"rider": name}) if r.rider == rider else r for r in trip.riders]})
            for trip in trips]
    return compare(trips, load_profile("us"), DAY)


@cache
def found() -> Comparison:
    return compared()


@cache
def report() -> str:
    return written(found())


@cache
def told() -> dict[str, str]:
    """The text of each section, without that of sections in it."""
    page = Page(report())
    return dict(zip([h["id"] or "" for tag, h in page.tags if tag == "section"], page.sections, strict=True))


def test_the_overview_has_a_line_for_each_vehicle():
    text = told()["vehicles"]
    assert len(found().vehicles) == 3
    for n, name, *rest in overview(found()):
        assert f"{n}. {name}{''.join(rest)}" in text
    assert "to spare" in text


def test_each_vehicle_has_all_sections_under_its_own_ids():
    page = Page(report())
    assert len(page.ids) == len(set(page.ids))
    links = {held["href"] for tag, held in page.tags if tag == "a"}
    assert links <= {f"#{i}" for i in page.ids}
    assert {"#v1", "#v2", "#v3"} <= links
    for n, one in enumerate(found().vehicles, 1):
        there = {"best", "all", "grid", "why", "choose"} if one.plan.arrangements else {"conflict", "grid"}
        assert {f"v{n}-{part}" for part in there} <= set(told())
        assert ("best" in there) == (f"v{n}-a1" in page.ids)
    refs = [ref for _, held in page.tags for ref in (held.get("aria-labelledby") or "").split()]
    assert refs
    assert set(refs) <= set(page.ids)
    drawn = set(re.findall(r"url\(#([^)]+)\)", report()))
    assert drawn <= set(page.ids)


def test_landmarks_have_different_names():
    """A screen reader lists regions by name."""
    names = [held["aria-label"] for tag, held in Page(report()).tags if "aria-label" in held]
    assert len(names) == len(set(names))


def test_headings_go_one_step_deeper_at_a_time():
    levels = [int(tag[1]) for tag, _ in Page(report()).tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_what_changes_and_what_does_not_go_along():
    for n, one in enumerate(found().vehicles, 1):
        text = told()[f"v{n}-changes"]
        for change in one.changes if one.best else ():
            assert "".join(seat_row(change)) in text
        for change in one.keeps_changes:
            assert "".join(seat_row(change)) in text
        for lost in one.lost:
            assert lost_said(lost, one) in text
    assert any(one.lost for one in found().vehicles)
    assert together(LEFT_OUT)[0] in told()["v2-changes"]
    assert together(LEFT_OUT)[0] not in told()["v1-changes"]


def test_one_file_and_small():
    text = report()
    assert len(text.encode()) < 1_000_000
    assert set(re.findall(r"(?:https?:)?//[^\"'\s<]+", re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL))) <= {
        "http://www.w3.org/2000/svg"}
    tags = [tag for tag, _ in Page(text).tags]
    assert not set(tags) & {"link", "img", "iframe", "object", "base"}
    assert tags.count("script") == 1


def test_commands_name_the_vehicle():
    draws = {held["data-draw"] for _, held in Page(report()).tags if "data-draw" in held}
    assert draws <= {f"seatplan draw TRIP --vehicle {n}" for n in range(3)}
    assert len(draws) == sum(len(one.plan.arrangements) > 1 for one in found().vehicles)


@pytest.mark.parametrize("name", ["<b>Wren</b>", '"><script>alert(1)</script>'])
def test_a_name_is_only_ever_text(name: str):
    text = written(compared(name))
    page = Page(text)
    tags = [tag for tag, _ in page.tags]
    assert "b" not in tags
    assert tags.count("script") == 1
    assert len(page.ids) == len(set(page.ids))
    assert any(name in said for said in page.sections)


def test_a_plan_that_is_not_one_of_several_is_refused():
    one = found().vehicles[0]
    with pytest.raises(ValueError, match="not one of several"):
        several_html(found(), [Shown(one.plan, {}, None, "TRIP")])
