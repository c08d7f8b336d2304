"""Write a file whole or not at all, and never over one that is not ours, or that holds another kind of document."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal

import click

from seatplan.views.say import Words, t
from seatplan.views.text import listed

from .output import document
from .usage import Misuse

Command = Callable[..., Any]
#: what a command writes under a name that is asked for
Kind = Literal["drawing", "sheet", "report"]
#: so many letters of a file are looked at for the mark
_START = 2000
#: how the name of a file ends; one without an ending will do, too
_ENDINGS: dict[Kind, tuple[str, ...]] = {"drawing": (".svg",), "sheet": (".html", ".htm"), "report": (".html", ".htm")}
#: what ends so belongs to some format; a day or a number at the end of a name does not
_FORMAT = re.compile(r"\.[a-z][a-z0-9]{0,4}")
_HOLDS = Words({
    "drawing": "`{output}` is there already and holds a drawing",
    "sheet": "`{output}` is there already and holds a sheet",
    "report": "`{output}` is there already and holds a report",
    "calendar": "`{output}` is there already and holds a calendar",
    "page": "`{output}` is there already and holds a sheet or a report",
})


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


def write(text: str, output: str, force: bool, kind: Kind) -> None:
    """Write a document to a path, or to standard output for ``-``.

    Raises Misuse as ``check`` does, and where the file cannot be written. What was there stays as it was.
    """
    if output == "-":
        document(text)
        return
    check(output, force, kind)
    path = Path(os.path.realpath(output))
    try:
        if path.exists() and not path.is_file():         # a pipe or a device takes the text as it comes
            path.write_text(text, encoding="utf-8")
            return
        _replace(path, text)
    except OSError as error:
        raise _unwritten(output, error) from None


def check(output: str, force: bool, kind: Kind) -> None:
    """Whether a document may be written to a path; asked before it is worked out.

    Raises Misuse: a folder, a name that ends as another format does, or, without ``force``, a file that is not a
    document of the same kind by seatplan.
    """
    if output == "-":
        return
    path = Path(os.path.realpath(output))
    try:
        if path.is_dir():
            raise Misuse(t("`{output}` is a folder", output=output), t("expected the name of a file"))
        endings = _ENDINGS[kind]
        if _of_another_format(output, endings):
            raise Misuse(t('-o is "{path}"', path=output),
                         t("expected a file that ends in {ending}", ending=listed(endings, "or")))
        if path.is_file() and not force:
            with path.open(encoding="utf-8", errors="replace") as file:
                start = file.read(_START)
            there = _kinds(start)
            if start and kind not in there:
                raise Misuse(_holds(output, there) if there else
                             t("`{output}` is there already, and seatplan did not write it", output=output),
                             t("another name, or `--force` to write over it"))
    except OSError as error:
        raise _unwritten(output, error) from None


def _of_another_format(output: str, endings: tuple[str, ...]) -> bool:
    ending = Path(output).suffix.lower()
    return ending not in endings and _FORMAT.fullmatch(ending) is not None


def _kinds(text: str) -> tuple[str, ...]:
    """What kind of document of ours a file holds, by its beginning; none where it is not ours."""
    from seatplan.views.markup import kinds_of

    if text.startswith("BEGIN:VCALENDAR"):
        from seatplan.views.calendar import is_ours

        return ("calendar",) if is_ours(text) else ()
    return kinds_of(text)


def _holds(output: str, kinds: tuple[str, ...]) -> str:
    return _HOLDS[kinds[0] if len(kinds) == 1 else "page"].format(output=output)


def _unwritten(output: str, error: OSError) -> Misuse:
    return Misuse(t("cannot write `{output}`: {lower}", output=output, lower=(error.strerror or str(error)).lower()),
                  t("expected a file in a folder that is there and can be written to"))


def check_target(path: str, ours: Callable[[str], bool], ending: str) -> None:
    """Whether a file may be written there. Raises Misuse: a name that ends as another format than ``ending`` does, a
    folder, or a file that is not ``ours`` by its text."""
    file = Path(path)
    if path == "-" or _of_another_format(path, (ending,)):
        raise Misuse(t('-o is "{path}"', path=path), t("expected a file that ends in {ending}", ending=ending))
    if file.is_dir():
        raise Misuse(t("{path} is a folder", path=path), t("expected a file that ends in {ending}", ending=ending))
    try:
        text = file.read_text(encoding="utf-8", errors="replace") if file.exists() else ""
        if text and not ours(text):
            there = _kinds(text[:_START])
            raise Misuse(_holds(path, there) if there else
                         t("{path} is there already and was not written by seatplan; nothing was changed", path=path),
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
        _replace(Path(os.path.realpath(path)), text)
    except OSError as error:
        raise Misuse(
            t("{path} cannot be written: {strerror}", path=path, strerror=error.strerror), t("give another place")
        ) from None


def _replace(path: Path, text: str) -> None:
    """Put a text in place of what is there, with its permissions; nobody else of us uses the name beside it."""
    from seatplan.files.replacing import put

    put(path, text.encode(), path.with_name(f".{path.name}.{os.getpid()}.part"),
        path.stat() if path.exists() else None)
