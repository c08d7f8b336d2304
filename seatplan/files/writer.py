"""The one way in which anything is written: a regular file as a whole or not at all, a pipe or a device as a stream.

The new bytes go into a file beside the old one, are forced onto the disk, and take its name in one step, so whatever
stops the program leaves the old file or the new one. The folder is locked meanwhile, itself and not by a file in it:
that works where nothing may be written, leaves nothing behind, and nobody can delete it. Only a regular file of one's
own that may be written to is ever replaced, whoever runs the program: root, too, is held to owner and mode. A link is
followed to what it names.
"""

from __future__ import annotations

import contextlib
import os
import signal
import stat
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from seatplan.frozen import frozen
from seatplan.message import said

from .errors import InputError, Problem, Unwritten
from .versions import Changed, version_of

#: how long another writer is waited for, seconds, and how often it is looked for: one that writes on and on leaves
#: the folder for an instant only
WAIT_S, LOOK_EVERY_S = 15.0, 0.001


@frozen
class Place:
    """Where something may be written. ``name``: as it was given; ``file``: with links followed; ``there``: what is
    there now, None where nothing is."""

    name: str
    file: Path
    there: os.stat_result | None

    @property
    def is_file(self) -> bool:
        return self.there is not None and stat.S_ISREG(self.there.st_mode)

    @property
    def is_folder(self) -> bool:
        return self.there is not None and stat.S_ISDIR(self.there.st_mode)


def place_of(name: str) -> Place:
    """What a path names, a folder too. Raises Unwritten where nothing can be written there: a file of somebody else
    or one that may only be read, a folder that is not there or may only be read, a link to itself, a disk."""
    with _written(name):
        try:
            there = os.stat(name)
        except FileNotFoundError:
            there = None
        if there is not None and not stat.S_ISREG(there.st_mode):
            if not (stat.S_ISFIFO(there.st_mode) or stat.S_ISCHR(there.st_mode) or stat.S_ISDIR(there.st_mode)):
                raise _unwritten(name, said("neither a file nor a pipe nor a character device; nothing was written"))
            return Place(name, Path(name), there)
        if not os.path.isabs(name):
            _current_folder(name)
        file = Path(os.path.realpath(name))
        if there is not None:
            _may_be_replaced(name, there)
        _may_hold_files(name, file if name.endswith("/") else file.parent)
        return Place(name, file, there)


def start_of(place: Place, letters: int) -> str:
    """How a regular file begins. Raises Unwritten where that cannot be read: what it is decides about writing."""
    with _written(place.name), place.file.open(encoding="utf-8", errors="replace") as file:
        return file.read(letters)


def write(place: Place, text: str, last_look: Callable[[], None] = lambda: None, *, new: bool = False,
          private: bool = False) -> None:
    """Write a document: in place of a file as a whole, or into a pipe or a device as it comes.

    ``last_look`` may refuse by an exception, when all of a file is on the disk and before it takes its name. ``new``:
    it takes the place of nothing, whatever came there meanwhile. ``private``: only its owner may read it. Raises
    Unwritten; then a file that was there is as it was, and nothing is left beside it.
    """
    if place.there is not None and not place.is_file:
        try:
            _pour(place.name, text.encode())
        except OSError as error:
            raise _unwritten(place.name, said("cannot be written to: {reason}", reason=_reason(error))) from None
        return
    with _locked(place.name, place.file.parent), _written(place.name):
        _put(place.file, text.encode(), place.there, last_look, new=new, private=private)


class Held:
    """A file that is being changed, with the folder locked: ``raw`` is what it holds."""

    def __init__(self, name: str, file: Path) -> None:
        self.name, self.file = name, file
        with _read(name):
            self._stat = os.stat(file)
            if not stat.S_ISREG(self._stat.st_mode) and not stat.S_ISDIR(self._stat.st_mode):
                raise InputError([Problem(name, 0, 0, said("neither a file nor a folder; expected a trip file"))])
            self.raw = file.read_bytes()
        _may_be_replaced(name, self._stat)

    def replace(self, raw: bytes) -> None:
        """Put ``raw`` in place of the file, with its permissions and, where that is allowed, its group.

        Raises Unwritten where the disk is full or the folder may not be written, and Changed where the file is no
        longer what was read; then it is left as it is.
        """
        def unchanged() -> None:
            try:
                there = self.file.read_bytes()
            except FileNotFoundError:
                there = None
            if there != self.raw:
                raise Changed(self.name, version_of(self.raw), there, raw)

        with _written(self.name):
            _may_hold_files(self.name, self.file.parent)
            _put(self.file, raw, self._stat, unchanged)


