"""The file of rows that are no bookings: line, column and reason, and nothing of what the rows hold."""

from __future__ import annotations

from collections.abc import Iterable

from seatplan.files.bookings import Reject
from seatplan.files.csv_cells import line
from seatplan.views.say import tr

#: how every such file begins
HEAD = line(("line", "field", "reason"))


def rejects_csv(rejects: Iterable[Reject]) -> str:
    """The whole file."""
    return HEAD + "".join(line((one.line, one.field, tr(one.reason))) for one in rejects)
