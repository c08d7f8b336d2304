"""``-o`` and ``--force``: the file that a document goes to, and what there may be written over."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from seatplan.frozen import frozen
from seatplan.views.say import Words, t
from seatplan.views.text import listed

from .output import document
from .usage import Misuse

if TYPE_CHECKING:
    from seatplan.app.records import Trip
    from seatplan.app.writing import Place

Command = Callable[..., Any]
#: what a command writes under a name that is asked for
Kind = Literal["drawing", "sheet", "report", "form", "calendar"]
#: what is written once, and never again under the same name
_ON_FILE = ("checkup",)
#: so many letters of a file are looked at for what it says of itself
_START = 2000
#: how the name of a file ends; one without an ending will do, too
_ENDINGS: dict[Kind, tuple[str, ...]] = {"drawing": (".svg",), "sheet": (".html", ".htm"), "report": (".html", ".htm"),
                                         "form": (".html", ".htm"), "calendar": (".ics",)}
#: what ends so belongs to some format; a day or a number at the end of a name does not
_FORMAT = re.compile(r"\.[a-z][a-z0-9]{0,4}")
_HOLDS = Words({
    "drawing": "`{output}` is there already and holds a drawing",
    "sheet": "`{output}` is there already and holds a sheet",
    "report": "`{output}` is there already and holds a report",
    "form": "`{output}` is there already and holds a form",
    "calendar": "`{output}` is there already and holds a calendar",
    "page": "`{output}` is there already and holds a sheet or a report",
})


def output_option(example: str) -> Callable[[Command], Command]:
    """``-o`` and ``--force``, as a decorator of a command."""
    def both(command: Command) -> Command:
        return click.option(
            "-o",
            "--output",
            metavar="FILE",
            required=True,
            help=f"Where to write, such as {example}; `-` for standard output.",
        )(force_option(command))

    return both


force_option = click.option("--force", is_flag=True,
                            help="Write over a document of another trip, or over whatever file of yours is there.")


@frozen
class Target:
    """Where a document of one kind goes, ``-`` for standard output. ``identity`` tells its trip from others."""

    output: str
    force: bool
    kind: Kind
    identity: str

    def check(self) -> Place | None:
        """The place, if the document may be written there; asked before it is worked out. None: standard output.

        Raises Misuse: a folder, a name that ends as another format does, a checkup, or, without ``force``, a file that
        is not a document of the same kind and of the same trip by seatplan. Raises Unwritten where nothing can be
        written.
        """
        from seatplan.app.writing import place_of, start_of

        if self.output == "-" and self.kind != "calendar":
            return None
        if not self.output:
            raise Misuse(t('-o is "{path}"', path=self.output), t("expected the name of a file"))
        endings = _ENDINGS[self.kind]
        if self.output == "-" or _of_another_format(self.output, endings):
            raise Misuse(t('-o is "{path}"', path=self.output),
                         t("expected a file that ends in {ending}", ending=listed(endings, "or")))
        place = place_of(self.output)
        if place.is_folder:
            raise Misuse(t("`{output}` is a folder", output=self.output), t("expected the name of a file"))
        if place.is_file:
            refuse_on_file(self.output, start_of(place, _START))
        if place.is_file and not self.force:
            wrong = self._over(start_of(place, _START))
            if wrong:
                raise Misuse(wrong, t("another name, or `--force` to write over it"))
        return place

    def write(self, text: str, holds: str) -> None:
        """Write the document, and tell that on stderr with what it ``holds``. Raises as ``check`` does; then what was
        there is as it was."""
        place = self.check()
        if place is None:
            document(text)
            return
        from seatplan.app.writing import write
        from seatplan.views.written_text import written

        # whatever came there while it was worked out is not written over either
        write(place, text, self._look_again)
        print(written(self.output, text, holds), file=sys.stderr)

    def _look_again(self) -> None:
        self.check()

    def _over(self, start: str) -> str:
        """Why a file that begins so is not written over; empty where it may be."""
        from seatplan.views.document import made

        if not start:
            return ""
        there = made(start)
        if there is None:
            return t("`{output}` is there already, and seatplan did not write it", output=self.output)
        holds = _HOLDS[there.kinds[0] if len(there.kinds) == 1 else "page"].format(output=self.output)
        if self.kind not in there.kinds:
            return holds
        if there.trip is None:
            return t("{holds} that does not say of which trip it is", holds=holds)
        return "" if there.trip == self.identity else t("{holds} of another trip", holds=holds)


def refuse_on_file(output: str, start: str) -> None:
    """Raises Misuse where a file begins as one does that is never written over."""
    from seatplan.views.document import made

    there = made(start)
    if there is not None and there.kinds == _ON_FILE:
        raise Misuse(t("`{output}` is there already and holds a checkup, which is never written over", output=output),
                     t("expected the name of a new file"))


@frozen
class NewFile:
    """A file that is not there yet and is never written over."""

    output: str

    def write(self, text: str) -> None:
        """Write it. Raises Misuse where something is there by then, Unwritten."""
        from seatplan.app.writing import place_of, write

        write(place_of(self.output), text, self.look, new=True)

    def look(self) -> None:
        """Raises Misuse where something is there already."""
        from seatplan.app.writing import place_of, start_of

        place = place_of(self.output)
        if place.is_folder:
            raise Misuse(t("`{output}` is a folder", output=self.output), t("expected the name of a file"))
        if place.is_file:
            refuse_on_file(self.output, start_of(place, _START))
        if place.there is not None:
            raise Misuse(t("`{output}` is there already", output=self.output), t("expected the name of a new file"))


def new_file(output: str, endings: tuple[str, ...]) -> NewFile:
    """A file of that name, which must not be there yet and must end so. Raises Misuse, Unwritten."""
    found = NewFile(output)
    if output:
        found.look()
    if not output.lower().endswith(endings):
        raise Misuse(t("FILE is {file}", file=f'"{output}"'), t("expected a file that ends in {ending}",
                                                                ending=endings[0]))
    return found


def target(output: str, force: bool, kind: Kind, trip: Trip) -> Target:
    """Where a document of a trip goes. Raises as ``Target.check`` does."""
    from seatplan.views.document import identity

    found = Target(output, force, kind, identity(trip))
    found.check()
    return found


class Goes:
    """Where a document goes whose trip is known only once it is read; ``output`` None: nowhere."""

    def __init__(self, output: str | None, force: bool, kind: Kind) -> None:
        self._output, self._force, self._kind = output, force, kind
        self._target: Target | None = None

    def known(self, trip: Trip) -> None:
        """The trip of the document. Raises as ``Target.check`` does."""
        if self._output is not None:
            self._target = target(self._output, self._force, self._kind, trip)

    def write(self, text: str, holds: str) -> None:
        """Write the document of the trip that is known, as ``Target.write`` does."""
        assert self._target is not None, "the trip is not known yet"
        self._target.write(text, holds)


def _of_another_format(output: str, endings: tuple[str, ...]) -> bool:
    ending = Path(output).suffix.lower()
    return ending not in endings and _FORMAT.fullmatch(ending) is not None
