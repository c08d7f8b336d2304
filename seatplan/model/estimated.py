"""Records of which some numbers are only estimated: as they were written, and at the ends of what they may be.

Made by ``seatplan.estimate``, never read. What was not written stays unknown in the record itself; a *corner* is the
same record filled in, every estimated number at one of its ends. What holds at every corner holds whatever the numbers
are, as far as their ends can be relied on.
"""

from __future__ import annotations

from .restraint import Restraint
from .trip import Rider
from .vehicle import Row


class EstimatedRider(Rider):
    """A rider of whom mass or stature is estimated: the smallest, the middle and the largest body that it is likely to
    be."""

    corners: tuple[Rider, ...]

    def _reckon_parts(self) -> tuple[int, int, int]:
        """What is estimated of one size hangs on the others."""
        return self.content, 0, 0


class EstimatedRestraint(Restraint):
    """A restraint of a kind, of which nobody measured all: the largest of its kind first, then the smallest."""

    corners: tuple[Restraint, ...]


class EstimatedRow(Row):
    """A row of which some lengths are left out: its seats nearer to each other first, then further apart; short of
    room in both."""

    corners: tuple[Row, ...]

    def _reckon_frame(self) -> int:
        """Whoever looks at a place looks at it at the corners, too."""
        return self.content
