"""An answer as it leaves: JSON or a document, or what was wrong, with no path of this machine outside the library."""

from __future__ import annotations

import html
import json
import logging
import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from functools import cache
from pathlib import Path
from typing import Any

from starlette.responses import Response

from seatplan.app.errors import InputError, Problem, Unwritten
from seatplan.app.misasked import Misasked
from seatplan.app.named import folders
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, with_other
from seatplan.views.failure_json import failure_json, mistake_json, problem_json
from seatplan.views.say import tr
from seatplan.web.failing import place_of_bug
from seatplan.written import visible

from .given import Several

_log = logging.getLogger("seatplan.web")

#: what each status means here
STATUSES: Mapping[int, str] = {
    200: "answered; a no is an answer, too", 201: "created", 204: "deleted",
    403: "no session, or sent by another page", 404: "there is no such thing here",
    409: "the file changed meanwhile; nothing was written", 413: "more than is taken at once",
    415: "expected JSON", 421: "this server does not go by that name",
    422: "bad input: `errors` says what and where", 428: "say in If-Match which version you saw",
    500: "a bug in seatplan, not in what you typed; nothing was written",
    507: "a file could not be written; what was there is as it was"}


@frozen
class Sent:
    """An answer as bytes, with the kind that it is told to be of."""

    body: bytes
    status: int
    kind: str
    headers: Mapping[str, str]

    def response(self) -> Response:
        """As the server sends it."""
        return Response(self.body, self.status, dict(self.headers), self.kind)


@frozen
class Reply:
    """``body``: JSON, or the text of a document of a ``kind``."""

    body: Any
    status: int = 200
    kind: str = "application/json"
    headers: Mapping[str, str] = field(default_factory=dict)

    def sent(self, library: Path) -> Sent:
        """As it leaves; paths are told as seen from the library."""
        if self.kind != "application/json":
            text = _without(self.body, _prefixes(library))
            return Sent(text.encode(), self.status, f"{self.kind}; charset=utf-8", self.headers)
        body = b"" if self.body is None else json.dumps(_inside(self.body, _prefixes(library))).encode()
        return Sent(body, self.status, self.kind, self.headers)


def answered(answer: Callable[[], Reply | Sent], library: Path) -> Sent:
    """What an answer comes to, with everything that it may raise."""
    try:
        reply: Reply | Sent = answer()
    except InputError as error:
        reply = bad_input(error)
    except Unwritten as error:
        reply = unwritten(error)
    except Exception as bug:  # noqa: BLE001  # the top: nobody below catches this
        _log.error("a bug: %s at %s", type(bug).__name__, place_of_bug(bug))
        reply = failed(500, STATUSES[500])
    return reply if isinstance(reply, Sent) else reply.sent(library)


def failed(status: int, error: str, hint: str | None = None, **headers: str) -> Reply:
    """What is wrong with a request as a whole."""
    return Reply(failure_json([mistake_json(error, hint)]), status, headers=headers)


def bad_input(error: InputError, status: int = 422) -> Reply:
    """What is wrong with what was asked or with a file."""
    return Reply(failure_json(_objects(error)), status)


def _objects(error: InputError) -> list[dict[str, Any]]:
    if isinstance(error, Several):
        return [told for one in error.errors for told in _objects(one)]
    if isinstance(error, Misasked):
        hint = _named(error.hint) if error.hint else None
        return [mistake_json(_named(error.text), hint, error.field, error.found, error.allowed)]
    return [_object(problem) for problem in error.problems]


def unwritten(error: Unwritten) -> Reply:
    """What could not be written."""
    return Reply(failure_json([_object(error.problem)]), 507)


def _object(problem: Problem) -> dict[str, Any]:
    if problem.path:
        return problem_json(problem)
    return mistake_json(_named(problem.text), None, ".".join(map(str, problem.loc)) or None, problem.found,
                        problem.allowed)


def _named(text: str) -> str:
    """A sentence with the fields of a request as they are called in JSON."""
    return visible(tr(with_other(text, lambda value: Name(", ".join(value.names)) if isinstance(value, FieldName)
                                 else value)))


@cache
def _prefixes(library: Path) -> tuple[str, ...]:
    """How paths begin that are not to leave as they are, the longest first."""
    return tuple(sorted((f"{folder}{os.sep}" for folder in {str(library), os.path.realpath(library), *folders()}),
                        key=len, reverse=True))


def _inside(value: Any, prefixes: Iterable[str], key: str = "") -> Any:
    if isinstance(value, str):
        told = _without(value, prefixes)
        return None if key == "path" and os.path.isabs(told) else told
    if isinstance(value, Mapping):
        return {name: _inside(one, prefixes, name) for name, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_inside(one, prefixes, key) for one in value]
    return value


def _without(text: str, prefixes: Iterable[str]) -> str:
    text = str(text)
    for prefix in prefixes:
        text = text.replace(prefix, "").replace(html.escape(prefix), "")
    return text
