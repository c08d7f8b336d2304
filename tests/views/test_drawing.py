"""Rows in characters: to scale, nested shells, narrow boxes, one seat, three rows, what was not measured."""

from __future__ import annotations

from dataclasses import replace

import pytest
from planned import planned

from seatplan.model import Row
from seatplan.views.drawing import Box, draw, draw_row
from seatplan.views.text import WIDTH
from seatplan.views.words import SHORT_MODES

MARGIN = 11          # label and left wall


def row_of(number: int = 2, width: int = 1600, seats: str = "LCR") -> Row:
    return Row.model_validate({
        "row": number, "trim": [{"name": "door", "left": 0, "right": width}],
        "positions": [{"position": f"{number}{side}"} for side in seats]})


def bare(box: Box, *others: Box, row: Row | None = None, columns_per_mm: float = 0.05) -> list[str]:
    """The lines of a row of 80 columns between its walls."""
    drawn = draw_row(row or row_of(), [box, *others], columns_per_mm)
    lines = [line.partition("|")[2].rpartition("|")[0] for line in drawn.lines]
    assert {len(line) for line in lines} == {len(lines[0])}
    return lines


def test_edges_stand_to_scale():
    top, text, bottom = bare(Box("2L", 400, 800, ("2L Ada",)))
    assert top == bottom == " " * 20 + "+" + "-" * 18 + "+" + " " * 40
    assert text == " " * 20 + "| 2L Ada" + " " * 11 + "|" + " " * 40


def test_bodies_that_touch_stand_side_by_side():
    top, *_ = bare(Box("2L", 200, 600, ("2L",)), Box("2C", 600, 1000, ("2C",)))
    assert top.strip() == "+" + "-" * 18 + "++" + "-" * 18 + "+"


def test_what_nested_shells_share_is_marked_and_the_rest_is_to_scale():
    top, text, _ = bare(Box("2L", 200, 660, ("2L Ada", "rear-facing")), Box("2C", 600, 1000, ("2C Bo",)))[:3]
    assert top.index("#") == 30
    assert top.rindex("#") == 32
    assert top.rindex("+") == 49
    assert text[30:33] == "###"
    assert "2L Ada" in text[:30]
    assert "2C Bo" in text[33:]


def test_a_mark_shows_the_way_a_rider_faces():
    top, _, bottom = bare(Box("2L", 200, 600, ("2L",), "forward"), Box("2C", 700, 1100, ("2C",), "rear"))
    assert top.count("^") == 1
    assert top.index("^") == 20
    assert bottom.count("v") == 1
    assert bottom.index("v") == 45


def test_a_narrow_box_cuts_its_text():
    _, text, _ = bare(Box("2L", 400, 560, ("2L Bartholomew",)))
    assert text.strip() == "| 2L ..|"


def test_a_sliver_is_still_a_box():
    top, text, _ = bare(Box("2L", 1590, 1600, ("2L Ada",)))
    assert top.endswith("+--+")
    assert text.endswith("|..|") or text.endswith("| .|")


def test_dots_for_what_was_not_measured():
    drawn = draw_row(row_of(), [Box("2L", 400, 800, ("2L Ada",), guessed=True)], 0.05)
    assert drawn.guessed
    assert drawn.lines[0].count(".") == 20
    assert drawn.lines[1].count(":") == 2


def test_nothing_is_said_to_nest_where_a_width_is_unknown():
    """Two boxes share 100 mm: ## where all is known, ?? where one is drawn at a guess or the row is not known."""
    one, other = Box("2L", 400, 800, ("2L Ada",)), Box("2C", 700, 1100, ("2C Bo",))
    known = draw_row(row_of(), [one, other], 0.05)
    assert (known.nested, known.unknown) == (True, False)
    for drawn in (draw_row(row_of(), [replace(one, guessed=True), other], 0.05),
                  draw_row(row_of(), [one, other], 0.05, unsure=True)):
        assert (drawn.nested, drawn.unknown) == (False, True)
        assert "??" in "".join(drawn.lines)
        assert "#" not in "".join(drawn.lines)