def found(name: str) -> Path:
    """A file that is there, links followed. Raises InputError where it is not."""
    with _read(name):
        return Path(os.path.realpath(name, strict=True))


@contextlib.contextmanager
def held(name: str) -> Iterator[Held]:
    """The file at a path, a link followed to what it names, while nobody else of us writes in its folder.

    Raises InputError where it cannot be read, Unwritten where it cannot be written or another run keeps the folder for
    too long.
    """
    file = found(name)
    with _locked(name, file.parent):
        yield Held(name, file)


def _may_be_replaced(name: str, there: os.stat_result) -> None:
    """Raises Unwritten unless a regular file is one's own and its owner may write to it."""
    if sys.platform != "win32" and there.st_uid != os.geteuid():
        raise _unwritten(name, said("this file belongs to somebody else; nothing was written"))
    if not there.st_mode & stat.S_IWUSR:
        raise _unwritten(name, said("this file may only be read; expected one that may be written"))


def _may_hold_files(name: str, folder: Path) -> None:
    try:
        mode = os.stat(folder).st_mode
    except FileNotFoundError:
        raise _unwritten(name, said("the folder is not there; expected a file in a folder that is")) from None
    if not mode & 0o222 or not os.access(folder, os.W_OK | os.X_OK):
        raise _unwritten(name, said("the folder may only be read; expected one that may be written to"))


def _current_folder(name: str) -> None:
    try:
        os.getcwd()
    except FileNotFoundError:
        raise _unwritten(name, said("the current folder is no longer there; expected a path from the root")) from None


def _put(file: Path, raw: bytes, like: os.stat_result | None, last_look: Callable[[], None], *,
         new: bool = False, private: bool = False) -> None:
    """Put ``raw`` at a place as a whole: what was there stays until all of it is on the disk.

    ``like``: whose permissions and, where that is allowed, group the file gets; ``new``: nothing may be there;
    ``private``: it is its owner's alone. Raises OSError. Whatever is raised, the place holds what it held, and nothing
    is left beside it.
    """
    # the folder is locked: what lies there was left by a run that was cut off
    beside = file.with_name(f".{file.name}.seatplan-new")
    beside.unlink(missing_ok=True)
    with _stopped_after():
        try:
            _write(beside, raw, like, 0o600 if private else None)
            last_look()
            if new:
                _name_new(beside, file)
            else:
                os.replace(beside, file)
        except BaseException:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
            raise
    # the new name is in the folder; that it lasts through a power cut, too, is up to the disk
    with contextlib.suppress(OSError):
        _fsync_folder(file.parent)


def _name_new(beside: Path, file: Path) -> None:
    """Give a file a name that nothing has. Raises FileExistsError."""
    try:
        os.link(beside, file)
    except FileExistsError:
        raise
    except OSError:                                # a file system where no file has two names
        os.close(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        os.replace(beside, file)
    else:
        beside.unlink()


@contextlib.contextmanager
def _stopped_after() -> Iterator[None]:
    """A stop (Ctrl-C) waits until what is inside is done, wherever a handler can be set: in the main thread."""
    stops: list[int] = []
    try:
        before = signal.signal(signal.SIGINT, lambda number, frame: stops.append(number))
    except ValueError:
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        if stops:
            signal.raise_signal(signal.SIGINT)


def _write(beside: Path, raw: bytes, like: os.stat_result | None, mode: int | None) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    handle = os.open(beside, flags, 0o666 if like is None and mode is None else 0o600)
    try:
        _all_of(handle, raw)
        if sys.platform != "win32" and like is not None:
            with contextlib.suppress(PermissionError):
                os.fchown(handle, like.st_uid, like.st_gid)
            os.fchmod(handle, stat.S_IMODE(like.st_mode) if mode is None else mode)
        os.fsync(handle)
    finally:
        os.close(handle)


def _pour(name: str, raw: bytes) -> None:
    """Into what is there; nothing is made where it has gone."""
    handle = os.open(name, os.O_WRONLY | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0))
    try:
        _all_of(handle, raw)
    finally:
        os.close(handle)


