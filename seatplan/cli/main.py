"""The commands and their one-line help. A command's module is imported when it runs."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING, Any

import click

from seatplan import __version__
from seatplan.cycles import look_seldom
from seatplan.message import FieldName, Name
from seatplan.views.manner import speaking
from seatplan.views.say import t
from seatplan.written import visible

from . import language as speech
from .language import Chosen, chosen, color_option, lang_option, localized, units_option
from .output import flush, in_colour, own_streams, say_json, terminal_columns
from .usage import Misuse, as_options, how_to_use, message_of, mistake_of, no_option, one_of, typed

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from seatplan.app.errors import Problem

#: name -> (module, help line); the order people need them in
COMMANDS = {
    "demo": ("demo", "Plan a three-across school run from the bundled data."),
    "arrange": ("arrange", "Every arrangement of a trip that fits, best first, and why the others do not."),
    "compare": ("compare", "One trip in several vehicles: what fits, what changes, what does not go along."),
    "why": ("why", "Everything that speaks for or against a rider, a restraint, a position."),
    "room": ("room", "How large a restraint may be for one rider, with everybody else in the car."),
    "draw": ("draw", "An arrangement to scale, as SVG: rows from above, rear-facing shells from the side."),
    "sheet": ("sheet", "A sheet to take to the car: the order of installing, and one page a restraint."),
    "report": ("report", "The whole plan as one HTML file: drawings, who can sit where, reasons."),
    "measure": ("measure", "What to measure next, most useful first, as a form to take to the car."),
    "record": ("record", "Note what happened at the car, and what to try next."),
    "undo": ("undo", "Take back what record or measure --set wrote last."),
    "merge": ("merge", "Two copies of a trip that were written in at the car, as one."),
    "checkup": ("checkup", "What goes on file: as it arrived, what was tried, as it left."),
    "outlook": ("outlook", "How long it will last: who outgrows what and when, what comes then, what to buy."),
    "serve": ("serve", "The whole job in a browser, from a folder of files."),
    "fleet": ("fleet", "Many vehicles, many bookings: what fits whom, the plan of a day, drivers' cards."),
    "check": ("check", "Check vehicle, restraint, trip, fleet and rules files."),
    "rules": ("rules", "What a rule says, why, and where it comes from."),
    "list": ("listing", "The bundled vehicles, restraints and trips, or the checkups of a day."),
    "new": ("new", "Print a commented file to fill in: vehicle, restraint, trip or fleet."),
    "schema": ("schema", "Print the JSON Schema of a file, for editors that complete."),
    "help": ("help", "How a command is used, or what a rule says."),
    "completion": ("completion", "Print a script with which bash, zsh or fish completes commands and names."),
    "man": ("man", "Print the manual page."),
}

EXAMPLES = """\b
  seatplan demo
  seatplan arrange my-trip.yaml --vehicle grandparents-car.yaml

Exit codes: 0 something fits (close and likely count), 1 nothing does, 2 bad input, 3 it hangs on what was not
measured or the search stopped at its limit, 70 a bug in seatplan, 74 an answer or a file could not be
written, 130 stopped by Ctrl-C.

A planning aid: the vehicle handbook, the restraint's instructions and local law come first; have the
installation checked by a certified technician."""


class Commands(click.Group):
    """A group that prints its help from the table above."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"seatplan.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = module.command
        for param in command.params:
            param.type = typed(param.type)
        return localized(command)

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        if args and args[0] not in COMMANDS:
            one_of(args[0], list(COMMANDS), t('no command is called "{word}"', word=Name(args[0])))
            args = [args[0].casefold(), *args[1:]]
        return super().resolve_command(ctx, args)

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        from click.shell_completion import CompletionItem

        return [*(CompletionItem(name, help=t(line)) for name, (_, line) in COMMANDS.items()
                  if name.startswith(incomplete)), *click.Command.shell_complete(self, ctx, incomplete)]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section(t("Commands")):
            formatter.write_dl([(name, t(line)) for name, (_, line) in COMMANDS.items()])


@click.group(cls=Commands, epilog=EXAMPLES,
             context_settings={"max_content_width": 100, "help_option_names": ["-h", "--help"]})
@lang_option
@units_option
@color_option
@click.version_option(__version__, message="seatplan %(version)s")
def main() -> None:
    """Which child, in which restraint, on which seat of the car.

    Give it the vehicle's seats, the children and their restraints: it lists every arrangement that the
    instructions allow and that fits, side by side and along the car, best first, and says in numbers why the
    others are ruled out.
    """


def run(args: list[str] | None = None) -> None:
    """Run the program and leave with its exit code."""
    sys.exit(exit_code(args))


def exit_code(args: list[str] | None = None, spoken: Callable[[], None] = lambda: None) -> int:
    """Run the program; its exit code. Only a bug of ours gets as far as code 70. ``spoken`` is called when the language
    is in force."""
    look_seldom()
    # no plugin of others has a say in what a file may hold; looking for one reads the metadata of all that is installed
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # numpy would start threads for products of matrices, of which there are none here, and let them wait busily
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with own_streams():
        code = _run(sys.argv[1:] if args is None else args, spoken)
    gc.freeze()             # nor is there anything to look for on the way out
    return code


