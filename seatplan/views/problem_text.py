"""What is wrong with a file, in the language in force, and the line that it stands in."""

from __future__ import annotations

from itertools import accumulate

from seatplan.files.errors import Problem
from seatplan.written import visible

from .manner import page
from .say import tr
from .text import columns

#: how far a tab reaches where a line of a file is shown, and what stands where such a line is cut
_TAB, _CUT = "    ", "..."
#: so many letters of a line are looked at on either side, for a line can be as long as a file
_NEAR = 300


def problem_text(problem: Problem) -> str:
    """``my-car.yaml:3:5: what was found; what is allowed``."""
    if not problem.path:
        return visible(tr(problem.text))
    return f"{problem.place}: {visible(tr(problem.text))}"


def problem_lines(problem: Problem) -> list[str]:
    """The same, and below it the line of the file with a mark under what is wrong, where that is known."""
    return [problem_text(problem), *source_lines(problem)]


def source_lines(problem: Problem) -> list[str]:
    """The line of the file that a problem stands in, with its number, and a mark under what is wrong; on a page, a line
    that is longer is cut around that. None where the line is not known."""
    if not problem.line or not problem.source.strip():
        return []
    gutter, empty = f"  {problem.line} | ", f"  {' ' * len(str(problem.line))} | "
    at = min(problem.column - 1, len(problem.source))
    start, end = max(0, at - _NEAR), min(len(problem.source), at + _NEAR)
    shown = [_TAB if letter == "\t" else visible(letter) for letter in problem.source[start:end]]
    cuts = len(_CUT) * ((start > 0) + (end < len(problem.source)))
    first, last = _window(list(map(columns, shown)), at - start, page() - columns(gutter) - cuts)
    before = (_CUT if start + first else "") + "".join(shown[first:at - start])
    marked = "".join(shown[at - start:min(at - start + problem.length, last)])
    text = before + "".join(shown[at - start:last]) + (_CUT if start + last < len(problem.source) else "")
    return [(gutter + text).rstrip(), f"{empty}{' ' * columns(before)}{'^' * max(1, columns(marked))}"]


def _window(wide: list[int], at: int, room: int) -> tuple[int, int]:
    """Which letters of a line are shown, from and up to, so that the one ``at`` is one of them; each takes so many
    columns as ``wide`` says. Where not all have room, those before that letter take two thirds of it at most."""
    if sum(wide) + (at == len(wide)) <= room:
        return 0, len(wide)
    left = room - 2 * len(_CUT) - 1
    first = at - sum(one <= left * 2 // 3 for one in accumulate(reversed(wide[:at])))
    over = left - sum(wide[first:at])
    return first, at + sum(one <= over for one in accumulate(wide[at:]))
