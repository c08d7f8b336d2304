"""A seat that only says that it has bars, or a tether anchor, takes those of its row that no other seat names."""

from __future__ import annotations

from typing import Any

from seatplan.model import Row


def row(bars: list[dict[str, Any]] | None, seats: list[dict[str, Any]], **more: Any) -> Row:
    listed = {} if bars is None else {"lower_anchors": bars}
    return Row.model_validate({"row": 2, "positions": seats, **listed, **more})


def test_without_a_list_each_has_bars_of_its_own() -> None:
    made = row(None, [{"position": "2L", "lower_anchors": "yes"}, {"position": "2R", "lower_anchors": "yes"}])
    assert [seat.lower_anchors for seat in made.positions] == [("a", "b"), ("c", "d")]
    assert made.lower_anchors is not None
    assert [(bar.bar, bar.across) for bar in made.lower_anchors] == [("a", None), ("b", None), ("c", None), ("d", None)]


def test_bars_that_were_measured_later_are_those_of_the_seats_from_left_to_right() -> None:
    bars = [{"bar": name, "across": across} for name, across in (("w", 160), ("x", 440), ("y", 1060), ("z", 1340))]
    made = row(bars, [{"position": "2L", "lower_anchors": "yes"}, {"position": "2R", "lower_anchors": "yes"}])
    assert [seat.lower_anchors for seat in made.positions] == [("w", "x"), ("y", "z")]
    assert made.lower_anchors is not None
    assert len(made.lower_anchors) == 4


def test_bars_that_another_seat_names_are_not_taken() -> None:
    bars = [{"bar": "a", "across": 160}, {"bar": "b", "across": 440}]
    made = row(bars, [{"position": "2L", "lower_anchors": ["a", "b"]}, {"position": "2R", "lower_anchors": "yes"}])
    assert [seat.lower_anchors for seat in made.positions] == [("a", "b"), ("c", "d")]


def test_a_tether_anchor_that_was_measured_later_is_its_own() -> None:
    made = row(None, [{"position": "2L", "tether": "yes"}, {"position": "2R", "tether": "yes"}],
               tethers=[{"tether": "left", "across": 300}])
    assert [seat.tether for seat in made.positions] == ["left", "t1"]
    assert made.tethers is not None
    assert [tether.tether for tether in made.tethers] == ["left", "t1"]
