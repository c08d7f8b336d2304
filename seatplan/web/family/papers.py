"""Pages to print and files to keep: the sheet for the car, the report, the drawing, a checkup, the trip itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal
from xml.etree.ElementTree import Element

from seatplan import __version__
from seatplan.app.carrying import whole_trip
from seatplan.app.checkup import Checkup, checkup
from seatplan.app.documents import Draw, Report, Sheet, draw, report, sheet
from seatplan.app.misasked import Misasked
from seatplan.message import said
from seatplan.views.caution import foot
from seatplan.views.checkup.data import checkup_json
from seatplan.views.checkup.page import checkup_page
from seatplan.views.markup import el
from seatplan.views.pages import style_of
from seatplan.views.report.report import KIND as REPORT
from seatplan.views.report.report import reported_page
from seatplan.views.say import Words, t
from seatplan.views.sheet.sheet import KIND as SHEET
from seatplan.views.sheet.sheet import asked_page
from seatplan.views.svg.plan import plan_svg
from seatplan.web.papers import checkup_document, page_document
from seatplan.web.shell import chosen, form
from seatplan.web.visit import Answer, Document, Page, Visit

from .around import Here, here, page

_PAPERS = Words({"a4": "A4", "letter": "letter"})
_ON = Words({"phone": "in one column, for a phone", "paper": "on one page, for paper"})
#: so many arrangements can be chosen from here
_MOST = 12


def shown(visit: Visit) -> Answer:
    """All that there is to print or to keep."""
    up = f"/trips/{here(visit).number}"
    rank = [(str(n), str(n)) for n in range(1, _MOST + 1)]
    return page(here(visit), "papers", [
        _card(t("Pages to install by"), t("The order of installing, then a page for each seat with its drawing, its "
                                          "steps and boxes for what is read there."),
              _asks(f"{up}/sheet", t("Show the sheet"), chosen("rank", t("arrangement"), rank, "1"),
                    chosen("paper", t("paper"), [(one, _PAPERS[one]) for one in _PAPERS], "a4"))),
        _card(t("The whole plan"), t("Verdict, arrangements with drawings, who can sit where, the reasons."),
              _asks(f"{up}/report", t("Show the plan"))),
        _card(t("The drawing alone"), t("Each row from above and each shell from the side, to scale."),
              _asks(f"{up}/drawing", t("Show the drawing"), chosen("rank", t("arrangement"), rank, "1"),
                    chosen("for", t("laid out"), [(one, _ON[one]) for one in _ON], "phone"))),
        _card(t("A checkup for the file"), t("How the car arrived, what was tried, how it leaves, with lines to sign. "
                                             "It holds the whole trip, and can be opened here again."),
              form(visit, f"{up}/checkup", [
                  el("label", t("who was there, one a line"), " ", el("textarea", "", name="who", rows=2)), _save(),
                  el("button", t("Show the checkup"))], class_="asking")),
        _card(t("The trip as a file"), t("One file with the car and every seat in it, that every command reads and "
                                         "that can be opened here again."),
              el("p", el("a", t("Save the trip"), href=f"{up}/file"), class_="button"))])


def _card(head: str, about: str, asks: Element) -> Element:
    return el("section", el("h2", head), el("p", about), asks, class_="card")


def _asks(action: str, button: str, *fields: Element) -> Element:
    """A question that changes nothing: a link with choices."""
    return el("form", *fields, _save(), el("button", button), method="get", action=action, class_="asking")


def _save() -> Element:
    return el("label", el("input", type="checkbox", name="save", value="yes"), " ",
              el("span", t("save it as a file")), class_="tick")


def _rank(visit: Visit) -> int:
    word = visit.query.get("rank", "1")
    if not word.isdecimal() or len(word) > 4 or not int(word):
        raise Misasked("arrangement", said("that is no number of an arrangement"), said("expected 1 or more"))
    return int(word)


def _nothing(one: Here) -> Page:
    return page(one, "papers", [el("p", t("Nothing fits, so there is nothing to install, to draw or to print."),
                                   class_="wrong"),
                                el("p", el("a", t("The whole plan says why"), href=f"/trips/{one.number}/report"))])


def the_sheet(visit: Visit) -> Answer:
    """``rank``: which arrangement; ``paper``: a4 or letter; ``save``: to be saved."""
    one = here(visit)
    paper: Literal["a4", "letter"] = "letter" if visit.query.get("paper") == "letter" else "a4"
    request = Sheet(trip=one.held.path, rank=_rank(visit), paper=paper)
    found = sheet(request).answer
    if found.arrangement is None:
        return _nothing(one)
    root = asked_page(found, replace(request, trip=one.library.reference(one.number)))
    return page_document(root, SHEET, "sheet.html", _kept(visit.query))


def the_report(visit: Visit) -> Answer:
    """The whole plan; ``save``: to be saved."""
    one = here(visit)
    found = report(Report(trip=one.held.path)).answer
    shown_as = replace(found, each=tuple(replace(each, words=one.shown.words) for each in found.each))
    return page_document(reported_page(shown_as), REPORT, "plan.html", _kept(visit.query))


def the_drawing(visit: Visit) -> Answer:
    """``rank``: which arrangement; ``for``: phone or paper. On a page of its own, since a drawing alone has no way
    back; ``save``: the file."""
    one = here(visit)
    paper: Literal["phone", "paper"] = "paper" if visit.query.get("for") == "paper" else "phone"
    found = draw(Draw(trip=one.held.path, rank=_rank(visit), shown_on=paper)).answer
    if found.arrangement is None or found.picture is None:
        return _nothing(one)
    if not _kept(visit.query) and visit.query.get("file") != "yes":
        query = f"rank={found.arrangement.rank}&for={paper}"
        return page(one, "papers", [
            el("img", src=f"{visit.path}?{query}&file=yes", class_="sheet-drawing", alt=t(
                "Arrangement {rank} drawn to scale; the report and the sheet say the same in words.",
                rank=found.arrangement.rank)),
            el("p", el("a", t("Save the drawing"), href=f"{visit.path}?{query}&save=yes"))],
            title=t("The drawing alone"))
    text = plan_svg(found.plan, found.arrangement, found.picture, paper=paper == "paper")
    return Document(text, "image/svg+xml; charset=utf-8", "plan.svg" if _kept(visit.query) else "")


def the_checkup(visit: Visit) -> Answer:
    """Posted, since it can hold names: who was there, one a line."""
    one = here(visit)
    who = tuple(line.strip() for line in visit.form.get("who", "").splitlines() if line.strip())
    found = checkup(Checkup(trip=one.held.path, who=who)).answer
    told, _ = checkup_page(found, checkup_json(found, __version__))
    return checkup_document(told, style_of("checkup", FOOT=foot()), "checkup.html" if _kept(visit.form) else "")


def the_file(visit: Visit) -> Answer:
    """The trip with everything in it, to be saved."""
    return Document(whole_trip(here(visit).request), "application/yaml; charset=utf-8", "trip.yaml")


def _kept(said_by: Mapping[str, str]) -> bool:
    return said_by.get("save") == "yes"
