"""Unlikely numbers of a trip, which count as unknown: in sentences, and as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.doubt.telling import sure_text, unlikely, usual, written_text
from seatplan.model import Believed, Trip
from seatplan.model.doubt import Doubt

from .content import Group, Heading, group, items
from .say import t, tr


def doubts(trip: Trip) -> tuple[Doubt, ...]:
    """The doubts about a trip as it was solved."""
    return trip.doubted if isinstance(trip, Believed) else ()


def doubted_lines(trip: Trip) -> list[str]:
    """A sentence for each unlikely number."""
    return [tr(unlikely(doubt)) for doubt in doubts(trip)]


def asked_again(doubt: Doubt) -> str:
    """The question beside the field of an unlikely number, where one can say that it is so."""
    return t("Is it so? {value} is unlikely{why}{band}. Until you say so, it counts as unknown.",
             value=written_text(doubt.written), why=f" {tr(doubt.why)}" if doubt.why else "", band=tr(usual(doubt)))


def doubted(trip: Trip) -> Group | None:
    """What is unlikely; None where nothing is."""
    lines = doubted_lines(trip)
    return group(Heading(t("Unlikely, so taken as unknown")), items(lines, marked=True)) if lines else None


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
