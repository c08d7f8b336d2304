"""What takes long and is worked out on request, beside the pages: how long it lasts, another car, room for a new
seat."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.compare import Compare, compare
from seatplan.app.errors import InputError
from seatplan.app.misasked import Misasked
from seatplan.app.named import bundled
from seatplan.app.notices import TooLarge
from seatplan.app.outlook import LookAhead, outlook
from seatplan.app.request import Request
from seatplan.app.room import AskRoom, room
from seatplan.frozen import frozen
from seatplan.message import said
from seatplan.views.calendar import calendar
from seatplan.views.compare_text import compare_content
from seatplan.views.content import Block
from seatplan.views.html import Place, elements
from seatplan.views.markup import el
from seatplan.views.notice_text import too_large_text
from seatplan.views.outlook_text import outlook_content
from seatplan.views.say import Words, t
from seatplan.views.short_room_text import short_room_content
from seatplan.web.shell import chosen, form
from seatplan.web.visit import Answer, Document, Goto, Visit
from seatplan.web.works import Work

from .around import Here, here, page, unanswered

#: how far an outlook looks
UNTIL = Words({"1y": "one year", "2y": "two years", "3y": "three years", "5y": "five years", "10y": "ten years"})
_STATES = Words({"waits": "It waits for its turn.", "works": "It is being worked out. Other pages go on meanwhile.",
                 "done": "It is done.", "failed": "It could not be worked out. Ask it again.",
                 "given up": "It was given up."})
#: what tells a car of the library from one that is bundled
_OWN, _BUNDLED = "own:", "bundled:"


@frozen
class Shown:
    """What comes of a question: pieces of a page, and a calendar where there is one."""

    pieces: tuple[Element, ...]
    calendar: str = ""


# --- asked in a process of its own

def outlook_shown(request: LookAhead) -> Shown:
    """How long it lasts."""
    try:
        found = outlook(request).answer
    except InputError as error:
        return Shown((unanswered(error),))
    if isinstance(found, TooLarge):
        return Shown((el("p", too_large_text(found), class_="wrong"),))
    return Shown(_pieces(outlook_content(found, None)), calendar(found))


def second_car_shown(request: Compare, shown: Request) -> Shown:
    """The trip in its own car and in another one; ``shown``: how it is named."""
    try:
        found = compare(request).answer
    except InputError as error:
        return Shown((unanswered(error),))
    left_out = [[notice.text for notice in each] for each in found.left_out]
    return Shown(_pieces(compare_content(found.comparison, left_out, [shown.words] * len(left_out), hints=False)))


def room_shown(request: AskRoom) -> Shown:
    """How wide and long a new restraint may be."""
    try:
        return Shown(_pieces(short_room_content(room(request).answer, None)))
    except InputError as error:
        return Shown((unanswered(error),))


def _pieces(blocks: Sequence[Block | None]) -> tuple[Element, ...]:
    return tuple(elements(blocks, Place("h2", prefix="later")))


# --- the pages

def shown(visit: Visit) -> Answer:
    """What can be asked, and what was; posted, it is begun."""
    one = here(visit)
    if visit.posted:
        begun = _begin(visit, one)
        return Goto(f"{visit.path}/{begun.number}")
    mine = visit.house.works.of(visit.session.key, one.number)
    return page(one, "later", [
        el("section", el("h2", t("Asked in this visit")), el("ul", [
            el("li", el("a", work.told, href=f"{visit.path}/{work.number}"), " ", el("span", _STATES[work.state]))
            for work in mine])) if mine else None,
        el("p", t("Each of these can take a while. It is worked out beside the other pages, which go on meanwhile.")),
        _asking(visit, "outlook", t("How long it lasts, and what comes next"), t("Look ahead"), [
            chosen("until", t("how far"), [(word, UNTIL[word]) for word in UNTIL], "3y")]),
        _asking(visit, "car", t("The same trip in another car"), t("Compare the cars"), [
            chosen("car", t("which car"), [("", t("choose")), *_cars(one)], "")]),
        _asking(visit, "room", t("Room for a new seat"), t("Find the room"), [
            chosen("rider", t("for whom"), [(str(k), name) for k, name in enumerate(one.riders)], "0")])])


def _asking(visit: Visit, what: str, head: str, button: str, fields: Sequence[Element]) -> Element:
    return el("section", el("h2", head), form(visit, visit.path, [
        el("input", type="hidden", name="what", value=what), *fields, el("button", button)], class_="asking"),
        class_="card")


def _cars(one: Here) -> list[tuple[str, str]]:
    """Every other car of the library by its title, then the bundled ones, which are invented."""
    own = one.data.get("vehicle")
    mine = [(f"{_OWN}{entry.number}", entry.title) for entry in one.library.listing("vehicle")
            if one.library.reference(entry.number) != own and entry.state == "reads"]
    return [*mine, *((f"{_BUNDLED}{name}", t("{name} (invented)", name=name)) for name in bundled("vehicle"))]


def _begin(visit: Visit, one: Here) -> Work:
    what = visit.form.get("what", "")
    if what == "outlook":
        until = visit.form.get("until", "")
        if until not in UNTIL:
            raise Misasked("until", said("that far nobody looks ahead"), said("expected one of the list"))
        told = t("How long it lasts: {until}", until=UNTIL[until])
        return _begun(visit, one, told, outlook_shown, LookAhead(trip=one.held.path, until=until))
    if what == "car":
        name, vehicle = _car(visit.form.get("car", ""), one)
        return _begun(visit, one, t("In {vehicle}", vehicle=name), second_car_shown,
                      Compare(trip=one.held.path, vehicles=(vehicle,)), one.shown)
    if what == "room":
        rider = one.rider(visit.form.get("rider", ""))
        return _begun(visit, one, t("Room for a new seat for {rider}", rider=rider), room_shown,
                      AskRoom(trip=one.held.path, rider=rider))
    raise Misasked("what", said("nothing is asked"), said("expected an outlook, another car, or room"))


def _begun(visit: Visit, one: Here, told: str, *question: object) -> Work:
    function, *asked = question
    assert callable(function)
    return visit.house.works.begin(visit.session.key, one.number, one.version, told, function, *asked)


def _car(word: str, one: Here) -> tuple[str, str]:
    """What a car is called, and what names it for the question. Raises Misasked."""
    names = dict(_cars(one))
    if word not in names:
        raise Misasked("car", said("no such car is in the list"), said("choose one of the list"))
    kind, _, which = word.partition(":")
    return names[word], one.library.held(which).path if f"{kind}:" == _OWN else which


def waited(visit: Visit) -> Answer:
    """One question: how far it is, or what came of it; posted, it is given up."""
    one = here(visit)
    works = visit.house.works
    work = works.find(visit.session.key, one.number, visit.at["work"])
    up = f"/trips/{one.number}/later"
    if work is None:
        return Goto(up)
    if visit.posted:
        works.give_up(work)
        return Goto(up)
    if visit.query.get("save") == "calendar" and work.answer is not None and work.answer.calendar:
        return Document(work.answer.calendar, "text/calendar; charset=utf-8", "outlook.ics")
    return page(one, "later", [_so_far(visit, one, work, up)], title=work.told)


def _so_far(visit: Visit, one: Here, work: Work, up: str) -> Element:
    """The piece that the script asks for until it is done."""
    state = work.state
    if state == "done" and isinstance(work.answer, Shown):
        return el("div",
                  el("p", t("The trip was changed since this was asked."), class_="wrong") if (
                      work.version != one.version) else None,
                  list(work.answer.pieces),
                  el("p", el("a", t("Save the days to measure again as a calendar"),
                             href=f"{visit.path}?save=calendar")) if work.answer.calendar else None,
                  el("p", el("a", t("Ask something else"), href=up)), id="work", data_live=True)
    waits = state in ("waits", "works")
    return el("div", el("p", _STATES[state], role="status"),
              el("p", el("a", t("Look whether it is done"), href=visit.path)) if waits else None,
              form(visit, visit.path, [el("button", t("Give it up"))]) if waits else
              el("p", el("a", t("Ask it again"), href=up)), id="work", data_live=True, data_waits=waits)

