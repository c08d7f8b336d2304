"""How much one solve may look at: counted units of work, never a clock, so that everybody gets the same answer.

What does not fit into a budget is left out, and whoever leaves it out says so (``Solve.complete``). No bundled trip
comes near any of these; they keep a bus full of riders within a minute or so and 300 MB.
"""

from __future__ import annotations

from seatplan.frozen import frozen


class TooMuch(Exception):
    """There is more to do than the budget allows."""


class Work:
    """So many units, to be spent. Raises TooMuch once there are none left."""

    __slots__ = ("left",)

    def __init__(self, units: int) -> None:
        self.left = units

    def spend(self, units: int) -> None:
        self.left -= units
        if self.left < 0:
            raise TooMuch


@frozen
class Budget:
    """The ends of one solve.

    ``plans``: plans of all rows together. ``joins``: units for putting the counts of rows together, one a pair and
    ``KEY`` for each new count that is kept. ``shares``: ways to share the riders out over the rows. ``seatings``: whole
    seatings that may be counted, and so put in order; ``judged``: as many, where the rules of the whole trip are asked
    about each. ``beam``: units for finding the best few seatings of a trip that is too large, a pair of plans each;
    ``kept``: how many of them are looked at in full. ``solves``: units for the solves of one question, as many each as
    it has placements and plans.
    """

    plans: int = 60_000
    joins: int = 5_000_000
    shares: int = 200_000
    seatings: int = 1_200_000
    judged: int = 600_000
    beam: int = 30_000_000
    kept: int = 24
    solves: int = 150_000


#: what one more count that is kept weighs beside a pair that is looked at: memory, not time
KEY = 8
