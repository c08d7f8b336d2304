"""Rows from above: what is drawn in mm is what the arrangement says in mm."""

from __future__ import annotations

import pytest
from drawn import NS, drawn, edges, pictured, row_group
from planned import FITTING, MEASURED, planned

EVERY_TRIP = pytest.mark.parametrize("name", FITTING)


@EVERY_TRIP
def test_bodies_stand_where_the_witness_puts_them(name: str):
    root = drawn(name)
    seats = [seat for seat in planned(name).arrangements[0].seats
             if seat.across_mm is not None and seat.width_mm is not None]
    assert seats
    for seat in seats:
        body = next(g for g in root.iter(f"{NS}g") if g.get("data-rider") == seat.placement.rider.rider)
        parts = [edges(part) for part in body.iter(f"{NS}rect") if part.get("data-width")]
        for left, right in parts:
            assert (left + right) / 2 == pytest.approx(seat.across_mm, abs=0.1)
        assert max(right - left for left, right in parts) == pytest.approx(seat.width_mm, abs=0.1)


@EVERY_TRIP
def test_every_part_of_a_restraint_is_drawn_with_its_own_width(name: str):
    root = drawn(name)
    for seat in planned(name).arrangements[0].seats:
        mode, restraint = seat.placement.mode, seat.placement.restraint
        if mode is None or restraint is None:
            continue
        body = next(g for g in root.iter(f"{NS}g") if g.get("data-rider") == seat.placement.rider.rider)
        widths = {part.get("data-part"): edges(part) for part in body.iter(f"{NS}rect") if part.get("data-part")}
        for part in mode.parts:
            left, right = widths[f"{restraint.restraint} {part.part}"]
            assert part.width is None or right - left == pytest.approx(part.width, abs=0.1)


@EVERY_TRIP
def test_tight_gaps_are_as_wide_as_the_spare(name: str):
    for row in planned(name).arrangements[0].rows:
        if row.spare_mm is None:
            continue
        lines = [line for line in row_group(drawn(name), row.row.row).iter(f"{NS}line") if line.get("data-tight")]
        assert len(lines) == sum(step.stretch for step in row.tight)
        for line in lines:
            gap = float(line.get("x2", "nan")) - float(line.get("x1", "nan"))
            assert gap == pytest.approx(row.spare_mm, abs=0.5)           # witnesses are in half-mm
            assert gap == pytest.approx(float(line.get("data-mm", "nan")), abs=0.11)


def test_gaps_lie_between_the_edges_that_are_drawn():
    """Worked by hand: 280 + 210 = 490 and 705 - 210 = 495 are the edges, so 5 mm lie between them."""
    row = row_group(drawn("three-across-school-run"), 2)
    bodies = {g.get("data-position"): g for g in row.iter(f"{NS}g") if g.get("data-position")}
    lattice = max(edges(part)[1] for part in bodies["2L"].iter(f"{NS}rect") if part.get("data-part"))
    nook = min(edges(part)[0] for part in bodies["2C"].iter(f"{NS}rect") if part.get("data-part"))
    gap = next(line for line in row.iter(f"{NS}line") if line.get("data-to") == "Nook head-end")
    assert (lattice, nook) == (490, 495)
    assert (gap.get("x1"), gap.get("x2"), gap.get("data-mm")) == ("490", "495", "5")


@pytest.mark.parametrize("name", MEASURED)
def test_walls_bars_tethers_and_buckles_stand_where_they_were_measured(name: str):
    for row in planned(name).trip.vehicle.rows:
        group = row_group(drawn(name), row.row)
        walls = [(e.get("data-wall"), *edges(e)) for e in group.iter(f"{NS}rect") if e.get("data-wall")]
        for trim in row.trim:
            if trim.left is not None and trim.along is None:
                assert any(wall == f"left {trim.name}" and right == trim.left for wall, _, right in walls)
            if trim.right is not None and trim.along is None:
                assert any(wall == f"right {trim.name}" and left == trim.right for wall, left, _ in walls)
        bars = {e.get("data-bar"): sum(edges(e)) / 2 for e in group.iter(f"{NS}rect") if e.get("data-bar")}
        assert bars == {bar.bar: bar.across for bar in row.lower_anchors or ()}
        tethers = {e.get("data-tether"): float(e.get("cx", "nan")) for e in group.iter(f"{NS}circle")
                   if e.get("data-tether")}
        assert tethers == {t.tether: t.across for t in row.tethers or () if t.across is not None}
        buckles = {e.get("data-buckle"): sum(edges(e)) / 2 for e in group.iter(f"{NS}rect") if e.get("data-buckle")}
        assert buckles == {p.position: p.belt.buckle.across for p in row.positions
                           if p.belt and p.belt.buckle and p.belt.buckle.across is not None}


@pytest.mark.parametrize("name", MEASURED)
def test_bars_and_tethers_in_use_differ_by_more_than_colour(name: str):
    used = {bar for seat in planned(name).arrangements[0].seats for bar in seat.placement.bars}
    drawn_as = {e.get("data-bar"): e.get("class") for e in drawn(name).iter(f"{NS}rect") if e.get("data-bar")}
    assert {bar for bar, style in drawn_as.items() if style == "solid"} == used
    assert set(drawn_as.values()) <= {"solid", "hollow"}


@EVERY_TRIP
def test_the_chain_runs_from_its_first_bound_to_its_last(name: str):
    for row in pictured(name).rows:
        if row.chain is not None:
            line = next(e for e in row_group(drawn(name), row.row.row).iter() if e.get("data-chain-from"))
            assert float(line.get("data-chain-from", "nan")) == row.chain.start_mm
            assert float(line.get("data-chain-to", "nan")) == row.chain.end_mm
            tight = [gap for gap in row.gaps if gap.tight]
            assert row.chain.start_mm <= min(gap.start_mm for gap in tight)
            assert row.chain.end_mm >= max(gap.end_mm for gap in tight)


def test_a_gap_is_told_at_the_height_where_it_is_tight():
    """Lattice's wings begin 395 mm up, the armrest ends at 420 (vehicle file): they can only meet between the two."""
    said = [" ".join(t.itertext()) for t in row_group(drawn("three-across-school-run"), 2).iter(f"{NS}text")]
    assert any("left armrest to Lattice wings, 395 to 420 up" in line for line in said)


def test_an_overlap_within_what_the_tape_may_be_off_is_told_as_short():
    from seatplan.views.svg.gaps import size_of

    assert [size_of(gap) for gap in (5, 0, -7.5)] == ["5 mm", "0 mm", "7.5 mm short"]


def test_what_was_not_measured_is_dotted_and_told():
    from dataclasses import replace

    from seatplan.views.svg.ink import Page, Pen
    from seatplan.views.svg.row import row_panel

    seen = pictured("three-across-school-run").rows[1]
    body = seen.bodies[0]
    unknown = replace(body, parts=tuple(replace(part, width_mm=None) for part in body.parts))
    panel = row_panel(replace(seen, bodies=(unknown, *seen.bodies[1:])), planned("three-across-school-run").trip,
                      Page(Pen(50), 1500))
    parts = {e.get("class") for e in panel.element.iter("rect") if (e.get("data-part") or "").startswith("Lattice")}
    assert parts == {"guess"}
    fills = {e.get("fill") for e in panel.element.iter("rect") if e.get("class") == "guess" and e.get("data-part")}
    assert fills == {"url(#sp-unknown)"}
    assert "? not measured" in [t.text for t in panel.element.iter("text")]
    assert any("not measured" in (t.text or "") for t in panel.element.iter("text"))
