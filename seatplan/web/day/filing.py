"""The checkup of a family: shown, printed, and kept in the library as a new file."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan import __version__
from seatplan.app.checkup import Checkup, ForTheFile, checkup
from seatplan.app.checkups import SHORT
from seatplan.app.errors import InputError
from seatplan.app.filed_checkups import file_checkup, filed_of
from seatplan.app.shelf import Held
from seatplan.views.caution import foot
from seatplan.views.checkup.data import checkup_json
from seatplan.views.checkup.page import checkup_page
from seatplan.views.checkup.words import STATES, point_said
from seatplan.views.markup import el
from seatplan.views.pages import style_of
from seatplan.views.say import t
from seatplan.web.failing import wrong_list
from seatplan.web.papers import checkup_document
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .asked import changed_meanwhile, headed, held_of, meanwhile, path_of, tell, told, version
from .beginning import begin_page


def shown(visit: Visit) -> Answer:
    """What is open, and how to look at the checkup, print it and keep it; posted, it is kept."""
    if visit.house.secret is None:
        return begin_page(visit)
    held = held_of(visit)
    who = visit.form.get("who", "").strip()
    try:
        if not visit.posted or changed_meanwhile(visit, held):
            return _page(visit, held, checkup(Checkup(trip=held.path)).answer, meanwhile() if visit.posted else None,
                         409 if visit.posted else 200)
        found = checkup(Checkup(trip=held.path, who=(who,) if who else ())).answer
    except InputError as error:
        return Page(t("Checkup"), [el("h1", t("Checkup")), wrong_list(error.problems, t("Nothing was kept")),
                                   el("p", el("a", t("All of this car"), href=path_of(visit)), class_="next")], 422)
    page, digest = checkup_page(found, checkup_json(found, __version__))
    path = file_checkup(visit.house.library, visit.at["trip"], page)
    tell(visit, [el("p", t("Kept as {file}; its hash begins with {hash}.", file=f"checkups/{path.name}",
                           hash=digest[:SHORT]))])
    return Goto(f"{path_of(visit)}/checkup#told")


def page_of(visit: Visit) -> Answer:
    """The whole page of the checkup as it would be now."""
    if visit.house.secret is None:
        return begin_page(visit)
    found = checkup(Checkup(trip=held_of(visit).path)).answer
    page, _ = checkup_page(found, checkup_json(found, __version__))
    return checkup_document(page, style_of("checkup", FOOT=foot()))


def kept(visit: Visit) -> Answer:
    """A checkup that was kept, by its place in the order of filing."""
    if visit.house.secret is None:
        return begin_page(visit)
    pages, n = filed_of(visit.house.library, visit.at["trip"]), visit.at["n"]
    if not n.isdecimal() or len(n) > 6 or not 1 <= int(n) <= len(pages):
        return Goto(f"{path_of(visit)}/checkup")
    page = pages[int(n) - 1].read_text(encoding="utf-8")
    return checkup_document(page, page.partition("<style>")[2].partition("</style>")[0])


def _page(visit: Visit, held: Held, found: ForTheFile, first: Element | None, status: int) -> Page:
    left, pages = found.departure, filed_of(visit.house.library, visit.at["trip"])
    return Page(t("Checkup"), [
        headed(visit, t("Checkup of {number}", number=visit.at["trip"])), first, told(visit),
        None if left.open else el("p", el("strong", STATES[left.state], class_=f"verdict {left.state}")),
        *([el("h2", t("Open points")), el("ul", [el("li", point_said(point)) for point in left.open])]
          if left.open else []),
        el("p", el("a", t("Look at it, or print it"), href=f"{path_of(visit)}/checkup/page", class_="big")),
        form(visit, f"{path_of(visit)}/checkup", [
            version(held),
            el("label", t("who was there (may stay empty)"), " ", el("input", type="text", name="who",
                                                                     autocomplete="off", maxlength=200)),
            el("button", t("Keep it in the library"), class_="big")], class_="keep"),
        el("p", t("Each is a new file; none is ever written over another.")),
        el("ul", [el("li", el("a", path.name, href=f"{path_of(visit)}/checkup/{n}"))
                  for n, path in enumerate(pages, 1)]) if pages else None,
        el("p", el("a", t("All of this car"), href=path_of(visit)), class_="next")], status)