def _all_of(handle: int, raw: bytes) -> None:
    left = memoryview(raw)
    while left:
        left = left[os.write(handle, left):]


@contextlib.contextmanager
def alone_at(names: Iterable[str]) -> Iterator[None]:
    """Nobody else of us writes in the folders of some files meanwhile. Raises InputError, Unwritten as ``held``."""
    with contextlib.ExitStack() as stack:
        for folder, name in sorted({found(name).parent: name for name in names}.items()):
            stack.enter_context(_locked(name, folder))
        yield


@contextlib.contextmanager
def alone_in(folder: str) -> Iterator[None]:
    """Nobody else of us writes in a folder meanwhile. Raises Unwritten."""
    with _locked(folder, Path(folder)):
        yield


def remove(name: str, beside: Iterable[Path] = ()) -> None:
    """Remove a file of one's own, and before it what lies ``beside`` it. Raises InputError where it is not there,
    Unwritten."""
    with held(name) as one, _written(name):
        _may_hold_files(name, one.file.parent)
        for path in (*beside, one.file):
            path.unlink(missing_ok=True)
        with contextlib.suppress(OSError):
            _fsync_folder(one.file.parent)


class _Mine(threading.local):
    """The folders that this thread has locked: it may lock them again."""

    def __init__(self) -> None:
        self.folders: set[Path] = set()


_MINE = _Mine()
#: for each folder that this program wrote in, whose turn it is there
_TURNS: dict[Path, threading.Lock] = {}


@contextlib.contextmanager
def _locked(name: str, folder: Path) -> Iterator[None]:
    """A lock on a folder, where the system has such locks; it goes with the program, however that ends."""
    folder = Path(os.path.realpath(folder))
    if sys.platform == "win32" or folder in _MINE.folders:
        yield
        return
    with _written(name):
        handle = os.open(folder, os.O_RDONLY)
    try:
        until = time.monotonic() + WAIT_S
        with _turn_in(name, folder):
            _wait_for(name, handle, until)
            _MINE.folders.add(folder)
            try:
                yield
            finally:
                _MINE.folders.discard(folder)
    finally:
        os.close(handle)


@contextlib.contextmanager
def _turn_in(name: str, folder: Path) -> Iterator[None]:
    """The turn of this thread among those of the program: only one of them looks for the lock of the folder."""
    turn = _TURNS.setdefault(folder, threading.Lock())
    if not turn.acquire(timeout=WAIT_S):
        raise _somebody_writes(name)
    try:
        yield
    finally:
        turn.release()


def _wait_for(name: str, handle: int, until: float) -> None:
    import fcntl

    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        except BlockingIOError:
            if time.monotonic() > until:
                raise _somebody_writes(name) from None
            time.sleep(LOOK_EVERY_S)
        except OSError:
            return                   # a file system without locks: a changed file is still noticed


def _somebody_writes(name: str) -> Unwritten:
    return _unwritten(name, said("another `seatplan` is writing in this folder; try again when it is done"))


def _fsync_folder(folder: Path) -> None:
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextlib.contextmanager
def _read(name: str) -> Iterator[None]:
    """What the system refuses to read, as a problem of the file."""
    try:
        yield
    except (OSError, ValueError) as error:
        raise InputError([
            Problem(name, 0, 0, said("this file cannot be read: {reason}", reason=_reason(error)))]) from None


@contextlib.contextmanager
def _written(name: str) -> Iterator[None]:
    """What the system refuses to write, as a problem of the place."""
    try:
        yield
    except (OSError, ValueError) as error:
        raise _unwritten(name, said("this file cannot be written: {reason}; nothing was written",
                                    reason=_reason(error))) from None


def _reason(error: OSError | ValueError) -> str:
    reason = getattr(error, "strerror", None)
    return reason.lower() if reason else said("not a usable file name")


def _unwritten(name: str, text: str) -> Unwritten:
    return Unwritten(Problem(name, 0, 0, text))
