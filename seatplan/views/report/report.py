"""The report: verdict first, then arrangements, who can sit where, reasons; one file, a script only to filter."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.app.documents import Reported
from seatplan.growth.outlook import Outlook
from seatplan.model import Trip
from seatplan.solver.compare import Comparison
from seatplan.solver.explain import Explanation
from seatplan.solver.measure import Measure
from seatplan.solver.picture import Picture
from seatplan.solver.results import Plan
from seatplan.views.caution import CAUTION, foot
from seatplan.views.compare_text import head_said
from seatplan.views.document import TRIP_ATTRIBUTE, identity
from seatplan.views.manner import language
from seatplan.views.markup import el, html_file
from seatplan.views.pages import page_file, style_of
from seatplan.views.say import N, t, tr
from seatplan.views.text import heading

from .answer import about, answer
from .best import best, everything
from .readings import measuring
from .reasons import tried, who_where, why_not
from .refusal import conflict, repairs
from .several import changes, overview_of, vehicle_section
from .shown import Compared, Shown
from .timeline import timeline

#: which kind of document a file of it says that it is
KIND = "report"
#: what the report consists of, in order; a function that returns None has nothing to say of this plan
SECTIONS: tuple[Callable[[Shown], Element | None], ...] = (
    conflict, repairs, tried, best, changes, timeline, everything, who_where, measuring, why_not)
#: on paper only
_UNPRINTED = N("What was closed on the screen is not printed: what was checked and passed, more drawings, the list of "
               "every arrangement, counts. Open it before printing to have it on paper.")


def reported_html(found: Reported) -> str:
    """The report that was asked for, of one vehicle or of several, as a whole HTML file."""
    return html_file(reported_page(found), KIND)


def reported_page(found: Reported) -> Element:
    """The same as the root of its page."""
    if found.comparison is None:
        [one] = found.each
        return report_page(one.plan, one.pictures, one.explanation, one.words, one.ahead, one.measure)
    held = found.comparison
    return several_page(held, [
        Shown(one.plan, one.pictures, one.explanation, one.words, one.ahead,
              Compared(held, n, [problem.text for problem in one.left_out]), one.measure)
        for n, one in enumerate(found.each)])


def report_html(plan: Plan, pictures: Mapping[int, Picture], explanation: Explanation | None, again: str,
                ahead: Outlook | None = None, measure: Measure | None = None) -> str:
    """A whole HTML file; see ``report_page``."""
    return html_file(report_page(plan, pictures, explanation, again, ahead, measure), KIND)


def report_page(plan: Plan, pictures: Mapping[int, Picture], explanation: Explanation | None, again: str,
                ahead: Outlook | None = None, measure: Measure | None = None) -> Element:
    """The root of a page. ``pictures``: the arrangements that are drawn, by rank; ``explanation``: why nothing fits;
    ``ahead``: how long it lasts; ``measure``: what to measure next."""
    shown = Shown(plan, pictures, explanation, again, ahead, measure=measure)
    parts = _parts(shown)
    return _file(plan.trip, [about(plan), answer(shown, _caution())], parts)


def several_html(found: Comparison, each: Sequence[Shown]) -> str:
    """A whole HTML file; see ``several_page``."""
    return html_file(several_page(found, each), KIND)


def several_page(found: Comparison, each: Sequence[Shown]) -> Element:
    """The root of a page about several vehicles, ``each`` with what is shown of it. Raises ValueError where one of them
    does not say which it is."""
    sections = []
    for shown in each:
        if shown.compared is None:
            raise ValueError(f"{shown.again} is not one of several vehicles")
        parts = _parts(shown)
        nav = el("nav", el("ul", _contents(parts)), aria_label=t("Contents{named}", named=shown.named))
        sections.append(vehicle_section(shown.compared, about(shown.plan), answer(shown), nav, parts))
    return _file(found.vehicles[0].plan.trip, [el("p", head_said(found)), _caution()], [overview_of(found), *sections])


def _parts(shown: Shown) -> list[Element]:
    return [part for part in (make(shown) for make in SECTIONS) if part is not None]


def _contents(parts: Sequence[Element]) -> list[Element]:
    return [el("li", el("a", part[0].text or "", href=f"#{part.get('id')}")) for part in parts]


def _caution() -> Element:
    return el("p", tr(CAUTION), class_="caution")


def _file(trip: Trip, top: Sequence[Element], parts: Sequence[Element]) -> Element:
    """The page around what is told."""
    return el(
        "html",
        el("head", el("meta", charset="utf-8"),
           el("title", heading(lambda name: t("{trip}: plan", trip=name), trip.trip)),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="color-scheme", content="light dark"),
           el("meta", name="generator", content="made by seatplan"), el("style", style_of("report", FOOT=foot()))),
        el("body",
           el("header", el("h1", trip.trip), top),
           el("nav", el("ul", _contents(parts)), aria_label=t("Contents")),
           el("main", parts),
           el("p", t(_UNPRINTED), class_="on-paper"),
           el("footer", el("p", t("Caution: {CAUTION}", CAUTION=CAUTION))),
           el("script", page_file("report.js"))),
        lang=language(), **{TRIP_ATTRIBUTE: identity(trip)})
