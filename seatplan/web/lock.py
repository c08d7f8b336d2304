"""What opens the lock page: a PIN or a passphrase, kept as a salted hash in memory, and how often it may be tried.

Wrong tries count in two ways. Each client's address waits for itself, so one machine cannot make the others wait. All
that never opened anything share a second, gentler limit, since who guesses may have as many addresses as wanted. While
somebody does that, a new client may have to wait for its turn; one that came in before does not.
"""

from __future__ import annotations

import hashlib
import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import ip_address
from threading import Lock
from time import monotonic

from .doors import same

#: scrypt (RFC 7914) with 16 MB; a try takes some 50 ms
_N, _R, _P = 2**14, 8, 1
#: so many wrong words in a row of one address are answered at once; then each costs a wait that doubles, up to the
#: longest, seconds
FREE_TRIES, FIRST_WAIT, LONGEST_WAIT = 5, 5.0, 900.0
#: so many of all new addresses together are answered at once, and then one in so many seconds: some 8,700 a day
FREE_TOGETHER, EACH_TOGETHER = 60, 10.0
#: so many addresses are remembered; of those that never opened anything the one that tried least lately goes first
MOST_CLIENTS = 1000


@dataclass(slots=True)
class _Client:
    """What one address did: ``wrong`` words in a row, before when it may not try again, whether it ever ``opened``."""

    wrong: int = 0
    not_before: float = 0.0
    opened: bool = False


class Secret:
    """One secret word. Safe with several threads. ``client``: the address that a word comes from."""

    def __init__(self, word: str, clock: Callable[[], float] = monotonic) -> None:
        self._salt = secrets.token_bytes(16)
        self._hash = self._of(word)
        self._clock, self._lock, self._hashing = clock, Lock(), Lock()
        self._clients: OrderedDict[str, _Client] = OrderedDict()
        self._together, self._since = float(FREE_TOGETHER), clock()

    def wait(self, client: str) -> float:
        """How many seconds until it may be tried again from there; 0: now."""
        with self._lock:
            return self._wait(_party(client))

    def opens(self, word: str, client: str) -> bool:
        """Whether this is the word; False also while nothing may be tried."""
        party = _party(client)
        with self._lock:
            if self._wait(party):
                return False
            # wrong until it is known to be right: others that try meanwhile are counted, too
            before = self._counted(party)
        with self._hashing:                             # one after the other: each takes its 16 MB
            right = same(self._of(word), self._hash)
        if right:
            with self._lock:
                self._together += not before.opened
                before.wrong, before.not_before, before.opened = 0, 0.0, True
                self._clients[party] = before           # it may have been forgotten meanwhile
        return right

    def _wait(self, party: str) -> float:
        now = self._clock()
        known = self._clients.get(party, _Client())
        self._together = min(float(FREE_TOGETHER), self._together + (now - self._since) / EACH_TOGETHER)
        self._since = now
        together = 0.0 if known.opened or self._together >= 1 else (1 - self._together) * EACH_TOGETHER
        return max(0.0, known.not_before - now, together)

    def _counted(self, party: str) -> _Client:
        """The client of a try that is under way, which has cost what a wrong one costs."""
        known = self._clients.pop(party, None) or _Client()
        if len(self._clients) >= MOST_CLIENTS:
            del self._clients[next((one for one, held in self._clients.items() if not held.opened),
                                   next(iter(self._clients)))]
        self._clients[party] = known
        self._together -= not known.opened
        known.wrong += 1
        if known.wrong >= FREE_TRIES:
            doubled = min(known.wrong - FREE_TRIES, 30)
            known.not_before = self._clock() + min(LONGEST_WAIT, FIRST_WAIT * 2 ** doubled)
        return known

    def _of(self, word: str) -> str:
        return hashlib.scrypt(word.encode(), salt=self._salt, n=_N, r=_R, p=_P, maxmem=2**26).hex()


def _party(client: str) -> str:
    """Who counts as one: an address, and all of those by which this machine reaches itself (RFC 1122, 3.2.1.3)."""
    try:
        found = ip_address(client)
    except ValueError:
        return client
    return "" if found.is_loopback else str(found)
