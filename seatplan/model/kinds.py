"""Kinds of restraint: for each its ways to ride and to be installed, and one sentence how to tell it.

A restraint that only says its kind has these modes, with what its label prints and its width, and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from seatplan.frozen import frozen
from seatplan.message import said

from .restraint import Installation, Limits, Mode, Part

if TYPE_CHECKING:
    from .quantities import MassAtMost, MassOnLabel
    from .restraint import By, Kind, LabelLimits, ModeName, Restraint

_BELT: tuple[By, ...] = ("lap-shoulder-belt",)
_BOTH: tuple[By, ...] = ("lower-anchors", "lap-shoulder-belt")

HARNESS: tuple[ModeName, ...] = ("rear-facing-harness", "forward-facing-harness")
#: which limits of a label are those of a mode
LIMITS_OF: dict[ModeName, str] = {
    "rear-facing-harness": "rear_facing", "forward-facing-harness": "forward_facing",
    "high-back-booster": "booster", "backless-booster": "booster",
}


@frozen
class KindOfRestraint:
    """``modes``: the ways to ride, each with the ways to install it. ``carried``: its shell lifts out of a base, so
    that it is installed with the base or without."""

    tell: str
    modes: tuple[tuple[ModeName, tuple[By, ...]], ...]
    carried: bool = False


#: which ways a kind has is common practice, no source; one that differs is written down in full
KINDS: dict[Kind, KindOfRestraint] = {
    "infant-carrier": KindOfRestraint(
        said("for babies only, faces backwards without a strap at its top, has a handle to carry it by; with "
             "or without a base that stays in the car"), (("rear-facing-harness", _BOTH),), True),
    "rear-and-forward": KindOfRestraint(
        said("faces backwards first, without a strap at its top, and forwards later with one; always its own harness"),
        (("rear-facing-harness", _BOTH), ("forward-facing-harness", _BOTH))),
    "forward-only": KindOfRestraint(
        said("faces forwards only, always with its own harness and a strap at its top"), (("forward-facing-harness",
                                                                                           _BOTH),)),
    "harness-to-booster": KindOfRestraint(
        said("faces forwards, with its own harness first and the car's belt later"),
        (("forward-facing-harness", _BOTH), ("high-back-booster", _BELT))),
    "all-stages": KindOfRestraint(
        said("faces backwards first, then forwards with its harness, then forwards with the car's belt"),
        (("rear-facing-harness", _BOTH), ("forward-facing-harness", _BOTH), ("high-back-booster", _BELT))),
    "high-back": KindOfRestraint(
        said("no harness of its own; a seat with a back and a head support, the car's belt holds the child"),
        (("high-back-booster", _BELT),)),
    "backless": KindOfRestraint(
        said("no harness and no back; a cushion, the car's belt holds the child"), (("backless-booster", _BELT),)),
    "lying-flat": KindOfRestraint(
        said("a bed in which a baby lies flat, across the car"), (("lying-flat-bed", _BELT),)),
}


def ways_of(kind: Kind) -> tuple[str, ...]:
    """The words under which a label's limits stand, one for each way to ride in a kind; none for a bed."""
    return tuple(LIMITS_OF[mode] for mode, _ in KINDS[kind].modes if mode in LIMITS_OF)


def has_modes_of_kind(restraint: Restraint) -> bool:
    """Whether its modes are those of its kind, since nobody wrote down any."""
    return restraint.kind is not None and "modes" not in restraint.model_fields_set


def renewed(restraint: Restraint) -> Restraint:
    """A restraint whose label or width has changed with the modes that follow from it now; others as they are."""
    if not has_modes_of_kind(restraint):
        return restraint
    anew = restraint.model_copy(update={"modes": modes_of(restraint)})
    anew.model_fields_set.discard("modes")
    return anew


