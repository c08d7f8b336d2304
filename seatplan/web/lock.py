"""What opens the lock page: a PIN or a passphrase, kept as a salted hash in memory, and how often it may be tried."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable
from threading import Lock
from time import monotonic

from .doors import same

#: scrypt (RFC 7914) with 16 MB; a try takes some 50 ms
_N, _R, _P = 2**14, 8, 1
#: so many wrong words in a row are answered at once; then each costs a wait that doubles, up to the longest, seconds
FREE_TRIES, FIRST_WAIT, LONGEST_WAIT = 5, 5.0, 900.0


class Secret:
    """One secret word. Safe with several threads. Wrong tries count for the whole server: whoever tries has as many
    browsers and addresses as wanted."""

    def __init__(self, word: str, clock: Callable[[], float] = monotonic) -> None:
        self._salt = secrets.token_bytes(16)
        self._hash = self._of(word)
        self._clock, self._lock = clock, Lock()
        self._wrong, self._not_before = 0, 0.0

    def wait(self) -> float:
        """How many seconds until it may be tried again; 0: now."""
        with self._lock:
            return max(0.0, self._not_before - self._clock())

    def opens(self, word: str) -> bool:
        """Whether this is the word; False also while nothing may be tried."""
        with self._lock:
            if self._clock() < self._not_before:
                return False
            if same(self._of(word), self._hash):
                self._wrong, self._not_before = 0, 0.0
                return True
            self._wrong += 1
            if self._wrong >= FREE_TRIES:
                wait = min(LONGEST_WAIT, FIRST_WAIT * 2 ** (self._wrong - FREE_TRIES))
                self._not_before = self._clock() + wait
            return False

    def _of(self, word: str) -> str:
        return hashlib.scrypt(word.encode(), salt=self._salt, n=_N, r=_R, p=_P, maxmem=2**26).hex()
