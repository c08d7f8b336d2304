"""The form for a car that nobody has measured yet: every length a person can take with a tape."""

from __future__ import annotations

from seatplan.fields import FIELDS, how_to_take

from .caution import caution
from .content import Blank, Block, Heading, Paragraph, group, spans
from .say import N, t, tr
from .terminal import parts_of

Line = str | tuple[str, str]

_CAR: tuple[Line, ...] = (
    (N("make a name for it"), N("so that you know which car it was")),
    (N("model year"), N("from its papers")),
    (N("day, and who measured"), ""),
)
#: a field of the files, or a line of its own
_ROW: tuple[Line, ...] = (
    (N("left door trim to right door trim"),
     N("across, at the height of the seat: the left trim is 0 of all that follows")),
    (N("left armrest, right armrest"), N("across from the left trim, and from where to where up and along")),
    "row.cushion.left", "row.cushion.length", "row.cushion.angle", "row.cushion.above_floor", "row.seatback.angle",
    "row.lower_anchors", "row.tethers", "row.slides",
)
_SEAT: tuple[Line, ...] = (
    "position.centre",
    (N("its own pair of bars, its tether"), N("or none; a pair it may borrow, by the handbook")),
    "position.belt.kind", "position.belt.retractor", "position.belt.latchplate", "position.belt.inflatable",
    "position.belt.anchors", "position.belt.buckle", "position.belt.length", "position.head_restraint",
    "position.airbag.front", "position.support_leg", "position.ahead", "position.ahead.travel",
    "position.manual.forbids", "position.exit",
)


def vehicle_form() -> str:
    """The form as text; see ``form_content``."""
    return parts_of(form_content())


def form_content() -> list[Block | None]:
    """The whole form; a page for the car, one for each row, one for each seat."""
    return [
        Heading(t("A car to measure (all lengths in mm or inches, level ground, front seats rearmost)")),
        *(group(Heading(title), group(*(block for line in lines for block in _line(line)), inner=True))
          for title, lines in ((t("The car"), _CAR), (t("Each row: row ___"), _ROW),
                               (t("Each seat: seat ___ (row and side, such as 2L)"), _SEAT))),
        Paragraph(spans("hint: `seatplan new vehicle > my-car.yaml` has a place for each of them")), caution()]


def _line(line: Line) -> list[Block]:
    """What is to be written down, and how to take it."""
    what, how = (t(FIELDS[line].short), tr(how_to_take(line))) if isinstance(line, str) else map(t, line)
    return [Blank(what), *([group(Paragraph(how), inner=True)] if how else [])]
