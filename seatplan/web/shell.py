"""The page around every page: its head, where one can go, the language, the caution."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache, partial
from hashlib import sha256
from xml.etree.ElementTree import Element

from seatplan.views.caution import CAUTION
from seatplan.views.manner import LANGUAGES, UNITS, customary, language
from seatplan.views.markup import el, html_file
from seatplan.views.pages import page_file, style_of
from seatplan.views.say import Words, t

from .visit import Page, Visit

_UNITS = Words({"metric": "mm and kg", "customary": "inches and pounds"})
#: a style sheet for each part of the house, shown as one; and the scripts
_STYLES = ("web-car.css", "web-answer.css", "web-rest.css", "web-day.css")
_SCRIPTS = ("web.js", "web-car.js", "web-answer.js", "web-rest.js", "web-day.js")
#: style and script are asked for by what they hold, so that a browser never shows a page with those of another version
_STATIC: dict[str, tuple[str, Callable[[], str]]] = {
    "web.css": ("text/css", lambda: "".join([style_of("web"), *map(page_file, _STYLES)])),
    **{name: ("text/javascript", partial(page_file, name)) for name in _SCRIPTS}}


def static_file(name: str) -> tuple[bytes, str] | None:
    """A style sheet or script and its kind; None where there is none of that name."""
    found = _STATIC.get(name)
    return None if found is None else (found[1]().encode(), f"{found[0]}; charset=utf-8")


@cache
def _static(name: str) -> str:
    found = static_file(name)
    assert found is not None
    return f"/static/{name}?{sha256(found[0]).hexdigest()[:12]}"


def shown(page: Page, visit: Visit | None) -> bytes:
    """A whole page; without a visit, as where nobody came in, it leads nowhere. What only the script asks for, which
    takes pieces of it into a page that is there, has its main part alone."""
    if visit is not None and visit.wants_part:
        return html_file(el("html", el("head", el("title", page.title)), el("body", el("main", page.main, id="main")),
                            lang=language())).encode()
    return html_file(el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", page.title),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="color-scheme", content="light dark"),
           el("link", rel="icon", href="data:,"),
           el("link", rel="stylesheet", href=_static("web.css")),
           [el("script", "", src=_static(name), defer=True) for name in _SCRIPTS]),
        el("body",
           el("a", t("To the page itself"), href="#main", class_="skip"),
           None if visit is None else _top(visit),
           el("main", page.main, id="main", tabindex=-1, class_="whole" if page.wide else None),
           el("footer", el("p", t("Caution: {CAUTION}", CAUTION=CAUTION)), None if visit is None else _manner(visit))),
        lang=language())).encode()


def _next_family(visit: Visit) -> Element | None:
    """What ends the view for the family that is here, on every page of a day."""
    return None if visit.house.secret is None or not visit.house.has_days else form(
        visit, "/day/lock", [el("button", t("Next family"), class_="next-family")], class_="lock")


def _top(visit: Visit) -> Element:
    where = [("/", t("Trips")), ("/cars", t("Cars")), ("/seats", t("Seats")), ("/day", t("At the car"))]
    at = max((path for path, _ in where if visit.path.startswith(path)), key=len)
    return el("header", el("nav", el("ul", [
        el("li", el("a", name, href=path, aria_current="page" if path == at else None)) for path, name in where]),
        aria_label=t("Where to go")), _next_family(visit))


def _manner(visit: Visit) -> Element:
    """Which language and units; a form, so that it works without script."""
    units = "customary" if customary() else "metric"
    return form(visit, "/manner", [
        chosen("lang", t("Language"), list(LANGUAGES.items()), language()),
        chosen("units", t("Units"), [(one, _UNITS[one]) for one in UNITS], units),
        el("input", type="hidden", name="back", value=visit.path),
        el("button", t("Show it so"))], class_="manner")


def tapped(name: str, label: str, choices: Sequence[tuple[str, str]], now: str,
           drawn: Mapping[str, Element] | None = None) -> Element:
    """One of some choices, each a button to tap; ``drawn``: a small drawing for each, by its value."""
    chips = [el("label", el("input", type="radio", name=name, value=value, checked=value == now),
                el("span", (drawn or {}).get(value), told)) for value, told in choices]
    return el("fieldset", el("legend", label), el("div", chips, class_="chips"), class_="ask chosen")


def form(visit: Visit, action: str, children: Sequence[Element | None], **more: str | bool | None) -> Element:
    """A form that posts; it brings back what shows that a page of this session sent it."""
    return el("form", el("input", type="hidden", name="form", value=visit.session.form), children,
              method="post", action=action, autocomplete="off", **more)


def chosen(name: str, label: str, choices: Sequence[tuple[str, str]], now: str, **more: str | bool | None) -> Element:
    """A label with one of some choices."""
    return el("label", f"{label} ", el("select", [
        el("option", told, value=value, selected=value == now) for value, told in choices], name=name, **more))
