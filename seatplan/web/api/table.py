"""Every question that the API answers: its request, who answers it, what the answer is shown as, and an example."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import Any, Literal

from seatplan.app import (
    arrange,
    check,
    checkup,
    checkups,
    compare,
    documents,
    library,
    measure,
    merge,
    new,
    outlook,
    record,
    room,
    rules,
    undo,
    why,
)
from seatplan.app.question import Question
from seatplan.frozen import frozen

from . import shown

#: the trip that most examples ask about, and files of a library of two copies of one trip
_TRIP, _OWN, _COPY = "three-across-school-run", "trip-1", "trip-2"
Kind = Literal["application/json", "text/html", "image/svg+xml", "text/calendar", "application/yaml"]


@frozen
class Operation:
    """``path``: behind ``/api``; ``show`` makes the answer of an outcome and of whether all of it is asked for;
    ``schema``: what describes it; ``fixed``: fields of the request that the server says; ``full``: may be asked for in
    full; ``long``: worked out in a process of its own; ``writes``: into files of the library."""

    path: str
    request: type[Question]
    ask: Callable[[Any], Any]
    show: Callable[[Any, bool], Any]
    says: str
    example: Mapping[str, Any]
    schema: str = ""
    kind: Kind = "application/json"
    fixed: Mapping[str, Any] = field(default_factory=dict)
    full: bool = False
    long: bool = False
    writes: bool = False


#: stands in ``fixed`` for the folder of the library, which only the server knows
LIBRARY = object()
_NO_VEHICLE: Mapping[str, Any] = {"vehicle": None}

OPERATIONS: tuple[Operation, ...] = (
    Operation("arrange", arrange.Arrange, arrange.arrange, shown.arranged,
              "Every arrangement of a trip, best first, and why the others are ruled out.",
              {"trip": _TRIP, "top": 2}, "plan", full=True),
    Operation("why", why.AskWhy, why.why, shown.why, "Everything for or against a rider, at every seat.",
              {"trip": _TRIP, "rider": "Wren", "position": "2C"}, "why", full=True),
    Operation("why-not", why.AskWhyNot, why.not_so, shown.not_so,
              "What it would cost if a rider sat there or in that, or what stands in the way.",
              {"trip": _TRIP, "so": "Wren=2R"}, "contrast", full=True),
    Operation("against", why.AskAgainst, why.against, shown.against, "One arrangement held against another.",
              {"trip": _TRIP, "arrangement": 2}, "contrast", full=True),
    Operation("room", room.AskRoom, room.room, shown.room, "How large a restraint may be for one rider.",
              {"trip": _TRIP, "rider": "Wren", "position": "2C"}, "room", long=True),
    Operation("measure", measure.AskMeasure, measure.measure, shown.measure,
              "What to measure next, most useful first.", {"trip": "half-measured-car"}, "measure"),
    Operation("compare", compare.Compare, compare.compare, shown.compare, "One trip in several vehicles.",
              {"trip": _TRIP, "vehicles": ["skiff-two"]}, "compare", fixed=_NO_VEHICLE, full=True, long=True),
    Operation("outlook", outlook.LookAhead, outlook.outlook, shown.outlook,
              "How long it lasts: who outgrows what and when, what comes then, what to buy.",
              {"trip": "tall-driver", "until": "2 months"}, "outlook", fixed={"stock": False}, long=True),
    Operation("stock", outlook.LookAhead, outlook.stock, shown.stock,
              "The smallest set of restraints that carries everybody to a day.",
              {"trip": "tall-driver", "until": "2 months"}, "stock", fixed={"stock": True}, long=True),
    Operation("calendar", outlook.LookAhead, outlook.outlook, shown.calendar, "The days of an outlook (RFC 5545).",
              {"trip": "tall-driver", "until": "2 months"}, kind="text/calendar", fixed={"stock": False},
              long=True),
    Operation("draw", documents.Draw, documents.draw, shown.drawing, "One arrangement to scale.", {"trip": _TRIP},
              kind="image/svg+xml"),
    Operation("sheet", documents.Sheet, documents.sheet, shown.sheet, "Pages to install by.",
              {"trip": _TRIP, "paper": "letter"}, kind="text/html"),
    Operation("report", documents.Report, documents.report, shown.report, "The whole plan as one page.",
              {"trip": _TRIP}, kind="text/html", fixed=_NO_VEHICLE, long=True),
    Operation("checkup", checkup.Checkup, checkup.checkup, shown.checkup, "What goes on file about a trip.",
              {"trip": _TRIP}, "checkup"),
    Operation("checkup-page", checkup.Checkup, checkup.checkup, shown.checkup_page, "The same as a page, sealed.",
              {"trip": _TRIP, "who": ["the family"]}, kind="text/html"),
    Operation("checkups", checkups.AskCheckups, checkups.checkups, shown.checkups,
              "The checkups of the library, by number and state.", {}, "checkups",
              fixed={"kind": "checkups", "folder": LIBRARY}),
    Operation("check", check.Check, check.check, shown.check, "Whether files are right, and what they leave out.",
              {"files": [_OWN]}, "check"),
    Operation("rules", rules.AskRules, rules.rules, shown.rules, "The rules, one of them, or the order.",
              {"rule": "child-too-heavy"}, "rules"),
    Operation("list", library.AskLibrary, library.library, shown.bundled, "What is bundled, all of it invented.",
              {"kind": "trips"}, "list"),
    Operation("new", new.New, new.new, shown.form, "A commented file to fill in.", {"kind": "vehicle", "short": True},
              kind="application/yaml"),
    Operation("set", measure.SetFields, measure.set_fields, shown.was_set,
              "Set fields of a trip of the library, or take that back.",
              {"trip": _OWN, "fields": ["Wren.mass=9.6 kg"], "dry_run": True}, "measure", fixed={"copy_to": None},
              writes=True),
    Operation("record", record.Record, record.record, shown.recorded,
              "Write down what happened at the car, and say what that leaves.",
              {"trip": _OWN, "restraint": "Nook", "position": "2C", "by": "lap-shoulder-belt", "moved": "38"},
              "record", writes=True),
    Operation("undo", undo.Undo, undo.undo, shown.taken_back, "Take back what was written last.", {"trip": _OWN},
              "undo", writes=True),
    Operation("merge", merge.Merge, merge.merge, shown.merged,
              "Two copies of a trip as one file; nothing is written.", {"first": _OWN, "second": _COPY},
              kind="application/yaml", fixed={"output": "merged.yaml"}),
)
