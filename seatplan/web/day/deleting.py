"""Delete a family: first what goes, then, once that was said, all of it."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.checking_day import take_off, the_day
from seatplan.app.erasing import erase, to_erase
from seatplan.app.misasked import Misasked
from seatplan.app.shelf import shelf
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import listed
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .beginning import begin_page

#: so many files that stay are named
_MOST_NAMED = 20


def asked(visit: Visit) -> Answer:
    """What deleting deletes; posted, it is done."""
    day = the_day(visit.house.library)
    if day is None or visit.house.secret is None:
        return begin_page(visit)
    number = visit.at["trip"]
    if not _is_there(visit, number) and day.family(number):
        if visit.posted:
            take_off(visit.house.library, number, ())
            return Goto("/day")
        return _sure(visit, number, t("Its files are no longer in the library; only the number is on the list."), [])
    if visit.posted:
        erase(visit.house.library, number)
        return Goto("/day")
    found = to_erase(visit.house.library, number)
    goes = [t("trips: {numbers}", numbers=listed(found.numbers))]
    if found.own:
        goes.append(t("cars and restraints that no other family uses: {numbers}", numbers=listed(found.own)))
    if found.documents:
        goes.append(t("sheets, reports and other documents of these trips in the library's folder: {names}",
                      names=listed(found.documents)))
    goes += [t("saved checkups: {n}", n=found.checkups),
             t("what can be taken back of all of these, and copies of changes that clashed")]
    if found.shared:
        goes.append(t("what can be taken back of {numbers}, which another family uses; these files themselves stay",
                      numbers=listed(found.shared)))
    stays = (t("Number and checkup hashes stay on the list, as you said at the start of the day.")
             if day.keep_number_and_hash else t("Nothing of it stays on the list."))
    return _sure(visit, number, stays, goes, found.others)


def _is_there(visit: Visit, number: str) -> bool:
    try:
        shelf(visit.house.library).held(number)
    except Misasked:
        return False
    return True


def _sure(visit: Visit, number: str, stays: str, goes: list[str], others: Sequence[str] = ()) -> Page:
    return Page(t("Delete"), [
        el("h1", t("Delete {number}?", number=number)),
        *([el("p", t("This goes, at once and for good:")), el("ul", [el("li", one) for one in goes])] if goes else []),
        el("p", stays),
        *_left(others),
        form(visit, f"/day/{number}/delete", [el("button", t("Delete it"), class_="big less")]),
        el("p", el("a", t("Leave it"), href="/day", class_="big"))])


def _left(others: Sequence[str]) -> list[Element]:
    """The files of the folder of which nobody can tell whose they are."""
    if not others:
        return []
    more = len(others) - _MOST_NAMED
    return [el("p", t("These files in the library's folder stay. They do not say whose they are: look whether they are "
                      "of this family, too, and delete them by hand.")),
            el("ul", [el("li", el("code", name)) for name in others[:_MOST_NAMED]],
               el("li", t("and {n} more", n=more)) if more > 0 else None)]
