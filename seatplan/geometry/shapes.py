"""Bodies as side polygons times widths: restraints from their measured parts, people from a few boxes.

A side polygon lies in (along, up), mm, from the bight. Two bodies in one row can touch only where their side
polygons come near each other; how far apart their middles must then be is half of both widths.
"""

from __future__ import annotations

from dataclasses import field, replace
from functools import lru_cache
from operator import itemgetter
from typing import TYPE_CHECKING

from seatplan.fields import field as size
from seatplan.frozen import frozen
from seatplan.message import part_label
from seatplan.store import Shelf, Store

from . import anthropometry
from .convex import Outline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from seatplan.model import Installation, Mode, Part, Rider

    from .recline import Setting

#: side polygons this near each other count as overlapping: the tolerance of the tape, so never in the
#: user's favour
NEAR_MM = 5

# A seated person's hips and shoulders as boxes, (along, up) in mm above the seat surface. From ANSUR II
# depths and heights rounded outwards: buttock-knee 669 at most, waist depth about 300; the trunk leans back
# with the seatback.
_HIPS_ALONG, _HIPS_UP = (0, 350), (0, 250)
_SHOULDERS_ALONG, _SHOULDERS_BELOW, _SHOULDERS_ABOVE = (-150, 250), 200, 60
#: how high a booster may lift its child where that was not measured; a mean of 99 mm was found over 85
#: boosters (Baker et al., Stapp paper 3415), the ends of the band are from memory
_SEAT_UP = (0, 200)


@frozen(eq=False)
class Box:
    """A part: side polygon (None: not measured, so near everything), width in mm (None: not measured), how
    much wider an ``estimated`` width may be, and how far a measured one may be off."""

    label: str
    outline: Outline | None
    width: int | None
    spread: int = 0
    person: bool = False              # a body gives way where a shell does not
    tolerance: int = 0
    estimated: bool = False

    @property
    def half(self) -> str:
        """What tells half of the width from other lengths of a sum: a rider and a restraint may be called alike."""
        return f"half of {'body' if self.person else 'part'} {self.label}"

    @property
    def off_by(self) -> int:
        """How far the width may be off, mm: the tape, or the spread of an estimate."""
        return max(self.tolerance, self.spread)


@frozen(eq=False)
class Shape:
    """All parts of one body. ``name`` is what people call it; ``off_by``: no width of it is off by more, mm;
    ``guessed``: a width of it is only estimated."""

    name: str
    boxes: tuple[Box, ...]
    off_by: int = field(init=False)
    guessed: bool = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "off_by", max((box.off_by for box in self.boxes), default=0))
        object.__setattr__(self, "guessed", any(box.estimated for box in self.boxes))

    @property
    def body(self) -> tuple[object, ...]:
        """All that room depends on, without the names of the parts: of bodies that take the same room it is equal."""
        return tuple((None if box.outline is None else box.outline.corners, box.width, box.spread, box.person,
                      box.tolerance, box.estimated) for box in self.boxes)

    @property
    def unmeasured(self) -> tuple[str, ...]:
        """Parts whose width is missing."""
        return tuple(box.label for box in self.boxes if box.width is None)


@frozen
class Reach:
    """Least distance of two middles in half-mm, and the two parts that decide it (None: they pass each
    other)."""

    need: int
    parts: tuple[Box, Box] | None


class Shapes:
    """Shapes by the content of what they are made of, and their least distances; answers are kept in a store."""

    def __init__(self, store: Store | None = None) -> None:
        store = store or Store()
        self._shapes: Shelf[Shape] = store.shelf("shapes", weight=16)
        self._posed: Shelf[Shape] = store.shelf("posed shapes", weight=16)
        self._reaches: Shelf[Reach] = store.shelf("reaches", weight=8)

    def of(self, rider: Rider, name: str, mode: Mode | None, installation: Installation | None,
           tolerance: int = 0) -> Shape:
        """The body of a rider in a restraint's mode, or of the rider alone where mode is None. ``tolerance`` is that
        of the restraint's file, mm."""
        own = mode is None or mode.booster
        key = (name, mode and mode.content, installation and installation.content, rider.content if own else 0,
               tolerance)
        kept = self._shapes.get(key)
        if kept is None:
            if mode is None:
                shape = shape_of_person(rider)
            elif mode.booster:
                shape = shape_on_booster(name, mode, installation, rider, tolerance)
            else:
                shape = shape_of_restraint(name, mode, installation, tolerance)
            kept = self._shapes.put(key, shape)
        return kept

    def posed(self, shape: Shape, mode: Mode, lean: Setting | None, cushion_angle: float | None) -> Shape:
        """A shape that this object made, as it stands in the car: turned by cushion, setting and packing. Without a
        setting it stands at its reference; on a cushion whose angle nobody measured as on the bench."""
        from .recline import BENCH_ANGLE_DEG, posed

        angle = BENCH_ANGLE_DEG if cushion_angle is None else cushion_angle
        reference = mode.recline.reference if mode.recline else 0.0
        setting, packing = (lean.setting, lean.packing) if lean else (reference, 0)
        if angle == BENCH_ANGLE_DEG and setting == reference and not packing:
            return shape
        return self._posed.ask((shape, mode.content, setting, packing, angle),
                               lambda: posed(shape, mode, setting, packing, angle))

    def lifted(self, shape: Shape, up: int) -> Shape:
        """A shape that this object made, on a cushion that lies ``up`` mm above that of its row."""
        if not up:
            return shape
        return self._posed.ask((shape, "up", up), lambda: Shape(shape.name, tuple(
            box if box.outline is None else replace(box, outline=box.outline.lifted(up))
            for box in shape.boxes)))

    def reach(self, left: Shape, right: Shape) -> Reach:
        """Least distance of two shapes that this object made."""
        key = (left, right)
        reach = self._reaches.get(key)
        return self._reaches.put(key, least_distance(left, right)) if reach is None else reach


