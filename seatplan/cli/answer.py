"""What `arrange` and `demo` share: ask, print, exit code."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .output import Streamed, say, say_json

if TYPE_CHECKING:
    from seatplan.app.arrange import Arrange


def answer(request: Arrange, json_out: bool, full: bool, hint: str = "") -> int:
    """Solve and print; the exit code. ``full``: all of it, as JSON. ``hint`` is the last line where something fits."""
    from seatplan.app.arrange import arrange

    from .listener import Told

    outcome = arrange(request, Told())
    found = outcome.answer
    if json_out:
        from seatplan.views.plan_json import plan_json

        say_json(plan_json(found.plan, found.explanation, Streamed, full=full))
    else:
        from seatplan.views.plan_text import plan_text

        say(plan_text(found.plan, request.words, hint, found.explanation))
    return outcome.exit_code
