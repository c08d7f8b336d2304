"""What stands before every page: the host that is meant, the size of what comes, the session, and where a form is from.

An ASGI application around another one (ASGI 3.0). It answers by itself what may not go on, so that no page has to
think of it: another host's name (DNS rebinding), a body that is too large, a visit without a session, a post that no
page of ours sent. Every answer leaves with the same headers, whoever made it.
"""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any

from .doors import Doors, Session
from .failing import place_of_bug

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

_log = logging.getLogger("seatplan.web")
#: the cookie that holds the session; with TLS its name asks the browser to take it from a whole host only (RFC 6265bis)
COOKIE, COOKIE_TLS = "seatplan-session", "__Host-seatplan-session"
#: the most that may be sent at once, bytes: a trip of nine seats with every field has 60 kB
MOST_BYTES = 2_000_000
#: what may be asked without a session: the link that opens, the lock, style and script, which hold nothing of anybody
OPEN = ("/open/", "/enter", "/static/")
#: methods that change nothing
_READS = ("GET", "HEAD", "OPTIONS")
#: nothing from elsewhere, nothing inline; a page with a style or script of its own names their hashes itself
CSP = ("default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
       "form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
_HEADERS = (                     # with no referrer at all, a browser tells no origin of a form either
    ("content-security-policy", CSP),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("x-frame-options", "DENY"),
    ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
    ("cache-control", "no-store"),
)


class TooLarge(Exception):
    """More was sent than is taken."""


class Guard:
    """``hosts``: the names, with their ports, that this server goes by; ``secure``: it speaks TLS; ``refused`` makes
    the page for what may not go on, of a status and the word for why."""

    def __init__(self, app: App, doors: Doors, hosts: Iterable[str], secure: bool,
                 refused: Callable[[Scope, int, str], tuple[bytes, str]]) -> None:
        self.app, self.doors, self.secure, self.refused = app, doors, secure, refused
        self.hosts = frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        out = _with_headers(send, self.secure)
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        session = self._session(headers)
        scope["seatplan.session"] = session
        wrong = self._wrong(scope, headers, session)
        if wrong is not None:
            await self._refuse(scope, out, *wrong)
            return
        begun = _Begun(out)
        try:
            await self.app(scope, _limited(receive), begun)
        except Exception as bug:  # noqa: BLE001  # whatever gets as far as this is told by its kind alone: no names
            if not isinstance(bug, TooLarge):
                _log.error("a bug: %s at %s", type(bug).__name__, place_of_bug(bug))
            if not begun.yes:
                await self._refuse(scope, out, *((413, "large") if isinstance(bug, TooLarge) else (500, "bug")))

    def _session(self, headers: MutableMapping[str, str]) -> Session | None:
        try:
            cookies = SimpleCookie(headers.get("cookie", ""))
        except CookieError:
            return None
        found = cookies.get(COOKIE_TLS if self.secure else COOKIE)
        return None if found is None else self.doors.session(found.value)

    def _wrong(self, scope: Scope, headers: MutableMapping[str, str],
               session: Session | None) -> tuple[int, str] | None:
        """The status and the word for why this may not go on; None where it may."""
        names = [value for name, value in scope["headers"] if name.lower() == b"host"]
        if len(names) != 1 or headers["host"] not in self.hosts:
            return 421, "host"
        if not _length_is_fine(headers.get("content-length")):
            return 413, "large"
        path = scope["path"]
        if scope["method"] not in _READS and not self._from_here(headers):
            return 403, "elsewhere"
        if path.startswith(OPEN):
            return None
        if session is None:
            return 403, "door"
        if session.locked:
            return 403, "locked"
        return None

    def _from_here(self, headers: MutableMapping[str, str]) -> bool:
        """Whether a page of ours sent this: browsers say where a post comes from (Fetch Standard, ``Origin`` and
        ``Sec-Fetch-Site``); one that says nothing is no browser page, and has no cookie of ours by chance."""
        site, origin = headers.get("sec-fetch-site"), headers.get("origin")
        if site is not None and site != "same-origin":
            return False
        if origin is None:
            return site == "same-origin"
        scheme = "https" if self.secure else "http"
        return any(origin == f"{scheme}://{host}" for host in self.hosts) and origin == f"{scheme}://{headers['host']}"

    async def _refuse(self, scope: Scope, send: Send, status: int, why: str) -> None:
        body, kind = self.refused(scope, status, why)
        await send({"type": "http.response.start", "status": status,
                    "headers": [(b"content-type", kind.encode()), (b"content-length", str(len(body)).encode()),
                                (b"connection", b"close")]})
        await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})


class _Begun:
    """Where an answer goes, which remembers whether one has begun."""

    def __init__(self, send: Send) -> None:
        self._send, self.yes = send, False

    async def __call__(self, message: Message) -> None:
        self.yes = True
        await self._send(message)


def _length_is_fine(told: str | None) -> bool:
    return told is None or (told.isdecimal() and len(told) < 12 and int(told) <= MOST_BYTES)


def _limited(receive: Receive) -> Receive:
    """What comes in, up to the most that is taken. Raises TooLarge."""
    taken = 0

    async def limited() -> Message:
        nonlocal taken
        message = await receive()
        if message["type"] == "http.request":
            taken += len(message.get("body", b""))
            if taken > MOST_BYTES:
                raise TooLarge
        return message

    return limited


def _with_headers(send: Send, secure: bool) -> Send:
    """Answers with the headers that every page has; a page that says one of them itself keeps its own."""
    async def out(message: Message) -> None:
        if message["type"] == "http.response.start":
            told = {name.lower() for name, _ in message.get("headers", ())}
            more = [(name.encode(), value.encode()) for name, value in _HEADERS if name.encode() not in told]
            if secure:
                more.append((b"strict-transport-security", b"max-age=86400"))
            message = {**message, "headers": [*message.get("headers", ()), *more]}
        await send(message)

    return out
