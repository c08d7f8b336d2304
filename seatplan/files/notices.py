"""What is odd in a vehicle or restraint file, though allowed: usually a slip, sometimes a strange car.

Sources are named beside each check: 49 CFR 571.3, 571.10, 571.208, 571.210 and 571.225.
"""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.model import Restraint, Row, Trip, Vehicle
from seatplan.said import said

from .errors import Notice
from .reading import Document, Loc

#: 49 CFR 571.10(b): one position for each 350 mm of a bench below 1,400 mm, for each 450 mm from there
NARROW_BENCH_MM, NARROW_EACH_MM, WIDE_EACH_MM = 1400, 350, 450
#: 49 CFR 571.3: the least width of a seating surface, vehicles made from 1 September 2011
LEAST_POSITION_MM = 330
#: spacing of the two bars of one position; it is carried by the figures of 49 CFR 571.225 (from memory), and
#: bars of 25 to 60 mm absorb the rest
BAR_SPACING_MM, BAR_SPACING_OFF_MM = 280, 12
#: 49 CFR 571.210 S4.3.1.4
LEAST_BELT_SPAN_MM = 165
#: 49 CFR 571.208 as phased in: shoulder belts at every forward-facing rear position from model year 2008
SHOULDER_BELTS_FROM = 2008
#: 49 CFR 571.225 S4.4(a), vehicles made from 1 September 2002: two full systems and three tethers
ANCHORS_FROM, LEAST_PAIRS, LEAST_TETHERS = 2003, 2, 3
#: the widest part of a restraint; common practice, no source
NARROWEST_MM, WIDEST_MM = 250, 600
#: how far a seat or a row slides, and the free length ahead of one; a zero too many lets everything fit
#: (common practice, no source)
MOST_TRAVEL_MM, LEAST_FREE_MM, MOST_FREE_MM = 400, 250, 1600
#: the top of a seatback along it, and of a head restraint (common practice, no source)
SEATBACK_MM, HEAD_RESTRAINT_TOP_MM = (350, 900), (500, 1000)


