"""Ranking by named criteria in a stated order, as whole numbers that add up.

The criteria of a placement, a pair and a row are packed into one integer, most important first, so that adding
two costs adds every criterion and comparing them compares in order. Lower is better.
"""

from __future__ import annotations

from typing import NamedTuple

from seatplan.model import Trip
from seatplan.rules.subjects import World

from .placements import Cell


class Criterion(NamedTuple):
    name: str
    bits: int
    title: str


#: in order of weight; why this order: design notes in DEVELOPERS.md
CRITERIA = (
    Criterion("certainty", 40, "fits without a doubt, before close ones, likely ones and unmeasured ones"),
    Criterion("protection", 16, "each child in the most protective mode it still fits"),
    Criterion("cautions", 16, "good practice followed"),
    Criterion("tried", 16, "what held when it was tried at the car"),
    Criterion("wishes", 16, "wishes kept"),
    Criterion("moves", 16, "least to change from today"),
    Criterion("method", 16, "the method that families more often get right"),
    Criterion("centre", 16, "the youngest in the centre"),
    Criterion("room", 24, "most room to spare, row by row, counted up to 100 mm"),
)
_SHIFT: dict[str, int] = {}
_at = 0
for _criterion in reversed(CRITERIA):
    _SHIFT[_criterion.name] = _at
    _at += _criterion.bits

#: certainty points: many close rows still come before one that is likely, many of these before one unmeasured, any
#: of them before a squeeze
CLOSE, LIKELY, UNMEASURED, SQUEEZED = 1, 1_000, 1_000_000, 1_000_000_000
#: room beyond this does not rank an arrangement higher, mm
ROOM_CAP_MM = 100

#: AAP 2018 (Pediatrics 142(5) e20182460): rear-facing as long as possible, then harness, booster, belt
STAGES = {
    "rear-facing-harness": 0, "lying-flat-bed": 0, "forward-facing-harness": 1, "harness-vest": 1,
    "high-back-booster": 2, "backless-booster": 3, "adult-belt": 4,
}


def stage(mode: str) -> int:
    """How far a mode is from the most protective ones; the less, the better."""
    return STAGES[mode]


def cost(**criteria: int) -> int:
    """Pack criteria into one number."""
    return sum(value << _SHIFT[name] for name, value in criteria.items())


def unpack(packed: int) -> dict[str, int]:
    """The criteria of a packed cost, most important first."""
    return {c.name: (packed >> _SHIFT[c.name]) & ((1 << c.bits) - 1) for c in CRITERIA}


def certainty(packed: int) -> int:
    return packed >> _SHIFT["certainty"]


def room_points(spare_mm: float | None) -> int:
    """Points for the room that a row lacks of the cap; None: nothing limits it."""
    return 0 if spare_mm is None else max(0, ROOM_CAP_MM - int(spare_mm))


def decided_by(before: int, after: int) -> str | None:
    """The first criterion that puts one cost before another; None when they are alike."""
    first, second = unpack(before), unpack(after)
    return next((name for name in first if first[name] != second[name]), None)


class CellCost:
    """The cost of one placement by itself, under one trip's wishes and present arrangement."""

    def __init__(self, world: World) -> None:
        self._trip: Trip = world.trip
        children = [(world.age_months(r), r.rider) for r in self._trip.riders if not r.adult]
        ages = [age for age, _ in children if age is not None]
        least = min(ages) if len(children) > 1 and len(ages) == len(children) else None
        # twins are both the youngest, so that a name never ranks
        self._youngest = frozenset(name for age, name in children if least is not None and age == least)
        self._wishes = [wish for wish in self._trip.wishes if wish.rider and not wish.must]
        self._kept: dict[Cell, int] = {}

    def __call__(self, cell: Cell) -> int:
        kept = self._kept.get(cell)
        if kept is None:
            kept = self._kept[cell] = self._reckon(cell)
        return kept

    def _reckon(self, cell: Cell) -> int:
        placement = cell.placement
        name, position = placement.rider.rider, placement.position.position
        used = placement.restraint.restraint if placement.restraint else None
        now = self._trip.current.get(name)
        unkept = sum(
            (wish.at is not None and position not in wish.at)
            + (wish.not_at is not None and position in wish.not_at)
            + (wish.uses is not None and used not in wish.uses)
            for wish in self._wishes if wish.rider == name
        )
        return cost(
            certainty=UNMEASURED * cell.unmeasured + LIKELY * bool(cell.estimates) + CLOSE * cell.close,
            protection=0 if placement.rider.adult else STAGES[placement.mode_name],
            cautions=cell.cautions,
            tried=int(not cell.held),
            wishes=unkept,
            moves=0 if now is None else (now.position != position) + (now.restraint != used),
            # checked installations attached rightly: lower anchors 63 %, belt 34 % (Cicchino, Jermakian 2014)
            method=int(placement.held_by_belt),
            centre=int(name in self._youngest and placement.harness and position[1] != "C"
                       and any(p.position[1] == "C" for p in placement.row.positions)),
        )
