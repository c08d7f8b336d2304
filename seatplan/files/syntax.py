"""What is wrong with the YAML of a text, in plain words, at the place where a person would mend it."""

from __future__ import annotations

import re
from collections.abc import Sequence

import yaml

from seatplan.message import said

from .errors import Problem, brief
from .places import Place, line_of

MAX_DEPTH = 20
TOO_DEEP = said("nested deeper than {levels} levels; expected a flatter file", levels=MAX_DEPTH)
UNREADABLE = said("not readable as YAML; expected `key: value` lines")
_NOT_IN_LINE = said("this line does not line up with the lines above it")
#: what both parsers take for the end of a line
_LINE_END = re.compile("\r\n|[\n\r\x85]")
#: part of a parser's message, and what to say
_SYNTAX = (
    (
        "mapping values are not allowed",
        said("a colon cannot stand here; check the indentation, or put the text in quotes"),
    ),
    ("expected <block end>", _NOT_IN_LINE),
    ("did not find expected key", _NOT_IN_LINE),
    ("did not find expected '-' indicator", _NOT_IN_LINE),
    ("sequence entries are not allowed", said("a list cannot begin here; expected `-` on a line of its own")),
    ("could not find expected ':'", said("a key without its colon")),
    ("escape", said("this backslash means nothing here; expected text in single quotes")),
    ("document start", said("more follows after the end of the document; expected one document")),
    ("incompatible YAML document", said("another version of YAML; expected none to be named")),
)
#: messages behind which there can be a colon without its space, or a quote that closed a line too late
_LOST = ("mapping values are not allowed", "could not find expected ':'", "did not find expected key",
         "expected <block end>", "did not find expected '-' indicator")
_TAB = re.compile(r"[ -]*\t")
#: a key, its colon and at once a value; no address, path of a disk or time of day
_RUN_TOGETHER = re.compile(r"""([A-Za-z_][\w-]*):(?![\s/\\])[^\s].*""")
_BEFORE_KEY = re.compile(r"[ \t]*(?:-[ \t]+)*")


def lines_in(text: str) -> list[str]:
    """The lines of a text, counted as the parser counts them."""
    return _LINE_END.split(text)


def syntax_problem(error: yaml.MarkedYAMLError, lines: Sequence[str], name: str, quoted: Place | None) -> Problem:
    """What to say of what the parser refused. ``quoted``: where the last text in quotes began that went on over
    several lines, if the parser stopped in the line in which it ended."""
    mark = error.problem_mark or error.context_mark
    here = Place(1, 1) if mark is None else Place(mark.line + 1, mark.column + 1)
    opened = here if error.context_mark is None else Place(error.context_mark.line + 1, error.context_mark.column + 1)
    words, place = _said(error, lines, here, opened, quoted)
    place = _within(place, lines)
    return Problem(name, place.line, place.column, words, source=line_of(lines, place.line), length=place.length)


def _said(error: yaml.MarkedYAMLError, lines: Sequence[str], here: Place, opened: Place,
          quoted: Place | None) -> tuple[str, Place]:
    found, context = error.problem or "", error.context or ""
    if "quoted" in context and ("end of stream" in found or "document" in found):
        return said("a quote is opened here and never closed"), opened
    if "depth" in found:
        return TOO_DEEP, here
    if "flow" in context:
        bracket = "[" if "sequence" in context else "{"
        return said('"{bracket}" is opened here and not closed, or a comma is missing', bracket=bracket), opened
    if "quoted" not in context and (tab := _TAB.match(line_of(lines, here.line))) is not None:
        return said("a tab indents this line; expected spaces"), Place(here.line, tab.end())
    if "document start" in found and not any(line.startswith(("---", "...")) for line in lines[:here.line]):
        return _NOT_IN_LINE, here           # the first line stands further in than this one
    lost = _lost(found, lines, here, opened, quoted)
    if lost is not None:
        return lost
    if "cannot start any token" in found:
        character = line_of(lines, here.line)[here.column - 1:here.column]
        return said('"{character}" cannot begin a value; expected the text in quotes', character=character), here
    return next((words for part, words in _SYNTAX if part in found), UNREADABLE), here


def _lost(found: str, lines: Sequence[str], here: Place, opened: Place,
          quoted: Place | None) -> tuple[str, Place] | None:
    """A quote, a space or a colon that is missing before the place where the parser stopped; None where none is."""
    if not any(part in found for part in _LOST):
        return None
    if quoted is not None:
        return said("a quote is opened here and not closed in its line; the next one, in line {line}, closes it",
                    line=here.line), quoted
    together = _run_together(lines, here.line, opened.line)
    if together is not None or "could not find expected ':'" not in found:
        return together
    text = line_of(lines, opened.line)[opened.column - 1:].rstrip()
    return said("a key without its colon"), opened._replace(length=max(1, len(text)))


def _run_together(lines: Sequence[str], line: int, opened: int) -> tuple[str, Place] | None:
    """A value at once behind the colon of its key: in the line, or in the last one before it that holds anything."""
    before = next((n for n in range(line - 1, 0, -1) if line_of(lines, n).strip()), line)
    for number in dict.fromkeys((line, before, opened)):
        text = line_of(lines, number)
        at = _BEFORE_KEY.match(text)
        start = at.end() if at is not None else 0
        found = _RUN_TOGETHER.fullmatch(text.rstrip(), start)
        if found is not None and ": " not in found[0]:
            return space_missing(found[1]), Place(number, start + 1, len(found[0]))
    return None


def space_missing(key: str) -> str:
    """What to say of a key with its value at once behind the colon."""
    return said("a space is missing behind the colon; expected `{key}: ` and the value", key=brief(key))


def run_together(text: object) -> str:
    """The key of a text that is a key, its colon and at once a value; empty where it is none."""
    found = _RUN_TOGETHER.fullmatch(text) if isinstance(text, str) else None
    return found[1] if found is not None else ""


def _within(place: Place, lines: Sequence[str]) -> Place:
    """The place, or the end of the last line that holds anything, where the parser stopped behind it."""
    if place.line <= len(lines) and any(line.strip() for line in lines[place.line - 1:]):
        return place
    last = next((n for n in range(len(lines), 0, -1) if lines[n - 1].strip()), 1)
    return Place(last, len(line_of(lines, last).rstrip()) + 1)
