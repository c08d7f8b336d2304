"""What two copies of a trip come to as one."""

from __future__ import annotations

from seatplan.app.merge import Merged

from .caution import caution
from .content import Block, Paragraph, group, spans
from .doubted_text import doubted
from .plan_text import none_told, told_of
from .say import t
from .terminal import parts_of
from .text import count
from .under_way_text import under_way_in


def merge_text(found: Merged, file: str, asked: str) -> str:
    """The text; ``asked`` is the new file as a person types it."""
    return parts_of(_content(found, file, asked))


def _content(found: Merged, file: str, asked: str) -> list[Block | None]:
    now, trip = found.now, found.now.trip
    return [
        Paragraph(t("Wrote {file}: {tries} of the second copy beside those of the first; installed for {riders}.",
                    file=file, tries=count(found.tries, "try", "tries"), riders=count(len(trip.installed), "rider"))),
        under_way_in(now), doubted(trip), Paragraph(told_of(now) if now.arrangements else none_told(now)),
        group(caution(), Paragraph(spans("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked)))]
