"""What happened at the car, what that leaves, and what to try next."""

from __future__ import annotations

from seatplan.model import Tried
from seatplan.solver.after_try import AfterTry
from seatplan.solver.results import Arrangement, Plan

from .along_text import along
from .caution import CAUTION
from .changes_text import change_text
from .notes_text import cautions, count_to_measure
from .plan_text import do
from .say import day, t
from .text import count, listed, number, table, wrapped
from .tried_text import confirmed
from .words import BY, MODES, VERDICTS, held_by, in_what, sentence


def record_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After an entry was written into line ``line`` of ``file``; ``asked`` is the trip as a person types it."""
    parts = [wrapped(t("Noted in {file}, line {line}: {way}: {what_happened}.", file=file, line=line,
                       way=_way(done.tried), what_happened=_what_happened(done.tried))),
             _verdict(done), _left(done.was, done.now)]
    parts.append(_next(done, asked))
    hint = t("hint: `seatplan record {asked} --undo` takes this entry back", asked=asked)
    more = t("; `seatplan arrange {asked}` shows every arrangement", asked=asked) if done.next else (
        t("; `seatplan arrange {asked}` says why nothing is left", asked=asked))
    return _ended(parts, hint + more)


def undone_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After the entry of line ``line`` was taken back."""
    parts = [wrapped(t("Taken back from {file}, line {line}: {way}: {what_happened}. "
                       "The file is as it was before.", file=file, line=line, way=_way(done.tried),
                       what_happened=_what_happened(done.tried))),
             _left(done.was, done.now)]
    return _ended(parts, t("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked))


def _ended(parts: list[str], hint: str) -> str:
    last = wrapped(t("caution: {CAUTION}", CAUTION=CAUTION)) + "\n" + wrapped(hint)
    return "\n\n".join([*(part for part in parts if part), last]) + "\n"


def _way(tried: Tried) -> str:
    """``Nook at 2C by lap-shoulder belt, rear-facing harness``."""
    mode = f", {MODES[tried.mode]}" if tried.mode else ""
    return t("{restraint} at {position} by {BY}{mode}", restraint=tried.restraint, position=tried.position,
             BY=BY[tried.by], mode=mode)


def _what_happened(tried: Tried) -> str:
    told = [] if tried.moved is None else [t("moved {moved} mm", moved=number(tried.moved))]
    if tried.level is not None:
        told.append(t("level") if tried.level else t("not level"))
    if tried.failed:
        told.append(t("would not hold"))
    on = t(" on {on}", on=day(tried.on)) if tried.on else ""
    return (", ".join(told) or t("nothing measured")) + on


def _verdict(done: AfterTry) -> str:
    way = _way(done.tried)
    if done.outcome == "blocked" and done.finding is not None:
        return wrapped(t("It cannot stay like that: {sentence}. The plan no longer has {way}. "
                         "If it holds once it is tightened again, record that too.", sentence=sentence(done.finding),
                         way=way))
    if done.outcome == "confirmed":
        return wrapped(t("It holds. {way} is confirmed and comes before what nobody tried. That says nothing of the "
                         "seats beside it, the room ahead or what was not measured; those count as before.", way=way))
    if done.outcome == "held":
        modes = listed([f"`--mode {mode}`" for mode in done.modes], "or")
        lacks = {"level": t("whether it stood level: `--level yes` or `--level no`"),
                 "mode": t("how it was used: {modes}", modes=modes),
                 "way": t("with which base, connectors or bars; an entry cannot say that, so it stays as it is")}
        wanting = "; ".join(lacks[key] for key in done.missing)
        missing = t(" Not confirmed yet, for the entry does not say {wanting}.", wanting=wanting) if wanting else (
            t(" A booster holds nothing by itself, so this confirms nothing."))
        again = t(" Record it again with that.") if set(done.missing) & {"level", "mode"} else ""
        return wrapped(t("It held, and nothing speaks against {way}.{missing}{again}", way=way, missing=missing,
                         again=again))
    if done.outcome == "open" and done.finding is not None:
        return wrapped(t("Still open: {sentence}.", sentence=sentence(done.finding)))
    return wrapped(t("Nobody of this trip could ride in {way}, so it changes nothing.", way=way))


def _left(was: Plan, now: Plan) -> str:
    """How many seatings there are now, and were."""
    if not now.arrangements:
        if not now.tally.complete:
            return wrapped(t("Undecided: the search stopped at its limit, and none of the seatings it reached works."))
        before = count(was.tally.valid, "seating")
        return wrapped(t("Now nothing fits any more ({before} before).", before=before) if was.tally.valid
                       else t("Nothing fits, and nothing did before."))
    told = []
    for key in ("fits", "close", "unmeasured"):
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
    like = {"today": t(" and changes least from how they ride today"),
            "plan": t(" and changes least from what was being installed"), "nothing": ""}[done.installing]
    start = t("Try this next: it {fits}{like}.", fits=_fits(best), like=like)
    if done.outcome in ("confirmed", "held"):
        there = t("{restraint} at {position}", restraint=done.tried.restraint, position=done.tried.position)
        has_it = any(c.after.restraint == done.tried.restraint and c.after.position == done.tried.position
                     for c in done.changes)
        start = t("Go on with this, which has {there}: it {fits}.", there=there, fits=_fits(best)) if has_it else (
            t("No arrangement that is as good has {there}. The best: it {fits}{like}.", there=there, fits=_fits(best),
              like=like))
    lines = [wrapped(start)]
    lines.append(table(
        ["rider", "seat", "in", t("held by"), "change"],
        [[c.rider, c.after.position, in_what(c.placement), held_by(c.placement), change_text(c)]
         for c in done.changes], "   "))
    lines.extend(along(best, "   "))
    lines.extend(confirmed(best, "   "))
    lines.extend(cautions(best, "   "))
    n = count_to_measure(best)
    if n:
        lines.append(wrapped(t("to measure: {things}; `seatplan measure {asked}` lists them as a form",
                               things=count(n, 'thing'), asked=asked), "   ",
                             "      "))
    return "\n".join(lines)


def _fits(best: Arrangement) -> str:
    return {"fits": t("fits"), "close": t("is close (try it in the car)"),
            "unmeasured": t("hangs on what was not measured")}.get(best.verdict, VERDICTS[best.verdict])
