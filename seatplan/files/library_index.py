"""What a library folder knows of its files without reading them through again: an index, which decides nothing.

Whether a text reads is a matter of the text alone, and takes long to find out. The index holds that by the hash of the
text, so that what it says of a file is either true or not found, and an answer without it is the same one. It holds no
word that a person wrote: number, kind, state, hash and time of change. It is made anew whenever it is gone, damaged or
of other modules than those that read now.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import stat
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import TypeVar

from seatplan.frozen import frozen

from .library import PACKAGE

T = TypeVar("T")
#: what decides whether a text reads
_READ = ("files/*.py", "model/*.py", "units.py", "readings.py", "written.py")
#: the file of the index
INDEX = ".seatplan-index.sqlite"
#: how long another process is waited for, seconds: whoever finds nothing reads the files
_WAIT_S = 0.5
#: what is no damage: another process writes, or nothing may be written here
_NO_DAMAGE = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN,
              sqlite3.SQLITE_FULL)
_TABLE = ("CREATE TABLE IF NOT EXISTS files (number TEXT PRIMARY KEY, kind TEXT NOT NULL, state TEXT NOT NULL,"
          " hash TEXT NOT NULL, mtime INTEGER NOT NULL, readers TEXT NOT NULL)")


@lru_cache(maxsize=1)
def _readers() -> str:
    """The modules that read files, by size and time of change: what others found is not believed."""
    told = sha256()
    for file in sorted(file for name in _READ for file in PACKAGE.glob(name)):
        there = file.stat()
        told.update(f"{file.name} {there.st_size} {there.st_mtime_ns}\n".encode())
    return told.hexdigest()


@frozen
class Row:
    """One file: ``hash`` of its bytes, ``mtime`` in nanoseconds."""

    number: str
    kind: str
    state: str
    hash: str
    mtime: int


class Index:
    """The index of a folder. No call raises: where it cannot be used, nothing is known and nothing is kept."""

    def __init__(self, folder: Path) -> None:
        self._path, self._readers = folder / INDEX, _readers()

    def known(self) -> Mapping[tuple[str, str], str]:
        """The state of a text, by kind and hash."""
        return self._with(lambda base: {(str(kind), str(digest)): str(state) for kind, digest, state in base.execute(
            "SELECT kind, hash, state FROM files WHERE readers = ?", (self._readers,))}, new=False) or {}

    def keep(self, rows: Iterable[Row], kinds: Iterable[str]) -> None:
        """Hold these rows, and no others of the same kinds."""
        told = [(row.number, row.kind, row.state, row.hash, row.mtime, self._readers) for row in rows]

        def kept(base: sqlite3.Connection) -> None:
            base.executemany("DELETE FROM files WHERE kind = ?", [(kind,) for kind in kinds])
            base.executemany("INSERT INTO files VALUES (?, ?, ?, ?, ?, ?)", told)

        self._with(kept, new=True)

    def forget(self, number: str) -> None:
        """Hold nothing of a file any more; what was held is overwritten."""
        self._with(lambda base: base.execute("DELETE FROM files WHERE number = ?", (number,)), new=False)

    def _with(self, work: Callable[[sqlite3.Connection], T], *, new: bool) -> T | None:
        """What comes of some work on the database, as one transaction; None where it cannot be used. What is damaged
        is removed."""
        base = None
        try:
            if not self._there(new):
                return None
            base = sqlite3.connect(self._path, timeout=_WAIT_S)
            # made anew whenever it is damaged: it needs to survive nothing, and leaves no file beside it
            for pragma in ("journal_mode = MEMORY", "synchronous = OFF", "secure_delete = ON", "trusted_schema = OFF"):
                base.execute(f"PRAGMA {pragma}")
            with base:
                base.execute(_TABLE)
                return work(base)
        except OSError:
            return None
        except sqlite3.Error as error:
            if (getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF) not in _NO_DAMAGE:
                with contextlib.suppress(OSError):
                    self._path.unlink()
            return None
        finally:
            if base is not None:
                base.close()

    def _there(self, new: bool) -> bool:
        """Whether there is a regular file, made where it is ``new``: its owner's alone. Raises OSError."""
        try:
            return stat.S_ISREG(os.lstat(self._path).st_mode)
        except FileNotFoundError:
            if not new:
                return False
            with contextlib.suppress(FileExistsError):
                os.close(os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
            return True
