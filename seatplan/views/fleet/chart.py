"""Drawings of a fleet: the price of a stock by bookings served, and who is carried in which type of vehicle."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.app.fleet.coverage import Covered
from seatplan.app.fleet.inventory import Stocked
from seatplan.views.manner import number
from seatplan.views.markup import el, svg_file
from seatplan.views.say import t

from .coverage_text import SAYS, children_said, parties_in

_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _BOTTOM = 640, 360, 84, 24, 44, 56
#: about the width of a letter
_LETTER = 7.2
#: told apart by a sign as well, so that no colour is needed; black on each is read (WCAG 2.2 1.4.3)
_FILLS = {"carried": "#bfe3c6", "by reading": "#f4e2a8", "ends": "#f4e2a8", "try": "#f4e2a8", "asks": "#e4e4e4",
          "no": "#f1c4bd", "failed": "#ffffff"}


def curve_svg(found: Stocked) -> str:
    """The least price for each number of bookings served, as steps; hollow where it is not proven to be the least."""
    points = found.curve.points
    total, most = max(found.counts.taken, 1), max((one.price for one in points), default=0) or 1
    title = t("{fleet}, {day}: price of the stock by bookings served", fleet=found.read.fleet.fleet, day=found.day)
    told = "; ".join(t("{served} served: {price}", served=one.served, price=number(one.price)) for one in points)

    def x(served: float) -> float:
        return _LEFT + (_WIDTH - _LEFT - _RIGHT) * served / total

    def y(price: float) -> float:
        return _HEIGHT - _BOTTOM - (_HEIGHT - _BOTTOM - _TOP) * price / most

    parts: list[Element] = [el("path", d=f"M{_LEFT} {_TOP}V{_HEIGHT - _BOTTOM}H{_WIDTH - _RIGHT}", fill="none",
                               stroke="currentColor")]
    for n in range(5):
        price = most * n / 4
        parts.append(el("text", number(round(price)), x=_LEFT - 8, y=y(price) + 4, text_anchor="end"))
    for served in sorted({0, total // 4, total // 2, 3 * total // 4, total}):
        parts.append(el("text", number(served), x=x(served), y=_HEIGHT - _BOTTOM + 18, text_anchor="middle"))
    parts += [el("text", t("bookings served, of {n}", n=number(found.counts.taken)), x=(_LEFT + _WIDTH - _RIGHT) / 2,
                 y=_HEIGHT - 14, text_anchor="middle"),
              el("text", t("price"), x=_LEFT, y=_TOP - 14, text_anchor="middle")]
    if points:
        steps, height = [f"M{x(0):.1f} {y(0):.1f}"], y(0)
        at = 0
        for one in points:
            height = y(one.price)
            steps.append(f"H{x(at):.1f}V{height:.1f}H{x(one.served):.1f}")
            at = one.served
        parts.append(el("path", d="".join(steps), fill="none", stroke="currentColor", stroke_width=2))
        parts += [el("circle", cx=x(one.served), cy=y(one.price), r=4, stroke="currentColor",
                     fill="currentColor" if one.proven else "#ffffff") for one in points]
    if found.wanted:
        parts.append(el("path", d=f"M{x(found.wanted):.1f} {_TOP}V{_HEIGHT - _BOTTOM}", stroke="currentColor",
                        stroke_dasharray="4 3"))
        parts.append(el("text", t("target"), x=x(found.wanted), y=_TOP - 10, text_anchor="middle"))
    return svg_file(_svg(_WIDTH, _HEIGHT, title, told, parts))


def coverage_svg(found: Covered) -> str:
    """A row a party, a column a type, a word in each box."""
    cells = {(one.vehicle_type, one.children): one for one in found.coverage.cells}
    types = [one.vehicle.key() for one in found.read.fleet.types]
    parties = parties_in(found)
    labels = [children_said(found.coverage.groups, one) for one in parties]
    names = [found.read.type_name(one) for one in types]
    left = 16 + round(_LETTER * max(map(len, labels), default=0))
    column = 16 + round(_LETTER * max(map(len, [*names, *(SAYS[one] for one in _FILLS)]), default=0))
    width, height = left + column * len(types) + 12, _TOP + 24 * len(parties) + 16
    title = t("{fleet}, {day}: which parties each type carries", fleet=found.read.fleet.fleet, day=found.day)
    parts = [el("text", name, x=left + column * (n + 0.5), y=_TOP - 10, text_anchor="middle")
             for n, name in enumerate(names)]
    for row, (party, label) in enumerate(zip(parties, labels, strict=True)):
        top = _TOP + 24 * row
        parts.append(el("text", label, x=left - 8, y=top + 16, text_anchor="end"))
        for n, one in enumerate(types):
            says = cells[one, party].says
            parts += [el("rect", x=left + column * n, y=top, width=column - 2, height=22, fill=_FILLS[says],
                         stroke="#555"),
                      el("text", SAYS[says], x=left + column * (n + 0.5) - 1, y=top + 16, text_anchor="middle",
                         fill="#000")]
    return svg_file(_svg(width, height, title, t("The same stands in the table."), parts))


def _svg(width: int, height: int, title: str, told: str, parts: list[Element]) -> Element:
    from seatplan.views.caution import CAUTION
    from seatplan.views.say import tr

    return el("svg", el("title", title), el("desc", f"{told}. {tr(CAUTION)}"), parts, xmlns="http://www.w3.org/2000/svg",
              viewBox=f"0 0 {width} {height}", width=width, height=height, role="img", aria_label=title,
              font_family="sans-serif", font_size=13, fill="currentColor")
