"""What states and open points of a checkup are called, on its page and in the list of a day."""

from __future__ import annotations

from collections.abc import Mapping

from seatplan.readings import READINGS
from seatplan.solver.departure import OpenPoint
from seatplan.views.say import Words, look_up, t
from seatplan.views.text import count
from seatplan.views.words import sentence

STATES = Words({"held": "held", "open": "open points", "nothing-fits": "nothing fits"})
_KINDS = Words({
    "not-installed": "not installed", "not-allowed": "in no arrangement that fits", "does-not-hold": "does not hold",
    "reading": "readings not noted", "unmeasured": "not measured", "undecided": "search stopped"})


def counted(points: Mapping[str, int]) -> str:
    """``not installed: 2, readings not noted: 1``; a dash where nothing is open. A kind of a later version goes by its
    key."""
    return ", ".join(f"{_KINDS.get(kind, kind)}: {n}" for kind, n in points.items()) or "-"


def point_said(point: OpenPoint) -> str:
    """One open point with whose it is."""
    rider = point.rider
    if point.kind == "not-installed":
        return t("{rider}: no restraint is noted as installed.", rider=rider)
    if point.kind == "not-allowed":
        if not point.against:
            return t("{rider}: what is noted as installed is in no arrangement that fits.", rider=rider)
        why = "; ".join(t("{sentence} ({rule})", sentence=sentence(f), rule=f.rule) for f in point.against)
        return t("{rider}: what is noted as installed is in no arrangement that fits: {why}.", rider=rider, why=why)
    if point.kind == "does-not-hold":
        return t("{rider}: what was read says that it does not hold as it should.", rider=rider)
    if point.kind == "reading":
        return t("{rider}: not noted: {reading}.", rider=rider, reading=look_up(READINGS[point.reading].label))
    if point.kind == "undecided":
        return t("Undecided: the search stopped at its limit.")
    return t("{things} of the plan not measured: see below.", things=count(point.things, "thing"))
