"""What happened at the car, what that leaves, and what to try next."""

from __future__ import annotations

from seatplan.message import Amount
from seatplan.model import Tried
from seatplan.solver.after_try import AfterTry
from seatplan.solver.results import Arrangement, Plan

from .along_text import along
from .caution import CAUTION
from .changes_text import change_text
from .doubted_text import doubted_part
from .manner import day, number
from .notes_text import cautions, count_to_measure
from .plan_text import do
from .say import t
from .text import count, table, wrapped
from .tried_text import confirmed
from .try_text import there, try_text, way
from .words import BY, VERDICTS, held_by, in_what


def record_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After an entry was written into line ``line`` of ``file``; ``asked`` is the trip as a person types it."""
    parts = [wrapped(t("Noted in {file}, line {line}: {way}: {what_happened}.", file=file, line=line,
                       way=way(done.tried), what_happened=_what_happened(done.tried))),
             try_text(done), doubted_part(done.now.trip), _left(done.was, done.now)]
    parts.append(_next(done, asked))
    hint = t("hint: `seatplan record {asked} --undo` takes this entry back", asked=asked)
    more = t("; `seatplan arrange {asked}` shows every arrangement", asked=asked) if done.next else (
        t("; `seatplan arrange {asked}` says why nothing is left", asked=asked))
    return _ended(parts, hint + more)


def undone_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After the entry of line ``line`` was taken back."""
    parts = [wrapped(t("Taken back from {file}, line {line}: {way}: {what_happened}. "
                       "The file is as it was before.", file=file, line=line, way=way(done.tried),
                       what_happened=_what_happened(done.tried))),
             doubted_part(done.now.trip), _left(done.was, done.now)]
    return _ended(parts, t("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked))


def _ended(parts: list[str], hint: str) -> str:
    last = wrapped(t("caution: {CAUTION}", CAUTION=CAUTION)) + "\n" + wrapped(hint)
    return "\n\n".join([*(part for part in parts if part), last]) + "\n"


def _what_happened(tried: Tried) -> str:
    told = [] if tried.moved is None else [t("moved {moved}", moved=Amount(tried.moved, "mm", "up"))]
    if tried.level is not None:
        told.append(t("level") if tried.level else t("not level"))
    if tried.failed:
        told.append(t("would not hold"))
    on = t(" on {on}", on=day(tried.on)) if tried.on else ""
    return (", ".join(told) or t("nothing measured")) + on


def _left(was: Plan, now: Plan) -> str:
    """How many seatings there are now, and were."""
    if not now.arrangements:
        if not now.tally.complete:
            return wrapped(t("Undecided: the search stopped at its limit, and none of the seatings it reached works."))
        before = count(was.tally.valid, "seating")
        return wrapped(t("Now nothing fits any more ({before} before).", before=before) if was.tally.valid
                       else t("Nothing fits, and nothing did before."))
    told = []
    for key in now.tally.sure:
        n, old = now.tally.sure[key], was.tally.sure[key]
        if n or old:
            told.append(f"{number(n)} {do(key, n)}" + (t(" ({old} before)", old=number(old)) if n != old else ""))
    at_least = "" if now.tally.complete else t("at least ")
    same = t(", as before") if now.tally.sure == was.tally.sure else ""
    return wrapped(t("Seatings now: {at_least}{told}{same}.", at_least=at_least, told=', '.join(told), same=same))


def _next(done: AfterTry, asked: str) -> str:
    best = done.next
    if best is None:
        return ""
    same = t("as today") if done.base == "today" else t("no change")
    lines = [wrapped(_heading(done, best) + _counted_from(done))]
    lines.append(table(
        ["rider", "seat", "in", t("held by"), "change"],
        [[c.rider, c.after.position, in_what(c.placement), held_by(c.placement), change_text(c, same)]
         for c in done.changes], "   "))
    lines.extend(cautions(best, "   "))
    lines.extend(_today(done))
    lines.extend(along(best, "   "))
    lines.extend(confirmed(best, "   "))
    n = count_to_measure(best)
    if n:
        lines.append(wrapped(t("to measure: {things}; `seatplan measure {asked}` lists them as a form",
                               things=count(n, 'thing'), asked=asked), "   ",
                             "      "))
    return "\n".join(lines)


def _heading(done: AfterTry, best: Arrangement) -> str:
    """What the arrangement is, and whether it has what was tried."""
    fits = _fits(best)
    if done.judged.outcome not in ("confirmed", "held", "unsettled"):
        return t("Try this next: it {fits}.", fits=fits)
    if done.has == "as tried":
        return t("Go on with this, which has {there}: it {fits}.", there=there(done.tried), fits=fits)
    if done.has == "otherwise held":
        return t("Go on with this, which has {there}: it {fits}. Held by {BY}, as it was tried, it could stay, too.",
                 there=there(done.tried), fits=fits, BY=BY[done.tried.by])
    return t("No arrangement that is as good has {way}. The best: it {fits}.", way=way(done.tried), fits=fits)


def _counted_from(done: AfterTry) -> str:
    """What the changes beside each rider are counted from."""
    return {
        "today": t(" Changes are counted from how they ride today."),
        "proposed": t(" Changes are counted from the arrangement that was being installed: the best one before this "
                      "try."),
        "likely": t(" Changes are counted from the arrangement that was being installed, taken to be the best one "
                    "with {there}.", there=there(done.tried)),
        "best": t(" Changes are counted from the best arrangement before this try."),
        "nothing": "",
    }[done.base]


def _today(done: AfterTry) -> list[str]:
    """Who rides elsewhere or in something else today, where changes are not counted from there."""
    told = [t("{rider} at {position} in {restraint}", rider=c.rider, position=c.before.position,
              restraint=c.before.restraint) if c.before.restraint else
            t("{rider} at {position} with the adult belt", rider=c.rider, position=c.before.position)
            for c in done.today if c.before is not None]
    return [wrapped(t("today they ride otherwise: {told}", told="; ".join(told)), "   ", "      ")] if told else []


def _fits(best: Arrangement) -> str:
    return {"fits": t("fits"), "close": t("is close (try it in the car)"),
            "likely": t("is likely (measure what is only estimated)"),
            "unmeasured": t("hangs on what was not measured")}.get(best.verdict, VERDICTS[best.verdict])
