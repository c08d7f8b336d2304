"""What would change a no: each set of changes was solved again, and the arrangement is what comes of it."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.solver.repairs.change import Change
from seatplan.solver.repairs.verify import Repair, Repairs

from .along_text import close_along
from .change_text import to_do, to_write, user_of
from .notes_text import cautions, count_to_measure
from .say import N, Words, fill, plural, t
from .text import count, listed, wrapped
from .text import spare as spare_of
from .words import MODES, in_short

_HEAD = N("What would change it (each was solved again; nothing that a rule forbids is offered)")
_THEN = Words({"fits": "then it fits", "close": "then it is close, to be tried in the car",
         "unmeasured": "then it hangs on what was not measured"})


def repairs_text(repairs: Repairs, strict: bool = False, asked: bool = False) -> str:
    """Least first; or plainly that nothing was found. ``strict``: what was not measured counted as a no; ``asked``:
    something was asked for beside the trip, and is kept."""
    if not repairs.repairs and strict:
        return wrapped(t("No set of up to three changes was found that would open it, as long as what was not measured "
                         "counts as a no. `seatplan measure` says what to measure first."))
    if not repairs.repairs:
        stopped = "" if repairs.complete else t(" before the search stopped at its limit")
        return wrapped(t("No set of up to three changes was found that would open it{stopped}: nobody further forward, "
                         "no airbag switch, no wish given up, no bundled restraint, no tether anchor that could be "
                         "fitted, no rider in another vehicle. ", stopped=stopped)
                       + (t("So it cannot be had in this car.") if asked else t("It needs another car.")))
    lines = [t(_HEAD)]
    for i, repair in enumerate(repairs.repairs):
        lines.extend(_one(i + 1, repair))
    left = sum(repairs.sets.values()) - sum(1 + len(repair.alike) for repair in repairs.repairs)
    if left > 0:
        lines.append(t("   and {more_sets} of changes", more_sets=count(left, 'more set')))
    return "\n".join(lines)


def _one(number: int, repair: Repair) -> list[str]:
    placements = tuple(seat.placement for seat in repair.arrangement.seats)
    done = [to_do(change, user_of(change, placements)) for change in _joined(repair.changes)]
    lines = [wrapped(t("; and ").join(done), f"   {number}. ", "      ")]
    seats = ", ".join(f"{p.rider.rider} {p.position.position} {in_short(p)}" for p in placements)
    lines.append(wrapped(f"{_THEN[repair.verdict]}{_room(repair)}: {seats}", "      ", "        "))
    lines.extend(wrapped(t("protects less: {rider} in a {MODES}, where a "
                           "{MODES_2} at hand would do by itself", rider=loss.rider, MODES=MODES[loss.mode],
                           MODES_2=MODES[loss.instead_of]), "      ", "        ")
                 for loss in repair.losses)
    lines.extend(cautions(repair.arrangement, "      "))
    if repair.verdict == "unmeasured":
        n = count_to_measure(repair.arrangement)
        lines.append(t("      to measure: {things}; `seatplan measure` lists them once the files say so",
                       things=count(n, 'thing')))
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
        lines.append(wrapped((t("to try it: ") if not i else t("and ")) + head, "      ", "        "))
        lines.extend(f"          {entry}" for entry in entries)
    return lines


def _room(repair: Repair) -> str:
    if close_along(repair.arrangement.ahead):
        return t(", tight along the car")
    spare = repair.arrangement.spare_mm
    return "" if spare is None else t(", {spare} to spare", spare=spare_of(max(0.0, spare))) if spare >= 0 else ""


def _alike(repair: Repair) -> str:
    """The same with others: who else could ride elsewhere, how many other restraints would do."""
    if not repair.alike:
        return ""
    kinds = {change.kind for change in repair.changes}
    if kinds == {"ride-elsewhere"}:
        own = set(_names(repair.changes))
        others = [listed(_names(changes)) for changes in repair.alike if set(_names(changes)) != own]
        if len(own) > 1:
            return t("the same opens if these do instead: {others}", others=t('; or ').join(others))
        return t("the same opens if {others} rides in another vehicle instead", others=listed(others, "or"))
    n = len(repair.alike)
    if "get-restraint" not in kinds:
        return fill(plural("{n} other choice of who rides in another vehicle opens it too",
                        "{n} other choices of who rides in another vehicle open it too", n), {"n": n})
    opens = plural("{n} other choice from the bundled restraints opens it too; "
                   "`seatplan room` says how large one may be",
                   "{n} other choices from the bundled restraints open it too; "
                   "`seatplan room` says how large one may be", n)
    return fill(opens, {"n": n})


def _names(changes: Sequence[Change]) -> list[str]:
    return [rider for change in changes for rider in change.riders]
