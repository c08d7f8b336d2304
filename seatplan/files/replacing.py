"""Replace a file as a whole or not at all.

The new bytes go into a file beside the old one, are forced onto the disk, and take its name in one step, so whatever
stops the program leaves the old file or the new one. The folder is locked meanwhile, and a file that somebody else
changed since it was read is not replaced.
"""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from seatplan.said import said

from .errors import InputError, Problem

#: how long another writer is waited for, seconds, and how often it is looked for
WAIT_S, LOOK_EVERY_S = 5.0, 0.05


class Held:
    """A file that is being changed, with the folder locked: ``raw`` is what it holds."""

    def __init__(self, name: str, file: Path) -> None:
        self.name, self.file = name, file
        with _told(name, "read"):
            self._stat = os.stat(file)
            self.raw = file.read_bytes()
        if not self._stat.st_mode & 0o222 or not os.access(file, os.W_OK):
            raise _wrong(name, said("this file may only be read; expected one that may be written"))

    def replace(self, raw: bytes) -> None:
        """Put ``raw`` in place of the file, with its permissions and, where that is allowed, its owner.

        Raises InputError and leaves the file as it is where the disk is full, the folder may not be written, or
        the file is no longer what was read.
        """
        def unchanged() -> None:
            if self.file.read_bytes() != self.raw:
                raise _wrong(
                    self.name,
                    said("this file was changed by something else meanwhile; nothing was written, try again"),
                )

        with _told(self.name, "written"):
            # the folder is locked: what lies there was left by a run that was cut off
            put(self.file, raw, self.file.with_name(f".{self.file.name}.seatplan-new"), self._stat, unchanged)


def put(file: Path, raw: bytes, beside: Path, like: os.stat_result | None = None,
        last_look: Callable[[], None] = lambda: None) -> None:
    """Put ``raw`` at a place as a whole: what was there stays until all of it is on the disk.

    ``beside`` is a name in the same folder that nobody else uses; ``like``: whose permissions and, where that is
    allowed, owner the file gets; ``last_look`` may refuse by an exception. Raises OSError. Whatever is raised, the
    place holds what it held, and nothing is left beside it.
    """
    beside.unlink(missing_ok=True)
    try:
        _write(beside, raw, like)
        last_look()
        os.replace(beside, file)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    # the new name is in the folder; that it lasts through a power cut, too, is up to the disk
    with contextlib.suppress(OSError):
        _fsync_folder(file.parent)


def _write(beside: Path, raw: bytes, like: os.stat_result | None) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    handle = os.open(beside, flags, 0o666 if like is None else 0o600)
    try:
        left = memoryview(raw)
        while left:
            left = left[os.write(handle, left):]
        if sys.platform != "win32" and like is not None:
            with contextlib.suppress(PermissionError):
                os.fchown(handle, like.st_uid, like.st_gid)
            os.fchmod(handle, stat.S_IMODE(like.st_mode))
        os.fsync(handle)
    finally:
        os.close(handle)


@contextlib.contextmanager
def held(name: str) -> Iterator[Held]:
    """The file at a path, a link followed to what it names, while nobody else of us writes in its folder.

    Raises InputError where it cannot be read or written, or another run keeps the folder for too long.
    """
    with _told(name, "read"):
        file = Path(os.path.realpath(name, strict=True))
    with _locked(name, file.parent):
        yield Held(name, file)


@contextlib.contextmanager
def _locked(name: str, folder: Path) -> Iterator[None]:
    """A lock on a folder, where the system has such locks; it goes with the program, however that ends."""
    if sys.platform == "win32":
        yield
        return
    import fcntl

    with _told(name, "written"):
        handle = os.open(folder, os.O_RDONLY)
    try:
        until = time.monotonic() + WAIT_S
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() > until:
                    raise _wrong(name, said("another `seatplan record` is writing in this folder; try again when it is "
                                            "done")) from None
                time.sleep(LOOK_EVERY_S)
            except OSError:
                break                # a file system without locks: a changed file is still noticed
        yield
    finally:
        os.close(handle)


def _fsync_folder(folder: Path) -> None:
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextlib.contextmanager
def _told(name: str, done: str) -> Iterator[None]:
    """What the system refuses, as a problem of the file."""
    try:
        yield
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None)
        reason = reason.lower() if reason else said("not a usable file name")
        raise _wrong(name, said("this file cannot be written: {reason}; nothing was written", reason=reason)
                     if done == "written" else said("this file cannot be read: {reason}", reason=reason)) from None


def _wrong(name: str, text: str) -> InputError:
    return InputError([Problem(name, 0, 0, text)])
