"""What changes for a rider, in a few words."""

from __future__ import annotations

from seatplan.rules.subjects import Placement
from seatplan.solver.changes import Change

from .manner import number
from .say import t
from .text import mm
from .words import BY, SHORT_MODES, held_by


def change_text(change: Change, same: str | None = None) -> str:
    """``was at 2R in Nook, forward-facing; recline 32, was 38``; ``same``, or ``as before``, where nothing differs."""
    was, placement = change.before, change.placement
    if was is None:
        return "" if placement.rider.adult else t("seat before not noted")
    rode = []
    if "seat" in change.what:
        rode.append(t("at {position}", position=was.position))
    if "restraint" in change.what:
        rode.append(t("in {restraint}", restraint=was.restraint) if was.restraint else t("with the seat belt"))
    told = " ".join(rode)
    if was.placement is not None:
        how = [SHORT_MODES[was.placement.mode_name]] if "mode" in change.what and was.restraint else []
        how += [t("held by {held_by}", held_by=held_by(was.placement))] if "held" in change.what else []
        told = ", ".join([*([told] if told else []), *how])
    elif "held" in change.what and was.by is not None:
        told = ", ".join([*([told] if told else []), t("held by {held_by}", held_by=BY[was.by])])
    said = [t("was {told}", told=told)] if told else []
    if "recline" in change.what:
        said.append(t("recline {lean}, was {lean_2}", lean=_lean(placement), lean_2=_lean(was.placement)))
    if "ahead" in change.what:
        said.append(t("{ahead} {stands}, was {stands_2}", ahead=_ahead(placement),
                      stands=_stands(change.after.ahead_mm), stands_2=_stands(was.ahead_mm)))
    return "; ".join(said) or same or t("as before")


def _lean(placement: Placement | None) -> str:
    """A setting, with what is packed under it."""
    lean = placement.recline if placement is not None else None
    if lean is None:
        return t("not known")
    packed = t(" with {packing} degrees packed", packing=lean.packing) if lean.packing else ""
    return f"{number(lean.setting)}{packed}"


def _ahead(placement: Placement) -> str:
    ahead = placement.position.ahead
    return (ahead.seat if ahead else None) or t("the seat ahead")


def _stands(forward_mm: int | None) -> str:
    return t("{forward_mm} forward", forward_mm=mm(forward_mm, "up")) if forward_mm else t("fully back")