def _run(args: list[str], spoken: Callable[[], None]) -> int:
    """The exit code, once all that was printed is written."""
    from seatplan.app.errors import Unwritten

    json_out = "--json" in args
    wrong, told = None, Chosen(args)
    try:
        told = chosen(args, os.environ)
    except click.ClickException as error:
        wrong = error
    with speaking(told.lang, told.units, terminal_columns(), in_colour(told.color, os.environ)):
        speech.tell_click()
        spoken()
        try:
            code = _command(list(told.rest), json_out) if wrong is None else _misused(wrong, json_out)
            flush()
            return code
        except Unwritten as error:
            return _unwritten(error.problem, json_out)
        except KeyboardInterrupt:
            return _stopped()


def _command(args: list[str], json_out: bool) -> int:
    from seatplan.app.errors import InputError, Unwritten

    try:
        code = localized(main).main(args, "seatplan", standalone_mode=False)
        return code if isinstance(code, int) else 0
    except InputError as error:
        from seatplan.app.misasked import Misasked
        from seatplan.views.failure_json import mistake_json

        if isinstance(error, Misasked):
            text, hint = as_options(error.text), as_options(error.hint) if error.hint else ""
            asked = as_options(FieldName(error.field)), error.found, error.allowed
            return _bad_input([[visible(text)]], hint, json_out,
                              lambda: [mistake_json(visible(text), visible(hint) or None, *asked)])
        problems = error.problems
        return _bad_input(_told(problems), "", json_out, lambda: _objects(problems))
    except click.exceptions.Exit as leave:
        return leave.exit_code
    except Unwritten:
        raise
    except click.exceptions.NoArgsIsHelpError as error:
        print(error.format_message(), file=sys.stderr)
        return 2
    except click.ClickException as error:
        return _misused(error, json_out)
    except (click.Abort, KeyboardInterrupt):
        return _stopped()
    except Exception as bug:  # noqa: BLE001  # the top: nobody below catches this
        return _our_bug(bug, json_out)


def _told(problems: Sequence[Problem]) -> list[list[str]]:
    """The lines of each problem; those after the first show where it stands."""
    from seatplan.views.problem_text import problem_lines

    return [problem_lines(problem) if problem.path else [visible(as_options(problem.text))] for problem in problems]


def _objects(problems: Sequence[Problem]) -> list[dict[str, Any]]:
    from seatplan.views.failure_json import mistake_json, problem_json

    return [problem_json(problem) if problem.path else mistake_json(
        visible(as_options(problem.text)), None, as_options(FieldName(str(problem.loc[-1]))) if problem.loc else None,
        problem.found, problem.allowed) for problem in problems]


def _misused(error: click.ClickException, json_out: bool) -> int:
    error = no_option(error) if isinstance(error, click.NoSuchOption) else error
    hint = _hint(error)
    return _bad_input([[visible(message_of(error))]], hint, json_out, lambda: [mistake_of(error, visible(hint))])


def _stopped() -> int:
    """Somebody stopped the program: that is told where it can be."""
    from seatplan.app.errors import Unwritten

    with suppress(Unwritten):
        print(t("error: stopped"), file=sys.stderr)
    return 130


def _unwritten(problem: Problem, json_out: bool) -> int:
    """Say what could not be written, on each stream that still takes it."""
    from seatplan.app.errors import Unwritten

    with suppress(Unwritten):
        for error, *_ in _told([problem]):
            print(t("error: {error}", error=error), file=sys.stderr)
    with suppress(Unwritten):
        if json_out:
            _failure(_objects([problem]))
    return 74


def _bad_input(errors: list[list[str]], hint: str, json_out: bool,
               objects: Callable[[], list[dict[str, Any]]]) -> int:
    """Say what is wrong on stderr; where JSON was asked for, as JSON on stdout too."""
    for error, *below in errors:
        print("\n".join([t("error: {error}", error=error), *below]), file=sys.stderr)
    if hint:
        print(t("hint: {hint}", hint=visible(hint)), file=sys.stderr)
    if json_out:
        _failure(objects())
    return 2


def _failure(errors: list[dict[str, Any]]) -> None:
    from seatplan.views.failure_json import failure_json

    say_json(failure_json(errors))


def _hint(error: click.ClickException) -> str:
    if isinstance(error, Misuse):
        return error.hint
    return how_to_use(getattr(error, "ctx", None))


def _our_bug(bug: Exception, json_out: bool) -> int:
    import traceback

    from seatplan.app.errors import Unwritten

    last = traceback.extract_tb(bug.__traceback__)[-1]
    where = last.filename.replace("\\", "/").rpartition("seatplan/")[2]
    what = " ".join(f"{type(bug).__name__}: {bug}".split())
    told = t("a bug in seatplan, not in your files: {what} ({where}:{lineno})", what=Name(visible(what)),
             where=where, lineno=last.lineno)
    with suppress(Unwritten):
        print(t("error: {told}", told=told), file=sys.stderr)
    with suppress(Unwritten):
        if json_out:
            from seatplan.views.failure_json import mistake_json

            _failure([mistake_json(told)])
    return 70