def seats_of_bench(width_mm: int) -> int:
    """How many positions the counting rule gives a bench (from 1,400 mm: at least so many)."""
    if width_mm < NARROW_BENCH_MM:
        return max(1, width_mm // NARROW_EACH_MM)
    return width_mm // WIDE_EACH_MM


def vehicle_notices(vehicle: Vehicle, document: Document, at: Loc = ()) -> list[Notice]:
    """What is odd about a vehicle."""
    return [document.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def restraint_notices(restraint: Restraint, document: Document, at: Loc = ()) -> list[Notice]:
    """What is odd about a restraint: its widest part is narrower or wider than usual."""
    found: list[Notice] = []
    for i, mode in enumerate(restraint.modes):
        widths = {k: part.width for k, part in enumerate(mode.parts) if part.width is not None}
        if not widths or mode.mode == "lying-flat-bed":      # a bed lies across the car
            continue
        k = max(widths, key=lambda k: widths[k])
        if not NARROWEST_MM <= widths[k] <= WIDEST_MM:
            found.append(
                document.problem(
                    (*at, "modes", i, "parts", k, "width"),
                    said("{restraint} is {widths} mm wide ({mode}); "
                         "usually {NARROWEST_MM} to {WIDEST_MM} mm", restraint=restraint.restraint, widths=widths[k],
                         mode=mode.mode, NARROWEST_MM=NARROWEST_MM, WIDEST_MM=WIDEST_MM),
                )
            )
    return found


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
        yield from ((("rows", i, *loc), text) for loc, text in (*_row(row, year, rear=i > 0), *_along(row)))
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


def _along(row: Row) -> Iterator[tuple[Loc, str]]:
    """What is odd front to back and in height."""
    if row.slides is not None and row.slides > MOST_TRAVEL_MM:
        yield ("slides",), said("row {row} slides {slides} mm; usually at most {MOST_TRAVEL_MM} mm", row=row.row,
                                slides=row.slides, MOST_TRAVEL_MM=MOST_TRAVEL_MM)
    back, (least, most) = row.seatback.height, SEATBACK_MM
    if back is not None and not least <= back <= most:
        yield ("seatback", "height"), said("the seatback of row {row} is {back} mm tall; usually {least} to {most} mm",
                                           row=row.row, back=back, least=least, most=most)
    for k, position in enumerate(row.positions):
        at, name = ("positions", k), position.position
        top = None if position.head_restraint is None else position.head_restraint.top
        least, most = HEAD_RESTRAINT_TOP_MM
        if top is not None and not least <= top <= most:
            yield ((*at, "head_restraint", "top"),
                   said("the head restraint at {name} comes up to {top} mm; usually {least} to {most} mm", name=name,
                        top=top, least=least, most=most))
        if position.ahead is None:
            continue
        travel, gaps = position.ahead.travel, [free for _, free in position.ahead.gap]
        if travel is not None and travel > MOST_TRAVEL_MM:
            yield ((*at, "ahead", "travel"),
                   said("what is ahead of {name} travels {travel} mm; usually at most {MOST_TRAVEL_MM} mm", name=name,
                        travel=travel, MOST_TRAVEL_MM=MOST_TRAVEL_MM))
        far = next((free for free in gaps if not LEAST_FREE_MM <= free <= MOST_FREE_MM), None)
        if far is not None:
            yield ((*at, "ahead", "gap", gaps.index(far)),
                   said("{far} mm are free ahead of {name}; usually {LEAST_FREE_MM} to {MOST_FREE_MM} mm", far=far,
                        name=name, LEAST_FREE_MM=LEAST_FREE_MM, MOST_FREE_MM=MOST_FREE_MM))


def _row(row: Row, year: int | None, rear: bool) -> Iterator[tuple[Loc, str]]:
    cushion = row.cushion
    if rear and len(row.positions) > 1 and cushion.left is not None and cushion.right is not None:
        width = cushion.right - cushion.left
        counted = seats_of_bench(width)
        if width < NARROW_BENCH_MM and len(row.positions) > counted:
            yield (
                ("cushion",),
                said("a bench {width} mm wide counts as {counted} seats (49 CFR 571.10), and here are "
                     "{n_positions}", width=width, counted=counted, n_positions=len(row.positions)),
            )
    bars = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    for k, position in enumerate(row.positions):
        at: Loc = ("positions", k)
        if position.width is not None and position.width < LEAST_POSITION_MM:
            yield (
                (*at, "width"),
                (
                    said("{position} is {width} mm wide; "
                         "a seat has at least {LEAST_POSITION_MM} mm (49 CFR 571.3)", position=position.position,
                         width=position.width, LEAST_POSITION_MM=LEAST_POSITION_MM)
                ),
            )
        if position.lower_anchors and all(name in bars for name in position.lower_anchors):
            spacing = bars[position.lower_anchors[1]] - bars[position.lower_anchors[0]]
            if abs(spacing - BAR_SPACING_MM) > BAR_SPACING_OFF_MM:
                yield (
                    (*at, "lower_anchors"),
                    (said("the bars of {position} are {spacing} mm apart; usually {BAR_SPACING_MM} mm",
                          position=position.position, spacing=spacing, BAR_SPACING_MM=BAR_SPACING_MM)),
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
        if belt and belt.anchors and belt.anchors[1] - belt.anchors[0] < LEAST_BELT_SPAN_MM:
            span = belt.anchors[1] - belt.anchors[0]
            yield (
                (*at, "belt", "anchors"),
                (
                    said("belt anchors of {position} are {span} mm apart; "
                         "at least {LEAST_BELT_SPAN_MM} mm (49 CFR 571.210)", position=position.position, span=span,
                         LEAST_BELT_SPAN_MM=LEAST_BELT_SPAN_MM)
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