def test_a_free_seat_without_room_is_named_instead_of_drawn():
    boxes = [Box("2L", 0, 780, ("2L",)), Box("2C", 780, 820, ("2C free",), free=True),
             Box("2R", 820, 1600, ("2R",))]
    drawn = draw_row(row_of(), boxes, 0.05)
    assert drawn.left_out == ["2C"]
    assert "2C" not in "".join(drawn.lines)


def test_a_row_with_one_seat():
    top, text, _ = bare(Box("2C", 600, 1000, ("2C Ada",)), row=row_of(seats="C"))
    assert top.strip() == "+" + "-" * 18 + "+"
    assert "2C Ada" in text


def test_a_wall_that_nobody_measured_is_dotted():
    row = Row.model_validate({"row": 1, "positions": [{"position": "1L"}, {"position": "1R"}]})
    drawn = draw_row(row, [Box("1L", 100, 500, ("1L Ada",))], 0.05)
    assert drawn.lines[1].startswith("row 1")
    assert drawn.lines[1].rstrip().endswith(":")
    assert "mm" not in "".join(drawn.lines)          # no width is claimed


def test_three_rows_share_one_scale():
    solved = planned("nine-seat-shuttle")
    lines = draw(solved.arrangements[0], solved.trip).splitlines()
    assert [line[:5] for line in lines if line.startswith("row")] == ["row 1", "row 2", "row 3"]
    assert max(map(len, lines)) <= WIDTH
    for seat in solved.arrangements[0].seats:
        assert any(f"{seat.placement.position.position} {seat.placement.rider.rider}" in line for line in lines)


def test_the_narrowest_row_of_a_car_is_drawn_narrower():
    solved = planned("borrowed-bars")
    widths = {}
    for line in draw(solved.arrangements[0], solved.trip).splitlines():
        if line.startswith("row "):
            widths[line[:5]] = line.rindex("|") - line.index("|") - 1
    trims = {f"row {row.row}": row.trim[0].right - row.trim[0].left for row in solved.trip.vehicle.rows}
    widest = max(trims, key=trims.__getitem__)
    for row, width in widths.items():
        assert abs(width / widths[widest] - trims[row] / trims[widest]) < 0.02


def test_bodies_of_every_bundled_trip_lie_where_the_witness_has_them():
    """The edges of each box, counted in columns, are those of the witness to within a column."""
    solved = planned("three-across-school-run")
    for arrangement in solved.arrangements:
        lines = draw(arrangement, solved.trip).splitlines()
        for shown in arrangement.rows:
            text = next(line for line in lines if line.startswith(f"row {shown.row.row}"))
            start, end = text.index("|"), text.rindex("|")
            door = shown.row.trim[0]
            per_mm = (end - start - 1) / (door.right - door.left)
            for seat in shown.seats:
                at = text.index(f"{seat.placement.position.position} ") - start - 3
                left = (seat.across_mm - seat.width_mm / 2 - door.left) * per_mm
                assert -1 <= at - left <= 4        # a shared strip pushes the text to the right


@pytest.mark.parametrize("name", ["three-across-school-run", "half-measured-car", "nine-seat-shuttle", "taxi-ride",
                                  "twins-small-hatch", "two-seater-airbag-off"])
def test_a_low_drawing_leaves_out_names_of_restraints_and_nothing_else(name: str):
    """Boxes, walls and the way riders face stand where they stand in the high one; so does who sits where and how."""
    solved = planned(name)
    best = solved.arrangements[0]
    high, low = (draw(best, solved.trip, low=low).splitlines() for low in (False, True))
    assert len(low) < len(high)
    edges = [[line[MARGIN - 1:] for line in lines if "+-" in line or ".-" in line] for lines in (high, low)]
    assert edges[0] == edges[1]
    for seat in best.seats:
        placement = seat.placement
        assert any(f"{placement.position.position} {placement.rider.rider}"[:8] in line for line in low)
        if placement.restraint is not None:
            assert any(SHORT_MODES[placement.mode_name][:8] in line for line in low)
            assert not any(f"| {placement.restraint.restraint} " in line for line in low)
