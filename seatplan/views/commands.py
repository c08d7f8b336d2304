"""The next commands about a trip, with its options as they were typed."""

from __future__ import annotations

from seatplan.frozen import frozen
from seatplan.written import quoted

from .content import Typed


@frozen
class Commands:
    """``trip``: the trip and how to look at it, as a shell takes it behind any command; ``data``: the same without
    what only some commands look at."""

    trip: str = "TRIP"
    data: str = "TRIP"

    @property
    def full(self) -> Typed:
        """All of the answer."""
        return Typed(f"seatplan arrange {self.trip} --full")

    @property
    def sheet(self) -> Typed:
        """What to install by."""
        return Typed(f"seatplan sheet {self.trip} -o sheet.html")

    @property
    def measure(self) -> Typed:
        """What to find out."""
        return Typed(f"seatplan measure {self.data}")

    def why(self, rider: str) -> Typed:
        """Every reason of one rider."""
        return Typed(f"seatplan why {self.trip} --rider {quoted(rider)}")

    def room(self, rider: str) -> Typed:
        """How large a restraint may be."""
        return Typed(f"seatplan room {self.trip} --rider {quoted(rider)}")
