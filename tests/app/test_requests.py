"""A request prints itself as a command that asks the same, and as a URL."""

from __future__ import annotations

import shlex
from datetime import date
from urllib.parse import parse_qs, urlsplit

import click
import pytest
from running import seatplan

from seatplan import load_trip
from seatplan.app.arrange import Arrange
from seatplan.app.check import Check
from seatplan.app.checkup import Checkup
from seatplan.app.checkups import AskCheckups
from seatplan.app.compare import Compare
from seatplan.app.documents import Draw, Report, Sheet
from seatplan.app.library import AskLibrary
from seatplan.app.measure import AskMeasure
from seatplan.app.merge import Merge
from seatplan.app.new import New
from seatplan.app.outlook import LookAhead
from seatplan.app.question import Question
from seatplan.app.record import Record
from seatplan.app.room import AskRoom
from seatplan.app.rules import AskRules
from seatplan.app.undo import Undo
from seatplan.app.verdict import Verdict
from seatplan.app.why import AskAgainst, AskWhy, AskWhyNot
from seatplan.cli.main import main

TRIP, DAY = "three-across-school-run", date(2026, 12, 1)
#: request -> the command as a person would type it
COMMANDS: list[tuple[Question, str]] = [
    (Arrange(trip=TRIP), f"arrange {TRIP}"),
    (Arrange(trip=TRIP, top=None, strict=True), f"arrange {TRIP} --strict --all"),
    (Arrange(trip="my trip.yaml", top=1, vehicle="it's mine.yaml", rules="un", on=DAY, worst_case=True),
     "arrange 'my trip.yaml' --vehicle \"it's mine.yaml\" --rules un --on 2026-12-01 --worst-case --top 1"),
    (AskWhy(trip=TRIP, rider="Wren", position="2C"), f"why {TRIP} --rider Wren --position 2C"),
    (AskWhyNot(trip=TRIP, so="Wren=2R"), f"why {TRIP} --not Wren=2R"),
    (AskAgainst(trip=TRIP, arrangement=3, against=2), f"why {TRIP} --arrangement 3 --against 2"),
    (AskRoom(trip=TRIP, rider="Wren"), f"room {TRIP} --rider Wren"),
    (AskMeasure(trip=TRIP), f"measure {TRIP}"),
    (Compare(trip=TRIP, vehicles=("skiff-two", "pipkin-hatch")),
     f"compare {TRIP} --vehicle skiff-two --vehicle pipkin-hatch"),
    (LookAhead(trip=TRIP, until="18 months", stock=True), f"outlook {TRIP} --until '18 months' --stock"),
    (Draw(trip=TRIP, rank=2, shown_on="paper"), f"draw {TRIP} --arrangement 2 --for paper"),
    (Sheet(trip=TRIP, paper="letter"), f"sheet {TRIP} --paper letter"),
    (Report(trip=TRIP, vehicles=("skiff-two",), until="4y"), f"report {TRIP} --vehicle skiff-two --until 4y"),
    (Record(trip="my.yaml", restraint="Nook", position="2C", by="lap-belt", moved="1 1/2 in", level="no", sure=True),
     "record my.yaml --restraint Nook --position 2C --by lap-belt --moved '1 1/2 in' --level no --sure"),
    (Record(trip="my.yaml", undo=True), "record my.yaml --undo"),
    (Record(trip="my.yaml", rider="Wren", sideways="12", forwards="9", as_found=True),
     "record my.yaml --rider Wren --sideways 12 --forwards 9 --as-found"),
    (Record(trip="my.yaml", go_on_with=2), "record my.yaml --go-on-with 2"),
    (Undo(trip="my.yaml"), "undo my.yaml"),
    (Checkup(trip="my.yaml", who=("the family", "Ann")), "checkup my.yaml --who 'the family' --who Ann"),
    (AskCheckups(kind="checkups", folder="monday"), "list checkups monday"),
    (Merge(first="a.yaml", second="b.yaml", output="c.yaml"), "merge a.yaml b.yaml --output c.yaml"),
    (Check(files=("a.yaml", "-")), "check a.yaml -"),
    (AskRules(rule="order"), "rules order"),
    (AskRules(profile="un"), "rules --profile un"),
    (AskLibrary(kind="trips"), "list trips"),
    (AskLibrary(), "list"),
    (New(kind="trip"), "new trip"),
    (New(kind="vehicle", short=True), "new vehicle --short"),
    (New(kind="restraint", of_kind="all-stages"), "new restraint --kind all-stages"),
    (New(kind="vehicle", grown_from="my car.yaml"), "new vehicle --from 'my car.yaml'"),
]
EACH = pytest.mark.parametrize(("request_", "command"), COMMANDS, ids=[command for _, command in COMMANDS])


@EACH
def test_a_request_is_the_command_that_asks_it(request_: Question, command: str) -> None:
    assert request_.command == f"seatplan {command}"


@EACH
def test_the_command_line_takes_every_word_of_it(request_: Question, command: str) -> None:
    name, *words = shlex.split(command)
    whole = click.Context(main, **main.context_settings)
    known = main.get_command(whole, name)
    assert known is not None
    outputs = ["-o", "-"] if any(p.name == "output" and p.required for p in known.params) else []
    known.make_context(name, [*words, *outputs], parent=whole)   # raises where an option is not known


@EACH
def test_a_url_holds_the_same_words(request_: Question, command: str) -> None:
    name, *words = shlex.split(command)
    found = urlsplit(request_.url)
    assert found.path == f"/{name}"
    values = [value for values in parse_qs(found.query).values() for value in values]
    flags = {word for word in words if word.startswith("--")}
    assert sorted(value for value in values if value != "yes") == sorted(set(words) - flags) or name == "check"
    assert {f"--{key}" for key in parse_qs(found.query)} >= flags


def test_a_trip_that_no_file_holds_is_called_so() -> None:
    request = Arrange(trip=load_trip(TRIP), vehicle={"vehicle": "Ours"})
    assert (request.words, request.file) == ("TRIP --vehicle VEHICLE", None)


def test_a_verdict_has_the_exit_code_that_commands_leave_with() -> None:
    for trip in ("three-across-school-run", "three-too-wide", "half-measured-car"):
        said = seatplan("arrange", trip)
        from seatplan.app.arrange import arrange

        assert arrange(Arrange(trip=trip)).exit_code == said.code
    assert [verdict.exit_code for verdict in (Verdict.FITS, Verdict.REJECTED, Verdict.WRONG, Verdict.UNDECIDED)] == [
        0, 1, 2, 3]
