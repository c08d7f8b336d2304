"""What is odd in a vehicle, restraint or trip file, though allowed: usually a slip, sometimes a strange car. Numbers
that are unlikely are told by ``seatplan.doubt``. One function each, in the lists at the end.

Sources are named beside each check: 49 CFR 571.10, 571.208 and 571.225, UN R44.
"""

from __future__ import annotations

from collections.abc import Callable

from seatplan.frozen import frozen
from seatplan.message import in_kg, in_mm, said
from seatplan.model import Position, Restraint, Row, Trip, Vehicle

from .errors import Notice
from .places import Document, Found, Loc, below

#: 49 CFR 571.10(b): one position for each 350 mm of a bench below 1,400 mm, for each 450 mm from there
NARROW_BENCH_MM, NARROW_EACH_MM, WIDE_EACH_MM = 1400, 350, 450
#: spacing of the two bars of one position; it is carried by the figures of 49 CFR 571.225 (from memory), and
#: bars of 25 to 60 mm absorb the rest
BAR_SPACING_MM, BAR_SPACING_OFF_MM = 280, 12
#: 49 CFR 571.208 as phased in: shoulder belts at every forward-facing rear position from model year 2008
SHOULDER_BELTS_FROM = 2008
#: 49 CFR 571.225 S4.4(a), vehicles made from 1 September 2002: two full systems and three tethers
ANCHORS_FROM, LEAST_PAIRS, LEAST_TETHERS = 2003, 2, 3
#: the back of a seat that somebody sits in leans towards the row behind, so the free length shrinks with height; up to
#: the shoulders, where a head restraint may begin to stand back again, mm (common practice, no source)
LEANS_UP_TO_MM = 650
#: a hollow or a map pocket lets it grow by so much, mm (common practice, no source)
HOLLOW_MM = 30

#: UN R44 (04 series) 6.3.1.2: the most that an ISOFIX restraint of groups 0, 0+ and I weighs itself, kg
R44_ISOFIX_MASS_KG = 15
_R44_ISOFIX, _R44_LIGHT_GROUPS = ("isofix-universal", "isofix-semi-universal"), ("0", "0+", "I")


