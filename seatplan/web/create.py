"""The application: which page answers which path, and what is done around each of them."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.formparsers import MultiPartException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from seatplan.app.errors import InputError, Unwritten
from seatplan.views.manner import LANGUAGES, UNITS, speaking

from . import enter, failing, shell
from .api.answers import STATUSES, failed
from .api.serving import api_routes
from .doors import Session, same
from .guard import COOKIE, COOKIE_TLS, App, Guard, Scope, TooLarge
from .house import House
from .routes import ROUTES
from .visit import MOST_FIELDS, MOST_LETTERS, Answer, Document, Goto, Handler, Upload, Visit

_log = logging.getLogger("seatplan.web")
#: the language and units of a browser, which are no secret and no name
_MANNER = "seatplan-manner"


def create_app(house: House) -> App:
    """The whole server as an ASGI application."""
    routes: list[BaseRoute] = [
        Route("/open/{token}", _opened(house)), Route("/static/{name}", _static),
        Route("/enter", _entering(house), methods=["GET", "POST"]), Route("/manner", _manner(house), methods=["POST"]),
        Route("/day/lock", _locking(house), methods=["POST"]),
        *api_routes(house, _spoken)]
    for path, handler, *methods in ROUTES:
        routes.append(Route(path, _page(house, handler), methods=list(methods) or ["GET"]))
    app = Starlette(routes=routes, exception_handlers={404: _nowhere, 405: _nowhere, TooLarge: _large})
    app.router.redirect_slashes = False
    return Guard(app, house.doors, house.hosts, house.secure, _refused(house))


def _page(house: House, handler: Handler) -> Any:
    """A handler as Starlette asks it: in a thread, in the language of the browser, with all that it may raise."""
    async def asked(request: Request) -> Response:
        session = request.scope["seatplan.session"]
        form: dict[str, str] = {}
        uploads: dict[str, Upload] = {}
        if request.method == "POST":
            read = await _form(request)
            if read is None or not same(read[0].get("form", ""), session.form):
                return _refusal(request, 403, "form", None)
            form, uploads = read
        visit = Visit(house, session, request.url.path, request.path_params, dict(request.query_params), form, uploads,
                      request.method == "POST", request.headers.get("x-part") == "live")
        return await run_in_threadpool(_answered, handler, visit, _spoken(request))

    return asked


def _answered(handler: Handler, visit: Visit, spoken: Mapping[str, str]) -> Response:
    with speaking(spoken["lang"], spoken["units"]):
        answer: Answer
        try:
            answer = handler(visit)
        except InputError as error:
            answer = failing.input_wrong(error)
        except Unwritten as error:
            answer = failing.unwritten(error, visit)
        except Exception as bug:  # noqa: BLE001  # the top: nobody below catches this
            # no message of it: that may hold a name
            _log.error("a bug: %s at %s", type(bug).__name__, failing.place_of_bug(bug))
            answer = failing.refused(500, "bug")
        return _response(answer, visit, spoken)


def _response(answer: Answer, visit: Visit | None, spoken: Mapping[str, str]) -> Response:
    if isinstance(answer, Goto):
        return RedirectResponse(answer.path, 303)
    if isinstance(answer, Document):
        headers = {"content-disposition": f'attachment; filename="{answer.name}"'} if answer.name else {}
        return Response(answer.text, 200, headers | dict(answer.headers), answer.kind)
    with speaking(spoken["lang"], spoken["units"]):
        return Response(shell.shown(answer, visit), answer.status, media_type="text/html; charset=utf-8")


async def _form(request: Request) -> tuple[dict[str, str], dict[str, Upload]] | None:
    """The words and files of a form; None for what is no form, or one of more than a form of ours has."""
    words: dict[str, str] = {}
    uploads: dict[str, Upload] = {}
    try:
        async with request.form(max_files=20, max_fields=MOST_FIELDS, max_part_size=MOST_LETTERS * 4) as read:
            for name, value in read.multi_items():
                if isinstance(value, UploadFile):
                    uploads[name] = Upload(value.filename or "", await value.read())
                else:
                    words[name] = value
    except (MultiPartException, ValueError, AssertionError):
        return None
    except Exception as error:
        # starlette's own and the parser's, whatever module they lie in
        if type(error).__name__ in ("HTTPException", "FormParserError", "MultipartParseError", "ClientDisconnect"):
            return None
        raise
    return (words, uploads) if all(len(value) <= MOST_LETTERS for value in words.values()) else None


def _spoken(request: Request) -> dict[str, str]:
    """The language and units of a browser: what was chosen, else what it asks for."""
    lang, _, units = request.cookies.get(_MANNER, "").partition("-")
    if lang not in LANGUAGES:
        asked = request.headers.get("accept-language", "")[:2].casefold()
        lang = asked if asked in LANGUAGES else "en"
    return {"lang": lang, "units": units if units in UNITS else "metric"}


def _manner(house: House) -> Any:
    async def asked(request: Request) -> Response:
        read = await _form(request)
        if read is None or not same(read[0].get("form", ""), request.scope["seatplan.session"].form):
            return _refusal(request, 403, "form", None)
        words = read[0]
        back = words.get("back", "/")
        answer = RedirectResponse(back if back.startswith("/") and not back.startswith("//") else "/", 303)
        if words.get("lang") in LANGUAGES and words.get("units") in UNITS:
            answer.set_cookie(_MANNER, f"{words['lang']}-{words['units']}", max_age=31_536_000, httponly=True,
                              samesite="strict", secure=house.secure)
        return answer

    return asked


def _opened(house: House) -> Any:
    """The link that opens once, and then a session."""
    async def asked(request: Request) -> Response:
        session = house.doors.enter(request.path_params["token"])
        if session is None:
            return _refusal(request, 403, "door", None)
        return _to(house, session, "/")

    return asked


def _to(house: House, session: Session, path: str) -> Response:
    """On to a page, with the cookie of a session."""
    answer = RedirectResponse(path, 303)
    answer.set_cookie(COOKIE_TLS if house.secure else COOKIE, session.key, path="/", httponly=True,
                      samesite="strict", secure=house.secure)
    return answer


def _locking(house: House) -> Any:
    """The next family: from now on this browser shows the lock page, whatever is asked for. With another cookie, since
    a browser that keeps pages for its Back button gives them up when the cookie changes."""
    async def asked(request: Request) -> Response:
        session = request.scope["seatplan.session"]
        read = await _form(request)
        if read is None or not same(read[0].get("form", ""), session.form):
            return _refusal(request, 403, "form", None)
        if house.secret is None:                       # nothing would open it again
            return RedirectResponse("/day", 303)
        house.works.leave(session.key)
        house.doors.renew(session, locked=True)
        return _to(house, session, "/enter")

    return asked


def _client(request: Request) -> str:
    """The address that a request comes from, as the socket has it: no word of a proxy is believed."""
    return "" if request.client is None else request.client.host


def _locked(house: House, session: Session | None, request: Request, wrong: bool = False) -> Response:
    spoken = _spoken(request)
    with speaking(spoken["lang"], spoken["units"]):
        return _response(enter.lock_page(session, house, _client(request), wrong), None, spoken)


def _entering(house: House) -> Any:
    """The lock page, and what opens it: of a session that is locked, and over TLS for a browser that has none. That one
    has no form of ours yet to bring back a word of: the guard has looked where it is from. What a browser brought is
    never what it goes on with."""
    async def asked(request: Request) -> Response:
        session: Session | None = request.scope["seatplan.session"]
        secret = house.secret
        if secret is None or not enter.opens_by_a_word(house, session):
            return _refusal(request, 403, "door", None)
        if request.method != "POST":
            return _locked(house, session, request)
        read = await _form(request)
        if read is None or (session is not None and not same(read[0].get("form", ""), session.form)):
            return _locked(house, session, request)
        client = _client(request)
        if secret.wait(client) or not await run_in_threadpool(secret.opens, read[0].get("word", ""), client):
            return _locked(house, session, request, wrong=True)
        if session is None:
            return _to(house, house.doors.let_in(), "/")
        house.doors.renew(session, locked=False)
        return _to(house, session, "/day")

    return asked


async def _static(request: Request) -> Response:
    found = shell.static_file(request.path_params["name"])
    if found is None:
        return await _nowhere(request, None)
    body, kind = found
    return Response(body, media_type=kind, headers={"cache-control": "public, max-age=31536000, immutable"})


async def _nowhere(request: Request, error: Any) -> Response:
    return _refusal(request, 404, "nowhere", None)


async def _large(request: Request, error: Any) -> Response:
    return _refusal(request, 413, "large", None)


def _refusal(request: Request, status: int, why: str, house: House | None) -> Response:
    """A page that says no, or, where a program asked, the same in JSON. With ``house``: where a word opens, the page
    that asks for it."""
    if request.url.path.startswith("/api/"):
        return failed(status, STATUSES[status]).sent(Path()).response()
    session = request.scope.get("seatplan.session")
    if house is not None and why in ("locked", "door") and enter.opens_by_a_word(house, session):
        return _locked(house, session, request)
    spoken = _spoken(request)
    with speaking(spoken["lang"], spoken["units"]):
        page = failing.refused(status, why)
    return _response(page, None, spoken)


def _refused(house: House) -> Callable[[Scope, int, str], tuple[bytes, str]]:
    """The guard's page."""
    def made(scope: Scope, status: int, why: str) -> tuple[bytes, str]:
        answer = _refusal(Request(scope), status, why, house)
        return bytes(answer.body), answer.headers["content-type"]

    return made
