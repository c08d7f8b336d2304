"""The car of a trip: its rows as strips seen from above, each question where its tape goes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.app.strips import RowStrip
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.svg.strip import Tap, What, strip
from seatplan.web.fields import Typed, as_written
from seatplan.web.fields import field as asked

from .asks import Ask, car_asks, row_asks, seat_asks

#: which place of a drawing a field of a seat is, by where it stands there
_PLACES: dict[tuple[str, ...], What] = {
    ("airbag", "front"): "airbag", ("lower_anchors",): "bars", ("tether",): "tether", ("centre",): "middle",
    ("belt", "buckle", "across"): "buckle", ("ahead", "free"): "free"}


def car_questions(data: Mapping[str, Any]) -> list[Ask]:
    """Everything that is asked of a car."""
    return [*car_asks(), *(ask for k, row in _rows(data) for ask in _row_questions(k, row))]


def _row_questions(k: int, row: Mapping[str, Any]) -> Iterator[Ask]:
    if row.get("row") != 1:
        yield from row_asks(k, row)
    for n, position in _seats(row):
        yield from seat_asks(k, n, row, position)


def _rows(data: Mapping[str, Any]) -> list[tuple[int, Mapping[str, Any]]]:
    return [(k, row) for k, row in enumerate(data.get("rows") or ()) if isinstance(row, Mapping)]


def _seats(row: Mapping[str, Any]) -> list[tuple[int, Mapping[str, Any]]]:
    return [(n, seat) for n, seat in enumerate(row.get("positions") or ()) if isinstance(seat, Mapping)]


def car_part(data: Mapping[str, Any], typed: Typed, strips: Sequence[RowStrip], driver: str = "",
             heading: str = "") -> Element:
    """The car's part of a page. ``strips``: its rows to draw, none where the file holds no car that can be read;
    ``driver``: the seat with the wheel, of which nobody asks for an airbag."""
    drawn = {row.number: row for row in strips}
    return el("section", el("h2", heading or t("Car"), id="car"),
              el("div", [asked(ask, typed) for ask in car_asks()], class_="all-seats"),
              [_row(k, row, typed, drawn.get(_number(row)), driver) for k, row in _rows(data)], class_="car")


def _number(row: Mapping[str, Any]) -> int:
    told = as_written(row.get("row"))
    return int(told) if told.isdecimal() else 0


def _row(k: int, row: Mapping[str, Any], typed: Typed, drawn: RowStrip | None, driver: str) -> Element:
    front = row.get("row") == 1
    across = [] if front else list(row_asks(k, row))
    seats = [(as_written(seat.get("position")), list(seat_asks(k, n, row, seat))) for n, seat in _seats(row)]
    if front:
        seats = [(name, [] if name == driver else asks) for name, asks in seats]
    number = as_written(row.get("row"))
    return el("div", el("h3", t("Row {row}", row=number), id=f"row-{k}"),
              None if drawn is None else el(
                  "div", strip(drawn, _taps(k, seats, across, typed.prefix), f"row{k}", driver), class_="strip",
                  id=f"strip-{k}", data_live=True),
              _key() if drawn is not None and not front else None,
              el("div", [asked(ask, typed) for ask in across], class_="across") if across else None,
              el("div", [el("fieldset", el("legend", name), [asked(ask, typed) for ask in asks], class_="seat",
                            id=f"seat-{name}", data_seat=name) for name, asks in seats if asks],
                 class_=f"seats of-{len(seats)}"), class_="row front" if front else "row")


def _key() -> Element:
    return el("p", t("Full lines were measured. Dashed ones were not, and stand where they are likely. Tap a place to "
                     "answer for it."), class_="key")


def _taps(k: int, seats: Sequence[tuple[str, Sequence[Ask]]], across: Sequence[Ask],
          prefix: str) -> dict[tuple[str, What], Tap]:
    """Where each place of a drawing leads: to its question."""
    taps: dict[tuple[str, What], Tap] = {}
    for name, asks in seats:
        for ask in asks:
            place = _PLACES.get(tuple(str(step) for step in ask.path[4:]))
            if place is not None:
                taps[name, place] = _tap(f"{name}: {ask.label}", ask, prefix)
    for ask in across:
        taps["", "across"] = _tap(ask.label, ask, prefix)
    return taps


def _tap(label: str, ask: Ask, prefix: str) -> Tap:
    return Tap(f"#{prefix}{ask.name}-ask", label, prefix + ask.name)
