"""A number of this placement is unlikely, so that nothing better than unmeasured can be said of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from seatplan.fields import Missing
from seatplan.message import said

from .finding import Result, lacks
from .rule import rule

if TYPE_CHECKING:
    from seatplan.model.doubt import Doubt

    from .subjects import Placement, RuleContext


def _is_doubted(p: Placement, w: RuleContext) -> bool:
    return next(_doubts(p, w), None) is not None


def _doubts(p: Placement, w: RuleContext) -> Any:
    doubted: tuple[Doubt, ...] = getattr(w.trip, "doubted", ())
    return (doubt for doubt in doubted if _touches(doubt, p, w) and _still_unknown(doubt, w))


@rule(
    "number-doubted",
    title="A number that is unlikely",
    source="bands of seatplan's own, each with its source, in `data/bands.yaml`",
    depends=("rider", "restraint", "mode", "installation", "position", "bars", "tether"),
    world=("doubted",),
    reads=("sure",),
    remedy="take it again. Where it is so all the same, write it once more under `sure` beside it",
    when=_is_doubted,
    says={
    },
)
def number_doubted(p: Placement, w: RuleContext) -> Result:
    """A number of the rider, the restraint or the seat is unlikely.

    Checks: every number against what such numbers usually are; for a body by age and stature, for a limit by what
    labels print.
    Why: a slip of the hand, of a unit or of a label must never make something fit.
    Limits: a number that is usual may be wrong as well; one that is unlikely may be true.
    Blocks: nothing; the number counts as unknown, and what hangs on it is not measured.
    """
    first: Doubt = next(_doubts(p, w))
    return lacks(Missing(first.what, said("{how}; if it is so, write `sure` beside it", how=first.how), first.unit),
                 doubted=first.what, doubts=tuple(doubt.what for doubt in _doubts(p, w)))


def _touches(doubt: Doubt, p: Placement, w: RuleContext) -> bool:
    """Whether a placement uses what is in doubt; of a restraint only the mode and the installation that it is in."""
    match doubt.of:
        case "rider":
            return p.rider.rider == doubt.name
        case "restraint":
            return p.restraint is not None and p.restraint.restraint == doubt.name and _in_use(doubt, p)
        case "row":
            return str(p.row.row) == doubt.name and _of_this_seat(doubt, p)
        case "position":
            return p.position.position == doubt.name
        case "front":
            ahead = p.position.ahead
            return p.position.position == doubt.name or (ahead is not None and ahead.seat == doubt.name)
        case "installed":                   # no rule reads how it was left
            return False
        case "tried":
            tried = w.trip.tried[int(doubt.name)]
            used = p.restraint.restraint if p.restraint is not None else None
            return (used == tried.restraint and (used is not None or p.rider.rider == tried.rider)
                    and p.position.position == tried.position)
    return True


def _in_use(doubt: Doubt, p: Placement) -> bool:
    path = doubt.path
    if path[0] != "modes" or p.restraint is None or p.mode is None:
        return True
    mode = p.restraint.modes[int(path[1])]
    if mode.mode != p.mode.mode:
        return False
    return path[2] != "installations" or p.installation == mode.installations[int(path[3])]


def _of_this_seat(doubt: Doubt, p: Placement) -> bool:
    """Of tether anchors and bars only those that are used, or that could be."""
    if "tethers" in doubt.path and p.row.tethers is not None:
        return p.row.tethers[int(doubt.path[3])].tether == p.tether
    return "lower_anchors" not in doubt.path or p.on_lower_anchors


def _still_unknown(doubt: Doubt, w: RuleContext) -> bool:
    """Whether nobody has put a value in its place since: what is tried out to see what hangs on it."""
    from seatplan.model.doubt import steps

    if doubt.of in ("front", "tried", "installed") or isinstance(doubt.gone[-1], int):
        return True
    record: Any
    if doubt.of == "rider":
        record = next((rider for rider in w.trip.riders if rider.rider == doubt.name), None)
    elif doubt.of == "restraint":
        record = next((one for one in w.trip.restraints if one.restraint == doubt.name), None)
    else:
        record = w.vehicle
    found = list(steps(record, doubt.gone[:-1]))
    if len(found) < len(doubt.gone):                  # what held it holds nothing else, and is unknown as a whole
        return True
    beside, field = found[-1], str(doubt.gone[-1])
    default = type(beside).model_fields[field].default if hasattr(type(beside), "model_fields") else None
    return default is not None or getattr(beside, field, None) is None
