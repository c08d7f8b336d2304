"""The readings that settle the best arrangement, those that could open a better one, and the rest."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.views.content import spans
from seatplan.views.html import elements, inline
from seatplan.views.markup import el
from seatplan.views.measure_text import asks_for_anything, lists
from seatplan.views.say import t

from .reasons import measuring as not_measured
from .shown import Shown, section


def measuring(shown: Shown) -> Element | None:
    """What to measure next, as `measure` has it; where nobody asked, what is not measured of what is drawn."""
    if shown.measure is None:
        return not_measured(shown)
    if not asks_for_anything(shown.measure):
        return None
    return section(shown, "measure", t("Not measured yet"), *elements(lists(shown.measure), shown.place),
                   el("p", inline(spans("`seatplan measure {again} --set ...` writes a value into its file and asks "
                                        "again.", again=shown.again))))
