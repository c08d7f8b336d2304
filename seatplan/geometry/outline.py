"""Are the listed parts of a restraint the whole of it: do they reach from its seat surface to the top of its shell.

Only a part that somebody listed is kept clear of neighbours, walls and the seat ahead; what is left out would have room
everywhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import cos, floor, hypot, radians, sin
from typing import TYPE_CHECKING

from seatplan.frozen import frozen

from .support import ENVELOPE, base_parts

if TYPE_CHECKING:
    from seatplan.model import Installation, Mode, Part

Span = tuple[float, float]
#: between the foot end and the head end of a rear-facing shell its padding hides so much, mm (common practice, no
#: source)
SEAM_MM = 25


@frozen
class Gap:
    """Where nothing is listed: from and to, mm above the cushion (``up``) or forward of the bight."""

    up: bool
    start: int
    end: int


def bounded(mode: Mode, installation: Installation | None) -> bool:
    """Whether an envelope is listed, beyond which nothing of the restraint reaches."""
    return any(part.part.startswith(ENVELOPE) for part in _listed(mode, installation))


def unlisted(mode: Mode, installation: Installation | None, tolerance_mm: int) -> Gap | None:
    """The lowest height of a shell or booster back at which no part is listed, or for a rear-facing shell the length
    below its back; None where the parts reach from ``seat_up`` over the whole of ``shell_height``.

    A harness shell leans back by its reference, so that its top is lower than its length; one whose reference nobody
    gave, and the back of a booster, count as upright. Both must be known, and every part must have an outline.
    """
    assert mode.seat_up is not None
    assert mode.shell_height is not None
    lean = mode.recline.reference if mode.recline is not None and mode.harness else 0.0
    off = hypot(tolerance_mm, tolerance_mm)
    top = mode.seat_up + mode.shell_height * cos(radians(lean))
    found = _first_gap((_span(part, 1) for part in _listed(mode, installation)), (mode.seat_up, top), off)
    if found is not None:
        return Gap(True, *found)
    if not mode.rear_facing:
        return None
    lies = base_parts(mode, installation)
    shell = [part for part in _listed(mode, installation) if part not in lies] or lies
    front = max(_span(part, 0)[1] for part in shell)
    back = front - mode.shell_height * sin(radians(lean))
    found = _first_gap((_span(part, 0) for part in shell), (back, front), SEAM_MM + off)
    return None if found is None else Gap(False, *found)


def _listed(mode: Mode, installation: Installation | None) -> Sequence[Part]:
    return [*mode.parts, *(installation.parts if installation else ())]


def _span(part: Part, axis: int) -> Span:
    """From where to where a part reaches: along (0) or up (1)."""
    if part.outline is not None:
        return min(point[axis] for point in part.outline), max(point[axis] for point in part.outline)
    box = (part.along, part.up)[axis]
    assert box is not None
    return box


def _first_gap(spans: Iterable[Span], asked: Span, off: float) -> tuple[int, int] | None:
    """The first stretch of what is asked for, longer than ``off``, that no span covers."""
    at, end = asked
    for low, high in sorted(spans):
        if low - at > off and at < end:
            return floor(at), floor(min(low, end))
        at = max(at, high)
    return (floor(at), floor(end)) if end - at > off else None
