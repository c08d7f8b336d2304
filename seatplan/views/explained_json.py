"""Why nothing fits, as JSON: certificates, the reasons of one group of riders, and what would change it."""

from __future__ import annotations

from typing import Any

from seatplan.solver.conflict import Reason
from seatplan.solver.explain import Explanation
from seatplan.solver.repairs.verify import Repair
from seatplan.solver.results import Plan

from .arrangement_json import arrangement_json, placement_json, squeeze_json
from .change_text import to_do, to_write, user_of
from .finding_json import finding_json


def certificates(plan: Plan) -> list[dict[str, Any]]:
    """Shortage, contests and squeezes: each can be checked without the program."""
    found: list[dict[str, Any]] = []
    if plan.shortage:
        found.append({
            "kind": "shortage", "thing": _THINGS.get(plan.shortage.thing, plan.shortage.thing),
            "riders": list(plan.shortage.riders), "have": list(plan.shortage.have),
            "taken_away": [{"rider": rider, "thing": thing, "rules": list(rules)}
                           for (rider, thing), rules in plan.shortage.taken_away.items()],
        })
    for contest in plan.contests:
        found.append({
            "kind": "contest", "what": contest.what, "arrangements": contest.seatings,
            "placements": [placement_json(p) for p in contest.example],
            "findings": [finding_json(finding) for finding in contest.findings],
        })
    found.extend(squeeze_json(shown) for shown in plan.squeezes)
    return found


#: what is too few, where it goes by another name here
_THINGS = {"lower-anchor-bars": "lower-anchors"}


def explanation_json(explanation: Explanation, full: bool = True) -> dict[str, Any]:
    """Groups, the reasons of one with an arrangement that each alone stands in the way of, and repairs as solved
    again. In brief the arrangements are left out, but who sits where after a repair."""
    repairs = explanation.repairs
    return {
        "groups": [list(group) for group in explanation.groups],
        "all_groups": explanation.all_groups,
        "conflict": None if explanation.conflict is None else {
            "riders": list(explanation.riders), "fewest": explanation.conflict.fewest,
            "reasons": [_reason(reason, full) for reason in explanation.conflict.reasons],
            "nearest": None if explanation.nearest is None else squeeze_json(explanation.nearest),
        },
        "repairs": [_repair(repair, full) for repair in repairs.repairs],
        "sets": [{"changes": size, "sets": n} for size, n in repairs.sets.items()],
        "complete": repairs.complete,
    }


def _reason(reason: Reason, full: bool) -> dict[str, Any]:
    occasion = reason.occasion
    without = {"without_it": [placement_json(p) for p in reason.opens.placements]} if full else {}
    return {
        "rule": occasion.rule, "riders": list(occasion.riders), "positions": list(occasion.positions),
        "restraints": list(occasion.restraints), "modes": list(occasion.modes), "row": occasion.row,
        "wish": occasion.wish, "unmeasured": occasion.unmeasured,
        "finding": None if reason.finding is None else finding_json(reason.finding),
        **without,
    }


def _repair(repair: Repair, full: bool) -> dict[str, Any]:
    placements = tuple(seat.placement for seat in repair.arrangement.seats)
    return {
        "changes": [{
            "kind": change.kind, "riders": list(change.riders), "restraint": change.restraint or None,
            "position": change.position or None, "thing": change.thing or None, "use": change.word or None,
            "to_mm": change.mm, "was_mm": change.was_mm, "text": to_do(change, user_of(change, placements)),
            "write": to_write(change)} for change in repair.changes],
        "arrangement": arrangement_json(repair.arrangement, full),
        "losses": [{"rider": loss.rider, "mode": loss.mode, "instead_of": loss.instead_of} for loss in repair.losses],
        "alike": len(repair.alike),
    }
