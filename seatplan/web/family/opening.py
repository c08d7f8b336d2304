"""Files from elsewhere into the library: a trip with its car and seats, or a checkup. Bad ones are never written."""

from __future__ import annotations

from seatplan.app.carrying import FromElsewhere, brought
from seatplan.app.errors import InputError, Problem
from seatplan.app.shelf import shelf
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .around import problems_shown

#: fields for files: the first, and what it names
_FILES = ("file-1", "file-2", "file-3", "file-4", "file-5", "file-6")


def shown(visit: Visit) -> Answer:
    """Which files; posted, they are read, and come into the library where all of them are right."""
    if not visit.posted:
        return _page(visit, ())
    files = [FromElsewhere(one.name, one.data) for name in _FILES
             if (one := visit.uploads.get(name)) is not None and (one.name or one.data)]
    try:
        made = brought(files, shelf(visit.house.library))
    except InputError as error:
        return _page(visit, error.problems)
    last = made[-1]
    return Goto(f"/trips/{last.number}" if last.kind == "trip" else "/cars" if last.kind == "vehicle" else "/")


def _page(visit: Visit, problems: tuple[()] | list[Problem]) -> Page:
    fields = [el("div", el("label", t("file") if n == 1 else t("what it names, if that is a file of its own"),
                           for_=name),
                 el("input", type="file", id=name, name=name, accept=".yaml,.yml,.html,.htm"), class_="ask")
              for n, name in enumerate(_FILES, 1)]
    return Page(t("Open files"), [
        el("h1", t("Open files")),
        problems_shown(problems, t("Nothing was taken: this has to be put right first")) if problems else None,
        el("p", t("A trip, a car or a seat in YAML, as every command reads it, or a checkup page. A trip that names "
                  "its car or a seat by a file needs these files with it.")),
        form(visit, "/bring", [fields[0], el("details", el("summary", t("More files that belong to it")), fields[1:],
                                             open=bool(problems)),
                               el("button", t("Open"), class_="save")], enctype="multipart/form-data",
             class_="opening")], 422 if problems else 200)
