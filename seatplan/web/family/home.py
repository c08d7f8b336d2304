"""The trips of the library, and a new one."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.misasked import Misasked
from seatplan.app.shelf import Entry, shelf
from seatplan.message import said
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import listed
from seatplan.web.shell import chosen, form, tapped
from seatplan.web.visit import Answer, Goto, Page, Visit

from .beginning import DRIVES, LAYOUT_WORDS, LAYOUTS, MOST_CHILDREN, RULES, car_text, layout_drawn, trip_text

#: where in a session stands what was taken in, until a list tells it
_TAKEN = "taken"


def trips(visit: Visit) -> Answer:
    """What the library holds, newest number first, and how to begin."""
    library = shelf(visit.house.library)
    found, cars = library.listing("trip"), library.listing("vehicle")
    return Page(t("Trips"), [
        el("h1", t("Trips")),
        entries(visit, found, "/trips/") if found else el("p", t("No trip yet. Two taps, and the first one begins.")),
        others(visit, "/"),
        el("p", el("a", t("Open a trip, a car or a checkup from a file"), href="/bring")),
        el("section", el("h2", t("A new trip")), form(visit, "/trips", [
            tapped("children", t("How many children ride?"),
                   [(str(n), str(n)) for n in range(1, MOST_CHILDREN + 1)], "3"),
            layouts(t("Which seats does the car have?")),
            chosen("car", t("or a car that is written down already"), [
                ("", t("no, a new one")), *((one.number, called(visit, one)) for one in cars)], "") if cars else None,
            tapped("drives", t("The driver sits"), list(DRIVES.items()), "1L"),
            tapped("rules", t("Rules"), list(RULES.items()), "us"),
            el("button", t("Begin"), class_="save")], class_="begin"))])


def entries(visit: Visit, found: Sequence[Entry], to: str) -> Element:
    """Files of the library, newest number first; of one that cannot be read that it cannot."""
    return el("ul", [el("li", el("a", called(visit, entry), href=f"{to}{entry.number}"), el(
        "span", t(" (this file cannot be read)"), class_="amiss") if entry.state in ("link", "unreadable") else None)
        for entry in reversed(found)], class_="shelf")


def others(visit: Visit, back: str) -> Element | None:
    """What came of taking files in, once; and how many the folder holds that have no number, with a button that takes
    them in. ``back``: the list that this stands on."""
    told = visit.session.said.pop(_TAKEN, None)
    left = shelf(visit.house.library).others()
    if not told and not left:
        return None
    return el("section", el("p", told, role="status", id="taken") if told else None, [
        el("p", t("Files of other names in this folder: {n}. They stay as they are; to work with them here, have them "
                  "copied under numbers.", n=left)),
        form(visit, "/take-in", [el("input", type="hidden", name="back", value=back),
                                 el("button", t("Copy them in"))], class_="one")] if left else None, class_="others")


def take_in(visit: Visit) -> Answer:
    """Copies of the files without a number, each under a number of its own. Raises InputError, Unwritten."""
    made = shelf(visit.house.library).take_in()
    visit.session.said[_TAKEN] = t("Copied in: {numbers}.", numbers=listed(list(made))) if made else t(
        "Nothing was copied in: of those files each is here already, or is none that can be read as a trip, a car, a "
        "seat or rules.")
    return Goto(back if (back := visit.form.get("back", "")) in ("/", "/cars", "/seats") else "/")


def called(visit: Visit, one: Entry) -> str:
    """What a file of the library is called on a list. On a technician's day another family may be looking on: then it
    is its number alone."""
    return one.number if visit.house.has_days else one.title or one.number


def layouts(label: str) -> Element:
    """The seats of a car, as rows of small squares to tap."""
    return tapped("layout", label, [(one, LAYOUT_WORDS[one]) for one in LAYOUTS], "2-3",
                  {one: layout_drawn(one) for one in LAYOUTS})


def begin_trip(visit: Visit) -> Answer:
    """A trip and its car, each a file of the library. Raises Misasked."""
    count = visit.form.get("children", "")
    if not count.isdecimal() or not 1 <= int(count) <= MOST_CHILDREN:
        raise Misasked("children", said("how many children is no number of the list"),
                       said("expected 1 to {most}", most=MOST_CHILDREN))
    drives, rules = visit.form.get("drives", "1L"), visit.form.get("rules", "us")
    if drives not in DRIVES or rules not in RULES:
        raise Misasked("drives" if drives not in DRIVES else "rules", said("that is none of the list"),
                       said("expected one of the list"))
    library = shelf(visit.house.library)
    named = visit.form.get("car", "")
    if named:
        cars = [entry.number for entry in library.listing("vehicle")]
        if named not in cars:
            raise Misasked("car", said("there is no such car in the library"), said("expected one of the list"))
        car = named
    else:
        car = library.create("vehicle", car_text(layout_of(visit))).number
    made = library.create("trip", trip_text(library.reference(car), int(count), drives, rules))
    return Goto(f"/trips/{made.number}")


def layout_of(visit: Visit) -> str:
    """The layout that a form chose. Raises Misasked."""
    layout = visit.form.get("layout", "")
    if layout not in LAYOUTS:
        raise Misasked("layout", said("no seats are laid out like that"), said("expected one of the list"))
    return layout
