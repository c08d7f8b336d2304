"""What was taken back, and what is left."""

from __future__ import annotations

from typing import Any

from seatplan.app.undo import TakenBack
from seatplan.written import visible

from .caution import caution
from .content import Block, Paragraph, group, spans
from .doubted_text import doubted
from .plan_json import tally_json, trip_json
from .plan_text import none_told, told_of
from .say import t
from .terminal import parts_of
from .under_way_text import under_way_in


def undo_text(done: TakenBack, asked: str) -> str:
    """The text; see ``undo_content``."""
    return parts_of(undo_content(done, asked))


def undo_content(done: TakenBack, asked: str) -> list[Block | None]:
    """What was taken back from where; ``asked`` is the trip as a person types it."""
    now = done.now
    return [
        Paragraph(t("Taken back: {names}. As before, byte by byte: {files}.", names=", ".join(done.undone.names),
                    files=", ".join(map(visible, done.undone.files)))),
        under_way_in(now), doubted(now.trip), Paragraph(told_of(now) if now.arrangements else none_told(now)),
        group(caution(), Paragraph(spans("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked)))]


def undo_json(done: TakenBack) -> dict[str, Any]:
    """The same as plain data."""
    now = done.now
    return {
        **trip_json("undo", now.trip, now.profile, now.day),
        "paths": [visible(path) for path in done.undone.files], "taken_back": list(done.undone.names),
        "verdict": now.verdict, "complete": now.tally.complete, "tally": tally_json(now.tally)}
