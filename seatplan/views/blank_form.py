"""The form for a car that nobody has measured yet: every length a person can take with a tape."""

from __future__ import annotations

from .caution import caution
from .content import Blank, Block, Heading, Paragraph, group, spans
from .say import N, t
from .terminal import parts_of

_CAR = (
    (N("make a name for it"), N("so that you know which car it was")),
    (N("model year"), N("from its papers")),
    (N("day, and who measured"), ""),
)
_ROW = (
    (N("left door trim to right door trim"),
     N("across, at the height of the seat: the left trim is 0 of all that follows")),
    (N("left armrest, right armrest"), N("across from the left trim, and from where to where up and along")),
    (N("cushion from, to"), N("across, left and right edge")),
    (N("cushion length"), N("from the crease to the front edge")),
    (N("cushion angle"), N("a board on the cushion from front to back, an angle gauge on it; level ground")),
    (N("cushion above the floor"), N("at the crease")),
    (N("seatback angle, height"), N("degrees from upright; from the crease up")),
    (N("each lower-anchor bar"), N("across, from the left trim to its middle")),
    (N("each tether anchor"), N("across; along from the crease (behind is minus); up from the cushion")),
    (N("how far the row slides"), N("0 if it does not")),
)
_SEAT = (
    (N("middle of the seat"), N("across from the left trim")),
    (N("its own pair of bars, its tether"), N("or none; a pair it may borrow, by the handbook")),
    (N("belt: lap, or lap and shoulder"), ""),
    (N("belt: does it stay locked"),
     N("drawn out, let in a little, pulled: yes switchable or automatic, no emergency")),
    (N("belt: latchplate"), N("keeps the lap part tight (locking), or runs (sliding)")),
    (N("belt: inflatable"), N("thick shoulder part, a label")),
    (N("belt: where its two lap ends come out"), N("across, left and right")),
    (N("belt: buckle"), N("across from the left trim; from the crease to its top")),
    (N("belt: length"), N("drawn out fully")),
    (N("head restraint"), N("can it be taken out; how far forward of the seatback, lowest")),
    (N("front airbag"), N("none, active, with a switch")),
    (N("floor before it"), N("a box, or firm")),
    (N("free length ahead"), N("seat ahead rearmost: from the crease forward, at the cushion, 300 mm and 600 mm up")),
    (N("travel of the seat ahead"), N("from rearmost to foremost")),
    (N("handbook: what it forbids here, page"), ""),
    (N("way out"), N("own door; or past which seat folded")),
)


def vehicle_form() -> str:
    """The form as text; see ``form_content``."""
    return parts_of(form_content())


def form_content() -> list[Block | None]:
    """The whole form; a page for the car, one for each row, one for each seat."""
    return [
        Heading(t("A car to measure (all lengths in mm or inches, level ground, front seats rearmost)")),
        *(group(Heading(title), group(*(block for line in lines for block in _line(*line)), inner=True))
          for title, lines in ((t("The car"), _CAR), (t("Each row: row ___"), _ROW),
                               (t("Each seat: seat ___ (row and side, such as 2L)"), _SEAT))),
        Paragraph(spans("hint: `seatplan new vehicle > my-car.yaml` has a place for each of them")), caution()]


def _line(what: str, how: str) -> list[Block]:
    return [Blank(t(what)), *([group(Paragraph(t(how)), inner=True)] if how else [])]
