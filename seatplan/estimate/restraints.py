"""Restraints by kind: what nobody measured of one, at the largest and at the smallest that its kind is likely to be.

The outlines are assumed: from memory, and wider than anything in the literature at hand (restraints of 420 to 530 mm
at their widest; 600 to 820 mm from the seatback, rear-facing; boosters that lift by 99 mm in the mean, Baker et al.,
Stapp 3415). What a shell can hold follows from its label: a stature that the label allows must find straps and head
support within reach. UN R129 asks so of every body up to the 95th percentile (Annex 18); other standards do not, so
here it is asked of the middle one only, less a finger's breadth.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from seatplan.frozen import frozen
from seatplan.geometry.anthropometry import ear_height, shoulder_height, sitting_height
from seatplan.model import Installation, Mode, Part, Recline, Restraint, Rider
from seatplan.model.estimated import EstimatedRestraint
from seatplan.model.kinds import HARNESS
from seatplan.units import Quantity, Stature

from .fixtures import declared

#: less than the middle body of the tallest child on a label asks for, mm (assumed)
_FINGER_MM = 20
#: a shell of which nobody took the width, mm (assumed: 420 to 530 in the literature, from memory, widened)
_WIDEST_MM, _NARROWEST_MM = 560, 380


@frozen
class _Outline:
    """Along and up of shell and base, how high a child sits above the cushion, the lowest strap slot: mm."""

    shell: tuple[tuple[int, int], tuple[int, int]]
    base: tuple[int, int]
    base_width: int | None            # None: as wide as the whole
    seat_up: int
    lowest_slot: int


#: by mode, or by a kind of one mode, and by which end, all assumed, from memory
_OUTLINES: dict[str, tuple[_Outline, _Outline]] = {
    "infant-carrier": (_Outline(((0, 780), (0, 720)), (0, 480), None, 130, 240),
                       _Outline(((60, 520), (0, 420)), (80, 380), 250, 60, 120)),
    "rear-facing-harness": (_Outline(((0, 860), (0, 760)), (0, 480), None, 130, 250),
                            _Outline(((60, 600), (0, 480)), (80, 380), 250, 60, 130)),
    "forward-facing-harness": (_Outline(((0, 620), (0, 860)), (0, 480), None, 160, 300),
                               _Outline(((0, 420), (0, 560)), (40, 330), 250, 60, 200)),
    "high-back-booster": (_Outline(((0, 520), (0, 900)), (0, 450), None, 150, 330),
                          _Outline(((0, 330), (0, 620)), (20, 330), 280, 50, 250)),
    "backless-booster": (_Outline(((0, 450), (0, 320)), (0, 450), None, 150, 330),
                         _Outline(((0, 330), (0, 160)), (20, 330), 280, 40, 250)),
}
#: the heaviest and lightest of a kind, kg (1 to 14 kg in all, from memory, widened)
_MASSES = {"infant-carrier": (12.0, 3.0), "high-back": (12.0, 2.5), "backless": (4.0, 0.8)}
_ELSE = (17.0, 4.0)
#: where the strap leaves the shell: 550 mm above the base (UN R16 Annex 17, now UN R173, App. 2 Fig. 2), and lower
_TETHER_FROM = ((150, 560), (60, 450))
#: of the strap: it is too short in under 2 % of all pairs of restraint and car (Bing, Bolte, Agnew 2015, as secondary
#: summaries have it), so it is taken to reach the furthest anchor that a car's corners have
_STRAP_MM = 1400
#: along and up of a base that lies within every fixture, where its lower edge rises with the cushion of the bench
_BASE_OF_FIXTURE: dict[str, Any] = {"along": (60, 478), "up": (112, 113)}
#: how much webbing the routing uses up, and how far along it the restraint begins: unkind first
_BELT_NEEDED, _BELT_PATH = (2700, 1600), (110, 350)
#: settings on a level bench that a recline has which can be set in steps or by a foot, and the range that its level
#: mark allows, degrees: wide enough together for every cushion (assumed)
_SETTINGS, _ALLOWED = [float(angle) for angle in range(26, 71, 4)], (30.0, 45.0)


def estimated_restraint(restraint: Restraint) -> Restraint:
    """The restraint with corners, where it says its kind; else as it is. A bed has none: it is measured."""
    if restraint.kind is None or restraint.kind == "lying-flat":
        return restraint
    corners = tuple(_corner(restraint, end) for end in (0, 1))
    return EstimatedRestraint.model_construct(
        restraint.model_fields_set, **{name: getattr(restraint, name) for name in Restraint.model_fields},
        corners=corners)


def _corner(restraint: Restraint, end: int) -> Restraint:
    mass = _MASSES.get(restraint.kind or "", _ELSE)[end]
    return restraint.model_copy(update={
        "mass": restraint.mass or Quantity.of_kg(mass),
        "modes": [_mode(restraint, mode, end) if mode.mode in _OUTLINES else mode for mode in restraint.modes]})


def _mode(restraint: Restraint, mode: Mode, end: int) -> Mode:
    outline = _OUTLINES.get(restraint.kind or "", _OUTLINES[mode.mode])[end]
    fixture = declared(restraint.approval, mode)
    width = restraint.width or _width(mode, end)
    update: dict[str, Any] = {
        "shoulder_slots": mode.shoulder_slots or _slots(mode, outline),
        "shell_height": mode.shell_height or _shell_height(mode),
        "seat_up": outline.seat_up if mode.seat_up is None else mode.seat_up,
        "parts": _parts(mode, outline, width) if end or fixture is None else _parts_of(fixture, restraint.width),
        "recline": mode.recline or _recline(restraint, mode),
        "tether_from": mode.tether_from or (
            _TETHER_FROM[end] if mode.mode == "forward-facing-harness" else None),
        "tether_length": mode.tether_length or (_STRAP_MM if mode.mode == "forward-facing-harness" else None),
        "touch_ahead": mode.touch_ahead or "gap",
        "installations": [_installation(mode, way, end) for way in mode.installations]}
    return mode.model_copy(update=update)


def _width(mode: Mode, end: int) -> int:
    """How wide the whole is: as its shell, where that was measured; of another part it is no narrower."""
    shell = [part.width for part in mode.parts if part.part == "shell" and part.width]
    known = max((part.width for part in mode.parts if part.width), default=0)
    return known if shell else max(known, (_WIDEST_MM, _NARROWEST_MM)[end])


def _parts(mode: Mode, outline: _Outline, width: int) -> list[Part]:
    """Parts that were measured stay; the shell as wide as the whole, and the base under it."""
    if any(part.along is not None or part.outline is not None for part in mode.parts):
        return mode.parts
    along, (low, high) = outline.shell
    up = (low, max(high, (mode.shell_height or _shell_height(mode) or 0) + outline.seat_up))
    return [Part(part="base", along=outline.base, up=(0, 120), width=min(outline.base_width or width, width)),
            Part(part="shell", along=along, up=up, width=width)]


def _parts_of(fixture: Part, width: int | None) -> list[Part]:
    """The outline of a fixture, with a base within it; as wide as the restraint, where that was measured."""
    wide = width or fixture.width
    return [Part(part="base", **_BASE_OF_FIXTURE, width=wide), fixture.model_copy(update={"width": wide})]


def _tallest(mode: Mode) -> Rider | None:
    """The tallest child whom the label allows."""
    height = mode.limits.height
    return None if height is None else Rider.model_construct(
        rider="the tallest", height=Stature(height[1]), adult=False, sitting_height=None, shoulder_height=None,
        ear_height=None)


def _of_label(mode: Mode, size: Callable[[Rider], Any]) -> int | None:
    """A size of the tallest child whom the label allows, at its middle, less a finger."""
    tallest = _tallest(mode)
    found = None if tallest is None else size(tallest)
    return None if found is None else found.middle - _FINGER_MM


def _slots(mode: Mode, outline: _Outline) -> tuple[int, int] | None:
    highest = _of_label(mode, shoulder_height)
    return None if highest is None else (min(outline.lowest_slot, highest), highest)


def _shell_height(mode: Mode) -> int | None:
    return _of_label(mode, sitting_height if mode.rear_facing else ear_height)


def _recline(restraint: Restraint, mode: Mode) -> Recline | None:
    if not mode.harness:
        return None
    if not mode.rear_facing:
        return Recline(reference=20.0, allowed=())
    return Recline(reference=45.0, allowed=_ALLOWED, settings=_SETTINGS, packing="none") if (
        restraint.level_adjusts) else None


def _installation(mode: Mode, way: Installation, end: int) -> Installation:
    # whether it has a support leg is seen at a glance, and the leg would have to reach the floor: never filled in;
    # connectors stay unknown: rigid ones give less room beside others, flexible ones stray further from the middle, and
    # each rule takes what is worse for it where nobody looked
    unkind = end == 0
    update: dict[str, Any] = {}
    belted = "belt" in way.by and not mode.booster
    for name, asked, values in (
            ("belt_path", belted, _BELT_PATH), ("belt_needed", belted, _BELT_NEEDED), ("lock_off", belted, (False,
                                                                                                            True)),
            ("inflatable_belt", True, ("forbidden", "allowed")),
            ("needs_tether", mode.mode in HARNESS, (True, False))):
        if asked and getattr(way, name) is None:
            update[name] = values[0 if unkind else 1]
    return way.model_copy(update=update)
