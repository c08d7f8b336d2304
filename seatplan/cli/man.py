"""seatplan man: the manual page, made of the same texts as ``--help`` (man(7), groff_man(7))."""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Sequence

import click

from seatplan import __version__
from seatplan.views.say import N, t

from .asking import Asking
from .output import say

#: letters that roff would take for its own, or print as another sign (groff_char(7))
_LETTERS = str.maketrans({"\\": r"\(rs", "-": r"\-", "'": r"\(aq", "`": r"\(ga", "^": r"\(ha", "~": r"\(ti",
                          '"': r"\(dq"})
_VERBATIM = "\b"
#: variable -> what it stands for
_ENVIRONMENT = {
    "SEATPLAN_LANG": N("The language, as `--lang` has it."),
    "SEATPLAN_UNITS": N("The units, as `--units` has them."),
    "SEATPLAN_COLOR": N("Whether there is colour, as `--color` has it."),
    "NO_COLOR": N("Where it holds anything, there is no colour unless it is asked for."),
}


@click.command("man", cls=Asking, short_help="Print the manual page.")
@click.pass_context
def command(context: click.Context) -> int:
    """Print the manual page: every command with its options, for `man`.

    \b
      seatplan man > seatplan.1
    """
    whole = context.find_root()
    assert isinstance(whole.command, click.Group)
    say("\n".join(_page(whole, whole.command)) + "\n")
    return 0


def _page(context: click.Context, main: click.Group) -> Iterator[str]:
    first, *rest = _paragraphs(main.help)
    yield f'.TH SEATPLAN 1 "" "seatplan {_plain(__version__)}" "seatplan"'
    yield ".ad l"
    yield _head(t("NAME"))
    yield rf"seatplan \- {_told(first.rstrip('.'))}"
    yield _head(t("SYNOPSIS"))
    yield _synopsis(context, main)
    yield _head(t("DESCRIPTION"))
    yield from _text([first, *rest])
    yield _head(t("OPTIONS"))
    yield from _options(context, main)
    yield _head(t("COMMANDS"))
    for name in main.list_commands(context):
        found = main.get_command(context, name)
        assert found is not None
        yield from _command(context, found, name)
    notes = _paragraphs(main.epilog)
    for heading, verbatim in ((t("EXAMPLES"), True), (t("NOTES"), False)):
        yield _head(heading)
        yield from _text([note for note in notes if (_VERBATIM in note) is verbatim])
    yield _head(t("ENVIRONMENT"))
    for variable, what in _ENVIRONMENT.items():
        yield from _entry(variable, t(what))


def _command(context: click.Context, found: click.Command, name: str) -> Iterator[str]:
    """One command, and those below it."""
    with click.Context(found, context, name, **found.context_settings) as below:
        yield f'.SS "{_plain(_usage(below, found))}"'
        yield from _text(_paragraphs(found.help))
        yield from _options(below, found)
        if isinstance(found, click.Group):
            for inner in found.list_commands(below):
                command = found.get_command(below, inner)
                assert command is not None
                yield from _command(below, command, inner)


def _head(heading: str) -> str:
    return f'.SH "{_plain(heading)}"'


def _synopsis(context: click.Context, main: click.Command) -> str:
    return rf"\fB{_plain(context.command_path)}\fP {_plain(' '.join(main.collect_usage_pieces(context)))}"


def _usage(context: click.Context, found: click.Command) -> str:
    return " ".join([context.command_path, *found.collect_usage_pieces(context)])


def _options(context: click.Context, found: click.Command) -> Iterator[str]:
    """Each option; the help option of a command is not told again."""
    for param in found.get_params(context):
        record = param.get_help_record(context)
        if record is not None and isinstance(param, click.Option) and (
                "--help" not in param.opts or context.parent is None):
            yield from _entry(*record)


def _entry(word: str, told: str) -> Iterator[str]:
    yield ".TP"
    yield rf"\fB{_plain(word)}\fP"
    yield _told(told)


def _paragraphs(text: str | None) -> list[str]:
    return [] if not text else inspect.cleandoc(text).split("\n\n")


def _text(paragraphs: Sequence[str]) -> Iterator[str]:
    """Paragraphs; examples as they stand."""
    for paragraph in paragraphs:
        if _VERBATIM in paragraph:
            lines = [line.strip() for line in paragraph.replace(_VERBATIM, "").split("\n")]
            yield from (".PP", ".RS 4", ".nf", *(_told(line) for line in lines if line), ".fi", ".RE")
        else:
            yield from (".PP", _told(" ".join(paragraph.split())))


def _told(text: str) -> str:
    """A text with what can be typed, between backticks, in bold; no line of it is taken for a request."""
    pieces = [_plain(piece) for piece in " ".join(text.split()).split("`")]
    if len(pieces) % 2 == 0:                      # a backtick that opens nothing
        return _line(_plain(text))
    return _line("".join(rf"\fB{piece}\fP" if i % 2 else piece for i, piece in enumerate(pieces)))


def _line(told: str) -> str:
    return rf"\&{told}" if told[:1] == "." else told


def _plain(text: str) -> str:
    return text.translate(_LETTERS)
