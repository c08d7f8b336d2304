"""Run the server: a socket on this machine, the link that opens it, one on the network where that is asked for, and no
word of who asked what."""

from __future__ import annotations

import os
import signal
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import uvicorn

from seatplan.app.days import today
from seatplan.app.erasing import erase_due
from seatplan.app.errors import InputError, Problem, Unwritten
from seatplan.frozen import frozen
from seatplan.message import Name, said

from .create import create_app
from .house import House
from .lock import Secret

if TYPE_CHECKING:
    from .share import Address, Certificate

#: the address of this machine for itself (RFC 1122, 3.2.1.3): nobody else reaches it
LOOPBACK = "127.0.0.1"
#: where it listens unless told otherwise; no service is registered there
PORT = 8431
#: connections beyond these wait, seconds that an idle one is kept
_MOST, _IDLE = 200, 20
#: seconds that answers under way have when it is stopped
_GRACE = 3
#: certificate and key, as files
Tls = tuple[str | None, str | None]
_NO_TLS: Tls = (None, None)


@frozen
class Shared:
    """A server for the network: where it listens, with which certificate; ``word`` is the passphrase."""

    address: Address
    word: str
    certificate: Certificate


@frozen
class Running:
    """Told as the server begins. ``shared``: the address for the network, empty where there is none."""

    link: str
    shared: str = ""


def listening(host: str, port: int) -> socket.socket:
    """A socket that listens. Raises Unwritten where the port cannot be had."""
    made = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
        made.listen(_MOST)
    except OSError as error:
        made.close()
        raise Unwritten(Problem("", 0, 0, said("nothing can listen at {host}, port {port}: {why}; `--port 0` takes a "
                                               "free one", host=Name(host), port=port,
                                               why=Name(error.strerror or str(error))))) from None
    return made


def serve_here(library: Path, port: int = PORT, open_it: bool = False,
               say: Callable[[Running], None] = lambda running: None, shared: Shared | None = None) -> None:
    """Serve a library to this machine, and with ``shared`` to the network, until it is stopped. ``say`` is told each
    link as it is made."""
    if hasattr(os, "umask"):
        os.umask(0o077)         # whatever is written from here on is its owner's alone
    sock = listening(LOOPBACK, port)
    with suppress(InputError, Unwritten):       # the list of the day does it, too, and says what is wrong
        erase_due(library, today())
    port = sock.getsockname()[1]
    house = House(library, (f"{LOOPBACK}:{port}", f"localhost:{port}"))
    servers = [(house, sock, _NO_TLS)]
    if shared is not None:
        servers.append(_on_the_network(house, shared, port))
    address = f"https://{servers[-1][0].hosts[0]}/" if shared is not None else ""

    def link() -> str:
        return f"http://{LOOPBACK}:{port}/open/{house.doors.token()}"

    with suppress(KeyboardInterrupt), _stopped_in_order():      # from the first word on
        say(Running(link(), address))
        if open_it:
            webbrowser.open(link())
        if sys.stdin is not None and sys.stdin.isatty():
            threading.Thread(target=_more_links, args=(lambda: say(Running(link())),), daemon=True).start()
        run(servers)


def _on_the_network(house: House, shared: Shared, port: int) -> tuple[House, socket.socket, Tls]:
    """The same library behind a passphrase: doors of its own, so that no session of one is one of the other."""
    from .share import host_of

    host = host_of(shared.address, port)
    other = House(house.library, (host,), secure=True, secret=Secret(shared.word), apart=house.apart)
    return other, listening(str(shared.address), port), (str(shared.certificate.certificate),
                                                         str(shared.certificate.key))


def run(servers: Sequence[tuple[House, socket.socket, Tls]]) -> None:
    """Answer until somebody stops it; the first server is the one that hears of it."""
    others: list[tuple[uvicorn.Server, threading.Thread]] = []
    try:
        with suppress(KeyboardInterrupt), _stopped_in_order():
            for house, sock, tls in servers[1:]:
                other = uvicorn.Server(_config(house, *tls))
                others.append((other, threading.Thread(target=other.run, args=([sock],), daemon=True)))
                others[-1][1].start()
            own, sock, tls = servers[0]
            uvicorn.Server(_config(own, *tls)).run([sock])
    finally:
        for other, thread in others:
            other.should_exit = True
            thread.join(2 * _GRACE)
        for house, sock, _ in servers:
            house.apart.close()
            house.works.close()
            sock.close()


@contextmanager
def _stopped_in_order() -> Iterator[None]:
    """Ctrl-C and SIGTERM end the server, and then what was begun beside it, too: as they stand outside they end the
    program at once, and the server raises them again when it has closed."""
    def stop(number: int, frame: object) -> None:
        raise KeyboardInterrupt

    try:
        before = {number: signal.signal(number, stop) for number in (signal.SIGINT, signal.SIGTERM)}
    except ValueError:                              # only the main thread hears of signals
        yield
        return
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _config(house: House, certificate: str | None, key: str | None) -> uvicorn.Config:
    """No access log: an address and a path are nobody's business. No word of a proxy is believed: there is none."""
    return uvicorn.Config(create_app(house), log_level="error", access_log=False, lifespan="off", server_header=False,
                          timeout_keep_alive=_IDLE, limit_concurrency=_MOST, h11_max_incomplete_event_size=32_768,
                          timeout_graceful_shutdown=_GRACE, ws="none", proxy_headers=False, ssl_certfile=certificate,
                          ssl_keyfile=key)


def _more_links(say: Callable[[], None]) -> None:
    """Another link each time somebody presses Enter where the server runs."""
    for _ in sys.stdin:
        say()
