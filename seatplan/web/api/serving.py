"""The routes of the API: what comes in is read, asked in a thread, or in a process of its own, and answered."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from seatplan.app.misasked import Misasked
from seatplan.app.question import Question
from seatplan.app.shelf import shelf
from seatplan.message import FieldName, said
from seatplan.views.manner import speaking
from seatplan.web.house import House

from . import files
from .answers import STATUSES, Reply, Sent, answered, failed
from .given import asked, posted
from .openapi import description
from .table import LIBRARY, OPERATIONS, Operation

#: JSON is English and metric, as on the command line
_PLAIN = {"lang": "en", "units": "metric"}


def api_routes(house: House, spoken: Callable[[Request], dict[str, str]]) -> list[BaseRoute]:
    """Every route. ``spoken``: the language and units that a browser wants its documents in."""
    def endpoint(answer: Callable[[Request, bytes], Reply | Sent], manner: Callable[[Request], dict[str, str]],
                 writes: bool) -> Callable[[Request], Any]:
        async def asked_of(request: Request) -> Response:
            if writes and request.headers.get("content-type", "").partition(";")[0].strip() != "application/json":
                return failed(415, STATUSES[415], "application/json").sent(house.library).response()
            raw = await request.body()
            return await run_in_threadpool(_answered, house, answer, request, raw, manner(request))
        return asked_of

    def plain(request: Request) -> dict[str, str]:
        return _PLAIN

    made: list[BaseRoute] = [
        Route(f"/api/{one.path}", endpoint(_question(house, one), plain if one.schema else spoken, True),
              methods=["POST"]) for one in OPERATIONS]
    for path, method, answer in (
            ("/api/openapi.json", "GET", lambda request, raw: Reply(description())),
            ("/api/files", "GET", lambda request, raw: files.listed(shelf(house.library))),
            ("/api/files", "POST", lambda request, raw: files.created(shelf(house.library), posted(raw))),
            ("/api/files/{number}", "GET", lambda request, raw: files.shown(
                shelf(house.library), request.path_params["number"])),
            ("/api/files/{number}", "PUT", lambda request, raw: files.replaced(
                shelf(house.library), request.path_params["number"], posted(raw),
                files.version_in(request.headers.get("if-match")))),
            ("/api/files/{number}", "DELETE", lambda request, raw: files.removed(
                shelf(house.library), request.path_params["number"],
                files.version_in(request.headers.get("if-match"))))):
        made.append(Route(path, endpoint(answer, plain, method in ("POST", "PUT")), methods=[method]))
    return made


def _answered(house: House, answer: Callable[[Request, bytes], Reply | Sent], request: Request, raw: bytes,
              manner: Mapping[str, str]) -> Response:
    with speaking(manner["lang"], manner["units"]):
        def of_request() -> Reply | Sent:
            return answer(request, raw)

        return answered(of_request, house.library).response()


def _question(house: House, one: Operation) -> Callable[[Request, bytes], Reply | Sent]:
    def answer(request: Request, raw: bytes) -> Reply | Sent:
        body = posted(raw)
        full = _full(one, body)
        fixed = {name: str(house.library) if value is LIBRARY else value for name, value in one.fixed.items()}
        question = asked(one.request, body, fixed, shelf(house.library))
        # what comes back from a process of its own is bytes: records and what they raise stay there
        return house.beside(_told, one.path, question, full, house.library) if one.long else _reply(one, question, full)

    return answer


def _full(one: Operation, body: dict[str, Any]) -> bool:
    full = body.pop("full", False) if one.full else False
    if not isinstance(full, bool):
        raise Misasked("full", said("{field} is of another kind", field=FieldName("full")),
                       said("expected {what}", what=said("true or false")))
    return full


def _told(path: str, question: Question, full: bool, library: Path) -> Sent:
    """A whole answer, in the process beside."""
    one = next(one for one in OPERATIONS if one.path == path)
    return answered(lambda: _reply(one, question, full), library)


def _reply(one: Operation, question: Question, full: bool) -> Reply:
    outcome = one.ask(question)
    headers = {"seatplan-verdict": outcome.verdict.value}
    if one.kind != "application/json":
        headers["content-disposition"] = "attachment"
    return Reply(one.show(outcome, full), 200, one.kind, headers)
