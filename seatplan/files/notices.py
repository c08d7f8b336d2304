"""What is odd in a vehicle or trip file, though allowed: usually a slip, sometimes a strange car. Numbers that are
unlikely are told by ``seatplan.doubt``.

Sources are named beside each check: 49 CFR 571.10, 571.208 and 571.225.
"""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.message import in_mm, said
from seatplan.model import Row, Trip, Vehicle

from .errors import Notice
from .places import Document, Loc

#: 49 CFR 571.10(b): one position for each 350 mm of a bench below 1,400 mm, for each 450 mm from there
NARROW_BENCH_MM, NARROW_EACH_MM, WIDE_EACH_MM = 1400, 350, 450
#: spacing of the two bars of one position; it is carried by the figures of 49 CFR 571.225 (from memory), and
#: bars of 25 to 60 mm absorb the rest
BAR_SPACING_MM, BAR_SPACING_OFF_MM = 280, 12
#: 49 CFR 571.208 as phased in: shoulder belts at every forward-facing rear position from model year 2008
SHOULDER_BELTS_FROM = 2008
#: 49 CFR 571.225 S4.4(a), vehicles made from 1 September 2002: two full systems and three tethers
ANCHORS_FROM, LEAST_PAIRS, LEAST_TETHERS = 2003, 2, 3


def seats_of_bench(width_mm: int) -> int:
    """How many positions the counting rule gives a bench (from 1,400 mm: at least so many)."""
    if width_mm < NARROW_BENCH_MM:
        return max(1, width_mm // NARROW_EACH_MM)
    return width_mm // WIDE_EACH_MM


def vehicle_notices(vehicle: Vehicle, document: Document, at: Loc = ()) -> list[Notice]:
    """What is odd about a vehicle."""
    return [document.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def trip_notices(trip: Trip, document: Document) -> list[Notice]:
    """What is odd about a trip: an airbag is off that the vehicle file gives no switch."""
    there = {position.position: position.airbag for position in trip.vehicle.positions()}
    return [
        document.problem(
            ("airbags_off", i),
            said("the airbag at {name} has no switch in the vehicle file; it is taken to be on", name=name),
        )
        for i, name in enumerate(trip.airbags_off)
        if (airbag := there.get(name)) is not None and airbag.front == "active"
    ]


def _vehicle(vehicle: Vehicle) -> Iterator[tuple[Loc, str]]:
    year = vehicle.model_year
    for i, row in enumerate(vehicle.rows):
        yield from ((("rows", i, *loc), text) for loc, text in _row(row, year, rear=i > 0))
    rear = [p for row in vehicle.rows[1:] for p in row.positions if p.facing in ("forward", None)]
    un_handbook = any(
        p.fixtures is not None or p.i_size is not None for p in rear
    )  # built to UN rules, not to these
    if year is not None and year >= ANCHORS_FROM and len(rear) >= 3 and not un_handbook:
        pairs = sum(bool(p.lower_anchors) for p in rear)
        tethers = sum(p.tether not in (None, "none") for p in rear)
        told = all(p.lower_anchors is not None and p.tether is not None for p in rear)
        if told and pairs < LEAST_PAIRS:
            yield (
                ("rows",),
                (
                    said("{n_rear} rear seats and lower anchors at {pairs}; "
                         "49 CFR 571.225 asks for {LEAST_PAIRS}", n_rear=len(rear), pairs=pairs,
                         LEAST_PAIRS=LEAST_PAIRS)
                ),
            )
        if told and tethers < LEAST_TETHERS:
            yield (
                ("rows",),
                (
                    said("{n_rear} rear seats and tether anchors at {tethers}; "
                         "49 CFR 571.225 asks for {LEAST_TETHERS}", n_rear=len(rear), tethers=tethers,
                         LEAST_TETHERS=LEAST_TETHERS)
                ),
            )


def _row(row: Row, year: int | None, rear: bool) -> Iterator[tuple[Loc, str]]:
    cushion = row.cushion
    if rear and len(row.positions) > 1 and cushion.left is not None and cushion.right is not None:
        width = cushion.right - cushion.left
        counted = seats_of_bench(width)
        if width < NARROW_BENCH_MM and len(row.positions) > counted:
            yield (
                ("cushion",),
                said("a bench {width} wide counts as {counted} seats (49 CFR 571.10), and here are "
                     "{n_positions}", width=in_mm(width), counted=counted, n_positions=len(row.positions)),
            )
    bars = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    for k, position in enumerate(row.positions):
        at: Loc = ("positions", k)
        if position.lower_anchors and all(name in bars for name in position.lower_anchors):
            spacing = bars[position.lower_anchors[1]] - bars[position.lower_anchors[0]]
            if abs(spacing - BAR_SPACING_MM) > BAR_SPACING_OFF_MM:
                yield (
                    (*at, "lower_anchors"),
                    (said("the bars of {position} are {spacing} apart; usually {BAR_SPACING_MM}",
                          position=position.position, spacing=in_mm(spacing), BAR_SPACING_MM=in_mm(BAR_SPACING_MM))),
                )
        belt = position.belt
        lap_only = belt is not None and belt.kind == "lap" and position.facing in ("forward", None)
        if lap_only and rear and (year or 0) >= SHOULDER_BELTS_FROM:
            yield (
                (*at, "belt", "kind"),
                (
                    said("{position} has a lap belt in a car of {year}; "
                         "expected a shoulder belt (49 CFR 571.208)", position=position.position, year=year)
                ),
            )
        if not rear and position.lower_anchors and position.airbag and position.airbag.front == "active":
            yield (
                (*at, "lower_anchors"),
                (
                    said("{position} has lower anchors before an airbag that has no "
                         "switch (49 CFR 571.225 S5(d))", position=position.position)
                ),
            )
