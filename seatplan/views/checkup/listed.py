"""A day's checkups: of each its number and state, and no name."""

from __future__ import annotations

from typing import Any

from seatplan.app.checkups import SHORT, Day, Filed
from seatplan.views.caution import caution
from seatplan.views.content import Block, Paragraph, Table
from seatplan.views.failure_json import head_json, problem_json
from seatplan.views.manner import day
from seatplan.views.say import Words, t
from seatplan.views.terminal import parts_of
from seatplan.views.text import count

from .words import STATES, counted

_WRONG = Words({"damaged": "damaged", "altered": "page altered", "foreign": "no checkup",
                "unreadable": "cannot be read"})


def checkups_text(found: Day) -> str:
    """The list as text."""
    return parts_of(_content(found))


def _content(found: Day) -> list[Block | None]:
    if not found.filed:
        return [Paragraph(t("No page lies in this folder.")), caution()]
    held = sum(one.state == "held" for one in found.filed)
    return [
        Table((t("number"), t("day"), t("state"), t("open points"), t("grave cautions"), t("in its file")),
              tuple(_row(one) for one in found.filed)),
        Paragraph(t("{held} of {pages} held.", held=held, pages=count(len(found.filed), "page"))), caution()]


def _row(one: Filed) -> tuple[str, ...]:
    if one.wrong:
        return (str(one.number), "-", _WRONG[one.wrong], "-", "-", "-")
    return (str(one.number), "-" if one.made is None else day(one.made), STATES[one.state], counted(one.open or {}),
            str(one.grave_cautions), one.sha256[:SHORT])


def checkups_json(found: Day) -> dict[str, Any]:
    """The same as plain data; ``unusable`` says what is wrong with the pages that are no checkup."""
    return {
        **head_json("checkups"),
        "checkups": [{"number": one.number, "state": one.state or one.wrong,
                      "made": None if one.made is None else one.made.isoformat(), "sha256": one.sha256 or None,
                      "file_sha256": one.file_sha256,
                      "open": [{"kind": kind, "things": n} for kind, n in (one.open or {}).items()],
                      "grave_cautions": one.grave_cautions} for one in found.filed],
        "unusable": [problem_json(problem) for problem in found.problems]}
