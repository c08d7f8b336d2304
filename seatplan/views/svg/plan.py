"""The drawing of one arrangement: every row from above, every rear-facing shell from the side, a key, the caution."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.along_text import told_along
from seatplan.views.caution import CAUTION
from seatplan.views.document import TRIP_ATTRIBUTE, identity
from seatplan.views.drawing import boxes_of, walls
from seatplan.views.markup import el, svg_file
from seatplan.views.notes_text import cautions_said, things_to_measure
from seatplan.views.pages import page_file
from seatplan.views.say import N, length_unit, t
from seatplan.views.text import heading, listed
from seatplan.views.words import VERDICTS, car_name, in_short

from .ink import WHITE, Page, Panel, Pen, hatches, lines_of, text
from .row import row_panel
from .side import side_ends, side_panel

#: room beside the walls, mm
_MARGIN = 60
#: letters in a line: 30 of them on a phone of 360 px come to 12 px each
_LETTERS_HIGH = 30
#: how wide a drawing for a phone is
_PHONE_PX = 360
#: what A4 and letter both have room for inside their margins, mm
_PAPER = (190, 254)
_KEY = (
    N("full line: shell; dashed: its base; dotted: a person; slanted hatch: faces the rear; dots: booster"),
    N("black squares and circles: bars, buckles and tether anchors in use; hollow: not in use; crossed hatch: room "
      "that a hand needs at a buckle"),
    N("black label: the gap is part of the tight chain, the thick line"),
)


def key() -> list[str]:
    """How to read the drawings, a line each."""
    return [t(line) for line in _KEY]


def plan_svg(plan: Plan, arrangement: Arrangement, picture: Picture, *, paper: bool = False) -> str:
    """A whole SVG file: one column for a phone, or with ``paper`` as many as make it largest on a printed page."""
    page = page_for(plan, arrangement, picture, "sp")
    panels = [_heading(page, _title(plan, arrangement))]
    panels += [row_panel(row, plan.trip, page) for row in picture.rows]
    panels += [side_panel(side, page) for side in picture.sides]
    noted = cautions_said(arrangement)
    asked = [f"- {thing}" for thing in things_to_measure([arrangement])]
    if asked:
        noted = [*noted, f"{t('To measure, or to look up')}:", *asked]
    panels.append(_words(page, (*noted, *_along(arrangement), *key(), t("Caution: {CAUTION}", CAUTION=CAUTION))))
    columns = [panels]
    if paper:
        columns = max((_columns(panels, n) for n in (1, 2, 3)), key=lambda tried: _scale(page, tried))
    root = svg(page, columns, _title(plan, arrangement), about(plan, arrangement))
    if paper:
        scale = _scale(page, columns)
        root.set("width", f"{_wide(page, columns) * scale:.1f}mm")
        root.set("height", f"{_high(columns) * scale:.1f}mm")
    else:                                                # else a viewer makes it as high as its window
        *_, wide, high = map(float, (root.get("viewBox") or "").split())
        root.set("width", str(_PHONE_PX))
        root.set("height", f"{_PHONE_PX * high / wide:.0f}")
    root.insert(2, el("style", page_file("drawing.css")))
    root.set(TRIP_ATTRIBUTE, identity(plan.trip))
    return svg_file(root)


def _columns(panels: list[Panel], n: int) -> list[list[Panel]]:
    """Panels in reading order over ``n`` columns, the tallest of which is as low as can be."""
    if n == 1 or len(panels) < 2:
        return [panels]
    cuts = range(1, len(panels))
    return min(([panels[:cut], *_columns(panels[cut:], n - 1)] for cut in cuts), key=_high)


def _high(columns: list[list[Panel]]) -> float:
    return max(sum(panel.height for panel in column) for column in columns)


def _wide(page: Page, columns: list[list[Panel]]) -> float:
    return len(columns) * page.width + (len(columns) - 1) * page.pen.letter


def _scale(page: Page, columns: list[list[Panel]]) -> float:
    """How many mm of paper a mm of car gets, so that the drawing fits on A4 as well as on letter."""
    return min(_PAPER[0] / _wide(page, columns), _PAPER[1] / _high(columns))


def page_for(plan: Plan, arrangement: Arrangement, picture: Picture, ids: str, focus: str | None = None) -> Page:
    """A page wide enough for every row and every side view."""
    shown = {row.row.row: row for row in arrangement.rows}
    ends = [walls(row, boxes_of(row, shown.get(row.row), plan.trip)) for row in plan.trip.vehicle.rows]
    wide = max([high - low for low, high in ends] + [high - low for low, high in map(side_ends, picture.sides)])
    return Page(Pen((wide + 2 * _MARGIN) / _LETTERS_HIGH, ids), wide + 2 * _MARGIN, focus)


def svg(page: Page, columns: list[list[Panel]], title: str, described: str) -> Element:
    """Columns of panels in one SVG, with title and description for whoever does not see it."""
    pad = page.pen.letter * 0.4
    placed = []
    for i, column in enumerate(columns):
        y = 0.0
        for panel in column:
            panel.element.set("transform", f"translate({i * (page.width + page.pen.letter):.1f} {y:.1f})")
            placed.append(panel.element)
            y += panel.height
    wide, high, ids = _wide(page, columns) + 2 * pad, _high(columns) + 2 * pad, page.pen.ids
    return el("svg", el("title", title, id=f"{ids}-title"), el("desc", described, id=f"{ids}-desc"),
              hatches(page.pen, placed),
              el("rect", x=-pad, y=-pad, width=wide, height=high, fill=WHITE, class_="paper"), placed,
              xmlns="http://www.w3.org/2000/svg", class_="sp", role="img",
              viewBox=f"{-pad:.1f} {-pad:.1f} {wide:.1f} {high:.1f}", aria_labelledby=f"{ids}-title {ids}-desc")


def _along(arrangement: Arrangement) -> tuple[str, ...]:
    """How far forward seats stand, and what is to spare along the car; how shells lean stands beside them."""
    return tuple(told.text[0].upper() + told.text[1:] for told in told_along(arrangement) if told.kind != "lean")


def _title(plan: Plan, arrangement: Arrangement) -> str:
    return heading(lambda trip: t("{trip}: arrangement {rank}, {verdict}", trip=trip, rank=arrangement.rank,
                                  verdict=VERDICTS[arrangement.verdict]), plan.trip.trip)


def about(plan: Plan, arrangement: Arrangement) -> str:
    """What a drawing shows, for whoever does not see it."""
    seated = [t("{rider} at {position} {in_short}", rider=seat.placement.rider.rider,
                position=seat.placement.position.position, in_short=in_short(seat.placement))
              for seat in arrangement.seats]
    return t("In {vehicle}: {seated}. Lengths in {unit}. {CAUTION}", vehicle=car_name(plan.trip.vehicle),
             seated=listed(seated), unit=length_unit(), CAUTION=CAUTION)


def _heading(page: Page, title: str) -> Panel:
    pen, y = page.pen, 0.0
    drawn = []
    for line in lines_of(pen, title, page.width, size=pen.letter * 1.2, bold=True):
        y += pen.letter * 1.4
        drawn.append(text(0, y, line, pen.letter * 1.2, class_="bold"))
    y += pen.letter * 0.05
    orientation = t("the front of the car is at the top; lengths in {unit}", unit=length_unit())
    for line in lines_of(pen, orientation, page.width, size=pen.small):
        y += pen.letter * 1.25
        drawn.append(text(0, y, line, pen.small, class_="quiet"))
    return Panel(el("g", drawn), y + pen.letter * 0.5)


def _words(page: Page, said: tuple[str, ...]) -> Panel:
    pen, y = page.pen, 0.0
    drawn = []
    for line in _lines(page, said):
        y += pen.small * 1.25
        drawn.append(text(0, y, line, pen.small))
    return Panel(el("g", drawn), y + pen.letter * 0.3)


def _lines(page: Page, said: tuple[str, ...]) -> Iterator[str]:
    for paragraph in said:
        yield from lines_of(page.pen, paragraph, page.width, "   ", size=page.pen.small)
