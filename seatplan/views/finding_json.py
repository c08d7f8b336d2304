"""Findings as JSON: numbers beside their unit, since what a rule measures differs from rule to rule."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from seatplan.message import Amount
from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first, weight_of
from seatplan.solver.placements import JudgedPlacement

from .words import sentence

#: units of the numbers among the facts of a finding; a fact that is not named here is a count
FACT_UNITS = {
    "angle": "degrees", "setting": "degrees", "packing": "degrees", "left": "days",
    **dict.fromkeys(("free", "height", "reach", "head", "top", "high", "low", "longest", "shortest", "measuring_off",
                     "overhang"), "mm"),
}


def finding_json(finding: Finding) -> dict[str, Any]:
    """One finding; ``measured``, ``limit``, ``shortfall`` and ``settles_at`` are in its ``unit``."""
    result = finding.result
    return {
        "rule": finding.rule,
        "outcome": finding.outcome,
        "weight": weight_of(finding),
        "riders": list(finding.riders),
        "positions": list(finding.positions),
        "measured": plain(result.measured),
        "limit": plain(result.limit),
        "shortfall": result.shortfall,
        "unit": result.unit,
        "field": result.field or None,
        "how": result.how or None,
        "settles_at": plain(result.settles_at),
        "close": result.close,
        "estimates": list(result.estimates),
        "facts": {_named(key, value): _plain(value) for key, value in result.facts.items()},
        "source": finding.source,
        "text": sentence(finding) if finding.outcome != "pass" else None,
    }


def reading_json(finding: Finding) -> dict[str, Any]:
    """What was not measured: the reading to take, how, and the value that settles it."""
    result = finding.result
    return {"rule": finding.rule, "field": result.field, "how": result.how, "settles_at": plain(result.settles_at),
            "unit": result.unit, "riders": list(finding.riders), "positions": list(finding.positions),
            "restraint": finding.restraint}


def readings_json(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """The readings that some findings ask for, each once."""
    told: list[dict[str, Any]] = []
    for finding in findings:
        reading = reading_json(finding)
        if reading not in told:
            told.append(reading)
    return told


def findings_json(findings: Iterable[Finding], full: bool) -> list[dict[str, Any]]:
    """Cautions first. In brief those that say something: not what passes by more than measuring can be off, unless it
    is that a try at the car held."""
    return [finding_json(f) for f in gravest_first(list(findings))
            if full or f.outcome != "pass" or f.result.close or "confirmed" in f.result.facts]


def cell_findings_json(cell: JudgedPlacement, full: bool) -> list[dict[str, Any]]:
    """The findings on a placement. A try says of itself that it confirms; it does so only where nothing else forbids
    the placement or is not measured."""
    told = findings_json(cell.findings, full)
    for finding in told:
        if "confirmed" in finding["facts"]:
            finding["facts"]["confirmed"] = cell.confirmed
    return told


def plain(value: Any) -> Any:
    """A number of JSON: an exact mass or stature as a decimal."""
    return round(float(value), 6) if isinstance(value, Fraction) else value


def _named(key: str, value: Any) -> str:
    """A fact's name, with the unit where it is a number of one."""
    if isinstance(value, Amount):
        return f"{key}_{value.unit}"
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return f"{key}_{FACT_UNITS[key]}" if number and key in FACT_UNITS else key


def _plain(value: Any) -> Any:
    if isinstance(value, (str, int, float, bool)) or value is None:
        return value
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    return plain(value.value) if isinstance(value, Amount) else str(value)
