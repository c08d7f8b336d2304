"""What a server on the network needs: an address that others reach, a certificate, a passphrase.

The certificate is made on the spot and signed by nobody but itself: what shows a tablet that it speaks to this machine
is the fingerprint, which a person compares. Its key lies in the user's own state folder (XDG Base Directory), never in
the library, and is kept, so that the fingerprint is the same the next time.
"""

from __future__ import annotations

import os
import secrets
import socket
import stat
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from ipaddress import IPv4Address, IPv6Address, ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from seatplan.app.errors import Problem, Unwritten
from seatplan.app.misasked import Misasked
from seatplan.frozen import frozen
from seatplan.message import Name, said

Address = IPv4Address | IPv6Address
#: letters of a passphrase at least: with so few tries a day as `lock.py` lets through, nobody guesses so many
SHORTEST = 12
#: days that a certificate holds, and how many are left when another one is made
_HOLDS, _LEFT = 365, 7
#: of these a passphrase is made: each syllable is one of 16 x 5, some 6.3 bits
_CONSONANTS, _VOWELS = "bdfghjklmnprstvz", "aeiou"
#: four words of three syllables, 75 bits
_WORDS, _SYLLABLES = 4, 3
#: an address of nobody (RFC 5737): which of ours would be the sender is asked, and nothing is sent
_NOBODY = ("192.0.2.1", 9)


@frozen
class Certificate:
    """``fingerprint``: SHA-256 of the certificate, as browsers show it: pairs of hexadecimal digits."""

    certificate: Path
    key: Path
    fingerprint: str


def address_of(asked: str) -> Address:
    """The address to listen at: the one that is asked for, or else the one that this machine sends from. Raises
    Misasked."""
    expected = said("expected an address of this machine, such as 192.168.1.20")
    if not asked:
        try:
            with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
                probe.connect(_NOBODY)
                return ip_address(probe.getsockname()[0])
        except OSError:
            raise Misasked("share", said("this machine is on no network"), expected) from None
    try:
        found = ip_address(asked)
    except ValueError:
        raise Misasked("share", said("{asked} is no address", asked=Name(asked)), expected, asked) from None
    if found.is_unspecified or found.is_loopback or found.is_multicast:
        raise Misasked("share", said("nobody else reaches this machine at {asked}", asked=Name(asked)), expected, asked)
    return found


def host_of(address: Address, port: int) -> str:
    """The address with its port as a URL has it (RFC 3986, 3.2.2)."""
    return f"[{address}]:{port}" if address.version == 6 else f"{address}:{port}"


def made_passphrase() -> str:
    """A passphrase that can be said aloud and typed on a tablet."""
    return "-".join("".join(secrets.choice(_CONSONANTS) + secrets.choice(_VOWELS) for _ in range(_SYLLABLES))
                    for _ in range(_WORDS))


def certificate_for(address: Address, library: Path, now: Callable[[], datetime] = lambda: datetime.now(UTC)
                    ) -> Certificate:
    """The certificate of an address, made where there is none that holds. Raises Unwritten, Misasked where its key
    would lie in the library."""
    folder = state_folder()
    if folder.resolve().is_relative_to(library.resolve()):
        raise Misasked("library", said("the library holds the folder of keys, {folder}", folder=Name(str(folder))),
                       said("expected a folder of its own"))
    stem = str(address).replace(":", "-")
    certificate, key = folder / f"share-{stem}.crt", folder / f"share-{stem}.key"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        folder.chmod(0o700)
        held = _held(certificate, key, now())
        if held is None:
            held = _made(certificate, key, address, now())
    except OSError as error:
        raise Unwritten(Problem(str(folder), 0, 0, said(
            "no certificate can be kept here: {reason}", reason=(error.strerror or str(error)).lower()))) from None
    return Certificate(certificate, key, _fingerprint(held))


def state_folder() -> Path:
    """Where the user's programs keep what is neither settings nor data."""
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "seatplan"
    told = os.environ.get("XDG_STATE_HOME", "")
    return (Path(told) if os.path.isabs(told) else Path.home() / ".local" / "state") / "seatplan"


def _held(certificate: Path, key: Path, now: datetime) -> bytes | None:
    """The certificate that is there, DER; None where it is none that still holds, or its key was not ours alone."""
    if not (_ours(certificate) and _ours(key)):
        return None
    try:
        found = x509.load_pem_x509_certificate(certificate.read_bytes())
        with_key = serialization.load_pem_private_key(key.read_bytes(), None)
    except (ValueError, TypeError):
        return None
    if found.public_key() != with_key.public_key() or found.not_valid_after_utc < now + timedelta(days=_LEFT):
        return None
    return found.public_bytes(serialization.Encoding.DER)


def _ours(file: Path) -> bool:
    try:
        there = file.lstat()
    except FileNotFoundError:
        return False
    return stat.S_ISREG(there.st_mode) and (os.name != "posix" or (
        there.st_uid == os.geteuid() and not there.st_mode & 0o077))


def _made(certificate: Path, key: Path, address: Address, now: datetime) -> bytes:
    own = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "seatplan on this network")])
    made = (x509.CertificateBuilder().subject_name(name).issuer_name(name).public_key(own.public_key())
            .serial_number(x509.random_serial_number()).not_valid_before(now - timedelta(hours=1))
            .not_valid_after(now + timedelta(days=_HOLDS))
            .add_extension(x509.SubjectAlternativeName([x509.IPAddress(address)]), critical=False)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .sign(own, hashes.SHA256()))
    _kept(key, own.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8,
                                 serialization.NoEncryption()))
    _kept(certificate, made.public_bytes(serialization.Encoding.PEM))
    return made.public_bytes(serialization.Encoding.DER)


def _kept(file: Path, raw: bytes) -> None:
    """Write a file that only its owner can read, whatever lay there."""
    with suppress(FileNotFoundError):
        file.unlink()
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0), 0o600)
    with os.fdopen(handle, "wb") as out:
        out.write(raw)


def _fingerprint(der: bytes) -> str:
    digest = sha256(der).hexdigest().upper()
    return ":".join(digest[k:k + 2] for k in range(0, len(digest), 2))


def code_to_scan(url: str) -> str:
    """A QR code (ISO/IEC 18004) of an address, in letters that are half a line high; it holds the address alone. Empty
    where what draws it is not installed."""
    try:
        import segno
    except ModuleNotFoundError:
        return ""
    rows = [[bool(one) for one in row] for row in segno.make(url, micro=False).matrix_iter(border=4)]
    if len(rows) % 2:
        rows.append([False] * len(rows[0]))
    # light is what is drawn: on a dark terminal as it should be, on a light one inverted, which readers take, too
    letters = {(False, False): "\u2588", (False, True): "\u2580", (True, False): "\u2584", (True, True): " "}
    return "".join("".join(letters[pair] for pair in zip(upper, lower, strict=True)) + "\n"
                   for upper, lower in zip(rows[::2], rows[1::2], strict=True))
