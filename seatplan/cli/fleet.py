"""seatplan fleet: many vehicles, many bookings."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar

import click

from seatplan import __version__
from seatplan.views.say import N, t

from .asking import Asking
from .language import localized
from .options import as_json, full_option, rules_option
from .output import say, say_json
from .usage import Misuse, typed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from seatplan.app.fleet.match import Matched
    from seatplan.app.fleet.plan import Planned

Command = Callable[..., Any]
Answer = TypeVar("Answer")

#: name -> what its one-line help says, in the order in which an operator needs them
LINES = {
    "city": N("Write an invented city to try a fleet on."),
    "match": N("Which party can travel in which type of vehicle, and with which restraints."),
    "plan": N("Which vehicle carries which booking, with which restraints aboard."),
    "day": N("A card for each driver: who, which restraint, which seat, how held, step by step."),
    "inventory": N("The cheapest stock of restraints for a level of service."),
    "coverage": N("Which parties each type of vehicle carries."),
    "forget": N("Take a booking out of every plan and card."),
}


class Group(Asking, click.Group):
    """Commands in the order of the table, with their help in the language in force."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [name for name in LINES if name in self.commands]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        command = super().get_command(ctx, cmd_name)
        if command is None:
            return None
        for param in command.params:
            param.type = typed(param.type)
        return localized(command)

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        from seatplan.message import Name

        from .usage import one_of

        if args and args[0] not in self.commands:
            one_of(args[0], self.list_commands(ctx), t('no command of a fleet is called "{word}"', word=Name(args[0])))
            args = [args[0].casefold(), *args[1:]]
        return super().resolve_command(ctx, args)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        self.format_commands(ctx, formatter)
        super().format_options(ctx, formatter)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section(t("Commands")):
            formatter.write_dl([(name, t(LINES[name])) for name in self.list_commands(ctx)])


@click.group("fleet", cls=Group, short_help="Many vehicles, many bookings.",
             context_settings={"max_content_width": 100, "help_option_names": ["-h", "--help"]})
def command() -> None:
    """Many vehicles, many bookings, one store of restraints: what fits whom, a plan for the day, a card for each
    driver.

    \b
      seatplan fleet city --kind roomy --force -o roomy
      seatplan fleet match roomy/fleet.yaml roomy/bookings.csv
      seatplan fleet plan roomy/fleet.yaml roomy/bookings.csv -o roomy/plans

    Exit codes: 0 all of it, 1 a booking is unserved or a row was rejected, 2 nothing usable in the input.
    """


# --- options that several of them share

on_option = click.option("--on", metavar="DATE", help="The day, such as 2026-12-01; else that of the first booking.")
_SOLVING: dict[str, Callable[[Command], Command]] = {
    "--travel": click.option(
        "--travel", metavar="FILE", help="The matrix of minutes, in place of the one that the fleet names."),
    "--rules": rules_option,
    "--on": on_option,
    "--salt": click.option(
        "--salt", metavar="FILE", help="The secret that hides ids; else .seatplan-salt beside the fleet's file, which "
                                       "is made at first use."),
    "--kept": click.option(
        "--kept", metavar="FILE", help="Where answers are kept for the next time; else .seatplan-answers beside the "
                                       "fleet's file."),
    "--rejects": click.option(
        "--rejects", metavar="FILE", help="Where rows that cannot be used are told; else beside the bookings."),
    "--workers": click.option("--workers", type=int, metavar="N", help="Processes on this machine; else one a core."),
    "--cluster": click.option(
        "--cluster", metavar="ADDRESS", help="A dask scheduler whose workers solve in their place; other than on this "
                                             "machine only tls://, with the three files."),
    "--cluster-ca": click.option("--cluster-ca", metavar="FILE", help="The authority of the cluster's certificates."),
    "--cluster-cert": click.option(
        "--cluster-cert", metavar="FILE", help="The certificate that is shown to the cluster."),
    "--cluster-key": click.option("--cluster-key", metavar="FILE", help="The key of that certificate."),
}


def solving(command: Command) -> Command:
    """The options of what matches bookings."""
    for option in reversed(_SOLVING.values()):
        command = option(command)
    return command