def seats_of_bench(width_mm: int) -> int:
    """How many positions the counting rule gives a bench (from 1,400 mm: at least so many)."""
    if width_mm < NARROW_BENCH_MM:
        return max(1, width_mm // NARROW_EACH_MM)
    return width_mm // WIDE_EACH_MM


def vehicle_notices(vehicle: Vehicle, document: Document, at: Loc = ()) -> list[Notice]:
    """What is odd about a vehicle."""
    return [document.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def restraint_notices(restraint: Restraint, document: Document, at: Loc = ()) -> list[Notice]:
    """What is odd about a restraint."""
    return [document.problem((*at, *loc), text) for check in RESTRAINT_NOTICES for loc, text in check(restraint)]


def _heavier_than_r44_isofix(restraint: Restraint) -> Found:
    approval, mass = restraint.approval, restraint.mass
    if (mass is not None and mass > R44_ISOFIX_MASS_KG and approval is not None and approval.standard == "UN R44"
            and approval.category in _R44_ISOFIX and set(approval.groups) & set(_R44_LIGHT_GROUPS)):
        yield ("mass",), said("it weighs {mass}; an ISOFIX restraint of UN R44 weighs {limit} at most (6.3.1.2)",
                              mass=in_kg(mass, "up"), limit=in_kg(R44_ISOFIX_MASS_KG))


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


def _vehicle(vehicle: Vehicle) -> Found:
    year = vehicle.model_year
    for i, row in enumerate(vehicle.rows):
        rear = i > 0
        for row_check in ROW_NOTICES:
            yield from below(("rows", i), row_check(row, rear))
        for k, position in enumerate(row.positions):
            for check in POSITION_NOTICES:
                yield from below(("rows", i, "positions", k), check(position, Around(row, year, rear)))
    for vehicle_check in VEHICLE_NOTICES:
        yield from vehicle_check(vehicle)


@frozen
class Around:
    """What is around a position: its row, whether that is a rear one, and the model year."""

    row: Row
    year: int | None
    rear: bool


def _bench_counts_as_fewer_seats(row: Row, rear: bool) -> Found:
    cushion = row.cushion
    if not rear or len(row.positions) < 2 or cushion.left is None or cushion.right is None:
        return
    width = cushion.right - cushion.left
    counted = seats_of_bench(width)
    if width < NARROW_BENCH_MM and len(row.positions) > counted:
        yield (
            ("cushion",),
            said("a bench {width} wide counts as {counted} seats (49 CFR 571.10), and here are "
                 "{n_positions}", width=in_mm(width), counted=counted, n_positions=len(row.positions)),
        )


def _bars_far_from_the_usual(position: Position, around: Around) -> Found:
    bars = {bar.bar: bar.across for bar in around.row.lower_anchors or () if bar.across is not None}
    if not position.lower_anchors or not all(name in bars for name in position.lower_anchors):
        return
    spacing = bars[position.lower_anchors[1]] - bars[position.lower_anchors[0]]
    if abs(spacing - BAR_SPACING_MM) > BAR_SPACING_OFF_MM:
        yield (
            ("lower_anchors",),
            (said("the bars of {position} are {spacing} apart; usually {BAR_SPACING_MM}",
                  position=position.position, spacing=in_mm(spacing), BAR_SPACING_MM=in_mm(BAR_SPACING_MM))),
        )


def _lap_belt_in_a_late_car(position: Position, around: Around) -> Found:
    belt = position.belt
    lap_only = belt is not None and belt.kind == "lap" and position.facing in ("forward", None)
    if lap_only and around.rear and (around.year or 0) >= SHOULDER_BELTS_FROM:
        yield (
            ("belt", "kind"),
            (
                said("{position} has a lap belt in a car of {year}; "
                     "expected a shoulder belt (49 CFR 571.208)", position=position.position, year=around.year)
            ),
        )


def _anchors_before_an_airbag(position: Position, around: Around) -> Found:
    airbag = position.airbag
    if not around.rear and position.lower_anchors and airbag is not None and airbag.front == "active":
        yield (
            ("lower_anchors",),
            (
                said("{position} has lower anchors before an airbag that has no "
                     "switch (49 CFR 571.225 S5(d))", position=position.position)
            ),
        )


def _fewer_lower_anchors_than_asked(vehicle: Vehicle) -> Found:
    rear = _rear_seats_under_225(vehicle)
    pairs = sum(bool(p.lower_anchors) for p in rear)
    if rear and pairs < LEAST_PAIRS:
        yield (
            ("rows",),
            (
                said("{n_rear} rear seats and lower anchors at {pairs}; "
                     "49 CFR 571.225 asks for {LEAST_PAIRS}", n_rear=len(rear), pairs=pairs,
                     LEAST_PAIRS=LEAST_PAIRS)
            ),
        )


def _fewer_tethers_than_asked(vehicle: Vehicle) -> Found:
    rear = _rear_seats_under_225(vehicle)
    tethers = sum(p.tether != "none" for p in rear)
    if rear and tethers < LEAST_TETHERS:
        yield (
            ("rows",),
            (
                said("{n_rear} rear seats and tether anchors at {tethers}; "
                     "49 CFR 571.225 asks for {LEAST_TETHERS}", n_rear=len(rear), tethers=tethers,
                     LEAST_TETHERS=LEAST_TETHERS)
            ),
        )


def _seat_ahead_leans_away(vehicle: Vehicle) -> Found:
    """A gap that grows with height belongs to a seat that leans forward; of a seat that faces the rear row it is its
    cushion."""
    off = vehicle.measured.tolerance
    facing = {position.position: position.facing for position in vehicle.positions()}
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            ahead = position.ahead
            if ahead is None or ahead.seat is None or facing.get(ahead.seat) not in ("forward", None):
                continue
            below: tuple[int, int] | None = None
            for j, (height, free) in enumerate(ahead.gap):
                if below is not None and height <= LEANS_UP_TO_MM and free - below[1] > HOLLOW_MM + 2 * off:
                    yield (
                        ("rows", i, "positions", k, "ahead", "gap", j),
                        said("{free} are free ahead of {position} at {height}, and {less} lower down, at {low}; a "
                             "seat in use leans towards the row behind: measure again, with {seat} fully back and its "
                             "back as for somebody who sits there",
                             free=in_mm(free), position=position.position, height=in_mm(height), less=in_mm(below[1]),
                             low=in_mm(below[0]), seat=ahead.seat),
                    )
                    break
                if below is None or free < below[1]:
                    below = height, free


def _rear_seats_under_225(vehicle: Vehicle) -> list[Position]:
    """The rear seats of a car that 49 CFR 571.225 asks for two pairs and three tethers; none of any other car, of one
    with a UN handbook, nor of one whose anchors were not all looked for."""
    year = vehicle.model_year
    rear = [p for row in vehicle.rows[1:] for p in row.positions if p.facing in ("forward", None)]
    if year is None or year < ANCHORS_FROM or len(rear) < 3:
        return []
    built_to_un_rules = any(p.fixtures is not None or p.i_size is not None for p in rear)
    told = all(p.lower_anchors is not None and p.tether is not None for p in rear)
    return rear if told and not built_to_un_rules else []


ROW_NOTICES: tuple[Callable[[Row, bool], Found], ...] = (_bench_counts_as_fewer_seats,)
POSITION_NOTICES: tuple[Callable[[Position, Around], Found], ...] = (
    _bars_far_from_the_usual, _lap_belt_in_a_late_car, _anchors_before_an_airbag,
)
RESTRAINT_NOTICES: tuple[Callable[[Restraint], Found], ...] = (_heavier_than_r44_isofix,)
VEHICLE_NOTICES: tuple[Callable[[Vehicle], Found], ...] = (
    _fewer_lower_anchors_than_asked, _fewer_tethers_than_asked, _seat_ahead_leans_away,
)
