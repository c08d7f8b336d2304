"""Who may come in: links that open once, and what a browser shows from then on. Kept in memory only.

Tokens and sessions are random (``secrets``, 256 bits). What is compared is compared in constant time, and nothing that
a browser brings ever becomes a session: whoever comes in gets a new one (no session fixation).
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from time import monotonic
from typing import Any

#: a session that nobody used for so long is over, seconds: a working day with its breaks
IDLE = 10 * 3600
#: so many sessions at once; the one that was used least lately makes room
MOST_SESSIONS = 200


@dataclass(slots=True, eq=False)
class Session:
    """One browser. ``key``: what its cookie holds; ``form``: what every form of it brings back, so that no other page
    can post in its name; ``locked``: shows the lock page until whoever runs the day says the PIN or the passphrase;
    ``said``: what the next page tells of what was just done, in memory only."""

    key: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    form: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    used: float = 0.0
    locked: bool = False
    said: dict[str, Any] = field(default_factory=dict)


class Doors:
    """The links that are open, and the sessions that came of them. Safe with several threads."""

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._lock = Lock()
        self._tokens: list[str] = []
        self._sessions: dict[str, Session] = {}

    def token(self) -> str:
        """A new token; it opens once."""
        with self._lock:
            made = secrets.token_urlsafe(32)
            self._tokens = [*self._tokens[-9:], made]
            return made

    def enter(self, token: str) -> Session | None:
        """The session that a token opens, which it never does again; None for one that opens nothing."""
        with self._lock:
            found = [one for one in self._tokens if hmac.compare_digest(one.encode(), token.encode())]
            self._tokens = [one for one in self._tokens if one not in found]
            return self._begun() if found else None

    def let_in(self) -> Session:
        """A session for whoever said the passphrase."""
        with self._lock:
            return self._begun()

    def session(self, key: str) -> Session | None:
        """The session of a cookie; None where it is over, or was none."""
        with self._lock:
            found = self._sessions.get(key)
            if found is None:
                return None
            now = self._clock()
            if now - found.used > IDLE:
                del self._sessions[key]
                return None
            found.used = now
            return found

    def renew(self, session: Session, locked: bool) -> None:
        """Another key and another word for its forms, so that nothing that was open before is taken any more; locked,
        or opened again."""
        with self._lock:
            self._sessions.pop(session.key, None)
            session.key, session.form = secrets.token_urlsafe(32), secrets.token_urlsafe(32)
            session.locked, session.used = locked, self._clock()
            session.said.clear()
            self._sessions[session.key] = session

    def leave(self, session: Session) -> None:
        """The session is over."""
        with self._lock:
            self._sessions.pop(session.key, None)

    def _begun(self) -> Session:
        now = self._clock()
        if len(self._sessions) >= MOST_SESSIONS:
            oldest = min(self._sessions.values(), key=lambda one: one.used)
            del self._sessions[oldest.key]
        made = Session(used=now)
        self._sessions[made.key] = made
        return made


def same(one: str, other: str) -> bool:
    """Whether two secrets are equal, told in a time that does not say how far they agree."""
    return hmac.compare_digest(one.encode(), other.encode())
