"""What would change a no: each set of changes was solved again, and the arrangement is what comes of it."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.solver.repairs.change import Change
from seatplan.solver.repairs.verify import Repair, Repairs

from .along_text import close_along
from .change_text import to_do, to_write, user_of
from .notes_text import cautions, count_to_measure
from .text import count, listed, mm, wrapped
from .words import MODES, in_short

_HEAD = "What would change it (each was solved again; nothing that a rule forbids is offered)"
_THEN = {"fits": "then it fits", "close": "then it is close, to be tried in the car",
         "unmeasured": "then it hangs on what was not measured"}


def repairs_text(repairs: Repairs, strict: bool = False, asked: bool = False) -> str:
    """Least first; or plainly that nothing was found. ``strict``: what was not measured counted as a no; ``asked``:
    something was asked for beside the trip, and is kept."""
    if not repairs.repairs and strict:
        return wrapped("No set of up to three changes was found that would open it, as long as what was not measured "
                       "counts as a no. `seatplan measure` says what to measure first.")
    if not repairs.repairs:
        stopped = "" if repairs.complete else " before the search stopped at its limit"
        return wrapped(f"No set of up to three changes was found that would open it{stopped}: nobody further forward, "
                       "no airbag switch, no wish given up, no bundled restraint, no tether anchor that could be "
                       "fitted, no rider in another vehicle. "
                       + ("So it cannot be had in this car." if asked else "It needs another car."))
    lines = [_HEAD]
    for i, repair in enumerate(repairs.repairs):
        lines.extend(_one(i + 1, repair))
    left = sum(repairs.sets.values()) - sum(1 + len(repair.alike) for repair in repairs.repairs)
    if left > 0:
        lines.append(f"   and {count(left, 'more set')} of changes")
    return "\n".join(lines)


def _one(number: int, repair: Repair) -> list[str]:
    placements = tuple(seat.placement for seat in repair.arrangement.seats)
    done = [to_do(change, user_of(change, placements)) for change in _joined(repair.changes)]
    lines = [wrapped("; and ".join(done), f"   {number}. ", "      ")]
    seats = ", ".join(f"{p.rider.rider} {p.position.position} {in_short(p)}" for p in placements)
    lines.append(wrapped(f"{_THEN[repair.verdict]}{_room(repair)}: {seats}", "      ", "        "))
    lines.extend(wrapped(f"protects less: {loss.rider} in a {MODES[loss.mode]}, where a "
                         f"{MODES[loss.instead_of]} at hand would do by itself", "      ", "        ")
                 for loss in repair.losses)
    lines.extend(cautions(repair.arrangement, "      "))
    if repair.verdict == "unmeasured":
        n = count_to_measure(repair.arrangement)
        lines.append(f"      to measure: {count(n, 'thing')}; `seatplan measure` lists them once the files say so")
    others = _alike(repair)
    if others:
        lines.append(wrapped(others, "      ", "        "))
    lines.extend(_to_try(repair.changes))
    return lines


def _joined(changes: Sequence[Change]) -> list[Change]:
    """Riders who all ride elsewhere, told as one change."""
    gone = tuple(rider for change in changes if change.kind == "ride-elsewhere" for rider in change.riders)
    kept = [change for change in changes if change.kind != "ride-elsewhere"]
    return [*kept, Change("ride-elsewhere", riders=gone)] if gone else kept


def _to_try(changes: Sequence[Change]) -> list[str]:
    """What to write into the files; entries of a list on lines of their own, to be copied as they are."""
    heads: dict[str, list[str]] = {}
    for change in _joined(changes):
        head, _, entry = to_write(change).partition("\n")
        heads.setdefault(head, []).extend(entry.split("\n") if entry else ())
    lines = []
    for i, (head, entries) in enumerate(heads.items()):
        lines.append(wrapped(("to try it: " if not i else "and ") + head, "      ", "        "))
        lines.extend(f"          {entry}" for entry in entries)
    return lines


def _room(repair: Repair) -> str:
    if close_along(repair.arrangement.ahead):
        return ", tight along the car"
    spare = repair.arrangement.spare_mm
    return "" if spare is None else f", {mm(max(0, int(spare // 1)))} to spare" if spare >= 0 else ""


def _alike(repair: Repair) -> str:
    """The same with others: who else could ride elsewhere, how many other restraints would do."""
    if not repair.alike:
        return ""
    kinds = {change.kind for change in repair.changes}
    if kinds == {"ride-elsewhere"}:
        own = set(_names(repair.changes))
        others = [listed(_names(changes)) for changes in repair.alike if set(_names(changes)) != own]
        if len(own) > 1:
            return f"the same opens if these do instead: {'; or '.join(others)}"
        return f"the same opens if {listed(others, 'or')} rides in another vehicle instead"
    n = len(repair.alike)
    if "get-restraint" not in kinds:
        return f"{count(n, 'other choice')} of who rides in another vehicle {'opens' if n == 1 else 'open'} it too"
    return (f"{count(n, 'other choice')} from the bundled restraints {'opens' if n == 1 else 'open'} it too; "
            "`seatplan room` says how large one may be")


def _names(changes: Sequence[Change]) -> list[str]:
    return [rider for change in changes for rider in change.riders]
