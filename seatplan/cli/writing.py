"""Write a file whole or not at all, and never over one that is not ours."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from seatplan.views.say import t

from .output import say
from .usage import Misuse

Command = Callable[..., Any]
#: so much of a file is looked at for the mark
_START = 2000


def output_option(example: str) -> Callable[[Command], Command]:
    """``-o`` and ``--force``, as a decorator of a command."""
    def both(command: Command) -> Command:
        command = click.option("--force", is_flag=True, help="Write over whatever file is there.")(command)
        return click.option(
            "-o",
            "--output",
            metavar="FILE",
            required=True,
            help=f"Where to write, such as {example}; `-` for standard output.",
        )(command)

    return both


def write(text: str, output: str, force: bool) -> None:
    """Write text to a path, or to standard output for ``-``.

    Raises Misuse where the file is not one that seatplan wrote, or cannot be written. What was there stays as it was.
    """
    if output == "-":
        say(text)
        return
    path = Path(os.path.realpath(output))
    try:
        if path.is_dir():
            raise Misuse(t("`{output}` is a folder", output=output), t("expected the name of a file"))
        if path.is_file() and not force and not _ours(path):
            raise Misuse(t("`{output}` is there already, and seatplan did not write it", output=output),
                         t("another name, or `--force` to write over it"))
        if path.exists() and not path.is_file():         # a pipe or a device takes the text as it comes
            path.write_text(text, encoding="utf-8")
            return
        _replace(path, text)
    except OSError as error:
        raise Misuse(t("cannot write `{output}`: {lower}", output=output,
                       lower=(error.strerror or str(error)).lower()),
                     t("expected a file in a folder that is there and can be written to")) from None


def check_target(path: str, ours: Callable[[str], bool], ending: str) -> None:
    """Whether a file may be written there. Raises Misuse: another ending than ``ending``, a folder, or a file that is
    not ``ours`` by its text."""
    file = Path(path)
    if file.suffix.lower() != ending:
        raise Misuse(t('-o is "{path}"', path=path), t("expected a file that ends in {ending}", ending=ending))
    if file.is_dir():
        raise Misuse(t("{path} is a folder", path=path), t("expected a file that ends in {ending}", ending=ending))
    try:
        if file.exists() and not ours(file.read_text(encoding="utf-8", errors="replace")):
            raise Misuse(t("{path} is there already and was not written by seatplan; nothing was changed", path=path),
                         t("give another name, or move that file away"))
    except OSError as error:
        raise Misuse(
            t("{path} cannot be read: {strerror}", path=path, strerror=error.strerror), t("give another place")
        ) from None


def write_whole(path: str, text: str, ours: Callable[[str], bool], ending: str) -> None:
    """Write a file of one ending, with its own line ends. Raises Misuse as ``check_target`` does, and where the place
    cannot be written to. Then nothing is changed."""
    check_target(path, ours, ending)
    try:
        _replace(Path(path), text, newline="")
    except OSError as error:
        raise Misuse(
            t("{path} cannot be written: {strerror}", path=path, strerror=error.strerror), t("give another place")
        ) from None


def _replace(path: Path, text: str, newline: str = "\n") -> None:
    """Write beside the place and move it there."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("x", encoding="utf-8", newline=newline) as file:
            file.write(text)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _ours(path: Path) -> bool:
    from seatplan.views.markup import MADE_BY

    with path.open("rb") as file:
        start = file.read(_START)
    return not start or MADE_BY.encode() in start