def as_written(restraint: Restraint, path: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """Where the value stands in the file that stands at a place of a mode: the modes of a kind stand nowhere."""
    if path[:1] != ("modes",) or not has_modes_of_kind(restraint):
        return path
    if path[2:3] == ("limits",):
        way = LIMITS_OF.get(restraint.modes[int(path[1])].mode, "")
        nested = restraint.limits is not None and way and getattr(restraint.limits, way) is not None
        return ("limits", *((way,) if nested else ()), *path[3:])
    if path[-1:] == ("mass_limit",):
        return ("limits", "on_lower_anchors")
    if path[-1:] == ("combined_mass_limit",):
        return ("limits", "combined_on_lower_anchors")
    return path[-1:] if path[-1:] == ("width",) else ("kind",)


def over_kind(data: dict[str, Any], record: type[Restraint]) -> dict[str, Any]:
    """The plain data of a restraint of a kind with modes in it: each over the mode of that name that its kind, its
    label and its width make, where those can be read. What is no mode of its kind stays, to be refused; modes that
    nobody wrote down stay those of the kind."""
    label = {key: data[key] for key in ("kind", "width", "limits", "support_leg", "tolerance") if key in data}
    try:
        made = record.model_validate({"restraint": "made", **label}).modes
    except ValueError:                             # told where the whole is read
        return data
    known = {mode.mode: mode.data() for mode in made}
    modes = [_over(known.pop(own["mode"]), own) if isinstance(own, dict) and own.get("mode") in known else own
             for own in data["modes"]]
    return {**data, "modes": [*modes, *(known.values() if all(isinstance(one, dict) for one in modes) else ())]}


#: what the items of a list are told apart by, where one stands over another
_TOLD_BY = {"parts": ("part",), "installations": ("by", "base")}


def _over(made: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Keys of one set over those of another; of a list the items that are told apart by their names."""
    found = {**made, **{key: value for key, value in own.items() if value is not None}}
    for key, names in _TOLD_BY.items():
        theirs, ours = made.get(key), own.get(key)
        if isinstance(theirs, list) and isinstance(ours, (list, tuple)) and all(isinstance(one, dict) for one in ours):
            found[key] = _items_over(theirs, ours, names)
    if isinstance(made.get("limits"), dict) and isinstance(own.get("limits"), dict):
        told = {key: value for key, value in own["limits"].items() if value is not None}
        found["limits"] = {**made["limits"], **told}
    return found


def _items_over(theirs: list[Any], ours: Iterable[dict[str, Any]], names: tuple[str, ...]) -> list[Any]:
    def name(one: dict[str, Any]) -> tuple[Any, ...]:
        return tuple(one.get(key) for key in names)

    over = {name(one): one for one in ours}
    return [_over(one, over.pop(name(one), {})) for one in theirs] + list(over.values())


def modes_of(restraint: Restraint) -> list[Mode]:
    """The modes of a restraint that only says its kind: what its label prints and its width, the rest unknown."""
    assert restraint.kind is not None
    kind, limits = KINDS[restraint.kind], restraint.limits
    parts = [] if restraint.width is None else [Part(part="shell", width=restraint.width)]
    leg = {} if restraint.support_leg is None else {"support_leg": restraint.support_leg}
    return [Mode(mode=mode, limits=_limits_of(limits, mode, len(kind.modes) == 1), parts=parts,
                 **({"tether_strap": True} if mode == "forward-facing-harness" else {}),
                 installations=[way for by in ways for way in _ways(by, mode, kind.carried, limits, leg)])
            for mode, ways in kind.modes]


def _limits_of(label: LabelLimits | None, mode: ModeName, alone: bool) -> Limits:
    own: Limits | None = None if label is None or mode not in LIMITS_OF else getattr(label, LIMITS_OF[mode])
    if own is not None:
        return own
    if label is None or not alone:
        return Limits()
    return Limits.model_construct(label.model_fields_set & set(Limits.model_fields), **{
        name: getattr(label, name) for name in Limits.model_fields})


def _ways(by: By, mode: ModeName, carried: bool, label: LabelLimits | None, leg: dict[str, bool]) -> list[Installation]:
    most: MassOnLabel | None = None if label is None else label.on_lower_anchors
    both: MassAtMost | None = None if label is None else label.combined_on_lower_anchors
    own: dict[str, Any] = {}
    if mode in HARNESS:
        own |= leg
        if by == "lower-anchors":
            own |= {} if most is None else {"mass_limit": most}
            own |= {} if both is None else {"combined_mass_limit": both}
    if mode == "rear-facing-harness":
        own["needs_tether"] = False
    if not carried:
        return [Installation(by=by, **own)]
    return [Installation(by=by, base=base, **(own if base == "with" else {**own, "support_leg": False}))
            for base in ("with", "without") if base == "with" or by != "lower-anchors"]
