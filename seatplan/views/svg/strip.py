"""A row of seats from above, in mm to scale, before anybody rides: what is there, and the tapes that measure it.

The front of the car is on top. Along the lower edge lies one tape from the left door trim, from which every place
across is read; behind each seat ahead hangs one of its own. Full lines were measured, dashed ones were not and are
drawn where they are likely. What can be answered is a place to tap that leads to its question.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal
from xml.etree.ElementTree import Element

from seatplan.app.strips import RowStrip, SeatStrip, Spot
from seatplan.frozen import frozen
from seatplan.views.manner import customary
from seatplan.views.markup import el, plain
from seatplan.views.say import Words, t
from seatplan.views.text import bare, mm

#: what there is a question about: a seat by its name, or the row under an empty one
What = Literal["airbag", "free", "buckle", "bars", "tether", "middle", "across", "seat"]
#: how thick seatbacks, walls and tapes are drawn, mm
_BACK, _WALL, _TAPE = 110, 40, 74
#: where loops and the tape across lie behind the crease, and where the drawing ends
_LOOP, _ACROSS, _BELOW = 205, 300, 520
#: a dashboard lies so far ahead of the front seats, with the airbag in it
_DASH = 300
#: the tape ahead lies so far left of the middle, between the bars, and the name of the seat so far right of it
_ASIDE, _BESIDE = 50, 78
#: room above what is drawn ahead
_ABOVE = 70
_AIRBAGS = Words({"none": "no airbag", "active": "airbag", "switchable": "airbag, switch", "automatic": "airbag, lamp"})


@frozen
class Tap:
    """Where a place leads: ``href``, what it is called for whoever does not see it, and the ``field`` that it is."""

    href: str
    label: str
    field: str = ""


Taps = Mapping[tuple[str, What], Tap]


def strip(row: RowStrip, taps: Taps, ids: str, driver: str = "") -> Element:
    """One row as an SVG. ``driver``: the seat with the wheel; ``ids`` tells its ids from those of others."""
    ahead = _ahead(row)
    left, wide = row.left.at - _WALL - 20, row.right.at - row.left.at + 2 * _WALL + 40
    top, high = -ahead - _ABOVE, ahead + _ABOVE + (_BELOW if not row.front else _BACK + 40)
    drawn = [_walls(row, top, high, ids), *(_seat(row, seat, ids, driver) for seat in row.seats)]
    if not row.front:
        drawn += [_tape_across(row, taps, ids), *(_tape_ahead(seat, taps) for seat in row.seats if seat.ahead)]
    drawn += _zones(row, taps, ids, top, ahead)
    said = t("Row {row} from above, the front of the car on top.", row=row.number)
    return el("svg", el("title", said, id=f"{ids}-title"), _hatches(ids), drawn,
              xmlns="http://www.w3.org/2000/svg", class_="strip-drawn", role="group", aria_labelledby=f"{ids}-title",
              viewBox=f"{plain(left)} {plain(top)} {plain(wide)} {plain(high)}")


def _ahead(row: RowStrip) -> float:
    """How far ahead of the crease the drawing reaches."""
    if row.front:
        return row.length.at + _DASH
    return max([row.length.at + 60, *(seat.free.at + 60 for seat in row.seats if seat.ahead)])


def _hatches(ids: str) -> Element:
    def lines(name: str, size: int, turn: int) -> Element:
        return el("pattern", el("path", d=f"M0 0V{size}", class_="hatch-line"), id=f"{ids}-{name}", width=size,
                  height=size, patternUnits="userSpaceOnUse", patternTransform=f"rotate({turn})")

    return el("defs", lines("back", 24, -45), lines("wall", 18, 45), lines("bag", 20, 0))


def _box(left: float, top: float, right: float, bottom: float, class_: str, **more: Any) -> Element:
    return el("rect", x=left, y=top, width=right - left, height=bottom - top, class_=class_, **more)


def _known(spot: Spot) -> str:
    return "known" if spot.known else "guess"


def _word(x: float, y: float, said: str, class_: str = "word") -> Element:
    return el("text", said, x=x, y=y, text_anchor="middle", class_=class_)


def _walls(row: RowStrip, top: float, high: float, ids: str) -> Element:
    fill = f"url(#{ids}-wall)"
    return el("g", _box(row.left.at - _WALL, top, row.left.at, top + high, f"wall {_known(row.left)}", fill=fill),
              _box(row.right.at, top, row.right.at + _WALL, top + high, f"wall {_known(row.right)}", fill=fill))


def _seat(row: RowStrip, seat: SeatStrip, ids: str, driver: str) -> Element:
    left, right = seat.ends
    middle, deep = (left + right) / 2, row.length.at
    sure = "known" if seat.middle.known else "guess"
    parts = [_box(left, -deep, right, 0, f"cushion {sure}", rx=46),
             _box(left, 0, right, _BACK, f"back {sure}", rx=20, fill=f"url(#{ids}-back)"),
             _word(middle + (_BESIDE if seat.ahead and not row.front else 0), -deep * 0.52, seat.name, "name")]
    if row.front:
        parts += [_word(middle, -deep * 0.22, t("driver"), "word")] if seat.name == driver else _airbag(
            seat, middle, -deep, ids)
    else:
        parts += [*_bars(seat, middle), *_loop(seat), *_buckle(seat), *([_seat_ahead(seat, ids)] if seat.ahead else [])]
    return el("g", parts, data_seat=seat.name)


def _airbag(seat: SeatStrip, middle: float, front: float, ids: str) -> Iterator[Element]:
    """A bag ahead of the seat, what is known of it below."""
    at = front - _DASH * 0.52
    state = "guess" if seat.airbag is None else "none" if seat.airbag == "none" else "known"
    yield el("ellipse", cx=middle, cy=at, rx=130, ry=66, class_=f"bag {state}",
             fill=f"url(#{ids}-bag)" if state == "known" else "none")
    yield _word(middle, at + 122, _AIRBAGS[seat.airbag] if seat.airbag else t("airbag?"))


def _bars(seat: SeatStrip, middle: float) -> Iterator[Element]:
    if seat.has_bars == "none":
        yield _word(middle, _BACK * 0.72, t("no bars"), "word over")
        return
    spots = seat.bars or (Spot(round(middle) - 140, False), Spot(round(middle) + 140, False))
    for spot in spots:
        yield _box(spot.at - 34, -16, spot.at + 34, 16, f"bar {'known' if seat.has_bars else 'guess'}", rx=10)
    if seat.has_bars is None:
        yield _word(middle, _BACK * 0.72, t("bars?"), "word over")


def _loop(seat: SeatStrip) -> Iterator[Element]:
    at = seat.tether.at
    if seat.has_tether == "none":
        yield _word(at, _LOOP + 20, t("no loop"))
        return
    state = "known" if seat.has_tether else "guess"
    yield el("path", d=f"M{at - 42} {_LOOP + 46}V{_LOOP}a42 42 0 0 1 84 0V{_LOOP + 46}", fill="none",
             class_=f"loop {state}")
    if seat.has_tether is None:
        yield _word(at, _LOOP + 46, "?")


def _buckle(seat: SeatStrip) -> Iterator[Element]:
    """The buckle on its stalk; of a lap belt alone nothing else differs from above, so a word says it."""
    if seat.belt is not None:
        state = "known" if seat.buckle.known else "guess"
        yield el("path", d=f"M{seat.buckle.at} -4V-70", class_=f"stalk {state}", fill="none")
        yield _box(seat.buckle.at - 26, -118, seat.buckle.at + 26, -62, f"buckle {state}", rx=12)
    if seat.belt in ("lap", "none"):
        yield _word(sum(seat.ends) / 2, -150, t("lap belt") if seat.belt == "lap" else t("no belt"))


def _seat_ahead(seat: SeatStrip, ids: str) -> Element:
    """The back of the seat ahead, at the end of the free length."""
    left, right = seat.ends
    return _box(left, -seat.free.at - 60, right, -seat.free.at, f"back ahead {_known(seat.free)}", rx=24,
                fill=f"url(#{ids}-back)")


# --- tapes

def _steps() -> tuple[float, float, float]:
    """From mark to mark, from long mark to long mark, from number to number, mm."""
    return (50.8, 127.0, 254.0) if customary() else (50.0, 100.0, 200.0)


def _marks(long: float) -> Iterator[tuple[float, int, bool]]:
    """Each mark of a tape: where, how long, mm, and whether its number stands there."""
    short, longer, number = _steps()
    for k in range(1, int(long / short) + 1):
        at = k * short
        yield at, 34 if round(at % longer) in (0, round(longer)) else 20, round(at % number) in (0, round(number))


def _tape_across(row: RowStrip, taps: Taps, ids: str) -> Element:
    """The tape from door trim to door trim, and what is read from it: a line up to each middle, one to each buckle."""
    top, start = _ACROSS, row.left.at
    parts = [_box(start, top, row.right.at, top + _TAPE, f"tape {_known(row.right)}")]
    for at, high, numbered in _marks(row.right.at - start):
        parts.append(el("path", d=f"M{plain(start + at)} {top}v{high}", class_="mark"))
        if numbered and at < row.right.at - start - 60:
            parts.append(_word(start + at, top + _TAPE - 8, bare(round(at)), "figure"))
    told = mm(row.right.at) if row.right.known else "?"
    parts.append(el("text", told, x=row.right.at - 8, y=top + _TAPE + 124, text_anchor="end", class_="read"))
    for seat in row.seats:
        parts += _read_off(seat.middle, -6, f"{bare(seat.middle.at)}" if seat.middle.known else "?", "middle",
                           taps.get((seat.name, "middle")), seat.name)
        if seat.belt is not None:
            parts += _read_off(seat.buckle, -60, "", "buckle-line", taps.get((seat.name, "buckle")), seat.name)
    tap = taps.get(("", "across"))
    return el("g", parts, data_field=tap.field if tap else None, class_="across")


def _read_off(spot: Spot, up: float, told: str, class_: str, tap: Tap | None, seat: str) -> list[Element]:
    parts = [el("path", d=f"M{spot.at} {up}V{_ACROSS + 40}", class_=f"{class_} {_known(spot)}", fill="none")]
    if told:
        parts.append(el("path", d=f"M{spot.at - 22} {_ACROSS - 30}h44l-22 30z", class_=f"pointer {_known(spot)}"))
        parts.append(_word(spot.at, _ACROSS + _TAPE + 64, told, "read"))
    return [el("g", parts, data_field=tap.field if tap else None, data_seat=seat)]


def _tape_ahead(seat: SeatStrip, taps: Taps) -> Element:
    """The tape from the crease straight forwards to the seat ahead."""
    x, free = sum(seat.ends) / 2 - _ASIDE, seat.free.at
    parts = [_box(x - 30, -free, x + 30, 0, f"tape {_known(seat.free)}")]
    for at, wide, numbered in _marks(free):
        parts.append(el("path", d=f"M{plain(x - 30)} {plain(-at)}h{wide}", class_="mark"))
        if numbered and not round(at) % 2 and free - at > 80:
            parts.append(el("text", bare(round(at)), x=x + 38, y=-at + 12, class_="figure"))
    told = mm(free) if seat.free.known else "?"
    parts.append(el("text", told, x=x + 44, y=-free + 62, class_="read"))
    tap = taps.get((seat.name, "free"))
    return el("g", parts, data_field=tap.field if tap else None, data_seat=seat.name)


# --- places to tap

def _zones(row: RowStrip, taps: Taps, ids: str, top: float, ahead: float) -> Iterator[Element]:
    """Over each seat, from the front: what is ahead, the cushion with its buckle, the bars, the loop, the middle."""
    edges = [row.left.at, *(round((one.ends[1] + other.ends[0]) / 2) for one, other in zip(
        row.seats, row.seats[1:], strict=False)), row.right.at]
    deep = row.length.at
    for seat, left, right in zip(row.seats, edges, edges[1:], strict=False):
        bands: list[tuple[What, float, float]] = [("airbag", top, -deep), ("seat", -deep, _BACK)] if row.front else [
            ("free", top, -deep * 0.72), ("buckle", -deep * 0.72, -95), ("bars", -95, 105), ("tether", 105, 292),
            ("middle", 292, _BELOW)]
        for what, start, end in bands:
            tap = taps.get((seat.name, what))
            if tap is not None:
                yield el("a", el("title", tap.label), _box(left + 3, start + 3, right - 3, end - 3, "tap", rx=14),
                         href=tap.href, aria_label=tap.label, id=f"{ids}-{seat.name}-{what}", data_field=tap.field,
                         tabindex=-1)
