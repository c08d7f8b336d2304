"""How far a restraint leans in the car: its setting, the cushion below it, and what is packed under it.

Angles are degrees from vertical. Parts are measured on a level bench with its cushion at ``BENCH_ANGLE_DEG``
and the restraint at ``recline.reference``; settings are read there too. In the car the whole restraint turns
about the bight with the cushion: one whose front edge is higher than the bench's leans the top of everything
towards the seatback, by (cushion - 15).

- Rear-facing, the child's back leans away from the seatback, so this makes it more upright:
  ``angle = setting - (cushion - 15) + packing``.
- Forward-facing, the back leans towards the seatback, so this lays it further back:
  ``angle = setting + (cushion - 15) - packing``.

Packing, a rolled towel or a noodle pushed into the bight, lifts the end of the base that lies there: all of it
leans away from the seatback. It is offered to rear-facing modes alone, where the instructions allow it, and
only as far as they say. A setting itself turns the shell in its base: more recline moves the top of a
rear-facing shell away from the seatback, of a forward-facing one towards it.

By hand, a rear-facing shell at setting 38: on a flatter cushion of 12 it lies at 38 - (12 - 15) = 41, on 15 at
38, on a steep one of 19 at 38 - (19 - 15) = 34; with 4 degrees packed under it at 38 again. A forward-facing
one at setting 20 sits at 17, 20 and 24.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING, Literal

from seatplan.frozen import frozen
from seatplan.message import Figure, joined, part_of, said
from seatplan.units import Number

from .shapes import Shape

if TYPE_CHECKING:
    from collections.abc import Iterator

    from seatplan.model import Mode, Recline
    from seatplan.model.restraint import ReclineRange

    from .shapes import Box

#: cushion angle of the bench that restraints are measured on: the typical angle by which the UMTRI envelope
#: project (31 restraints, 10 vehicles of 2014) tilts its envelopes, and the nominal pitch of the fixtures of
#: UN R16 Annex 17, now UN R173, Appendix 2 para. 3.1
BENCH_ANGLE_DEG = 15
#: what an angle taken with a phone may be off, degrees (common practice, no source)
PHONE_OFF_DEG = 2
#: the part that stays put when the setting changes
_BASE = "base"
#: angles are compared in thousandths of a degree, so that 44.99999999999999 is 45
_PLACES = 3


#: a baby of whom nobody knows that it sits by itself: half of them do at 5.9 months (WHO motor milestones 2006, from
#: memory); where the age is not known, lighter than the 9 kg from which older labels let a child face forward
SITS_FROM_MONTHS, SITS_FROM_KG = 6, 9


@frozen
class Setting:
    """A setting, the degrees packed under it, and the angle from vertical that they come to in the car."""

    setting: float
    packing: int
    angle: float


@frozen
class Miss:
    """The setting that comes nearest to the range without reaching it: so many degrees too upright or too
    flat, with the most packing that is allowed."""

    setting: Setting
    short: float
    too: Literal["upright", "flat"]


def angle_in_car(setting: float, cushion_angle: float, rear_facing: bool, packing: float = 0) -> float:
    """Degrees from vertical in the car; the signs are in the module's text."""
    steeper = cushion_angle - BENCH_ANGLE_DEG - packing
    return round(setting - steeper if rear_facing else setting + steeper, _PLACES)


def allowed_range(
    mode: Mode, age_months: int | None, mass_kg: Number | None,
) -> tuple[float, float] | None:
    """The lowest and highest angle that the instructions allow this child; None: they name none.

    Narrower ranges for some children narrow the general one. Where a child's age or mass is not known, every
    range that could apply does. Ranges that exclude each other leave low above high: nothing passes.
    """
    if mode.recline is None:
        return None
    ranges = [r.allowed for r in mode.recline.ranges if _may_apply(r, age_months, mass_kg)]
    if mode.recline.allowed:
        low, high = mode.recline.allowed
        ranges.append((low, high))
    if not ranges:
        return None
    return max(low for low, _ in ranges), min(high for _, high in ranges)


def at_its_limit(angle: float, allowed: tuple[float, float] | None) -> bool:
    """Whether an angle lies nearer to an end of its range than the cushion's angle may be off."""
    return allowed is not None and min(angle - allowed[0], allowed[1] - angle) < PHONE_OFF_DEG


def too_young_to_sit(age_months: int | None, mass_kg: Number | None) -> bool:
    """Whether a child counts as a baby that cannot hold itself up; one of unknown age and mass does."""
    if age_months is not None:
        return age_months < SITS_FROM_MONTHS
    return mass_kg is None or mass_kg < SITS_FROM_KG


def has_newborn_range(mode: Mode, age_months: int | None, mass_kg: Number | None) -> bool:
    """Whether the instructions give a range of their own for a child so young or so light."""
    return mode.recline is not None and any(_may_apply(r, age_months, mass_kg) for r in mode.recline.ranges)


