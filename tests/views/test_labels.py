"""No label of a drawing stands over another one, nor over a line that is not its own: of all bundled trips, and of rows
that are made tight at random."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any
from xml.etree import ElementTree

import pytest
from drawn import pictured
from labels import Seen, crossed, overlapping, seen, strokes
from planned import FITTING, planned
from shapely import LineString, box

from seatplan.solver.picture import BodySeen, GapSeen, RowSeen, SideSeen
from seatplan.views.manner import speaking
from seatplan.views.svg.gaps import labels as gap_labels
from seatplan.views.svg.gaps import spread
from seatplan.views.svg.ink import Page, Panel, Pen
from seatplan.views.svg.plan import page_for, plan_svg
from seatplan.views.svg.row import row_panel
from seatplan.views.svg.side import side_panel

EVERY_TRIP = pytest.mark.parametrize("name", FITTING)
SPEAKING = pytest.mark.parametrize(("lang", "units"), [("en", "metric"), ("es", "metric"), ("en", "customary")])
RANDOM_ROWS, RANDOM_SIDES = 300, 150


def clear(panel: Panel, pen: Pen) -> list[Seen]:
    """All of a panel, which holds no label over a label, or over a line."""
    found = seen(panel.element, pen)
    assert overlapping(found) == []
    assert crossed(found) == []
    return found


def page_of(name: str) -> Page:
    plan = planned(name)
    return page_for(plan, plan.arrangements[0], pictured(name), "sp")


@SPEAKING
@EVERY_TRIP
def test_labels_of_bundled_trips_stand_clear(name: str, lang: str, units: str):
    with speaking(lang, units):
        page, shown = page_of(name), pictured(name)
        panels = [row_panel(row, planned(name).trip, page) for row in shown.rows]
        panels += [side_panel(side, page) for side in shown.sides]
        for panel in panels:
            assert panel.unwritten == ()
            assert len([one for one in clear(panel, page.pen) if one.kind == "label"]) > 2


@pytest.mark.parametrize("paper", [False, True])
@EVERY_TRIP
def test_so_they_do_in_a_whole_drawing(name: str, paper: bool):
    plan = planned(name)
    root = ElementTree.fromstring(plan_svg(plan, plan.arrangements[0], pictured(name), paper=paper))
    for element in root.iter():
        element.tag = element.tag.rpartition("}")[2]
    found = seen(root, page_of(name).pen)
    assert len(found) > 50
    assert overlapping(found) == []
    assert crossed(found) == []


def test_of_each_restraint_in_front_of_its_neighbours():
    """The small drawings of a sheet, where the others stand back."""
    for name in ("three-across-school-run", "nine-seat-shuttle"):
        for row in pictured(name).rows:
            for body in row.bodies:
                page = replace(page_of(name), focus=body.placement.rider.rider)
                clear(row_panel(row, planned(name).trip, page, told=False), page.pen)


def tight_rows(most: int) -> Iterator[tuple[str, RowSeen]]:
    """Rows of bundled trips with everything pushed about: bodies over each other, bars and anchors anywhere, more gaps
    than there is room for."""
    for seed in range(most):
        rng = Random(seed)
        name = rng.choice(FITTING)
        row = rng.choice([row for row in pictured(name).rows if row.shown is not None])
        yield name, _pushed(row, rng)


def _pushed(seen_row: RowSeen, rng: Random) -> RowSeen:
    row = seen_row.row
    bars = [bar if bar.across is None else bar.model_copy(update={"across": bar.across + rng.randint(-80, 80)})
            for bar in row.lower_anchors or ()]
    tethers = [tether.model_copy(update={
        "across": None if tether.across is None else tether.across + rng.randint(-150, 150),
        "along": rng.choice([None, -rng.randint(20, 500)])}) for tether in row.tethers or ()]
    gaps = list(seen_row.gaps)
    for _ in range(rng.randint(0, 8)):
        start = rng.uniform(0, 1300)
        gaps.append(GapSeen(("this", "that"), start, start + rng.choice([0, 5, 20, 70, rng.uniform(-10, 300)]),
                            rng.choice([None, (rng.uniform(0, 200), rng.uniform(200, 600))]), None,
                            rng.random() < 0.4, ("one", "other"), False))
    return replace(seen_row, row=row.model_copy(update={"lower_anchors": bars or None, "tethers": tethers or None}),
                   bodies=tuple(_moved(body, rng) for body in seen_row.bodies), gaps=tuple(gaps))


def _moved(body: BodySeen, rng: Random) -> BodySeen:
    scale = rng.choice([0.6, 0.8, 1, 1, 1.1])
    parts = tuple(replace(part, width_mm=None if part.width_mm is None else round(part.width_mm * scale))
                  for part in body.parts)
    across = None if body.across_mm is None else body.across_mm + rng.randint(-60, 60)
    return replace(body, across_mm=across, parts=parts)


def test_labels_of_tight_rows_stand_clear():
    written, unwritten, gaps = 0, 0, 0
    for name, row in tight_rows(RANDOM_ROWS):
        page = page_of(name)
        panel = row_panel(row, planned(name).trip, page)
        found = clear(panel, page.pen)
        labels = [one.said for one in found if one.kind == "label"]
        for i, _gap in enumerate(row.gaps):               # each gap has its label
            assert any(said.startswith(f"{chr(65 + i)} ") for said in labels)
        said = " ".join(labels)
        assert all(missing in said for missing in panel.unwritten), "what has no room is told below"
        written += len(labels)
        unwritten += len(panel.unwritten)
        gaps += len(row.gaps)
    assert gaps > 5 * RANDOM_ROWS
    assert written > 10 * RANDOM_ROWS
    assert unwritten < 0.02 * written


def _leaning(side: SideSeen, rng: Random) -> SideSeen:
    """A shell that stands elsewhere, with a seat ahead that is nearer or further."""
    by = rng.randint(-80, 160)
    parts = tuple(part if part.outline is None else replace(part, outline=tuple(
        (x + by, y + rng.choice([0, 15])) for x, y in part.outline)) for part in side.body.parts)
    near = side.nearest
    if near is not None:
        reach = near.reach_mm + by
        near = replace(near, reach_mm=reach, free_mm=max(near.free_mm, reach) + rng.choice([0, 3, 60, 200]),
                       tight=rng.random() < 0.5)
    ahead = rng.choice([0, 0, 40, 150])
    return replace(side, body=replace(side.body, parts=parts), nearest=near, stands_mm=side.stands_mm + ahead)


def test_labels_of_shells_from_the_side_stand_clear():
    sides = [(name, side) for name in FITTING for side in pictured(name).sides]
    assert len(sides) > 5
    for seed in range(RANDOM_SIDES):
        rng = Random(seed)
        name, side = rng.choice(sides)
        page = page_of(name)
        panel = side_panel(_leaning(side, rng), page)
        clear(panel, page.pen)
        assert panel.unwritten == ()


def test_lines_to_labels_never_cross():
    """In lanes each line keeps the order of the gaps at every height."""
    for name, row in tight_rows(RANDOM_ROWS // 3):
        page = page_of(name)
        panel = row_panel(row, planned(name).trip, page, told=False)
        down = [path for path in panel.element.iter("path")
                if path.get("class") == "thin" and path.get("data-leads-to") is None]
        lines = [LineString(points) for path in down for points, _ in strokes(path.get("d", ""))]
        assert len(lines) == len(row.gaps)
        below = [line.intersection(box(-1e4, line.bounds[1] + 1, 1e4, 1e4)) for line in lines]
        for i, line in enumerate(below):
            assert not any(line.crosses(other) for other in below[i + 1:])


@pytest.mark.parametrize(("wanted", "widths", "placed"), [
    ([100], [50], [100]),
    ([10], [50], [25]),                                   # inside the left edge
    ([290], [50], [275]),                                 # and the right one
    ([100, 100], [50, 50], [69, 131]),                    # 12 mm between them, as near as can be
    ([100, 200], [50, 50], [100, 200]),
    ([150, 150, 150], [40, 40, 40], [98, 150, 202]),
])
def test_things_are_spread_by_hand(wanted: list[float], widths: list[float], placed: list[float]):
    assert spread(wanted, widths, 0, 300) == pytest.approx(placed)


def test_too_many_go_to_more_lanes():
    assert spread([1, 2, 3], [120, 120, 120], 0, 300) is None
    gaps = [GapSeen(("a", "b"), x, x + 10, None, None, False, ("one", "other"), False) for x in range(100, 1300, 100)]
    lanes: dict[int, Any] = {}
    for label in gap_labels(gaps, Pen(50), 0, 1500):
        lanes.setdefault(label.lane, []).append((label.at[-1] - label.width / 2, label.at[-1] + label.width / 2))
    assert len(lanes) > 1
    for spans in lanes.values():
        assert all(before[1] < after[0] for before, after in zip(sorted(spans), sorted(spans)[1:], strict=False))
        assert min(spans)[0] >= 0
        assert max(spans)[1] <= 1500
