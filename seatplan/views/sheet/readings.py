"""A page of the readings that settle the arrangement of a sheet, with room to write."""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree.ElementTree import Element

from seatplan.model import Trip
from seatplan.solver.settle import Settle
from seatplan.views.html import elements
from seatplan.views.markup import el
from seatplan.views.measure_text import settled_content
from seatplan.views.say import t

from .card import caution


def readings(settle: Settle | None, trip: Trip) -> Iterable[Element]:
    """The page; none where nothing is to be measured."""
    if settle is None or not settle.readings:
        return
    yield el("section", el("h2", t("To measure before it is sure")), *elements(settled_content(settle, trip)),
             caution(), class_="readings")
