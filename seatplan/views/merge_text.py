"""What two copies of a trip come to as one."""

from __future__ import annotations

from seatplan.app.merge import Merged

from .caution import caution
from .content import Block, Paragraph, group, spans
from .doubted_text import doubted
from .plan_text import none_told, told_of
from .say import Words, t
from .terminal import parts_of
from .text import count
from .under_way_text import seats_told, under_way_in

_SETTLED = Words({
    "first": "That of the first is gone on with: the other one was given up, or does not go with what is noted.",
    "second": "That of the second is gone on with: the other one was given up, or does not go with what is noted.",
    "anew": "Both were given up, or do not go with what is noted: what holds is kept, and the best from there comes.",
    "done": "All of it is in and holds, so nothing is under way any more.",
    "dropped": "Which of them was given up, or is done, cannot be told from the two copies: nothing is under way now.",
    "none-fits": "Nothing fits with what is noted, so nothing is under way any more.",
})


def merge_text(found: Merged, file: str, asked: str) -> str:
    """The text; ``asked`` is the new file as a person types it."""
    return parts_of(_content(found, file, asked))


def _content(found: Merged, file: str, asked: str) -> list[Block | None]:
    now, trip = found.now, found.now.trip
    return [
        Paragraph(t("Wrote {file}: {tries} of the second copy beside those of the first; installed for {riders}.",
                    file=file, tries=count(found.tries, "try", "tries"), riders=count(len(trip.installed), "rider"))),
        _settled(found, asked), under_way_in(now), doubted(trip),
        Paragraph(told_of(now) if now.arrangements else none_told(now)),
        group(caution(), Paragraph(spans("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked)))]


def _settled(found: Merged, asked: str) -> Block | None:
    """What was under way in each, where that was not one and the same, or is done by now."""
    if found.settled == "same":
        return None
    adults = [rider.rider for rider in found.now.trip.riders if rider.adult]
    told = [seats_told(aims, adults) or t("nothing") for aims in (found.first, found.second)]
    return group(
        Paragraph(t("Under way in the first copy: {first}. In the second: {second}.", first=told[0], second=told[1])),
        Paragraph(_SETTLED[found.settled]),
        Paragraph(spans("`seatplan record {asked} --go-on-with 1` begins with the first that `arrange` lists.",
                        asked=asked)) if found.settled == "dropped" else None)
