"""Arrangements and placements as JSON. In brief they lack what passes, what they are reckoned from, and other ways to
hold a restraint that would do as well."""

from __future__ import annotations

from typing import Any

from seatplan.geometry.chain import Step
from seatplan.rules.subjects import Placement
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.results import AheadShown, Arrangement, SeatShown, SqueezeShown

from .finding_json import cell_findings_json, findings_json


def arrangement_json(arrangement: Arrangement, full: bool = True) -> dict[str, Any]:
    """One arrangement with its numbers and findings."""
    return {
        "rank": arrangement.rank,
        "verdict": arrangement.verdict,
        "spare_mm": arrangement.spare_mm,
        "estimates": list(arrangement.estimates),
        "decided_by": arrangement.decided_by,
        "decided_about": list(arrangement.decided_about),
        "rows": [
            {"row": row.row.row, "spare_mm": row.spare_mm, "tolerance_mm": row.tolerance_mm,
             **({"tight": [step_json(step) for step in row.tight]} if full else {}), "unmeasured": row.unsure}
            for row in arrangement.rows
        ],
        "ahead": _ahead(arrangement.ahead, full),
        "seats": [_seat(seat, full) for seat in arrangement.seats],
        "findings": findings_json(arrangement.findings, full),
    }


def _ahead(ahead: AheadShown | None, full: bool) -> dict[str, Any] | None:
    if ahead is None:
        return None
    return {
        "stands": [{"mover": key, "forward_mm": forward, **({"beyond_use": True} if key in ahead.beyond else {})}
                   for key, forward in ahead.stands],
        "spare_mm": ahead.spare_mm, "tolerance_mm": ahead.tolerance_mm, "unknown": ahead.unknown or None,
        **({"tight": [step_json(step) for step in ahead.tight]} if full else {}),
    }


def _seat(seat: SeatShown, full: bool) -> dict[str, Any]:
    others = {"alternatives": [placement_json(cell.placement) for cell in seat.alternatives]} if full else {}
    return {
        **placement_json(seat.placement),
        "across_mm": seat.across_mm,
        "width_mm": seat.width_mm,
        "findings": cell_findings_json(seat.cell, full),
        **others,
    }


def seats_json(arrangement: Arrangement) -> list[dict[str, Any]]:
    """Who sits where in what, and no more."""
    return [{"rider": p.rider.rider, "position": p.position.position,
             "restraint": p.restraint.restraint if p.restraint else None, "mode": p.mode_name, "by": p.by}
            for p in (seat.placement for seat in arrangement.seats)]


def placement_json(placement: Placement) -> dict[str, Any]:
    """One rider, in one restraint, held in one way, at one position."""
    installation = placement.installation
    return {
        "rider": placement.rider.rider,
        "restraint": placement.restraint.restraint if placement.restraint else None,
        "mode": placement.mode_name,
        "by": placement.by,
        "base": installation.base if installation else None,
        "support_leg": bool(installation and installation.support_leg),
        "position": placement.position.position,
        **({"takes": list(placement.places[1:])} if placement.second else {}),
        "lower_anchors": list(placement.bars),
        "borrowed": placement.borrowed,
        "tether": placement.tether,
        "connectors": installation.connectors if installation else None,
        "recline": _recline(placement),
    }


def _recline(placement: Placement) -> dict[str, float] | None:
    lean = placement.recline
    return None if lean is None else {"setting_degrees": lean.setting, "packing_degrees": lean.packing,
                                      "angle_degrees": lean.angle}


def cell_json(cell: JudgedPlacement, full: bool = True) -> dict[str, Any]:
    """One way for one rider to ride, whether it is ruled out by itself, and the findings on it."""
    return {**placement_json(cell.placement), "ruled_out": cell.blocked, "findings": cell_findings_json(cell, full)}


def squeeze_json(shown: SqueezeShown) -> dict[str, Any]:
    """A sum that does not come out, across a row or along the car."""
    return {
        "kind": "squeeze", "row": shown.row, "direction": "along" if shown.row is None else "across",
        "placements": [placement_json(p) for p in shown.placements],
        "everyone": [placement_json(p) for p in shown.everyone],
        "need_mm": shown.squeeze.need, "have_mm": shown.squeeze.have, "short_mm": shown.squeeze.short,
        "steps": [step_json(step) for step in shown.squeeze.steps],
    }


def step_json(step: Step) -> dict[str, Any]:
    """One separation, and the lengths that it is the sum of."""
    return {"start": step.start or "left", "end": step.end or "left", "need_mm": step.need / 2,
            "sum": [{"what": addend.label, "length_mm": addend.mm} for addend in step.addends]}
