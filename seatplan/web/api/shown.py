"""What each outcome is shown as: the JSON of the command line, or a document. Nothing is worked out here."""

from __future__ import annotations

from typing import Any

from seatplan import __version__
from seatplan.app.misasked import Misasked
from seatplan.app.notices import TooLarge
from seatplan.app.outcome import Outcome
from seatplan.message import said

Json = dict[str, Any]


def arranged(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.plan_json import plan_json

    return plan_json(found.answer.plan, found.answer.explanation, full=full)


def why(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.why_json import why_json

    return why_json(found.answer, full, bool(found.request.restraint or found.request.position))


def not_so(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.contrast_json import asked_json

    return asked_json(found.answer, full)


def against(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.contrast_json import against_json

    return against_json(found.answer.plan, found.answer.contrast, full)


def room(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.room_json import room_json

    return room_json(found.answer)


def measure(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.measure_json import measure_json

    return measure_json(found.answer)


def was_set(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.measure_json import set_json

    answer = found.answer
    return set_json(answer.before, answer.now, answer.done, answer.written)


def compare(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.compare_json import compare_json

    return compare_json(found.answer.comparison, found.answer.left_out, full)


def outlook(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.outlook_json import outlook_json

    _refuse_too_large(found.answer)
    return outlook_json(found.answer)


def stock(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.stock_json import stock_json

    _refuse_too_large(found.answer)
    return stock_json(found.answer.stock, found.answer.trip)


def calendar(found: Outcome[Any], full: bool) -> str:
    from seatplan.views.calendar import calendar

    _refuse_too_large(found.answer)
    return calendar(found.answer)


def _refuse_too_large(answer: Any) -> None:
    if isinstance(answer, TooLarge):
        from seatplan.views.notice_text import too_large_text

        raise Misasked("trip", too_large_text(answer))


def drawing(found: Outcome[Any], full: bool) -> str:
    from seatplan.views.svg.plan import plan_svg

    answer = found.answer
    if answer.arrangement is None:
        raise _nothing_fits()
    return plan_svg(answer.plan, answer.arrangement, answer.picture, paper=found.request.shown_on == "paper")


def sheet(found: Outcome[Any], full: bool) -> str:
    from seatplan.views.sheet.sheet import asked_html

    if found.answer.arrangement is None:
        raise _nothing_fits()
    return asked_html(found.answer, found.request)


def _nothing_fits() -> Misasked:
    return Misasked("trip", said("nothing fits, so there is nothing to draw"),
                    said("ask `arrange`, which says why and what would change that"))


def report(found: Outcome[Any], full: bool) -> str:
    from seatplan.views.report.report import reported_html

    return reported_html(found.answer)


def checkup(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.checkup.data import checkup_json
    from seatplan.views.checkup.page import checkup_page

    data = checkup_json(found.answer, __version__)
    return {**data, "path": None, "sha256": checkup_page(found.answer, data)[1]}


def checkup_page(found: Outcome[Any], full: bool) -> str:
    from seatplan.views.checkup.data import checkup_json
    from seatplan.views.checkup.page import checkup_page

    return checkup_page(found.answer, checkup_json(found.answer, __version__))[0]


def checkups(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.checkup.listed import checkups_json

    return checkups_json(found.answer)


def check(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.check_json import check_json

    return check_json(found.answer)


def rules(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.rules_json import rules_json

    return rules_json(found.answer)


def bundled(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.library_json import library_json

    return library_json(found.answer)


def form(found: Outcome[Any], full: bool) -> str:
    from seatplan.views.template_text import in_language

    again = found.request.kind == "trip" and found.request.grown_from is not None
    return found.answer if again else in_language(found.answer)


def recorded(found: Outcome[Any], full: bool) -> Json:
    from seatplan.app.record import Noted
    from seatplan.views.record_json import record_json

    if not isinstance(found.answer, Noted):
        return taken_back(found, full)
    return record_json(found.answer, found.request.trip)


def taken_back(found: Outcome[Any], full: bool) -> Json:
    from seatplan.views.undo_text import undo_json

    return undo_json(found.answer)


def merged(found: Outcome[Any], full: bool) -> str:
    text: str = found.answer.text
    return text