def _option(name: str) -> Callable[[Command], Command]:
    return _SOLVING[name]


def asked(told: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a request from the options of ``solving``."""
    from seatplan.app.days import day_of

    return {**{key: value for key, value in told.items() if key != "rejects"}, "on": day_of(told["on"])}


def _rejected(bookings: str, named: str | None) -> Callable[[Any], None]:
    """Whoever writes the rows that were rejected. Raises Misuse at once where the file is something else."""
    from seatplan.app.writing import place_of, start_of, write
    from seatplan.views.fleet.rejects import HEAD, rejects_csv
    from seatplan.views.written_text import written

    if named is None and not Path(bookings).is_file():
        return lambda rejects: None                  # reading it says what is wrong
    path = named or str(Path(bookings).with_suffix(".rejects.csv"))
    place = place_of(path)
    if place.is_folder or (place.is_file and not start_of(place, 40).startswith(HEAD.strip())):
        raise Misuse(t("`{output}` is there already and holds no rejected rows", output=path),
                     t("expected another name behind {option}", option="--rejects"))

    def tell(rejects: Sequence[Any]) -> None:
        if not rejects and not place.is_file:
            return
        text = rejects_csv(rejects)
        write(place_of(path), text)
        print(written(path, text, t("{n} rejected rows", n=len(rejects))), file=sys.stderr)

    return tell


def _notices(problems: Sequence[Any]) -> None:
    from seatplan.views.problem_text import problem_lines

    for problem in problems:
        first, *rest = problem_lines(problem)
        print("\n".join([t("warning: {warning}", warning=first), *rest]), file=sys.stderr)


def _folder(output: str, names: Sequence[str], force: bool) -> Path:
    """A folder in which files of these names may be written. Raises Misuse, Unwritten."""
    from seatplan.app.writing import place_of

    folder = Path(output)
    if folder.exists() and not folder.is_dir():
        raise Misuse(t('-o is "{path}"', path=output), t("expected the name of a folder"))
    _made(folder)
    there = [name for name in names if (folder / name).exists()]
    if there and not force:
        raise Misuse(t("`{output}` is there already", output=str(folder / there[0])),
                     t("another folder, or `--force` to write over it"))
    for name in names:
        place_of(str(folder / name))
    return folder


def _made(folder: Path) -> None:
    from seatplan.app.errors import Problem, Unwritten
    from seatplan.message import said

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unwritten(Problem(str(folder), 0, 0, said("this folder cannot be made: {reason}", reason=(
            error.strerror or str(error)).lower()))) from None


def _write_all(folder: Path, files: Mapping[str, str]) -> None:
    from seatplan.app.writing import place_of, write

    for name, text in files.items():
        write(place_of(str(folder / name)), text)
    print(t("wrote {n} files in {folder}", n=len(files), folder=str(folder)), file=sys.stderr)


folder_option = click.option("-o", "--output", metavar="FOLDER", required=True, help="The folder to write into.")
force_option = click.option("--force", is_flag=True, help="Write over files that are there.")


@command.command("city", cls=Asking, short_help="Write an invented city to try a fleet on.")
@click.option("--kind", type=click.Choice(["roomy", "tight", "infeasible"]), default="roomy", show_default=True,
              help="Vehicles and restraints to spare, few of them, or some of it that cannot be done.")
@click.option("--seed", type=int, default=1, show_default=True, metavar="N", help="Another number, another city.")
@click.option("--bookings", type=int, default=24, show_default=True, metavar="N", help="How many bookings.")
@click.option("--on", metavar="DATE", help="The day of the bookings; else tomorrow.")
@folder_option
@force_option
def city(kind: Literal["roomy", "tight", "infeasible"], seed: int, bookings: int, on: str | None, output: str,
         force: bool) -> int:
    """Write fleet.yaml, travel.csv and bookings.csv of a city that does not exist: nobody and nothing in it is real.
    The same seed gives the same bytes.

    \b
      seatplan fleet city --kind tight --seed 7 --bookings 40 -o tight-city
    """
    from seatplan.app.days import day_of
    from seatplan.app.fleet.city import InventCity, invented_city

    outcome = invented_city(InventCity(kind=kind, seed=seed, bookings=bookings, on=day_of(on)))
    _write_all(_folder(output, list(outcome.answer.files), force), outcome.answer.files)
    return outcome.exit_code


@command.command("match", cls=Asking, short_help="Which party can travel in which type, with which restraints.")
@click.argument("fleet")
@click.argument("bookings")
@solving
@full_option
@as_json
def match(fleet: str, bookings: str, full: bool, json_out: bool, **told: Any) -> int:
    """Match every different party of the BOOKINGS of a day with every type of vehicle and the kinds of restraint of
    FLEET: the verdict, the best way, and with --full every kit from which nothing can be left out.

    Answers are kept, so that a party that is known takes no time; stopped anywhere, it goes on from there.

    \b
      seatplan fleet match city/fleet.yaml city/bookings.csv
      seatplan fleet match city/fleet.yaml city/bookings.csv --json

    Exit codes: 0 all rows were used, 1 a row was rejected, 2 nothing usable in the input.
    """
    from seatplan.app.fleet.match import Match
    from seatplan.app.fleet.match import match as ask

    from .listener import Told

    tell = _rejected(bookings, told["rejects"])
    outcome = ask(Match(fleet=fleet, bookings=bookings, **asked(told)), __version__, Told())
    found: Matched = outcome.answer
    _notices(found.read.notices)
    tell(found.rejects)
    if json_out:
        from seatplan.views.fleet.match_json import match_json

        say_json(match_json(found))
    else:
        from seatplan.views.fleet.match_text import match_text

        say(match_text(found, full))
    return outcome.exit_code


@command.command("plan", cls=Asking, short_help="Which vehicle carries which booking, with what aboard.",
                 own=("--output",))
@click.argument("fleet")
@click.argument("bookings")
@click.option("-o", "--output", metavar="FOLDER", help="Keep the plan in this folder, beside those before it; nothing "
                                                       "is written over.")
@click.option("--accepted", metavar="FILE", help="Offers below the floor that a person accepted: a CSV file with id, "
                                                 "offer and why.")
@click.option("--after", metavar="PLAN", help="Make this plan again with fewest changes; --now and --why go with it, "
                                              "and what is new in BOOKINGS is a late booking.")
@click.option("--now", metavar="TIME", help="The time at which it is made again, such as 09:30; after midnight with "
                                            "its day, such as '2026-12-02 00:30'. What has begun stays.")
@click.option("--broken", metavar="VEHICLE", multiple=True, help="A vehicle that broke down, for the rest of the day; "
                                                                 "may be given again.")
@click.option("--recalled", metavar="SERIAL", multiple=True, help="A restraint that may not be used any more; may be "
                                                                  "given again.")
@click.option("--gone", metavar="ID", multiple=True, help="A booking that was called off; may be given again.")
@click.option("--why", metavar="TEXT", help="Why it is made again, which is kept with the plan.")
@click.option("--day-before", metavar="PLAN", help="The plan of the day before, where its bookings last into the "
                                                   "night: their vehicles and restraints are free once they are home.")
@solving
@as_json
def plan(fleet: str, bookings: str, json_out: bool, broken: tuple[str, ...], recalled: tuple[str, ...],
         gone: tuple[str, ...], **told: Any) -> int:
    """Plan the BOOKINGS of a day with the vehicles and restraints of FLEET: most bookings served, then fewest
    restraints taken out and put in, least minutes empty, depots balanced.

    Nobody rides below the best that the fleet could give them; what is less is an offer, which serves nobody until a
    person accepts it. Who is unserved is told why, and what would have served them.

    \b
      seatplan fleet plan city/fleet.yaml city/bookings.csv -o city/plans

    Whether some other plan could serve more is told beside the number served, never by the exit code.

    Exit codes, the first that applies: 2 nothing usable in the input, 1 a booking is unserved or a row was rejected,
    0 otherwise.
    """
    from seatplan.app.fleet.plan import PlanDay
    from seatplan.app.fleet.plan import plan as ask

    from .listener import Told

    tell = _rejected(bookings, told["rejects"])
    outcome = ask(PlanDay(fleet=fleet, bookings=bookings, broken=broken, recalled=recalled, gone=gone, **asked(told)),
                  __version__, Told())
    found: Planned = outcome.answer
    _notices(found.read.notices)
    tell(found.rejects)
    if found.kept is not None:
        print(t("kept as {file}", file=str(found.kept[0])), file=sys.stderr)
    if json_out:
        from seatplan.views.fleet.plan_json import plan_json

        say_json(plan_json(found))
    else:
        from seatplan.views.fleet.plan_text import plan_text

        say(plan_text(found))
    return outcome.exit_code


@command.command("day", cls=Asking, short_help="A card for each driver.", own=("--output",))
@click.argument("fleet")
@click.argument("bookings")
@click.option("--plan", "plan_file", metavar="PLAN", required=True, help="The plan that was kept.")
@folder_option
@force_option
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="To print on.")
@click.option("--travel", metavar="FILE", help="The matrix of minutes, in place of the one that the fleet names.")
@rules_option
@click.option("--salt", metavar="FILE", help="The secret that hides ids; else .seatplan-salt beside the fleet's file.")
def day(fleet: str, bookings: str, plan_file: str, output: str, force: bool, paper: Literal["a4", "letter"],
        travel: str | None, rules: str | None, salt: str | None) -> int:
    """Write a file for each driver with only that driver's bookings: who, which restraint, which seat, how it is held,
    step by step, and what to do when the child at the door is not as booked.

    Every booking is worked out again with the restraints that the plan hands out; what does not come out as planned
    says so on its card.

    \b
      seatplan fleet day city/fleet.yaml city/bookings.csv --plan city/plans/plan-2026-12-01-0001.json -o city/cards

    Exit codes: 0 written, 1 written, but a booking does not come out as planned, 2 bad input.
    """
    from seatplan.app.fleet.cards import left_over
    from seatplan.app.fleet.day import DriverCards, driver_cards
    from seatplan.views.fleet.cards_html import cards_html, file_names

    from .listener import Told

    outcome = driver_cards(DriverCards(fleet=fleet, bookings=bookings, plan=plan_file, paper=paper, travel=travel,
                                       rules=rules, salt=salt), Told())
    names = file_names(outcome.answer)
    folder = _folder(output, list(names.values()), force)
    _write_all(folder, {name: cards_html(outcome.answer, driver, paper) for driver, name in names.items()})
    for name in left_over(folder, list(names.values())):
        old = t("`{file}` is a card of another plan; take it out before anybody drives by it", file=str(folder / name))
        print(t("warning: {warning}", warning=old), file=sys.stderr)
    return outcome.exit_code


picture_option = click.option("-o", "--output", metavar="FILE", help="Draw it into this file, such as plot.svg.")


class _Picture:
    """The drawing that goes beside an answer, if one is wanted. Raises Misuse at once where it may not be written."""

    def __init__(self, output: str | None, force: bool) -> None:
        from .target import Target

        self._alone = output == "-"
        self._target = None if output is None else Target(output, force, "drawing", "")
        if self._target is not None:
            self._target.check()

    def tell(self, answer: Answer, drawn: Callable[[Answer], str], as_text: Callable[[Answer], str],
             data: Callable[[Answer], Any], json_out: bool) -> None:
        """Draw an answer, and print it: as text unless the drawing goes where that would."""
        if self._target is not None:
            self._target.write(drawn(answer), t("a drawing"))
        if json_out:
            say_json(data(answer))
        elif not self._alone:
            say(as_text(answer))


@command.command("inventory", cls=Asking, short_help="The cheapest stock of restraints for a level of service.")
@click.argument("fleet")
@click.argument("bookings")
@click.option("--target", metavar="SHARE", default="98%", show_default=True, help="The share of bookings to be served.")
@picture_option
@force_option
@solving
@as_json
def inventory(fleet: str, bookings: str, target: str, output: str | None, force: bool, json_out: bool,
              **told: Any) -> int:
    """The cheapest stock with which the vehicles of FLEET serve a share of the BOOKINGS of a day, by the price of each
    kind, and the price for other shares as a table and with -o as a curve.

    \b
      seatplan fleet inventory city/fleet.yaml city/bookings.csv --target 98% -o curve.svg

    Exit codes: 0 told, 1 told, and a row was rejected, 2 nothing usable in the input.
    """
    from seatplan.app.fleet.inventory import Stock, stock

    from .listener import Told

    tell, picture = _rejected(bookings, told["rejects"]), _Picture(output, force)
    outcome = stock(Stock(fleet=fleet, bookings=bookings, target=target, **asked(told)), __version__, Told())
    _notices(outcome.answer.read.notices)
    tell(outcome.answer.rejects)
    from seatplan.views.fleet.chart import curve_svg
    from seatplan.views.fleet.inventory_text import inventory_json, inventory_text

    picture.tell(outcome.answer, curve_svg, inventory_text, inventory_json, json_out)
    return outcome.exit_code


@command.command("coverage", cls=Asking, short_help="Which parties each type of vehicle carries.")
@click.argument("fleet")
@click.option("--children", type=int, default=2, show_default=True, metavar="N", help="Parties of up to so many.")
@click.option("--any-size", is_flag=True, help="Of children of whom only the age group is known, in place of children "
                                               "of a middle size.")
@picture_option
@force_option
@rules_option
@click.option("--on", metavar="DATE", help="The day; else today.")
@_option("--kept")
@_option("--workers")
@_option("--cluster")
@_option("--cluster-ca")
@_option("--cluster-cert")
@_option("--cluster-key")
@as_json
def coverage(fleet: str, children: int, output: str | None, force: bool, json_out: bool, **told: Any) -> int:
    """Which parties, by the ages of their children, each type of vehicle of FLEET carries with the kinds of restraint
    that there are copies of: as a table, and with -o as a picture.

    \b
      seatplan fleet coverage city/fleet.yaml --children 2 -o coverage.svg

    Exit codes: 0 told, 2 bad input.
    """
    from seatplan.app.fleet.coverage import Cover, cover

    from .listener import Told

    picture = _Picture(output, force)
    outcome = cover(Cover(fleet=fleet, children=children, **asked(told)), __version__, Told())
    _notices(outcome.answer.read.notices)
    from seatplan.views.fleet.chart import coverage_svg
    from seatplan.views.fleet.coverage_text import coverage_json, coverage_text

    picture.tell(outcome.answer, coverage_svg, coverage_text, coverage_json, json_out)
    return outcome.exit_code


@command.command("forget", cls=Asking, short_help="Take a booking out of every plan and card.")
@click.argument("fleet")
@click.argument("ids", nargs=-1)
@click.option("--plans", metavar="FOLDER", required=True, help="Where plans are kept.")
@click.option("--cards", metavar="FOLDER", help="Where cards are: those that hold the booking are removed.")
@click.option("--why", metavar="TEXT", required=True, help="Why; it stays, with the salted id and a hash.")
@click.option("--old", is_flag=True, help="All that were kept for as many days as the fleet's file says.")
@click.option("--salt", metavar="FILE", help="The secret that hides ids; else .seatplan-salt beside the fleet's file.")
def forget(fleet: str, ids: tuple[str, ...], plans: str, cards: str | None, why: str, old: bool,
           salt: str | None) -> int:
    """Take bookings by their IDS, or with --old those that were kept long enough, out of every plan that is kept. What
    stays is the salted id, the reason and a hash. The row in your file of bookings is yours to delete.

    \b
      seatplan fleet forget city/fleet.yaml B-00002 --plans city/plans --cards city/cards --why "asked for it"

    Exit codes: 0 done, also where there was nothing to forget, 2 bad input.
    """
    from seatplan.app.fleet.forget import Forget
    from seatplan.app.fleet.forget import forget as ask

    outcome = ask(Forget(fleet=fleet, ids=ids, plans=plans, cards=cards, why=why, old=old, salt=salt))
    say(t("{plans} plans written without it, {cards} cards removed", plans=len(outcome.answer.plans),
          cards=len(outcome.answer.cards)) + "\n")
    return outcome.exit_code
