"""The kinds of child seat as small drawings from above, in the marks of the rows: hatch for what faces the rear, dots
for a booster, an arrow for where a child looks."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.model.kinds import KINDS
from seatplan.views.markup import el


def kind_drawn(kind: str) -> Element:
    """A drawing of one kind; words beside it say the same."""
    modes: set[str] = {mode for mode, _ in KINDS[kind].modes}  # type: ignore[index]  # a word of the table
    return el("svg", _shell(kind), *(_looks(modes, 15, 33)), xmlns="http://www.w3.org/2000/svg", viewBox="0 0 48 48",
              class_="kind-drawn", aria_hidden="true", focusable="false")


def _shell(kind: str) -> list[Element]:
    if kind == "lying-flat":
        return [el("rect", x=3, y=12, width=42, height=24, rx=8, class_="shell"), el("circle", cx=12, cy=24, r=5,
                                                                                      class_="head")]
    if kind == "backless":
        return [el("rect", x=8, y=16, width=32, height=22, rx=5, class_="shell")]
    back = [el("rect", x=8, y=8, width=32, height=34, rx=9, class_="shell")]
    if kind == "infant-carrier":
        back.append(el("path", d="M8 25a16 9 0 0 1 32 0", class_="strap"))
    if kind in ("high-back", "harness-to-booster", "all-stages"):
        back.append(el("path", d="M8 34h7v8M40 34h-7v8", class_="strap"))
    return back


def _looks(modes: set[str], left: int, right: int) -> list[Element]:
    """An arrow for each way to look that the kind has: up is ahead; one with dots is held by the belt of the car."""
    arrows = []
    if "rear-facing-harness" in modes:
        arrows.append("M{x} 16v15m-4-5 4 6 4-6")
    if "forward-facing-harness" in modes:
        arrows.append("M{x} 32v-15m-4 5 4-6 4 6")
    drawn = [el("path", d=arrow.format(x=x), class_="arrow") for arrow, x in zip(
        arrows, (24,) if len(arrows) == 1 else (left + 2, right - 2), strict=False)]
    if any("booster" in mode for mode in modes):
        drawn += [el("circle", cx=x, cy=37, r=1.8, class_="dot") for x in (19, 24, 29)]
    return drawn
