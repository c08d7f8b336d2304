"""What was written last, shown line by line, and taken back where that is meant."""

from __future__ import annotations

from hashlib import sha256
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError
from seatplan.app.undo import Undo, WouldTakeBack, undo, would_take_back
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Visit

from .around import here, page, unanswered


def shown(visit: Visit) -> Answer:
    """What the last step wrote; posted, it is taken back, if it is still the one that was shown."""
    one = here(visit)
    request = Undo(trip=one.held.path)
    last = would_take_back(request)
    if visit.posted and last is not None and visit.form.get("step") == _named(last):
        try:
            undo(request)
        except InputError as error:
            return page(one, "undo", [unanswered(error)], 409)
        visit.session.said[f"undone {one.number}"] = ", ".join(last.names)
        return Goto(visit.path)
    done = visit.session.said.pop(f"undone {one.number}", "")
    head = el("p", t("Taken back: {names}.", names=done), class_="done", role="status") if done else None
    late = el("p", t("Something else was written meanwhile; nothing was taken back. This is the last step now."),
              class_="wrong", role="alert") if visit.posted else None
    return page(one, "undo", [head, late, *_last(visit, last)], 409 if visit.posted else 200)


def _named(last: WouldTakeBack) -> str:
    """What tells one step from another."""
    return sha256("\n".join([*last.names, *last.lines]).encode()).hexdigest()


def _last(visit: Visit, last: WouldTakeBack | None) -> list[Element]:
    if last is None:
        return [el("p", t("There is nothing to take back: nothing was written here, or a file was changed by hand "
                          "since."))]
    lines = [el("li", el("ins" if line.startswith("+") else "del", line[1:].strip() or " "),
                el("small", t("comes again") if line.startswith("+") else t("goes"))) for line in last.lines]
    return [el("p", t("This was written last: {names}.", names=", ".join(last.names))),
            el("h2", t("Taking it back changes these lines")),
            el("ul", lines, class_="back"),
            form(visit, visit.path, [el("input", type="hidden", name="step", value=_named(last)),
                                     el("button", t("Take it back"), class_="save")])]
