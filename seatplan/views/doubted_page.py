"""Unlikely numbers of a trip, which count as unknown: as a part of a page."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.model import Trip

from .doubted_text import doubted_head, doubted_lines
from .markup import el


def doubted_list(trip: Trip) -> list[Element]:
    """A head and a list with a sentence for each; nothing where nothing is unlikely."""
    lines = doubted_lines(trip)
    return [el("p", el("strong", doubted_head())), el("ul", [el("li", line) for line in lines])] if lines else []
