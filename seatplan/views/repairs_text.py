"""What would change a no: each set of changes was solved again, and the arrangement is what comes of it."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.solver.repairs.change import Change
from seatplan.solver.repairs.verify import Repair, Repairs

from .along_text import close_along
from .change_text import entry_of, to_do, user_of, where_to_write
from .content import Block, Group, Heading, Items, Paragraph, Text, ToCopy, group, marked, spans, together
from .notes_text import cautions_said, count_to_measure
from .say import N, Words, fill, plural, t
from .text import count, listed
from .text import spare as spare_of
from .words import MODES, in_short

HEAD = N("What would change it")
SOLVED = N("each was solved again; nothing that a rule forbids is offered")
STOPPED = N("the search for changes stopped at its limit, so there may be others, and better ones")
_THEN = Words({"fits": "then it fits", "close": "then it is close, to be tried in the car",
         "likely": "then it is likely, with what is only estimated",
         "unmeasured": "then it hangs on what was not measured"})


def repairs(found: Repairs, strict: bool = False, asked: bool = False) -> Group:
    """Least first; or plainly that nothing was found. ``strict``: what was not measured counted as a no; ``asked``:
    something was asked for beside the trip, and is kept."""
    if not found.repairs:
        return group(Paragraph(none_found(found, strict, asked)))
    more = more_sets(found)
    return group(Heading(f"{t(HEAD)} ({t(SOLVED)})"),
                 group(Items(tuple(map(_one, found.repairs)), numbered=True), Paragraph(more) if more else None,
                       inner=True))


def none_found(repairs: Repairs, strict: bool = False, asked: bool = False) -> Text:
    """That nothing would open it, with what was looked for."""
    if strict:
        return together(spans("No set of up to three changes was found that would open it, as long as what was "
                                      "not measured counts as a no. `seatplan measure` says what to measure first."),
                                "" if repairs.complete else f" ({t(STOPPED)})")
    stopped = "" if repairs.complete else t(" before the search stopped at its limit")
    return (t("No set of up to three changes was found that would open it{stopped}: nobody further forward, "
              "no airbag switch, no wish given up, no bundled restraint, no tether anchor that could be "
              "fitted, no rider in another vehicle. ", stopped=stopped)
            + (t("There may still be one.") if not repairs.complete
               else t("So it cannot be had in this car.") if asked else t("It needs another car.")))


def more_sets(repairs: Repairs, shown: Sequence[Repair] | None = None) -> str:
    """How many sets of changes are not told, and whether the search for them stopped; empty for neither. ``shown``:
    those that are told, where it is not all."""
    of = repairs.repairs if shown is None else shown
    left = sum(repairs.sets.values()) - sum(1 + len(repair.alike) for repair in of)
    told = [t("and {more_sets} of changes", more_sets=count(left, 'more set'))] if left > 0 else []
    return "; ".join([*told, *([] if repairs.complete else [t(STOPPED)])])


def _one(repair: Repair) -> Group:
    """What to do, what comes of it, and how to try it."""
    return group(Paragraph(done_in(repair)), Paragraph(f"{then(repair)}: {', '.join(seats_of(repair))}", hangs=True),
                 *beside(repair))


def beside(repair: Repair) -> list[Block | None]:
    """What is to know about a change beside what comes of it, and what to write into the files to try it."""
    tries = [block for head, entries in to_try(repair)
             for block in (Paragraph(head, hangs=True), group(ToCopy(tuple(entries)), inner=True) if entries else None)]
    told = [*cautions_said(repair.arrangement), *losses_of(repair), *notes_of(repair)]
    return [*(Paragraph(text, hangs=True) for text in told), *tries]


def done_in(repair: Repair) -> str:
    """What to do, in one sentence."""
    placements = tuple(seat.placement for seat in repair.arrangement.seats)
    return t("; and ").join(to_do(change, user_of(change, placements)) for change in _joined(repair.changes))


def then(repair: Repair) -> str:
    """What comes of it: ``then it fits, 12 mm to spare``."""
    return f"{_THEN[repair.verdict]}{_room(repair)}"


def seats_of(repair: Repair) -> list[str]:
    """Who sits where in what."""
    return [f"{p.rider.rider} {p.position.position} {in_short(p)}"
            for p in (seat.placement for seat in repair.arrangement.seats)]


def losses_of(repair: Repair) -> list[str]:
    """Whom it protects less."""
    alike: dict[tuple[str, str], list[str]] = {}
    for loss in repair.losses:
        alike.setdefault((loss.mode, loss.instead_of), []).append(loss.rider)
    return [t("protects less: {rider} in a {MODES}, where a "
              "{MODES_2} at hand would do by itself", rider=listed(riders), MODES=MODES[mode], MODES_2=MODES[instead])
            for (mode, instead), riders in alike.items()]


def notes_of(repair: Repair) -> list[Text]:
    """What is to be measured then, and what else opens it."""
    n = count_to_measure(repair.arrangement) if repair.verdict == "unmeasured" else 0
    measure = spans("to measure: {things}; `seatplan measure` lists them once the files say so",
                    things=count(n, 'thing')) if n else ""
    return [note for note in (measure, _alike(repair)) if note]


def _joined(changes: Sequence[Change]) -> list[Change]:
    """Riders who all ride elsewhere, told as one change."""
    gone = tuple(rider for change in changes if change.kind == "ride-elsewhere" for rider in change.riders)
    kept = [change for change in changes if change.kind != "ride-elsewhere"]
    return [*kept, Change("ride-elsewhere", riders=gone)] if gone else kept


def to_try(repair: Repair) -> list[tuple[Text, list[str]]]:
    """What to write into the files: where, and the entries of a list, to be copied as they are."""
    heads: dict[Text, list[str]] = {}
    for change in _joined(repair.changes):
        heads.setdefault(where_to_write(change), []).extend(entry_of(change))
    return [(together(t("and ") if i else t("to try it: "), head), entries)
            for i, (head, entries) in enumerate(heads.items())]


def _room(repair: Repair) -> str:
    if close_along(repair.arrangement.ahead):
        return t(", tight along the car")
    spare = repair.arrangement.spare_mm
    return "" if spare is None else t(", {spare} to spare", spare=spare_of(max(0.0, spare))) if spare >= 0 else ""


def _alike(repair: Repair) -> Text:
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
    return marked(opens, lambda piece: fill(piece, {"n": n}))


def _names(changes: Sequence[Change]) -> list[str]:
    return [rider for change in changes for rider in change.riders]
