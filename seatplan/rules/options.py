"""How whatever is unsure counts: one set of options for all that is asked of a trip."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.frozen import frozen

if TYPE_CHECKING:
    from .finding import Outcome


@frozen
class Options:
    """``strict``: what was not measured counts as a no. ``worst_case``: what several lengths may be off is added up
    plainly, not as the root of the sum of squares."""

    strict: bool = False
    worst_case: bool = False

    def refuses(self, outcome: Outcome) -> bool:
        """Whether a finding with this outcome turns down what it is about."""
        return outcome == "block" or (self.strict and outcome == "unmeasured")


#: neither
USUAL = Options()
