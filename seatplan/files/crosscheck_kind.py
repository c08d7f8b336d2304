"""A restraint that only says its kind: what its label prints stands where that kind has it, and nothing twice. One
check each, in ``KIND_CHECKS``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from seatplan.message import said
from seatplan.model import Limits, Restraint
from seatplan.model.kinds import HARNESS, KINDS, has_modes_of_kind, ways_of
from seatplan.units import Quantity

from .places import Found

#: what only a kind has; of modes that are written down it stands in them
_OF_A_KIND = ("width", "limits", "level_adjusts", "support_leg")
_OF_ONE_WAY = tuple(name for name in Limits.model_fields if name != "sure")
_ON_ANCHORS = ("on_lower_anchors", "combined_on_lower_anchors")
_WAYS = ("rear_facing", "forward_facing", "booster")


def _modes_or_a_kind(restraint: Restraint) -> Found:
    if not restraint.modes:
        yield (), said('restraint {name} has no modes: expected key "modes", or "kind" with what its label says',
                       name=restraint.restraint)


def _stands_beside_a_kind(restraint: Restraint) -> Found:
    """Width and label of a whole restraint are those of a kind; modes of no kind have their own."""
    if restraint.kind is not None:
        return
    for name in _OF_A_KIND:
        if getattr(restraint, name) is not None:
            yield (name,), said("{field} stands beside `modes`; expected it in each mode", field=name)


def _modes_are_of_the_kind(restraint: Restraint) -> Found:
    """A kind beside modes says what the restraint is like where they leave something open."""
    if restraint.kind is None:
        return
    known = [mode for mode, _ in KINDS[restraint.kind].modes]
    for i, mode in enumerate(restraint.modes):
        if mode.mode not in known:
            yield ("modes", i, "mode"), said("{kind} has no mode {mode}; expected one of {known}", kind=restraint.kind,
                                             mode=mode.mode, known=", ".join(known))


def _limits_of_the_right_way(restraint: Restraint) -> Found:
    """Each way to ride has limits of its own; where there is only one they may stand alone."""
    limits = restraint.limits
    if limits is None or restraint.kind is None:
        return
    ways, kind = ways_of(restraint.kind), restraint.kind
    alone = [name for name in _OF_ONE_WAY if getattr(limits, name) is not None]
    nested = [way for way in _WAYS if getattr(limits, way) is not None]
    for way in nested:
        if way not in ways:
            yield ("limits", way), said("{kind} never rides so; expected {ways}", kind=kind, ways=_listed(ways))
    for name in alone:
        if len(ways) > 1:
            yield ("limits", name), said("{kind} has limits for each way to ride; expected this under {ways}",
                                         kind=kind, ways=_listed(ways))
        elif nested:
            yield ("limits", name), said("{name} stands here and under {way} too; expected it once", name=name,
                                         way=nested[0])


def _listed(ways: Sequence[str]) -> str:
    return ", ".join(f"`{way}`" for way in ways) if ways else said("the limits themselves")


def _holds_on_anchors_or_leg(restraint: Restraint) -> Found:
    """Lower anchors and a leg hold a restraint with a harness of its own."""
    if restraint.kind is None or any(mode in HARNESS for mode, _ in KINDS[restraint.kind].modes):
        return
    told: list[tuple[tuple[str, ...], Any]] = [(("support_leg",), restraint.support_leg or None)]
    if restraint.limits is not None:
        told += [(("limits", name), getattr(restraint.limits, name)) for name in _ON_ANCHORS]
    for loc, value in told:
        if value is not None:
            yield loc, said("{kind} has no harness of its own; expected {field} of one that has", kind=restraint.kind,
                            field=loc[-1])


def _lower_anchors_take_the_lightest(restraint: Restraint) -> Found:
    """The heaviest child on lower anchors is no lighter than the lightest who may ride in the harness."""
    if restraint.limits is None or not has_modes_of_kind(restraint):
        return
    lightest = [mode.limits.mass[0] for mode in restraint.modes if mode.harness and mode.limits.mass is not None]
    for name in _ON_ANCHORS:
        most = getattr(restraint.limits, name)
        if isinstance(most, Quantity) and lightest and most < min(lightest):
            yield ("limits", name), said(
                "{name} is {most}, and children ride from {least} on; expected a limit above that", name=name,
                most=str(most), least=str(min(lightest)))


def _in_order_or_not(restraint: Restraint) -> Found:
    faults = restraint.condition.faults()
    if restraint.in_order:
        for key in faults:
            yield ("condition", key), said("{key} is {value}, and `in_order` is yes; expected one of them", key=key,
                                           value=getattr(restraint.condition, key))
    elif restraint.in_order is False and not faults and restraint.expires is None:
        yield ("in_order",), said("in_order is no; expected `condition` or `expires` beside it, with what is wrong")


KIND_CHECKS: tuple[Callable[[Restraint], Found], ...] = (
    _modes_or_a_kind, _stands_beside_a_kind, _modes_are_of_the_kind, _limits_of_the_right_way, _holds_on_anchors_or_leg,
    _lower_anchors_take_the_lightest, _in_order_or_not,
)
