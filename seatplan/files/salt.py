"""The secret with which ids of bookings are hidden: who has stores and plans but not this file learns no id from them.

A key is the HMAC-SHA256 (RFC 2104) of an id with the salt, cut to 128 bits. The same id has the same key on every day,
so that a booking is found again to be deleted; without the salt a key says nothing, and a lost salt makes all keys new.
"""

from __future__ import annotations

import hmac
import os
import secrets
import stat
import sys
from pathlib import Path

from seatplan.message import said

from .errors import InputError, Problem, Unwritten

#: the name of the file beside a fleet's own
NAME = ".seatplan-salt"
_BYTES, _MOST = 32, 4096
#: fewer bytes can be guessed
_LEAST = 16


def salt_at(path: str) -> bytes:
    """The salt of a file, which is made at first use, for its owner alone. Raises InputError where it is not one that
    only its owner can read, Unwritten where it cannot be made."""
    try:
        return _read(path)
    except FileNotFoundError:
        return _made(path)


def key_of(booking: str, salt: bytes) -> str:
    """The key of a booking's id: 32 hexadecimal digits. Spaces around the id, or several in it, are no other id."""
    return hmac.digest(salt, " ".join(booking.split()).encode("utf-8", "surrogatepass"), "sha256")[:16].hex()


def _read(path: str) -> bytes:
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    except FileNotFoundError:
        raise
    except (OSError, ValueError) as error:
        raise _refused(path, said("this file cannot be read: {reason}", reason=_reason(error))) from None
    try:
        _for_its_owner_alone(path, os.fstat(handle))
        raw = os.read(handle, _MOST + 1).strip()
    finally:
        os.close(handle)
    if not _LEAST <= len(raw) <= _MOST:
        raise _refused(path, said("{size} bytes long; expected a salt of {least} to {most}", size=len(raw),
                                  least=_LEAST, most=_MOST))
    return raw


def _for_its_owner_alone(path: str, there: os.stat_result) -> None:
    if not stat.S_ISREG(there.st_mode):
        raise _refused(path, said("this is no file; expected the salt of booking ids"))
    if sys.platform != "win32" and there.st_uid != os.geteuid():
        raise _refused(path, said("this file belongs to somebody else; expected a salt of your own"))
    if sys.platform != "win32" and there.st_mode & 0o077:
        raise _refused(path, said("others may read this file; expected a salt that only its owner can read: "
                                  "`chmod 600` it"))


def _made(path: str) -> bytes:
    """A new salt, whole or not at all; where another run was first, that one's."""
    beside = Path(path).with_name(f"{Path(path).name}.{secrets.token_hex(8)}")
    try:
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0), 0o600)
        try:
            with open(handle, "wb") as stream:
                stream.write(secrets.token_hex(_BYTES).encode())
                stream.flush()
                os.fsync(handle)
            os.link(beside, path)
        finally:
            beside.unlink()
    except FileExistsError:
        pass
    except (OSError, ValueError) as error:
        raise Unwritten(Problem(path, 0, 0, said("the salt of booking ids cannot be written: {reason}",
                                                 reason=_reason(error)))) from None
    return _read(path)


def _refused(path: str, text: str) -> InputError:
    return InputError([Problem(path, 0, 0, text)])


def _reason(error: OSError | ValueError) -> str:
    reason = getattr(error, "strerror", None)
    return reason.lower() if reason else said("not a usable file name")
