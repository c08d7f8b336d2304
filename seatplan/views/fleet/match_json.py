"""Parties matched with types of vehicle, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.app.fleet.files import FleetRead
from seatplan.app.fleet.match import Matched
from seatplan.fleet.matching import Failed
from seatplan.fleet.records import BEFORE, GRADES, ClassAnswer, Kit, Member, Party, Seat, Way, serves
from seatplan.views.failure_json import head_json

from .counts import counts_json


def match_json(found: Matched) -> dict[str, Any]:
    """Every party with every type and every kit."""
    types = [one.vehicle.key() for one in found.read.fleet.types]
    return {
        **head_json("fleet-match"), "fleet": found.read.fleet.fleet, "on": found.day,
        "rules": found.read.profile.name, "counts": counts_json(found.counts, found.classes, found.damaged),
        "parties": [{**party_json(party, found.read), "bookings": n,
                     "types": [_answer(one, found.answers.get((one, party)), found.read) for one in types]}
                    for party, n in found.parties.of.items()],
    }


def party_json(party: Party, read: FleetRead) -> dict[str, Any]:
    """Who travels, and the kinds that they bring."""
    return {"members": list(map(_member, party.members)), "brings": [read.kind_name(kind) for kind in party.brings]}


def _member(member: Member) -> dict[str, Any]:
    return {"adult": member.adult, "age_months": None if member.months is None else list(member.months),
            "mass_g": member.mass_g, "height_mm": member.height_mm, "sits_upright": member.sits_upright}


def _answer(kind: str, answer: ClassAnswer | Failed | None, read: FleetRead) -> dict[str, Any]:
    if not isinstance(answer, ClassAnswer):
        return {"type": read.type_name(kind), "verdict": "failed", "serves": False, "ways": [], "readings": [],
                "conflict": None, "complete": False}
    conflict = answer.conflict
    return {
        "type": read.type_name(kind), "verdict": answer.verdict, "serves": any(map(serves, answer.ways)),
        "ways": [way_json(way, read) for way in answer.ways],
        "readings": [reading_json(one) for one in answer.readings],
        "conflict": None if conflict is None else {"members": list(conflict[0]), "rules": list(conflict[1])},
        "complete": answer.complete,
    }


def way_json(way: Way, read: FleetRead) -> dict[str, Any]:
    """One way to carry a party. ``level``: lower is better, part by part."""
    return {"verdict": way.verdict, "serves": serves(way), "held_when_tried": way.held, "kit": kit_json(way.kit, read),
            "level": {"before": list(way.level[:BEFORE]), "children": list(way.level[BEFORE:])},
            "seats": [_seat(seat, read) for seat in way.seats], "cautions": list(way.cautions)}


def kit_json(kit: Kit, read: FleetRead) -> list[dict[str, Any]]:
    """How many of which kinds."""
    return [{"restraint_kind": read.kind_name(kind), "n": n} for kind, n in kit]


def _seat(seat: Seat, read: FleetRead) -> dict[str, Any]:
    return {"member": seat.member, "position": seat.position,
            "restraint_kind": None if seat.kind is None else read.kind_name(seat.kind),
            "own": None if seat.own < 0 else seat.own, "mode": seat.mode, "held_by": seat.by,
            "rides": None if seat.grade < 0 else GRADES[seat.grade], "tether": seat.tether}


def reading_json(reading: tuple[str, int, str]) -> dict[str, Any]:
    """A reading that would settle it."""
    key, member, value = reading
    return {"field": key, "member": None if member < 0 else member, "would_do": value or None}
