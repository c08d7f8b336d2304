"""seatplan list"""

from __future__ import annotations

import sys
from typing import Literal

import click

from seatplan.views.say import t

from .asking import Asking
from .options import as_json
from .output import say, say_json
from .usage import Misuse

_Bundled = Literal["vehicles", "restraints", "trips"]


@click.command("list", cls=Asking, short_help="The bundled vehicles, restraints and trips, or the checkups of a day.")
@click.argument("kind", required=False, type=click.Choice(["vehicles", "restraints", "trips", "checkups"]))
@click.argument("folder", required=False)
@as_json
def command(kind: _Bundled | Literal["checkups"] | None, folder: str | None, json_out: bool) -> int:
    """List the bundled vehicles, restraints and trips, all of them invented; or the checkups in FOLDER, of each its
    number in the order of file names, its state and what is open, and no name.

    \b
      seatplan list trips
      seatplan list checkups monday

    Exit codes: 0 listed, 2 bad input, or a page in FOLDER is damaged, altered or no checkup.
    """
    if kind == "checkups":
        return _checkups(folder, json_out)
    if folder is not None:
        raise Misuse(t("FOLDER is {folder}", folder=f'"{folder}"'), t("only `seatplan list checkups` takes one"))
    from seatplan.app.library import AskLibrary, library

    outcome = library(AskLibrary(kind=kind))
    if json_out:
        from seatplan.views.library_json import library_json

        say_json(library_json(outcome.answer))
    else:
        from seatplan.views.library_text import library_text

        say(library_text(outcome.answer))
    return outcome.exit_code


def _checkups(folder: str | None, json_out: bool) -> int:
    """The list of a folder; what is no checkup is told on stderr, by its number."""
    from seatplan.app.checkups import AskCheckups, checkups
    from seatplan.views.checkup.listed import checkups_json, checkups_text
    from seatplan.views.problem_text import problem_lines

    if folder is None:
        raise Misuse(t("missing FOLDER"), t("expected a folder of checkups"))
    outcome = checkups(AskCheckups(kind="checkups", folder=folder))
    say_json(checkups_json(outcome.answer)) if json_out else say(checkups_text(outcome.answer))
    for problem in outcome.answer.problems:
        first, *below = problem_lines(problem)
        print("\n".join([t("error: {error}", error=first), *below]), file=sys.stderr)
    return outcome.exit_code
