"""What `arrange` and `demo` share: ask, print, exit code."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .output import Streamed, say, say_json

if TYPE_CHECKING:
    from seatplan.app.arrange import Arrange, Arranged


def answer(request: Arrange, json_out: bool, full: bool, hint: str = "") -> int:
    """Solve and print; the exit code. ``full``: all of it. ``hint`` is one more thing to do where something fits."""
    from seatplan.app.arrange import arrange

    from .listener import Told

    outcome = arrange(request, Told())
    found = outcome.answer
    if json_out:
        from seatplan.views.plan_json import plan_json

        say_json(plan_json(found.plan, found.explanation, Streamed, full=full))
    else:
        say(_text(found, request, full, hint))
    return outcome.exit_code


def _text(found: Arranged, request: Arrange, full: bool, hint: str) -> str:
    if full:
        from seatplan.views.plan_text import plan_text

        return plan_text(found.plan, request.words, hint, found.explanation)
    from seatplan.views.commands import Commands
    from seatplan.views.short_text import short_text

    return short_text(found.plan, Commands(request.words, request.data_words), hint, found.explanation)
