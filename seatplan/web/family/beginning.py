"""A new trip and its car: how many children, which rows of seats; all else is asked on the trip's own page."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.views.markup import el
from seatplan.views.say import Words, t

#: how the seats of a car are laid out, row by row, left to right; which is driven by whom is asked apart
LAYOUTS: dict[str, tuple[tuple[str, ...], ...]] = {
    "2-3": (("1L", "1R"), ("2L", "2C", "2R")),
    "2-2": (("1L", "1R"), ("2L", "2R")),
    "2-3-2": (("1L", "1R"), ("2L", "2C", "2R"), ("3L", "3R")),
    "2-2-3": (("1L", "1R"), ("2L", "2R"), ("3L", "3C", "3R")),
    "2-3-3": (("1L", "1R"), ("2L", "2C", "2R"), ("3L", "3C", "3R")),
    "3-3": (("1L", "1C", "1R"), ("2L", "2C", "2R")),
}
LAYOUT_WORDS = Words({
    "2-3": "2 in front, 3 behind", "2-2": "2 in front, 2 behind", "2-3-2": "2, 3, and 2 in a third row",
    "2-2-3": "2, 2, and 3 in a third row", "2-3-3": "2, 3, and 3 in a third row", "3-3": "3 in front, 3 behind"})
MOST_CHILDREN = 8
DRIVES = Words({"1L": "on the left", "1R": "on the right"})
RULES = Words({"us": "United States", "un": "United Nations (Europe and others)"})


def layout_drawn(layout: str) -> Element:
    """The seats of a layout from above, the front on top."""
    rows = LAYOUTS[layout]
    return el("svg", [el("rect", x=26 - len(seats) * 8 + k * 16 + 1, y=3 + n * 15, width=14, height=12, rx=3,
                         class_="shell") for n, seats in enumerate(rows) for k in range(len(seats))],
              xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 52 {3 + 15 * len(rows)}", class_="layout-drawn",
              aria_hidden="true", focusable="false")


def car_text(layout: str) -> str:
    """A vehicle file with the seats of a layout, and nothing else known. KeyError for a layout that there is not."""
    lines = [f"vehicle: {t('Our car')}", "not_measured: estimate", "every_seat:", "  forward_and_fixed:", "  belt:",
             "  retractor:", "  inflatable:", "  forbids:", "  support_leg:", "rows:"]
    rows = LAYOUTS[layout]
    for number, seats in enumerate(rows, 1):
        lines.append(f"  - row: {number}")
        if number > 1:
            lines += ["    trim:", "      - {name: door, left: 0, right: }"]
        lines.append("    positions:")
        for seat in seats:
            lines.append(f"      - position: {seat}")
            ahead = _ahead(seat, rows[number - 2]) if number > 1 else ""
            if ahead:
                lines += ["        ahead:", f"          seat: {ahead}", "          free:"]
    return "\n".join(lines) + "\n"


def _ahead(seat: str, row: tuple[str, ...]) -> str:
    """The seat of the row before that stands on the same side; empty where none does."""
    return next((one for one in row if one[-1] == seat[-1]), "")


def first_title() -> str:
    """What a trip is called before anybody calls it something."""
    return t("Our trip")


def trip_text(car: str, children: int, drives: str = "1L", rules: str = "us") -> str:
    """A trip file of so many children, each with no more than a name to be known by. ``car``: how it names its car."""
    lines = [f"trip: {first_title()}", f"vehicle: {car}", "on:", f"drives: {drives}", "riders:"]
    for n in range(1, children + 1):
        lines += [f"  - rider: {t('Child {n}', n=n)}", "    born:", "    mass:", "    height:"]
    return "\n".join([*lines, "restraints: []", f"rules: {rules}"]) + "\n"
