"""The commands and their one-line help. A command's module is imported when it runs."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any

import click

from seatplan import __version__

#: name -> (module, help line); the order people need them in
COMMANDS = {
    "demo": ("demo", "Plan a three-across school run from the bundled data."),
    "arrange": ("arrange", "List every arrangement of a trip that fits, best first, and why the others do not."),
    "why": ("why", "Everything that speaks for or against a rider, a restraint, a position."),
    "check": ("check", "Check vehicle, restraint, trip and rules files."),
    "rules": ("rules", "What a rule says, why, and where it comes from."),
    "list": ("listing", "The bundled vehicles, restraints and trips."),
    "new": ("new", "Print a commented file to fill in: vehicle, restraint or trip."),
    "schema": ("schema", "Print the JSON Schema of a file, for editors that complete."),
}

EXAMPLES = """\b
  seatplan demo
  seatplan arrange my-trip.yaml --vehicle grandparents-car.yaml

\b
Exit codes: 0 something fits, 1 nothing does, 2 bad input, 3 it hangs on what was not measured.

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
        return command

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        if args and args[0] not in COMMANDS:
            from difflib import get_close_matches

            near = get_close_matches(args[0], COMMANDS, 1)
            hint = f"did you mean `{near[0]}`?" if near else f"expected one of {', '.join(COMMANDS)}"
            raise click.UsageError(f'no command "{args[0]}"; {hint}', ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(cls=Commands, epilog=EXAMPLES,
             context_settings={"max_content_width": 100, "help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="seatplan %(version)s")
def main() -> None:
    """Which child, in which restraint, on which seat of the car.

    Give it the vehicle's seats, the children and their restraints: it lists every arrangement that the
    instructions allow and that fits side by side, best first, and says in numbers why the others went.
    """


def run(args: list[str] | None = None) -> None:
    """Run the program and leave with its exit code. Only a bug of ours gets as far as code 70."""
    sys.exit(_run(args))


def _run(args: list[str] | None) -> int:
    from seatplan.files.errors import InputError

    try:
        code = main.main(args, "seatplan", standalone_mode=False)
        return code if isinstance(code, int) else 0
    except InputError as error:
        for problem in error.problems:
            print(f"error: {problem}" if "error:" not in str(problem) else problem, file=sys.stderr)
        return 2
    except click.exceptions.Exit as leave:
        return leave.exit_code
    except click.ClickException as error:
        _usage(error)
        return 2
    except (click.Abort, KeyboardInterrupt):
        print("error: stopped", file=sys.stderr)
        return 130
    except BrokenPipeError:
        _quiet_stdout()
        return 0
    except Exception as bug:  # noqa: BLE001  # the top: nobody below catches this
        return _our_bug(bug)


def _usage(error: click.ClickException) -> None:
    message = error.format_message().rstrip(".")
    print(f"error: {message[:1].lower()}{message[1:]}", file=sys.stderr)
    context = getattr(error, "ctx", None)
    if context is not None:
        print(f"hint: `{context.command_path} --help` shows how to use it", file=sys.stderr)


def _quiet_stdout() -> None:
    """The reader of a pipe has gone; python would complain once more at exit."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _our_bug(bug: Exception) -> int:
    import traceback

    last = traceback.extract_tb(bug.__traceback__)[-1]
    where = last.filename.replace("\\", "/").rpartition("seatplan/")[2]
    print(f"error: a bug in seatplan, not in your files: {type(bug).__name__}: {bug} ({where}:{last.lineno})",
          file=sys.stderr)
    return 70
