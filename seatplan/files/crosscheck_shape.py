"""What one place of a row has of its own, the parts of a row and what stands around it: what cannot be true of them
together. One check each, in ``SHAPE_CHECKS``."""

from __future__ import annotations

import itertools
from collections.abc import Callable

from seatplan.message import Figure, in_mm, joined, said
from seatplan.model import Row

from .crosscheck_walls import outside
from .places import Found

#: an angle taken with a phone may be off by so much, and two of them by both, degrees (common practice, no source)
_PHONES_OFF_DEG = 4


def _parts_are_of_this_row(row: Row, off: int) -> Found:
    """Each seat of a row that slides in parts is in one of them."""
    names = [position.position for position in row.positions]
    seen: set[str] = set()
    for k, part in enumerate(row.parts):
        for j, name in enumerate(part.positions):
            if name not in names:
                yield (
                    ("parts", k, "positions", j),
                    said("{name} is not in row {row}; expected one of {names}", name=name, row=row.row,
                         names=joined(", ", names)),
                )
            elif name in seen:
                yield ("parts", k, "positions", j), said("{name} is in two parts; expected it in one", name=name)
            seen.add(name)
    left_out = [name for name in names if name not in seen]
    if row.parts and left_out:
        yield (
            ("parts",),
            said("{name} is in no part of row {row}; expected each of its seats in one, with `slides: 0` where a part "
                 "does not slide", name=left_out[0], row=row.row),
        )


def _slides_as_a_whole_or_in_parts(row: Row, off: int) -> Found:
    if row.parts and row.slides is not None:
        yield (
            ("slides",),
            said("row {row} slides as a whole and in parts; expected `slides` at each part alone", row=row.row),
        )
    if row.parts and row.split is False:
        yield ("split",), said("row {row} has parts; expected `split: yes`, or no parts", row=row.row)


def _parts_on_the_cushion(row: Row, off: int) -> Found:
    low, high = row.cushion.left, row.cushion.right
    for k, part in enumerate(row.parts):
        for j, across in enumerate(part.across or ()):
            if outside(across, low, high, 2 * off):
                yield (
                    ("parts", k, "across", j),
                    said("the part ends at {across}; expected it on the cushion of row {row}, {low:bare} to {high}",
                         across=in_mm(across), row=row.row, low=in_mm(low), high=in_mm(high)),
                )


def _seats_in_their_part(row: Row, off: int) -> Found:
    """The middle of a seat lies on the part that it belongs to."""
    for i, position in enumerate(row.positions):
        part = next((part for part in row.parts if position.position in part.positions), None)
        if part is None or part.across is None or position.centre is None:
            continue
        own = off if position.tolerance is None else position.tolerance
        if outside(position.centre, *part.across, off + own):
            yield (
                ("positions", i, "centre"),
                said("the centre of {position} is at {centre}; expected it on its part of the row, {low:bare} to "
                     "{high}", position=position.position, centre=in_mm(position.centre),
                     low=in_mm(part.across[0]), high=in_mm(part.across[1])),
            )


def _parts_side_by_side(row: Row, off: int) -> Found:
    """No two parts have the same cushion."""
    known = sorted((part.across, k) for k, part in enumerate(row.parts) if part.across is not None)
    for ((_, end), _), ((start, _), k) in itertools.pairwise(known):
        if end - start > 2 * off:
            yield (
                ("parts", k, "across", 0),
                said("the part begins at {start} and its neighbour ends at {end}; expected one beside the other",
                     start=in_mm(start), end=in_mm(end)),
            )


def _back_as_it_was_measured(row: Row, off: int) -> Found:
    """A seatback was measured at one of the angles that it can be set to."""
    backs = [(("seatback",), row.seatback), *((("positions", i, "seatback"), position.seatback)
                                              for i, position in enumerate(row.positions))]
    for at, back in backs:
        if back is None or back.angle is None or back.reclines is None:
            continue
        low, high = back.reclines
        if not low - _PHONES_OFF_DEG <= back.angle <= high + _PHONES_OFF_DEG:
            yield (
                (*at, "angle"),
                said("the seatback was measured at {angle} degrees and reclines from {low} to {high}; expected an "
                     "angle between them", angle=Figure(back.angle), low=Figure(low), high=Figure(high)),
            )


def _bolsters_on_the_seatback(row: Row, off: int) -> Found:
    height = row.seatback.height
    for k, bolster in enumerate(row.seatback.bolsters or ()):
        for j, across in enumerate(bolster.across):
            if outside(across, row.cushion.left, row.cushion.right, 2 * off + _WIDER_MM):
                yield (
                    ("seatback", "bolsters", k, "across", j),
                    said("{name} is at {across}; expected it on the seatback of row {row}", name=bolster.name,
                         across=in_mm(across), row=row.row),
                )
        if bolster.up is not None and height is not None and bolster.up[0] > height + 2 * off:
            yield (
                ("seatback", "bolsters", k, "up", 0),
                said("{name} begins {up} up and the seatback is {height} high; expected it on the seatback",
                     name=bolster.name, up=in_mm(bolster.up[0]), height=in_mm(height)),
            )


#: a seatback may be wider than its cushion by so much on each side, mm (from memory)
_WIDER_MM = 100


def _roof_from_the_back(row: Row, off: int) -> Found:
    for k, ((before, _), (after, _)) in enumerate(zip(row.roof or (), (row.roof or [])[1:], strict=False), 1):
        if after <= before:
            yield (
                ("roof", k, 0),
                said("the roof is given at {after} after {before}; expected lengths that grow, each once",
                     after=in_mm(after), before=in_mm(before)),
            )


def _roof_above_the_seatback(row: Row, off: int) -> Found:
    """A seatback that stands under the roof ends below it."""
    height, roof = row.seatback.height, row.roof
    if height is None or not roof:
        return
    lowest = roof[0][1]
    if len(roof) == 1 and lowest < 0.85 * height - 2 * off:      # backs lean by up to 30 degrees
        yield (
            ("roof",),
            said("the roof of row {row} is {roof} above its cushion and the seatback {height} high; expected a roof "
                 "above the seatback", row=row.row, roof=in_mm(lowest), height=in_mm(height)),
        )


def _consoles_before_the_cushion(row: Row, off: int) -> Found:
    """What stands above the cushion stands before the bight."""
    for k, console in enumerate(row.consoles or ()):
        if console.along[0] < -2 * off and (console.up is None or console.up[1] > 0):
            yield (
                ("consoles", k, "along", 0),
                said("{name} begins {behind} behind the crease of row {row}, above its cushion; expected it in front "
                     "of the seatback", name=console.name, behind=in_mm(-console.along[0]), row=row.row),
            )


#: each is asked about a row and what a length of the file may be off, mm
SHAPE_CHECKS: tuple[Callable[[Row, int], Found], ...] = (
    _parts_are_of_this_row, _slides_as_a_whole_or_in_parts, _parts_on_the_cushion, _seats_in_their_part,
    _parts_side_by_side, _back_as_it_was_measured, _bolsters_on_the_seatback, _roof_from_the_back,
    _roof_above_the_seatback, _consoles_before_the_cushion,
)
