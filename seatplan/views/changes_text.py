"""What changes for a rider, in a few words."""

from __future__ import annotations

from seatplan.rules.subjects import Placement
from seatplan.solver.changes import Change

from .text import mm, number
from .words import SHORT_MODES, held_by


def change_text(change: Change) -> str:
    """``was at 2R in Nook, forward-facing; recline 32, was 38``; ``as before`` where nothing differs."""
    was, placement = change.before, change.placement
    if was is None:
        return "" if placement.rider.adult else "seat before not noted"
    rode = []
    if "seat" in change.what:
        rode.append(f"at {was.position}")
    if "restraint" in change.what:
        rode.append(f"in {was.restraint}" if was.restraint else "with the adult belt")
    told = " ".join(rode)
    if was.placement is not None:
        how = [SHORT_MODES[was.placement.mode_name]] if "mode" in change.what and was.restraint else []
        how += [f"held by {held_by(was.placement)}"] if "held" in change.what else []
        told = ", ".join([*([told] if told else []), *how])
    said = [f"was {told}"] if told else []
    if "recline" in change.what:
        said.append(f"recline {_lean(placement)}, was {_lean(was.placement)}")
    if "ahead" in change.what:
        said.append(f"{_ahead(placement)} {_stands(change.after.ahead_mm)}, was {_stands(was.ahead_mm)}")
    return "; ".join(said) or "as before"


def _lean(placement: Placement | None) -> str:
    """A setting, with what is packed under it."""
    lean = placement.recline if placement is not None else None
    if lean is None:
        return "not known"
    packed = f" with {lean.packing} degrees packed" if lean.packing else ""
    return f"{number(lean.setting)}{packed}"


def _ahead(placement: Placement) -> str:
    ahead = placement.position.ahead
    return (ahead.seat if ahead else None) or "the seat ahead"


def _stands(forward_mm: int | None) -> str:
    return f"{mm(forward_mm)} forward" if forward_mm else "fully back"
