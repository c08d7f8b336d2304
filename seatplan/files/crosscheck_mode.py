"""One mode of a restraint: limits, slots and angles that cannot be true together. One check each, in
``MODE_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from seatplan.message import Figure, in_mm, said
from seatplan.model import Installation, Mode, Part
from seatplan.units import Quantity

from .places import Found, Loc

_LIMITS = ("mass", "height", "age")
#: settings are read on a level bench whose cushion rises by 15 degrees; cushions of cars rise by 0 to 30, so that the
#: angle in the car differs from the setting by up to so much (assumed, from memory)
_CUSHIONS_DIFFER_DEG = 15


def _somebody_may_ride(mode: Mode, off: int) -> Found:
    """A limit whose highest value is nothing lets nobody ride."""
    at: list[tuple[Loc, Any]] = [(("limits",), mode.limits)]
    at += [(("installations", j, "limits"), k.limits) for j, k in enumerate(mode.installations) if k.limits]
    at += [(("recline", "ranges", j), kind) for j, kind in enumerate(mode.recline.ranges if mode.recline else ())]
    for loc, limits in at:
        for name in _LIMITS:
            told = getattr(limits, name, None)
            if told is not None and told[1] <= 0:
                yield (*loc, name), said("the highest {name} is 0; expected more", name=name)


def _installation_within_the_mode(mode: Mode, off: int) -> Found:
    """Limits of an installation narrow those of its mode: they leave somebody who may ride."""
    for j, installation in enumerate(mode.installations):
        for name in _LIMITS:
            own = getattr(installation.limits, name) if installation.limits else None
            whole = getattr(mode.limits, name)
            if own is None or whole is None or max(own[0], whole[0]) <= min(own[1], whole[1]):
                continue
            yield (
                ("installations", j, "limits", name),
                said("{name} by {by} is {own}, and the mode's is {whole}; expected them to overlap", name=name,
                     by=installation.by, own=_range(own), whole=_range(whole)),
            )


#: limits of a way of installing that are no lower than the lightest who may ride
_ABOVE_THE_LIGHTEST = ("mass_limit", "combined_mass_limit", "tether_mass_limit")


def _limits_above_the_lightest(mode: Mode, off: int) -> Found:
    """The heaviest child on lower anchors, or with the tether hooked, is no lighter than the lightest who may ride."""
    for j, installation in enumerate(mode.installations):
        least = _lightest(mode, installation)
        for name in _ABOVE_THE_LIGHTEST:
            most = getattr(installation, name)
            if isinstance(most, Quantity) and least is not None and most < least:
                yield (
                    ("installations", j, name),
                    said("{name} is {most}, and children ride from {least} on; expected a limit above that",
                         name=name, most=str(most), least=str(least)),
                )


def _tether_may_be_used_where_it_is_needed(mode: Mode, off: int) -> Found:
    for j, installation in enumerate(mode.installations):
        needed, most = installation.needs_tether, installation.tether_mass_limit
        if isinstance(needed, Quantity) and most is not None and most < needed:
            yield (
                ("installations", j, "tether_mass_limit"),
                said("the tether may be used up to {most} and is needed from {least} on; expected it usable where it "
                     "is needed", most=str(most), least=str(needed)),
            )


def _slots_below_the_top(mode: Mode, off: int) -> Found:
    """Straps come out of the shell, below its top."""
    slots, top = mode.shoulder_slots, mode.shell_height
    if slots is not None and top is not None and slots[1] > top + 2 * off:
        yield (
            ("shoulder_slots", 1),
            said("the highest slot is at {slot}, and the shell ends at {top}; expected slots below its top",
                 slot=in_mm(slots[1]), top=in_mm(top)),
        )


def _head_below_top_within_the_shell(mode: Mode, off: int) -> Found:
    below, top = mode.limits.head_below_top, mode.shell_height
    if below is not None and top is not None and below >= top:
        yield (
            ("limits", "head_below_top"),
            said("head_below_top is {below}, and the shell ends at {top}; expected less", below=in_mm(below),
                 top=in_mm(top)),
        )


def _seat_below_the_top(mode: Mode, off: int) -> Found:
    """The seat surface of a booster is no higher than all that it is made of."""
    tops = [top for part in mode.parts if (top := _top(part)) is not None]
    if mode.seat_up is not None and len(tops) == len(mode.parts) and tops and mode.seat_up > max(tops) + 2 * off:
        yield (
            ("seat_up",),
            said("the seat surface is at {up}, and the highest part ends at {top}; expected it below that",
                 up=in_mm(mode.seat_up), top=in_mm(max(tops))),
        )


def _crotch_strap_of_a_harness(mode: Mode, off: int) -> Found:
    if mode.crotch_strap and not mode.harness:
        yield ("crotch_strap",), said("a {mode} has no crotch strap; expected it with a harness", mode=mode.mode)


def _handle_of_a_carrier(mode: Mode, off: int) -> Found:
    """What is carried by a handle holds a baby: it faces the rear or is a bed."""
    if mode.handle not in (None, "none") and not (mode.rear_facing or mode.mode == "lying-flat-bed"):
        yield (
            ("handle",),
            said("a {mode} has no carry handle; expected it where a baby faces the rear or lies", mode=mode.mode),
        )


def _settings_within_reach(mode: Mode, off: int) -> Found:
    """A notch that is allowed in no car is no notch of this mode."""
    recline = mode.recline
    if recline is None or not recline.allowed:
        return
    low, high = recline.allowed
    packed = recline.packing_limit or 0
    for j, setting in enumerate(recline.settings):
        if not low - _CUSHIONS_DIFFER_DEG - packed <= setting <= high + _CUSHIONS_DIFFER_DEG + packed:
            yield (
                ("recline", "settings", j),
                said("setting {setting} comes to no allowed angle in any car; allowed are {low} to {high} degrees",
                     setting=Figure(setting), low=Figure(low), high=Figure(high)),
            )


def _ranges_within_the_allowed_one(mode: Mode, off: int) -> Found:
    """What holds for some children narrows what holds for all."""
    recline = mode.recline
    if recline is None or not recline.allowed:
        return
    low, high = recline.allowed
    for j, kind in enumerate(recline.ranges):
        if max(kind.allowed[0], low) > min(kind.allowed[1], high):
            yield (
                ("recline", "ranges", j, "allowed"),
                said("{own_low} to {own_high} degrees for some, and {low} to {high} degrees for all; expected them to "
                     "overlap", own_low=Figure(kind.allowed[0]), own_high=Figure(kind.allowed[1]), low=Figure(low),
                     high=Figure(high)),
            )


def _two_belts_hold_a_bed(mode: Mode, off: int) -> Found:
    """What lies across two places is a bed; and only there the kinds of belt are asked for."""
    for j, way in enumerate(mode.installations):
        if way.by == "two-belts" and mode.mode != "lying-flat-bed":
            yield ("installations", j, "by"), said("by is two-belts in a {mode}; expected it of a lying-flat-bed",
                                                   mode=mode.mode)
        if way.by != "two-belts" and way.belts is not None:
            yield ("installations", j, "belts"), said("belts stand beside by {by}; expected them beside two-belts",
                                                      by=way.by)


def _tolerance_below_the_length(mode: Mode, off: int) -> Found:
    """A length that may be off by all of itself was not measured."""
    for loc, part in parts_of(mode):
        own = off if part.tolerance is None else part.tolerance
        if part.width is not None and own >= part.width:
            yield (
                (*loc, "width"),
                said("{name} measures {length}, with a tolerance of {off}; expected a tolerance below the length",
                     name=part.part, length=in_mm(part.width), off=in_mm(own)),
            )


def parts_of(mode: Mode) -> Iterator[tuple[Loc, Part]]:
    """All parts of a mode with their places, those of its installations too."""
    for k, part in enumerate(mode.parts):
        yield ("parts", k), part
    for j, installation in enumerate(mode.installations):
        for k, part in enumerate(installation.parts):
            yield ("installations", j, "parts", k), part


def _top(part: Part) -> int | None:
    if part.outline is not None:
        return max(up for _, up in part.outline)
    return None if part.up is None else part.up[1]


def _lightest(mode: Mode, installation: Installation) -> Quantity | None:
    known = [limits.mass[0] for limits in (mode.limits, installation.limits) if limits and limits.mass]
    return max(known, default=None)


def _range(pair: tuple[Any, Any]) -> str:
    low, high = (str(end) for end in pair)
    return said("{low} to {high}", low=low, high=high)


#: each is asked about a mode and what a length of the file may be off, mm
MODE_CHECKS: tuple[Callable[[Mode, int], Found], ...] = (
    _somebody_may_ride, _installation_within_the_mode, _limits_above_the_lightest,
    _tether_may_be_used_where_it_is_needed, _slots_below_the_top,
    _head_below_top_within_the_shell, _seat_below_the_top, _settings_within_reach,
    _crotch_strap_of_a_harness, _handle_of_a_carrier, _ranges_within_the_allowed_one, _two_belts_hold_a_bed,
    _tolerance_below_the_length,
)
