"""Workers on other machines, through the client of dask.distributed.

Scheduler and workers run code that this program sends, and see every class: they are trusted with both. So other than
on this machine an address is taken only with TLS, and only with a certificate authority of one's own and a certificate
and key with which each side shows who it is.
"""

from __future__ import annotations

import importlib
import ssl
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from ipaddress import ip_address
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from seatplan.files.errors import InputError, Problem
from seatplan.frozen import frozen
from seatplan.message import said

from .batches import Given, Work
from .extras import ExtraMissing

_LOCAL = frozenset(("localhost",))


@frozen
class Address:
    """Where the scheduler is, and what each side shows: files of the authority, the certificate and its key."""

    address: str
    authority: Path | None = None
    certificate: Path | None = None
    key: Path | None = None


@contextmanager
def cluster(where: Address, make: Callable[[Any], Work], given: Any, wait_s: float = 20) -> Iterator[Given]:
    """The workers of a cluster; ``make`` and ``given`` as in ``Pool``: what is given is sent once to each worker.
    Raises InputError where the address is not to be used or nobody answers in ``wait_s``, ExtraMissing without the
    packages."""
    checked(where)
    try:
        distributed = importlib.import_module("distributed")
    except ImportError as missing:
        raise ExtraMissing("cluster") from missing
    security = None
    if where.authority is not None:
        security = distributed.Security(
            tls_ca_file=str(where.authority), tls_client_cert=str(where.certificate), tls_client_key=str(where.key),
            require_encryption=True)
    try:
        client = distributed.Client(where.address, security=security, timeout=wait_s, set_as_default=False)
    except (OSError, TimeoutError, ValueError, TypeError) as wrong:
        why = str(wrong) or type(wrong).__name__
        if _of_certificates(wrong):
            raise _wrong(where, said("does not take our certificate, or shows one that ours does not take: {why}",
                                     why=why)) from wrong
        raise _wrong(where, said("nobody answers there: {why}", why=why)) from wrong
    with client:
        workers = sum(client.nthreads().values())
        if not workers:
            raise _wrong(where, said("the scheduler has no workers"))
        shared = client.scatter(given, broadcast=True, hash=False)
        killed = (distributed.KilledWorker,)
        try:
            yield Given(client.get_executor(pure=False), make, shared, workers, killed)
        finally:
            del shared


def _of_certificates(wrong: BaseException | None) -> bool:
    """Whether one side refused what the other one showed: it is the error, or what led to it; where dask tried again
    it hands on the words alone."""
    if "[SSL" in str(wrong):
        return True
    while wrong is not None and not isinstance(wrong, ssl.SSLError):
        wrong = wrong.__cause__ or wrong.__context__
    return wrong is not None


def checked(where: Address) -> Address:
    """The address, if it may be used. Raises InputError: it is neither of this machine nor TLS with all three files."""
    scheme, host = _parts(where)
    files = {"--cluster-ca": where.authority, "--cluster-cert": where.certificate, "--cluster-key": where.key}
    missing = [option for option, path in files.items() if path is None]
    if scheme == "tls":
        if missing:
            raise _wrong(where, said("needs {options} too, so that both sides show who they are",
                                     options=", ".join(missing)))
        for path in files.values():
            if path is not None and not path.is_file():
                raise InputError([Problem(str(path), 0, 0, said("is no file; it was named for the cluster"))])
        return where
    if scheme != "tcp" or not _of_this_machine(host):
        raise _wrong(where, said("is not of this machine, so expected tls://HOST:PORT, with certificates"))
    return where


def _parts(where: Address) -> tuple[str, str]:
    try:
        parts = urlsplit(where.address)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        host, port, parts = "", None, urlsplit("")
    if not parts.scheme or not host or port is None:
        raise _wrong(where, said("is no address of a scheduler; expected tls://HOST:PORT, or tcp://127.0.0.1:PORT"))
    return parts.scheme, host


def _of_this_machine(host: str) -> bool:
    if host in _LOCAL:
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def _wrong(where: Address, told: str) -> InputError:
    return InputError([Problem("--cluster", 0, 0, said("{address} {told}", address=where.address, told=told))])
