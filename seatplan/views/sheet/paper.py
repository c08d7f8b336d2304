"""The papers that a sheet is printed on, and its style on each."""

from __future__ import annotations

from seatplan.views.caution import foot
from seatplan.views.pages import style_of

#: paper -> its height, mm; margins are 10 mm
PAPERS = {"a4": 297, "letter": 279}
#: of the height of a page with two drawings, what the rest takes, mm
_BESIDE = 241


def style(paper: str) -> str:
    """The style sheet for a paper, ``a4`` or ``letter``."""
    return style_of("sheet", PAPER="A4" if paper == "a4" else "letter", FOOT=foot(),
                    SIDE=f"{PAPERS[paper] - _BESIDE}mm")
