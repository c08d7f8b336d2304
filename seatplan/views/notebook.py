"""A plan as a notebook shows it: the verdict, the best arrangement from above, what to know about it."""

from __future__ import annotations

from base64 import b64encode
from xml.etree.ElementTree import Element

from seatplan.solver.picture import picture
from seatplan.solver.results import Plan

from .caution import CAUTION
from .first_text import first_lines
from .markup import el, html_piece
from .say import t, tr
from .seated_text import seated
from .svg.plan import plan_svg
from .words import VERDICTS, car_name


def shown_in_notebooks() -> None:
    """Let notebooks show plans as below rather than in a line."""
    Plan.html = plan_html


def plan_html(plan: Plan) -> str:
    """A piece of HTML with the drawing in it; nothing is loaded from elsewhere."""
    best = next(iter(plan.arrangements), None)
    drawing = None if best is None else plan_svg(plan, best, picture(plan, best))
    return html_piece(el(
        "div",
        el("p", el("strong", t("{trip}, in {vehicle}: {verdict}", trip=plan.trip.trip,
                               vehicle=car_name(plan.trip.vehicle), verdict=VERDICTS[plan.verdict]))),
        el("ul", [el("li", line) for line in first_lines(plan)]) if best else None,
        _image(drawing, seated(plan.arrangements[0], plan.arrangements[0])) if drawing else None,
        el("p", tr(CAUTION))))


def _image(drawing: str, told: str) -> Element:
    """A drawing that keeps its style to itself, and what it shows for those who cannot see it."""
    return el("img", src=f"data:image/svg+xml;base64,{b64encode(drawing.encode()).decode()}", alt=told)
