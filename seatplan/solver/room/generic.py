"""A restraint that nobody made: one of a mode, held in one way, with a given outline and nothing else against it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from math import cos, radians, sin
from typing import Literal

from seatplan.frozen import frozen
from seatplan.geometry.support import ENVELOPE
from seatplan.model import Approval, Condition, Installation, Limits, Mode, Part, Recline, Restraint
from seatplan.model.restraint import By, ModeName
from seatplan.units import Quantity

#: heights above the cushion at which the width is told, mm
BANDS = tuple((up, up + 100) for up in range(0, 800, 100))
#: the slab that stands for a rear-facing shell that leans: where its foot is, forward and up, and how thick it is;
#: near the feet of the bundled rear-facing shells (invented data)
FOOT_MM, THICK_MM = (60, 170), 120
#: the recline of a rear-facing restraint whose width is asked about, degrees from upright
REFERENCE_DEG = 45.0


@frozen
class Way:
    """How such a restraint is held: by what, with which connectors."""

    mode: ModeName
    by: By
    connectors: Literal["flexible", "rigid"] | None = None


def ways_of(mode: ModeName, belt: str) -> tuple[Way, ...]:
    """The ways in which a restraint of a mode can be held at a seat with such a belt; boosters by the belt that holds
    their child."""
    if mode.endswith("booster"):
        return (Way(mode, "lap-shoulder-belt"),)
    by_belt = Way(mode, "lap-belt" if belt == "lap" else "lap-shoulder-belt")
    return (Way(mode, "lower-anchors", "flexible"), Way(mode, "lower-anchors", "rigid"), by_belt)


@frozen
class Band:
    """One height band of the outline: how far back and forward bodies of the mode reach there, mm."""

    up: tuple[int, int]
    along: tuple[int, int]


def outline_of(mode: str, shelf: Iterable[Restraint]) -> tuple[Band, ...]:
    """The side view that the bundled restraints of a mode stay within, band by band; wider than any one of them."""
    parts = [part for restraint in shelf for m in restraint.modes if m.mode == mode
             for part in (*m.parts, *(p for i in m.installations for p in i.parts))
             if part.along is not None and part.up is not None]
    bands = []
    for low, high in BANDS:
        here = [part.along for part in parts if part.along and part.up and part.up[0] < high and part.up[1] > low]
        if here:
            bands.append(Band((low, high), (min(a for a, _ in here), max(b for _, b in here))))
    return tuple(bands)


def generic(way: Way, parts: Sequence[Part], day: date, profile: str, recline_deg: float = REFERENCE_DEG) -> Restraint:
    """The restraint: new, faultless, light, for any child, with these parts as measured on a level bench at the only
    recline it has. Nothing is against it but its size."""
    boosts = way.mode.endswith("booster")
    tether = way.mode == "forward-facing-harness"
    installation = Installation.model_construct(
        by=way.by, connectors=way.connectors, lock_off=True, needs_tether=False, inflatable_belt="allowed",
        mass_limit="none", support_leg=False,
        belt_path=None if boosts else 230, belt_needed=1500, borrow="forbidden")
    # a forward-facing one has no range of its own: its size alone is looked at
    recline = Recline(reference=recline_deg, allowed=(-30, 90) if way.mode == "rear-facing-harness" else (),
                      settings=[recline_deg], packing="none")
    mode = Mode.model_construct(
        mode=way.mode, limits=Limits(mass=("0 kg", "150 kg"), height=(0, 2200)), parts=list(parts),
        shoulder_slots=(100, 700), shell_height=1000, recline=None if boosts else recline,
        seat_up=100 if boosts else None, tether_strap=tether, tether_length=3000, touch_ahead="gap",
        supported_base=None, installations=[installation])
    return Restraint.model_construct(
        restraint="a restraint of that size", mass=Quantity("4 kg"), made=day, expires=date(day.year + 5, day.month, 1),
        condition=Condition(crash="none", recall="none", labels="readable", history="known"),
        approval=_approval(way, profile, boosts), modes=[mode])


def _approval(way: Way, profile: str, boosts: bool) -> Approval:
    if profile != "un":
        return Approval(standard="FMVSS 213")
    category = "i-size-booster" if boosts else "universal-belted" if "belt" in way.by else "i-size"
    return Approval.model_validate({"standard": "UN R129", "category": category})


def banded(bands: Sequence[Band], widths: Sequence[int], reach_mm: int | None = None) -> list[Part]:
    """Parts as wide as ``widths`` says, band by band; none further forward than ``reach_mm``."""
    made = []
    for band, width in zip(bands, widths, strict=True):
        back, front = band.along
        if reach_mm is not None:
            front = max(back + 1, min(front, reach_mm))
        name = f"{ENVELOPE}-{band.up[0]}-{band.up[1]}"
        made.append(Part.model_construct(part=name, along=(back, front), up=band.up, width=width))
    return made


def leaning(length_mm: int, recline_deg: float, width_mm: int) -> list[Part]:
    """A rear-facing shell of a length along its back, leaning so many degrees from upright, on a base."""
    foot, up = FOOT_MM
    reach, rise = length_mm * sin(radians(recline_deg)), length_mm * cos(radians(recline_deg))
    back, lift = THICK_MM * cos(radians(recline_deg)), THICK_MM * sin(radians(recline_deg))
    corners = [(foot, up), (foot + reach, up + rise), (foot + reach + back, up + rise - lift), (foot + back, up - lift)]
    outline = [(round(along), max(0, round(high))) for along, high in corners]
    return [Part.model_construct(part="base", along=(foot, 520), up=(0, up), width=width_mm),
            Part.model_construct(part=ENVELOPE, outline=outline, width=width_mm)]


def reach_of(length_mm: int, recline_deg: float) -> tuple[int, int]:
    """How far forward of the crease and how high above the cushion the top of a leaning shell is, mm."""
    foot, up = FOOT_MM
    return (round(foot + length_mm * sin(radians(recline_deg)) + THICK_MM * cos(radians(recline_deg))),
            round(up + length_mm * cos(radians(recline_deg))))
