"""The files to fill in, with their comments in the language in force; what is no comment stays to the letter.

Every value of a template ends on its own line, so that a line by itself says where its comment begins.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

from seatplan.frozen import frozen

from .manner import language
from .say import t
from .text import WIDTH

#: a comment that begins here or further right goes on from the one behind the code above: no key stands so far in
_ASIDE = 30
#: a quoted value, which may hold a ``#``, or the ``#`` of a comment
_QUOTED_OR_MARK = re.compile(r"""(?<![^\s\[{,:])(?:"(?:\\.|[^"\\])*"|'(?:''|[^'])*')|(?P<mark>(?<!\S)\#\s*)""")
#: YAML that waits for its ``#`` to be taken away: `borrow: [b, c]`, `- {rider: Minnow}`; a sentence goes on behind it
_WAITING = re.compile(r"(?:- )?(?:\w+: )?(?:\{.*\}|\[.*\])")
#: a comment that is nothing but an example of the value: a number, a list, a seat
_EXAMPLE = re.compile(r"-?\d[\d.]*(?:-\d[\d.]*)?(?: kg| cm)?|\d+y|\d{4}-\d\d-\d\d|[1-9][LCR]|\[[^]]*\]")
#: a list at the end of a sentence, which would read as YAML on a line of its own
_LAST_LIST, _NO_BREAK = re.compile(r"\S+ \S+ \[[^]]*\]$"), "\N{NO-BREAK SPACE}"
#: a line of a list in columns
_COLUMNS = re.compile(r"\s*#\s{3,}")


@frozen
class Piece:
    """Lines that belong together: one without a comment, or those of one comment.

    ``lead`` is the first line up to the words, ``words`` are joined with single spaces.
    """

    lines: tuple[str, ...]
    lead: str
    words: str

    def here(self) -> str:
        """The lines in the language in force, wrapped anew; further ones begin below the ``#`` of the first."""
        if not self.words:
            return "\n".join(self.lines)
        if _COLUMNS.fullmatch(self.lead):
            return self.lead + t(self.words)
        kept = _LAST_LIST.sub(lambda found: found[0].replace(" ", _NO_BREAK), t(self.words))
        return textwrap.fill(kept, WIDTH, initial_indent=self.lead, break_on_hyphens=False,
                             subsequent_indent=" " * self.lead.rindex("#") + "# ",
                             break_long_words=False).replace(_NO_BREAK, " ")


def in_language(template: str) -> str:
    """The template with its comments in the language in force; in English as it is."""
    if language() == "en":
        return template
    return "\n".join(piece.here() for piece in pieces(template)) + "\n"


def pieces(template: str) -> Iterator[Piece]:
    """The template, line after line: code, code with the comment behind it, paragraphs of comment."""
    last: Piece | None = None
    for line in template.splitlines():
        lead, words = _parted(line)
        if last and words and _goes_on(last.lead, lead):
            last = Piece((*last.lines, line), last.lead, f"{last.words} {words}")
            continue
        if last:
            yield last
        last = Piece((line,), lead, words)
    if last:
        yield last


def _parted(line: str) -> tuple[str, str]:
    """The line up to the words of its comment, and these; YAML behind a ``#`` is code, and so is a bare example."""
    lead, words = _comment(line, 0)
    if lead.strip() == "#":
        inner, note = _comment(line, len(lead))
        if _WAITING.fullmatch(inner[len(lead):].rstrip("# ")):
            return inner, note
    elif _EXAMPLE.fullmatch(words):
        return line, ""
    return lead, words


def _comment(line: str, start: int) -> tuple[str, str]:
    for found in _QUOTED_OR_MARK.finditer(line, start):
        if found["mark"]:
            return line[:found.end()], line[found.end():].rstrip()
    return line, ""


def _goes_on(above: str, lead: str) -> bool:
    """Whether a comment with this lead goes on from the one above: below code aside, else at the same indentation."""
    if lead.strip() != "#" or _COLUMNS.fullmatch(lead) or not above.rstrip().endswith("#"):
        return False
    return lead == above if above.strip() == "#" else lead.index("#") >= _ASIDE
