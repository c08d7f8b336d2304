"""What happened at the car, what that leaves, and what to try next."""

from __future__ import annotations

from seatplan.model import Tried
from seatplan.solver.after_try import AfterTry
from seatplan.solver.results import Arrangement, Plan

from .along_text import along
from .caution import CAUTION
from .changes_text import change_text
from .notes_text import cautions, count_to_measure
from .text import count, listed, number, table, wrapped
from .tried_text import confirmed
from .words import BY, MODES, VERDICTS, held_by, in_what, sentence

_LEFT = (("fits", "fits", "fit"), ("close", "is close", "are close"),
         ("unmeasured", "hangs on what was not measured", "hang on what was not measured"))


def record_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After an entry was written into line ``line`` of ``file``; ``asked`` is the trip as a person types it."""
    parts = [wrapped(f"Noted in {file}, line {line}: {_way(done.tried)}: {_what_happened(done.tried)}."),
             _verdict(done), _left(done.was, done.now)]
    parts.append(_next(done, asked))
    hint = f"hint: `seatplan record {asked} --undo` takes this entry back"
    more = f"; `seatplan arrange {asked}` shows every arrangement" if done.next else (
        f"; `seatplan arrange {asked}` says why nothing is left")
    return _ended(parts, hint + more)


def undone_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After the entry of line ``line`` was taken back."""
    parts = [wrapped(f"Taken back from {file}, line {line}: {_way(done.tried)}: {_what_happened(done.tried)}. "
                     "The file is as it was before."),
             _left(done.was, done.now)]
    return _ended(parts, f"hint: `seatplan arrange {asked}` shows the arrangements")


def _ended(parts: list[str], hint: str) -> str:
    last = wrapped(f"caution: {CAUTION}") + "\n" + wrapped(hint)
    return "\n\n".join([*(part for part in parts if part), last]) + "\n"


def _way(tried: Tried) -> str:
    """``Nook at 2C by lap-shoulder belt, rear-facing harness``."""
    mode = f", {MODES[tried.mode]}" if tried.mode else ""
    return f"{tried.restraint} at {tried.position} by {BY[tried.by]}{mode}"


def _what_happened(tried: Tried) -> str:
    told = [] if tried.moved is None else [f"moved {number(tried.moved)} mm"]
    if tried.level is not None:
        told.append("level" if tried.level else "not level")
    if tried.failed:
        told.append("would not hold")
    on = f" on {tried.on}" if tried.on else ""
    return f"{', '.join(told) or 'nothing measured'}{on}"


def _verdict(done: AfterTry) -> str:
    way = _way(done.tried)
    if done.outcome == "blocked" and done.finding is not None:
        return wrapped(f"It cannot stay like that: {sentence(done.finding)}. The plan no longer has {way}. "
                       "If it holds once it is tightened again, record that too.")
    if done.outcome == "confirmed":
        return wrapped(f"It holds. {way} is confirmed and comes before what nobody tried. That says nothing of the "
                       "seats beside it, the room ahead or what was not measured; those count as before.")
    if done.outcome == "held":
        modes = listed([f"`--mode {mode}`" for mode in done.modes], "or")
        lacks = {"level": "whether it stood level: `--level yes` or `--level no`",
                 "mode": f"how it was used: {modes}",
                 "way": "with which base, connectors or bars; an entry cannot say that, so it stays as it is"}
        wanting = "; ".join(lacks[key] for key in done.missing)
        missing = f" Not confirmed yet, for the entry does not say {wanting}." if wanting else (
            " A booster holds nothing by itself, so this confirms nothing.")
        again = " Record it again with that." if set(done.missing) & {"level", "mode"} else ""
        return wrapped(f"It held, and nothing speaks against {way}.{missing}{again}")
    if done.outcome == "open" and done.finding is not None:
        return wrapped(f"Still open: {sentence(done.finding)}.")
    return wrapped(f"Nobody of this trip could ride in {way}, so it changes nothing.")


def _left(was: Plan, now: Plan) -> str:
    """How many seatings there are now, and were."""
    if not now.arrangements:
        if not now.tally.complete:
            return wrapped("Undecided: the search stopped at its limit, and none of the seatings it reached works.")
        before = count(was.tally.valid, "seating")
        return wrapped(f"Now nothing fits any more ({before} before)." if was.tally.valid
                       else "Nothing fits, and nothing did before.")
    told = []
    for key, one, many in _LEFT:
        n, old = now.tally.sure[key], was.tally.sure[key]
        if n or old:
            told.append(f"{n:,} {one if n == 1 else many}" + (f" ({old:,} before)" if n != old else ""))
    at_least = "" if now.tally.complete else "at least "
    same = ", as before" if now.tally.sure == was.tally.sure else ""
    return wrapped(f"Seatings now: {at_least}{', '.join(told)}{same}.")


def _next(done: AfterTry, asked: str) -> str:
    best = done.next
    if best is None:
        return ""
    like = {"today": " and changes least from how they ride today",
            "plan": " and changes least from what was being installed", "nothing": ""}[done.installing]
    start = f"Try this next: it {_fits(best)}{like}."
    if done.outcome in ("confirmed", "held"):
        there = f"{done.tried.restraint} at {done.tried.position}"
        has_it = any(c.after.restraint == done.tried.restraint and c.after.position == done.tried.position
                     for c in done.changes)
        start = f"Go on with this, which has {there}: it {_fits(best)}." if has_it else (
            f"No arrangement that is as good has {there}. The best: it {_fits(best)}{like}.")
    lines = [wrapped(start)]
    lines.append(table(
        ["rider", "seat", "in", "held by", "change"],
        [[c.rider, c.after.position, in_what(c.placement), held_by(c.placement), change_text(c)]
         for c in done.changes], "   "))
    lines.extend(along(best, "   "))
    lines.extend(confirmed(best, "   "))
    lines.extend(cautions(best, "   "))
    n = count_to_measure(best)
    if n:
        lines.append(wrapped(f"to measure: {count(n, 'thing')}; `seatplan measure {asked}` lists them as a form", "   ",
                             "      "))
    return "\n".join(lines)


def _fits(best: Arrangement) -> str:
    return {"fits": "fits", "close": "is close (try it in the car)",
            "unmeasured": "hangs on what was not measured"}.get(best.verdict, VERDICTS[best.verdict])
