"""The form for a car that nobody has measured yet: every length a person can take with a tape."""

from __future__ import annotations

from .caution import CAUTION
from .text import wrapped

_CAR = (
    ("make a name for it", "so that you know which car it was"),
    ("model year", "from its papers"),
    ("day, and who measured", ""),
)
_ROW = (
    ("left door trim to right door trim", "across, at the height of the seat: the left trim is 0 of all that follows"),
    ("left armrest, right armrest", "across from the left trim, and from where to where up and along"),
    ("cushion from, to", "across, left and right edge"),
    ("cushion length", "from the crease to the front edge"),
    ("cushion angle", "a board on the cushion from front to back, an angle gauge on it; level ground"),
    ("cushion above the floor", "at the crease"),
    ("seatback angle, height", "degrees from upright; from the crease up"),
    ("each lower-anchor bar", "across, from the left trim to its middle"),
    ("each tether anchor", "across; along from the crease (behind is minus); up from the cushion"),
    ("how far the row slides", "0 if it does not"),
)
_SEAT = (
    ("middle of the seat", "across from the left trim"),
    ("its own pair of bars, its tether", "or none; a pair it may borrow, by the handbook"),
    ("belt: lap, or lap and shoulder", ""),
    ("belt: does it stay locked", "drawn out, let in a little, pulled: yes switchable or automatic, no emergency"),
    ("belt: latchplate", "keeps the lap part tight (locking), or runs (sliding)"),
    ("belt: inflatable", "thick shoulder part, a label"),
    ("belt: where its two lap ends come out", "across, left and right"),
    ("belt: buckle", "across from the left trim; from the crease to its top"),
    ("belt: length", "drawn out fully"),
    ("head restraint", "can it be taken out; how far forward of the seatback, lowest"),
    ("front airbag", "none, active, with a switch"),
    ("floor before it", "a box, or firm"),
    ("free length ahead", "seat ahead rearmost: from the crease forward, at the cushion, 300 mm and 600 mm up"),
    ("travel of the seat ahead", "from rearmost to foremost"),
    ("handbook: what it forbids here, page", ""),
    ("way out", "own door; or past which seat folded"),
)


def vehicle_form() -> str:
    """The whole form; a page for the car, one for each row, one for each seat."""
    parts = ["A car to measure (all lengths in mm or inches, level ground, front seats rearmost)"]
    for title, lines in (("The car", _CAR), ("Each row: row ___", _ROW),
                         ("Each seat: seat ___ (row and side, such as 2L)", _SEAT)):
        parts.append(title + "\n" + "\n".join(_line(*line) for line in lines))
    parts.append("hint: `seatplan new vehicle > my-car.yaml` has a place for each of them")
    parts.append(wrapped(f"caution: {CAUTION}"))
    return "\n\n".join(parts) + "\n"


def _line(what: str, how: str) -> str:
    line = f"   {what} ".ljust(46, ".") + " ____________________"
    return line + (f"\n      {how}" if how else "")