def shape_of_restraint(name: str, mode: Mode, installation: Installation | None, tolerance: int = 0) -> Shape:
    """The parts of a mode and of its installation, as measured at the reference recline."""
    parts = [*mode.parts, *(installation.parts if installation else ())]
    return Shape(name, _boxes(name, parts, tolerance))


def shape_of_person(rider: Rider) -> Shape:
    """Hips and shoulders of a person on the vehicle's own seat."""
    hips = anthropometry.hip_breadth(rider)
    return Shape(
        rider.rider,
        (
            Box(
                size("rider.hips", rider=rider.rider).field,
                _side(_HIPS_ALONG, _HIPS_UP),
                hips.middle if hips else None,
                hips.spread if hips else 0,
                person=True,
                estimated=hips is not None and not hips.measured,
            ),
            _shoulders(rider, (0, 0)),
        ),
    )


def shape_on_booster(
    name: str, mode: Mode, installation: Installation | None, rider: Rider, tolerance: int = 0,
) -> Shape:
    """A booster's parts with the shoulders of the child above them, as high as they may be."""
    parts = [*mode.parts, *(installation.parts if installation else ())]
    lift = _SEAT_UP if mode.seat_up is None else (mode.seat_up, mode.seat_up)
    return Shape(name, (*_boxes(name, parts, tolerance), _shoulders(rider, lift)))


def least_distance(left: Shape, right: Shape) -> Reach:
    """The largest (width + width) / 2 over parts whose side polygons come near each other.

    Parts without a width are left out: the caller asks ``Shape.unmeasured`` and never calls that a fit.
    """
    pairs = [(a.width + b.width, a, b) for a in left.boxes if a.width is not None
             for b in right.boxes if b.width is not None]
    # the first of the widest that come near: of equal ones in the order of the parts
    pairs.sort(key=itemgetter(0), reverse=True)
    for need, a, b in pairs:
        if need > 0 and near(a.outline, b.outline):
            return Reach(need, (a, b))
    return Reach(0, None)


def near(a: Outline | None, b: Outline | None) -> bool:
    """Whether two side polygons come within NEAR_MM; an outline that was not measured is near everything."""
    return a is None or b is None or a.near(b, NEAR_MM)


def widest_near(shape: Shape, zone: Outline | None, people: bool = True) -> Box | None:
    """The widest measured part that comes near a zone in side view; ``people`` False leaves bodies out."""
    parts = [b for b in shape.boxes if b.width is not None and (people or not b.person)]
    parts.sort(key=lambda b: b.width or 0, reverse=True)
    return next((b for b in parts if near(b.outline, zone)), None)


def side_box(along: Sequence[int], up: Sequence[int]) -> Outline:
    """A box in side view."""
    return _side((along[0], along[1]), (up[0], up[1]))


@lru_cache(maxsize=4096)
def _side(along: tuple[int, int], up: tuple[int, int]) -> Outline:
    return Outline.box(along, up)


@lru_cache(maxsize=1024)
def _around(points: tuple[tuple[int, int], ...]) -> Outline:
    # a crossed or hollow outline is taken outwards
    return Outline.around(points)


def _boxes(name: str, parts: Sequence[Part], tolerance: int) -> tuple[Box, ...]:
    """The measured parts; a restraint of which nobody measured any is one box without a width."""
    if not parts:
        return (Box(name, None, None),)
    return tuple(
        Box(part_label(name, part.part), _outline(part), part.width,
            tolerance=tolerance if part.tolerance is None else part.tolerance)
        for part in parts)


def _outline(part: Part) -> Outline | None:
    if part.outline is not None:
        return _around(tuple(part.outline))
    if part.along is None or part.up is None:
        return None
    return _side(part.along, part.up)


def _shoulders(rider: Rider, lift: tuple[int, int]) -> Box:
    """``lift``: the seat that the rider sits on is at least and at most so high above the vehicle's
    cushion."""
    breadth, height = anthropometry.shoulder_breadth(rider), anthropometry.shoulder_height(rider)
    outline = None
    if height is not None:
        low = min(height.low - _SHOULDERS_BELOW, _HIPS_UP[1]) + lift[0]     # arms leave no gap above the hips
        outline = _side(_SHOULDERS_ALONG, (low, height.high + _SHOULDERS_ABOVE + lift[1]))
    return Box(size("rider.shoulders", rider=rider.rider).field, outline, breadth.middle if breadth else None,
               breadth.spread if breadth else 0, person=True, estimated=breadth is not None and not breadth.measured)
