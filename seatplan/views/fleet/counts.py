"""What was read of a file of bookings, and what was matched: told with every answer."""

from __future__ import annotations

from typing import Any

from seatplan.fleet.matching import Counts as Classes
from seatplan.fleet.reading import Counts
from seatplan.views.content import Block, Items
from seatplan.views.manner import number
from seatplan.views.say import t
from seatplan.views.text import count


def counts_said(counts: Counts, classes: Classes | None, damaged: int = 0) -> Block:
    """Counts as a list."""
    told = [t("{taken} of this day, {rejected} rejected, {other} of other days",
              taken=count(counts.taken, "booking"), rejected=count(counts.rejected, "row"),
              other=number(counts.other_days))]
    if counts.unsure:
        told.append(t("{n} with restraints of their own that nobody looked at: those do not count as aboard",
                      n=number(counts.unsure)))
    if classes is not None:
        told.append(t("{asked} matched now, {known} known before", asked=count(
            classes.asked, "party in a type", "parties in a type"), known=number(classes.known)))
        if classes.failed:
            told.append(t("{n} could not be matched, by a bug in seatplan", n=number(classes.failed)))
        if classes.checked:
            told.append(t("{n} answers of the cluster were solved again here, and are the same",
                          n=number(classes.checked)))
    if damaged:
        told.append(t("{n} kept answers could not be read, and were worked out again", n=number(damaged)))
    return Items(tuple(told), marked=True)


def counts_json(counts: Counts, classes: Classes | None, damaged: int = 0) -> dict[str, Any]:
    """The same as JSON."""
    return {"taken": counts.taken, "rejected": counts.rejected, "other_days": counts.other_days,
            "unsure": counts.unsure, "matched": None if classes is None else classes.asked,
            "known": None if classes is None else classes.known, "failed": None if classes is None else classes.failed,
            "checked": None if classes is None else classes.checked, "damaged": damaged}
