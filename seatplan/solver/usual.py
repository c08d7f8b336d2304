"""What most vehicles and restraints have where a file says nothing (common practice, no source): a value for each
field, as a file has it. It shows what a reading could come to, and never stands in for one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from seatplan.frozen import frozen
from seatplan.model import Mode, Position, Row, Trip
from seatplan.model.doubt import steps
from seatplan.model.record import Record

from .asked import Asked

#: what most vehicles and restraints have, by field
_USUAL: dict[str, Any] = {
    "rider.sits_upright": "yes",
    "row.cushion.length": 480, "row.cushion.above_floor": 320, "row.seatback.height": 640,
    "row.seatback.angle": {"height": 640, "angle": 22}, "row.slides": 0,
    "position.width": 440,
    "position.facing": "forward", "position.seat": "fixed", "position.belt.kind": "lap-shoulder",
    "position.belt.retractor": "switchable", "position.belt.latchplate": "locking", "position.belt.inflatable": "no",
    "position.belt.length": 3200, "position.head_restraint": {"removable": "yes", "juts": 0, "top": 820},
    "position.head_restraint.juts": 0, "position.head_restraint.removable": "yes", "position.head_restraint.top": 820,
    "position.airbag.front": "none", "position.support_leg": "allowed",
    "position.ahead.travel": 200,
    "position.manual.forbids": [], "position.manual.allows": ["lower-anchors-with-belt",
                                                                             "rear-facing-tether"],
    "position.i_size": "yes", "position.fixtures": ["R3", "F3", "B3"], "position.universal_belted": "both",
    "position.universal_isofix": "forward-only", "position.exit": "door",
    "restraint.mass": "6 kg", "restraint.condition.crash": "none", "restraint.condition.recall": "none",
    "restraint.condition.labels": "readable", "restraint.condition.history": "known",
    "mode.seat_up": 100, "mode.shell_height": 620, "mode.shoulder_slots": [200, 600],
    "mode.recline.packing": "none", "mode.tether_strap": "yes", "mode.tether_length": 2900,
    "mode.tether_from": [300, 550], "mode.touch_ahead": "may",
    "installation.belt_path": 300, "installation.belt_needed": 1800, "installation.lock_off": "yes",
    "installation.connectors": "flexible", "installation.mass_limit": "none", "installation.needs_tether": "no",
    "installation.support_leg": "no", "installation.leg_reach": [200, 600], "installation.leg_along": 480,
    "trip.front": 200,
}
#: heights at which the free length ahead is measured, mm
_HEIGHTS = (0, 300, 600, 900)
#: lowest and highest mass and height on usual labels
_LIMITS = {"rear": (["2 kg", "23 kg"], [400, 1250]), "front": (["9 kg", "36 kg"], [650, 1350]),
           "booster": (["15 kg", "60 kg"], [950, 1524])}
_BASE = {"along": [40, 430], "up": [0, 120]}
_SHELL = {"along": [60, 480], "up": [80, 640]}


@frozen
class _Known:
    """What is known around a field: its seat, its row, its mode, the number in a list that it is; and what is tried: a
    length, or how far from the middle something is, mm."""

    seat: Position | None
    row: Row | None
    mode: Mode | None
    number: int
    day: date
    mm: int

    @property
    def centre(self) -> int:
        return 500 if self.seat is None or self.seat.centre is None else self.seat.centre


def usual(asked: Asked, trip: Trip, day: date, mm: int) -> Any:
    """A value for a field; None where nobody can say one. ``mm``: the length that is tried."""
    way = list(steps(trip, asked.path))
    last = asked.path[-1] if asked.path else 0

    def held(kind: type[Any]) -> Any:
        return next((one for one in way if isinstance(one, kind)), None)

    known = _Known(held(Position), held(Row), held(Mode), last if isinstance(last, int) else 0, day, mm)
    made = _MADE.get(asked.key)
    return _USUAL.get(asked.key) if made is None else made(known)


def _bar_names(known: _Known) -> Any:
    return None if known.seat is None else [f"{known.seat.position}-a", f"{known.seat.position}-b"]


def _buckle(known: _Known) -> Any:
    """Towards the middle of the car from the middle of its seat."""
    right = known.seat is not None and known.seat.position.endswith("R")
    return {"across": max(0, known.centre + (-known.mm if right else known.mm)), "stalk": 80}


def _gap(known: _Known) -> Any:
    """The free length at heights at which it was not measured."""
    if known.seat is None or known.seat.ahead is None:
        return None
    return [list(one) for one in sorted((dict.fromkeys(_HEIGHTS, known.mm) | dict(known.seat.ahead.gap)).items())]


def _limits(known: _Known) -> Any:
    if known.mode is None:
        return None
    mass, height = _LIMITS["rear" if known.mode.rear_facing else "front" if (
        known.mode.harness or known.mode.mode == "impact-shield") else "booster"]
    return {"mass": mass, "height": height}


def _recline(known: _Known) -> Any:
    if known.mode is not None and known.mode.rear_facing:
        return {"reference": 40, "allowed": [30, 50], "packing": "none"}
    return {"reference": 15, "allowed": "none"}


def _outline(known: _Known) -> Any:
    parts = () if known.mode is None else known.mode.parts
    named = parts[known.number].part if known.number < len(parts) else ""
    return _BASE if named == "base" or (not known.number and len(parts) > 1) else _SHELL


def _with_base(known: _Known) -> Any:
    return None if known.mode is None else [*map(given, known.mode.parts), {"part": "base", "width": 380, **_BASE}]


def _cushion(known: _Known) -> Any:
    places = _centres(known.row)
    return {"left": max(0, min(places) - 260), "right": max(places) + 260}


def _centres(row: Row | None) -> list[int]:
    return [p.centre for p in (row.positions if row else ()) if p.centre is not None] or [500]


def given(record: Record) -> dict[str, Any]:
    """What a record says, as a file has it."""
    return {key: value for key, value in record.data().items() if value is not None}


def _bars(row: Row) -> list[dict[str, Any]]:
    """The bars that are known, and those that a seat names, at their usual places."""
    known = {bar.bar: {"bar": bar.bar, "across": bar.across} for bar in row.lower_anchors or ()
             if bar.across is not None}
    for position in row.positions:
        centre = 500 if position.centre is None else position.centre
        for bar, aside in zip(position.lower_anchors or (), (-140, 140), strict=False):
            known.setdefault(bar, {"bar": bar, "across": max(0, centre + aside)})
    return list(known.values())


def _walls(row: Row, aside: int) -> list[dict[str, Any]]:
    """The parts of the side walls that are known, open sides filled in: doors as far from the cushion, or else from the
    seats, as they usually are, what is inside them by as much on both sides."""
    far = max(_centres(row)) + aside if row.cushion.right is None else row.cushion.right + 25
    known = [given(one) for one in row.trim] or [{"name": "door"}]
    far = max([far, *(one["right"] for one in known if "right" in one)])
    made = []
    for one in known:
        inside = 0 if one["name"] == "door" else one.get("left", far - one.get("right", far - 40))
        sides = {"left": inside, "right": far - inside}
        made.append({**(sides if one.get("only") is None else {one["only"]: sides[one["only"]]}), **one})
    return made


def _anchors(row: Row) -> list[dict[str, Any]]:
    """The tether anchors that are known, and those that a seat names; each with a place."""
    known = {one.tether: given(one) for one in row.tethers or ()}
    for position in row.positions:
        if position.tether not in (None, "none"):
            known.setdefault(position.tether, {"tether": position.tether})
            centre = 500 if position.centre is None else position.centre
            known[position.tether] = {"across": centre, "along": -150, "up": 500} | known[position.tether]
    led_to = {name for one in row.tethers or () for name in one.through}
    return [({"shared": True} if name in led_to else {}) | one for name, one in known.items()]


_MADE: dict[str, Callable[[_Known], Any]] = {
    "restraint.expires": lambda known: known.day.replace(day=1, year=known.day.year + 4).isoformat(),
    "restraint.made": lambda known: (known.day - timedelta(days=400)).isoformat(),
    "position.ahead": lambda known: {"gap": [[height, known.mm] for height in _HEIGHTS]},
    "position.ahead.gap": _gap,
    "mode.parts.width": lambda known: known.mm,
    "row.cushion.angle": lambda known: known.mm,
    "position.centre": lambda known: known.centre,
    "position.belt.anchors": lambda known: [max(0, known.centre - 170), known.centre + 170],
    "position.middle": lambda known: [max(0, known.centre - 170), known.centre + 170],
    "position.belt.buckle": _buckle,
    "position.belt.buckle.stalk": _buckle,
    "position.lower_anchors": _bar_names,
    "position.tether": lambda known: None if known.seat is None else f"{known.seat.position}-t",
    "row.cushion.left": _cushion,
    "row.lower_anchors": lambda known: None if known.row is None else _bars(known.row),
    "row.tethers": lambda known: None if known.row is None else _anchors(known.row),
    "row.trim": lambda known: None if known.row is None else _walls(known.row, known.mm),
    "limits": _limits,
    "mode.recline": _recline,
    "mode.parts.outline": _outline,
    "mode.parts": lambda known: [{"part": "base", "width": 380, **_BASE}, {"part": "shell", "width": 420, **_SHELL}],
    "mode.parts.base": _with_base,
}