def unknown_of_child(mode: Mode, age_months: int | None, mass_kg: Number | None) -> tuple[str, ...]:
    """``age`` or ``mass``, where a narrower range hangs on it and the child's is not known."""
    if mode.recline is None:
        return ()
    held_by = {"age": age_months, "mass": mass_kg}
    return tuple(what for what, value in held_by.items()
                 if value is None and any(getattr(r, what) is not None and _may_apply(r, age_months, mass_kg)
                                          for r in mode.recline.ranges))


def settings_in_car(
    mode: Mode, cushion_angle: float, age_months: int | None, mass_kg: Number | None,
) -> list[Setting]:
    """Every setting that comes into the child's range, each with the least packing it needs; those that need
    none first. Empty where nothing passes, and where no range is known (see ``allowed_range``).

    A file that lists no settings has one, the reference at which its parts were measured.
    """
    allowed = allowed_range(mode, age_months, mass_kg)
    if allowed is None or mode.recline is None:
        return []
    low, high = allowed
    found = [tried for tried in _tried(mode, mode.recline, cushion_angle, low) if low <= tried.angle <= high]
    return sorted(found, key=lambda s: (s.packing, s.setting))


def cushions_that_do(mode: Mode, age_months: int | None, mass_kg: Number | None) -> str | None:
    """The cushion angles on which a setting comes into the child's range, in words; None where no range is
    known or none ever does."""
    allowed = allowed_range(mode, age_months, mass_kg)
    if allowed is None or mode.recline is None or allowed[0] > allowed[1]:
        return None
    low, high = allowed
    most = _most_packing(mode, mode.recline)
    spans: list[list[float]] = []
    for setting in sorted(mode.recline.settings or [mode.recline.reference], reverse=not mode.rear_facing):
        start, end = ((setting - high, setting - low + most) if mode.rear_facing
                      else (low - setting, high - setting))
        if spans and start <= spans[-1][1]:
            spans[-1][1] = max(end, spans[-1][1])
        else:
            spans.append([start, end])
    return joined(" or ", (said("{least} to {most} degrees", least=Figure(BENCH_ANGLE_DEG + start),
                            most=Figure(BENCH_ANGLE_DEG + end)) for start, end in spans))


def nearest_miss(
    mode: Mode, cushion_angle: float, age_months: int | None, mass_kg: Number | None,
) -> Miss | None:
    """The setting that comes nearest to the range; None where one passes or no range is known."""
    allowed = allowed_range(mode, age_months, mass_kg)
    if allowed is None or mode.recline is None or settings_in_car(mode, cushion_angle, age_months, mass_kg):
        return None
    return min((_miss(tried, *allowed) for tried in _tried(mode, mode.recline, cushion_angle, allowed[0])),
               key=lambda miss: (miss.short, miss.setting.packing, miss.setting.setting))


def posed(shape: Shape, mode: Mode, setting: float, packing: float, cushion_angle: float) -> Shape:
    """The shape as it stands in the car: side polygons turned about the bight, widths as they are.

    Everything turns with the cushion and the packing; all parts but the base also by what the setting differs
    from the reference. Parts without an outline stay without; a child's own body on a booster stays upright,
    as it sits against the seatback.
    """
    whole = cushion_angle - BENCH_ANGLE_DEG - packing
    more = setting - mode.recline.reference if mode.recline else 0
    shell = whole - more if mode.rear_facing else whole + more
    return Shape(shape.name, tuple(
        _turned(box, whole if part_of(box.label) == _BASE else shell) for box in shape.boxes))


def _turned(box: Box, degrees: float) -> Box:
    if box.outline is None or box.person or degrees == 0:
        return box
    return replace(box, outline=box.outline.turned(degrees))


def _may_apply(narrower: ReclineRange, age_months: int | None, mass_kg: Number | None) -> bool:
    return all(held is None or value is None or held[0] <= value <= held[1]
               for held, value in ((narrower.age, age_months), (narrower.mass, mass_kg)))


def _tried(mode: Mode, recline: Recline, cushion_angle: float, low: float) -> Iterator[Setting]:
    """Each setting with the least whole degrees of packing that bring it up to the range, or all that are
    allowed."""
    most = _most_packing(mode, recline)
    for setting in recline.settings or [recline.reference]:
        angle = angle_in_car(setting, cushion_angle, mode.rear_facing)
        packing = min(max(0, ceil(round(low - angle, _PLACES))), most)
        yield Setting(setting, packing, angle_in_car(setting, cushion_angle, mode.rear_facing, packing))


def _most_packing(mode: Mode, recline: Recline) -> int:
    """Whole degrees; whoever made the restraint gave a limit: without one nothing may be packed."""
    return int(recline.packing_limit or 0) if recline.packing not in ("none", None) and mode.rear_facing else 0


def _miss(tried: Setting, low: float, high: float) -> Miss:
    if tried.angle < low:
        return Miss(tried, round(low - tried.angle, _PLACES), "upright")
    return Miss(tried, round(tried.angle - high, _PLACES), "flat")
