"""What a try at the car comes to, once everything else that the rules know of the placement is held beside it.

That something held says nothing of the child's size, an airbag or whether the seat has such anchors: what the rules
forbid stays forbidden, and what was not measured stays open.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from seatplan.frozen import frozen
from seatplan.model import Tried
from seatplan.rules.finding import Finding
from seatplan.rules.run import READ_RULE, TRY_RULE
from seatplan.rules.tries import held_by, leans, ways_meant

from .placements import JudgedPlacement

#: blocked: it would not hold, so it cannot stay like that; open: how far it moved is not known; of what held:
#: forbidden: other rules allow it for nobody; unsettled: allowed as far as known, and not all is measured; confirmed;
#: held: something about the try is still to be noted; unused: nobody of the trip could ride like that
Outcome = Literal["blocked", "open", "forbidden", "unsettled", "confirmed", "held", "unused"]
Missing = Literal["level", "mode", "way"]


@frozen
class JudgedTry:
    """``finding`` is what the rule on tries says. ``missing`` names what keeps a try that held from confirming it:
    level, mode, or how it was installed; ``modes`` are those it could have been. ``riders`` are those it is confirmed
    for. ``nearest`` is the surest placement that other rules allow, None where they allow none.

    ``ruled_out`` holds the placement nearest to being allowed of each mode that other rules allow for nobody, and
    that of who rides there today, where those rules allow none; with ``leads`` this is the first thing to know.
    """

    outcome: Outcome
    finding: Finding | None
    missing: tuple[Missing, ...]
    modes: tuple[str, ...]
    riders: tuple[str, ...]
    nearest: JudgedPlacement | None
    ruled_out: tuple[JudgedPlacement, ...]
    leads: bool


def is_tried(cell: JudgedPlacement, tried: Tried) -> bool:
    """Whether an entry could mean a placement: restraint, seat, what holds it, and the mode where it names one; of the
    belt alone the rider."""
    p = cell.placement
    used = p.restraint.restraint if p.restraint is not None else None
    return (used == tried.restraint and p.by == held_by(tried) and (used is not None or _rider(cell) == tried.rider)
            and p.position.position == tried.position and tried.mode in (None, p.mode_name))


def against(cell: JudgedPlacement) -> tuple[Finding, ...]:
    """What rules a placement out, the try aside."""
    return tuple(f for f in cell.findings if f.outcome == "block" and f.rule != TRY_RULE)


def against_untried(cell: JudgedPlacement) -> tuple[Finding, ...]:
    """What rules a placement out whatever was tried or read at the car."""
    return tuple(f for f in against(cell) if f.rule != READ_RULE)


def judge_try(cells: Sequence[JudgedPlacement], tried: Tried, today: str | None) -> JudgedTry:
    """``cells`` are all placements that the entry could mean; ``today`` is who rides in the restraint on that seat.

    What held is judged for the rider of the entry alone, where it names one; what would not hold holds nobody.
    """
    found = [f for cell in cells for f in cell.findings if f.rule == TRY_RULE]
    if tried.rider is not None and not any(f.outcome == "block" for f in found):
        cells = [cell for cell in cells if _rider(cell) == tried.rider]
        found = [f for cell in cells for f in cell.findings if f.rule == TRY_RULE]
    allowed = [cell for cell in cells if not against(cell)]
    outcome = _outcome(found, allowed) if found or not cells else _of_unpulled(allowed)
    ruled_out, leads = _ruled_out(cells, today)
    return JudgedTry(
        outcome,
        min(found, key=lambda f: f.outcome != "block", default=None),
        tuple(_missing(cells, tried)) if outcome in ("held", "unsettled") else (),
        tuple(dict.fromkeys(cell.placement.mode_name for cell in cells)),
        tuple(dict.fromkeys(_rider(cell) for cell in allowed if cell.confirmed)) if outcome == "confirmed" else (),
        min(allowed, key=lambda c: (c.unmeasured, not c.confirmed, _rider(c) != today, c.cautions), default=None),
        ruled_out,
        leads,
    )


def _outcome(found: Sequence[Finding], allowed: Sequence[JudgedPlacement]) -> Outcome:
    if not found:
        return "unused"
    outcomes = {f.outcome for f in found}
    if outcomes & {"block", "caution"}:
        return "blocked"
    if "unmeasured" in outcomes:
        return "open"
    if not allowed:
        return "forbidden"
    if all(cell.unmeasured for cell in allowed):
        return "unsettled"
    return "confirmed" if any(cell.confirmed for cell in allowed) else "held"


def _of_unpulled(allowed: Sequence[JudgedPlacement]) -> Outcome:
    """Of a try that says nothing of how it held: how the belt lies on a booster."""
    if not allowed:
        return "forbidden"
    return "unsettled" if all(cell.unmeasured for cell in allowed) else "held"


def _ruled_out(cells: Sequence[JudgedPlacement], today: str | None) -> tuple[tuple[JudgedPlacement, ...], bool]:
    """See ``JudgedTry``. It leads where no mode is left, or who rides there today may not."""
    by_mode: dict[str, list[JudgedPlacement]] = {}
    for cell in cells:
        by_mode.setdefault(cell.placement.mode_name, []).append(cell)
    out = {mode: here for mode, here in by_mode.items() if all(against(cell) for cell in here)}
    told = [_nearest(here, today) for here in out.values()]
    mine = [cell for cell in cells if _rider(cell) == today]
    not_mine = bool(mine) and all(against(cell) for cell in mine)
    if not_mine and not any(_rider(cell) == today for cell in told):
        told.insert(0, _nearest(mine, today))
    return tuple(told), bool(cells) and (not_mine or len(out) == len(by_mode))


def _nearest(cells: Iterable[JudgedPlacement], today: str | None) -> JudgedPlacement:
    """The placement with the least against it; that of who rides there today before all others."""
    return min(cells, key=lambda cell: (_rider(cell) != today, len(against(cell))))


def _rider(cell: JudgedPlacement) -> str:
    return cell.placement.rider.rider


def _missing(cells: Sequence[JudgedPlacement], tried: Tried) -> list[Missing]:
    """What a try that held would have to say as well."""
    lacks: list[Missing] = []
    placements = [cell.placement for cell in cells if not cell.placement.booster and not cell.placement.built_in]
    if not placements:
        return []      # a booster or a part of the car is not what holds by itself: there is nothing to add
    if any(p.mode is not None and leans(p.mode) for p in placements) and tried.level is None:
        lacks.append("level")
    if tried.mode is None and len({cell.placement.mode_name for cell in cells}) > 1:
        lacks.append("mode")
    if any(p.restraint is not None and ways_meant(p.restraint, tried.model_copy(update={"mode": p.mode_name}), p) > 1
           for p in placements):
        lacks.append("way")
    return lacks
