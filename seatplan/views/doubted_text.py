"""Unlikely numbers of a trip, which count as unknown: in sentences, and as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.doubt.telling import sure_text, unlikely, written_text
from seatplan.model import Believed, Trip
from seatplan.model.doubt import Doubt

from .say import t, tr
from .text import wrapped


def doubts(trip: Trip) -> tuple[Doubt, ...]:
    """The doubts about a trip as it was solved."""
    return trip.doubted if isinstance(trip, Believed) else ()


def doubted_lines(trip: Trip) -> list[str]:
    """A sentence for each unlikely number."""
    return [tr(unlikely(doubt)) for doubt in doubts(trip)]


def doubted_head() -> str:
    """What stands above these sentences."""
    return t("Unlikely, so taken as unknown")


def doubted_part(trip: Trip) -> str:
    """A part of a text; empty where nothing is unlikely."""
    lines = doubted_lines(trip)
    return "\n".join([doubted_head(), *(wrapped(line, "- ", "  ") for line in lines)]) if lines else ""


def doubted_json(trip: Trip) -> list[dict[str, Any]]:
    """The same as plain data; kg, mm and degrees."""
    return [{
        "of": doubt.of, "name": doubt.name, "field": doubt.field, "what": str(doubt.what),
        "written": written_text(doubt.written), "value": _plain(doubt.value), "low": _plain(doubt.low),
        "high": _plain(doubt.high), "unit": doubt.unit, "why": str(doubt.why), "how": str(doubt.how),
        "source": doubt.source, "sure": sure_text(doubt),
    } for doubt in doubts(trip)]


def _plain(value: Any) -> float | None:
    return None if value is None else round(float(value), 4)
