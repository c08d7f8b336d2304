"""What every page of a family at the car begins with, and how a form says which state of the files it was made from."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError
from seatplan.app.family_state import stamp
from seatplan.app.filling import standing
from seatplan.app.shelf import Held, shelf
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.text import listed
from seatplan.web.family.asks import is_adult
from seatplan.web.fields import as_written
from seatplan.web.shell import form
from seatplan.web.visit import Visit

#: where in a session stands what the next page tells, with the number it is about
_SAID = "day"


def held_of(visit: Visit) -> Held:
    """The trip of the path. Raises Misasked where there is none."""
    return shelf(visit.house.library).held(visit.at["trip"])


def path_of(visit: Visit) -> str:
    """The family's page."""
    return f"/day/{visit.at['trip']}"


def headed(visit: Visit, said: str = "") -> Element:
    """The head of a page of one family: its number, or what is ``said`` of it, and the children by their names, as far
    as its file can be read. The title of the page, which stays in a browser's history, names nobody."""
    try:
        data = standing("trip", (held := held_of(visit)).text, held.path)
    except InputError:
        data = {}
    riders = [one for one in data.get("riders") or () if isinstance(one, dict)]
    children = [as_written(one.get("rider")) for one in riders if not is_adult(one)]
    return el("h1", said or visit.at["trip"], el("small", ": ", listed(children), class_="whose") if children else None)


def version(held: Held) -> Element:
    """Goes along with each form: what all files of the trip held when the page was made."""
    return el("input", type="hidden", name="version", value=stamp(held.path, held.text))


def changed_meanwhile(visit: Visit, held: Held) -> bool:
    """Whether somebody else wrote into one of the files since a form was made."""
    return visit.form.get("version", "") != stamp(held.path, held.text)


def meanwhile() -> Element:
    """What stands on a page that was made anew, since somebody else wrote meanwhile."""
    return el("p", t("Somebody else wrote something down meanwhile, and nothing of yours was written. Look at this "
                     "page as it is now, and press again if it still holds."), class_="wrong", role="alert")


def button(visit: Visit, held: Held, action: str, do: str, label: str, css: str = "") -> Element:
    """A form that is one button."""
    return form(visit, action, [version(held), el("button", label, name="do", value=do, class_=css or None)],
                class_="one")


def tell(visit: Visit, told: list[Element]) -> None:
    """Keep for the next page of this family what was just done."""
    visit.session.said[_SAID] = visit.at["trip"], told


def told(visit: Visit) -> Element | None:
    """What was just done, once."""
    number, elements = visit.session.said.pop(_SAID, ("", []))
    if number != visit.at["trip"] or not elements:
        return None
    return el("section", elements, class_="told-now", role="status", tabindex=-1, id="told")
