"""What was set in which file, what that changes, and what is left to measure."""

from __future__ import annotations

from typing import Any

from seatplan.files.setting import Changed, Undone
from seatplan.solver.measure import Measure
from seatplan.solver.settle import Settle
from seatplan.written import quoted, visible

from .caution import caution
from .content import Block, Group, Paragraph, ToCopy, group, items, spans
from .doubted_text import doubted
from .measure_text import as_file, lists
from .say import t, tr
from .terminal import parts_of
from .text import count
from .under_way_text import under_way
from .words import VERDICTS


def set_text(before: Measure, now: Measure, done: Changed | Undone, written: bool, asked: str, file: str) -> str:
    """The text; see ``set_content``. ``asked``: the trip as it is asked about from now on, ``file`` alone."""
    return parts_of(set_content(before, now, done, written, asked, file))


def set_content(before: Measure, now: Measure, done: Changed | Undone, written: bool, asked: str,
                file: str) -> list[Block | None]:
    """What was done, what that changes, the list as it is now."""
    return [
        _done(done, written, file), change(before, now), under_way(now.trip, now.profile, now.day),
        doubted(now.trip), *lists(now),
        Paragraph(spans("hint: `seatplan arrange {asked}` shows the arrangements; `seatplan measure {asked} --undo` "
                        "takes this back", asked=asked) if isinstance(done, Changed) and written and not done.copies
                  else spans("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked)),
        caution()]


def _done(done: Changed | Undone, written: bool, file: str) -> Group:
    if isinstance(done, Undone):
        return group(Paragraph(t("Taken back: {names}. As before, byte by byte: {files}.", names=", ".join(done.names),
                                 files=", ".join(map(visible, done.files)))))
    told = [_set(one) for one in done.fields]
    return group(
        Paragraph(t("Written:") if written else t("This would be written; nothing is yet:")),
        items(told, marked=True), None if written else ToCopy(tuple(done.diff.splitlines())),
        *(Paragraph(_copied(path, done, file)) for path in (done.copies if written else ())))


def _set(one: Any) -> str:
    told = {"name": one.name, "now": as_file(one.now), "file": visible(one.file), "line": one.line}
    if one.was is None:
        return t("{name} is {now}, in {file}, line {line}", **told)
    return t("{name} is {now}, was {was}, in {file}, line {line}", **told, was=as_file(one.was))


def _copied(path: str, done: Changed, file: str) -> Any:
    """How to use a copy."""
    if path == done.trip:
        return spans("{path} is a copy of the trip: `seatplan arrange {quoted}`", path=visible(path),
                     quoted=quoted(path))
    if path == done.vehicle:
        return spans("{path} is a copy of the vehicle, which the trip does not name: `seatplan arrange {file} "
                     "--vehicle {quoted}`", path=visible(path), file=quoted(file), quoted=quoted(path))
    return t("{path} is a copy, and the trip names it now.", path=visible(path))


def change(before: Measure, now: Measure) -> Group:
    """The verdict before and now, and which readings are no longer asked for or new."""
    was, is_ = _told(before.best), _told(now.best)
    old, new = _asked(before.best), _asked(now.best)
    gone = [what for key, what in old.items() if key not in new]
    more = [what for key, what in new.items() if key not in old]
    return group(
        Paragraph(t("Before: {was}. Now: {now}.", was=_verdict(before, was), now=_verdict(now, is_))),
        Paragraph(t("No longer asked for: {what}.", what="; ".join(gone))) if gone else None,
        Paragraph(t("Asked for now: {what}.", what="; ".join(more))) if more and before.best is not None else None)


def _verdict(measure: Measure, readings: int) -> str:
    if measure.best is None:
        return t("nothing fits")
    if not readings:
        return VERDICTS[measure.verdict]
    return t("{verdict}, {readings} to take", verdict=VERDICTS[measure.verdict], readings=count(readings, "reading"))


def _told(settle: Settle | None) -> int:
    return 0 if settle is None else len(settle.readings)


def _asked(settle: Settle | None) -> dict[object, str]:
    return {} if settle is None else {one.asked.same: tr(one.asked.what) for one in settle.readings}
