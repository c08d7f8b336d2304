"""What went wrong, as a page: what was found and what is allowed, nothing typed lost, and nothing told of paths."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError, Problem, Unwritten
from seatplan.message import FieldName, Name, with_other
from seatplan.views.markup import el
from seatplan.views.say import Words, t, tr
from seatplan.written import visible

from .visit import Page, Visit

#: why the guard let nothing through
_WHY = Words({
    "host": "This server does not go by that name. Open the link that it printed.",
    "large": "That is more than is taken at once. A trip, a vehicle or a restraint has some kilobytes.",
    "elsewhere": "That came from another page, and was not taken. Open the page anew and send it again.",
    "door": "This page opens with the link that `seatplan serve` prints; each link opens once. Press Enter where it "
            "runs, and it prints another one.",
    "locked": "This page is locked. Whoever runs the day opens it again.",
    "form": "This form is older than your visit, and was not taken. Open the page anew and send it again.",
    "nowhere": "There is no such page here.",
    "bug": "A bug in seatplan, not in what you typed. Nothing was written.",
})


def refused(status: int, why: str) -> Page:
    """The page for what may not go on."""
    return Page(t("Not so"), [el("h1", t("Not so")), el("p", _WHY[why], class_="wrong"),
                              el("p", el("a", t("To the start"), href="/"))], status)


def problem_said(problem: Problem) -> str:
    """A problem without the path of its file: the page knows which one it is; its line, where there is one."""
    text = visible(tr(with_other(problem.text, _field)))
    return t("line {line}: {text}", line=problem.line, text=Name(text)) if problem.line else text


def wrong_list(problems: Sequence[Problem], title: str = "") -> Element:
    """What is wrong, on top of a page; it takes the focus, so that whoever cannot see it hears it first."""
    return el("div", el("h2", title or t("Not saved: this has to be put right first")),
              el("ul", [el("li", problem_said(problem)) for problem in problems]),
              role="alert", class_="wrong", tabindex=-1, id="wrong")


def input_wrong(error: InputError) -> Page:
    """The page where a request cannot be answered as it stands, and no form of its own shows that."""
    return Page(t("Not so"), [el("h1", t("Not so")), wrong_list(error.problems, t("This cannot be answered"))], 422)


def unwritten(error: Unwritten, visit: Visit) -> Page:
    """The page where a file could not be written: what was typed stands in it, to be sent again."""
    again = el("form", [el("input", type="hidden", name=name, value=value) for name, value in visit.form.items()],
               el("button", t("Send it again")), method="post", action=visit.path) if visit.posted else None
    return Page(t("Not saved"), [
        el("h1", t("Not saved")), el("p", problem_said(error.problem), class_="wrong", role="alert", id="wrong"),
        el("p", t("What was there is as it was, and what you typed is kept here.")), again,
        el("p", el("a", t("Back to the page, without it"), href=visit.path)) if visit.posted else None], 507)


def place_of_bug(bug: BaseException) -> str:
    """Where in the program a bug showed itself; nothing of what was typed."""
    import traceback

    last = traceback.extract_tb(bug.__traceback__)[-1]
    return f"{last.filename.replace(chr(92), '/').rpartition('seatplan/')[2]}:{last.lineno}"


def _field(value: object) -> object:
    return Name(", ".join(one.replace("_", " ") for one in value.names)) if isinstance(value, FieldName) else value
