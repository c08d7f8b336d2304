"""Answers of classes kept on disk by content, in one SQLite file.

The key of a class is a SHA-256 over all that its answer hangs on: the content of the vehicle type, of the kinds and of
the profile with local rules, the party with ages in months or as a band, what was tried, and the version of the
program. Nothing of a booking is in it: no id, name, time or place. Each answer is written with a hash of its text and
in a transaction of its batch, so whoever is killed at any time finds all batches that were finished; an entry that is
damaged is told and asked again.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from types import TracebackType

from seatplan.files.errors import Problem, Unwritten
from seatplan.message import said
from seatplan.model import Tried

from .answers import Damaged, Json, answer_json, canonical_json, party_json, read_answer
from .classes import World
from .records import ClassAnswer, Party

#: raised where the same content is answered otherwise, or written otherwise
FORMAT = 2
#: what a database of ours says of itself, at the end of the first bytes of its file
_OURS, _HEAD = 0x73656174, 72
_MAKE = "CREATE TABLE IF NOT EXISTS answers (key TEXT PRIMARY KEY, answer TEXT NOT NULL, hash TEXT NOT NULL)"


@dataclass(slots=True)
class Keys:
    """The keys of the classes of one world, by a ``version`` of the program. What all classes of a type share is hashed
    once."""

    world: World
    version: str
    _base: dict[str, bytes] = field(default_factory=dict)

    def key(self, vehicle_type: str, party: Party) -> str:
        """The key of a class: 64 hexadecimal digits."""
        base = self._base.get(vehicle_type)
        if base is None:
            base = self._base[vehicle_type] = sha256(canonical_json(self.asked_in(vehicle_type)).encode()).digest()
        return sha256(base + canonical_json(party_json(party)).encode()).hexdigest()

    def asked_in(self, vehicle_type: str) -> Json:
        """All that an answer hangs on but the party, as plain data."""
        world = self.world
        vehicle, tried = world.types[vehicle_type], world.tried.get(vehicle_type, ())
        return {
            "format": FORMAT, "version": self.version, "vehicle": vehicle.key(), "drives": world.drives[vehicle_type],
            "kinds": {kind: restraint.key() for kind, restraint in world.kinds.items()},
            "profile": f"{world.profile.content:032x}", "tried": sorted(one.key() for one in tried),
            "driver": canonical_json(_plain(world.driver)),
            "front": canonical_json(_plain(world.front.get(vehicle_type, {}))),
            "day": world.day.isoformat() if _dated(world, vehicle_type, tried) else None,
        }


def _dated(world: World, vehicle_type: str, tried: Iterable[Tried]) -> bool:
    """Whether an answer hangs on the day: a try of a later day does not count yet, and what is built in grows old."""
    built_in = world.types[vehicle_type].built_in()
    return any(one.on is not None and one.on > world.day for one in tried) or any(
        one.made is not None or one.expires is not None for one in built_in)


def _plain(value: object) -> Json:
    """What a file may hold, as JSON."""
    if isinstance(value, Mapping):
        return {str(key): _plain(inner) for key, inner in value.items()}
    return value if value is None or isinstance(value, (bool, int, str)) else str(value)


class Kept:
    """Answers on disk. Use as a context; ``damaged`` counts entries that could not be read and will be asked again.

    ``path`` None: kept in memory, for one run. Raises Unwritten where the file cannot be used.
    """

    def __init__(self, path: Path | None) -> None:
        self.path, self.damaged = path, 0
        self._open = self._opened()

    def __enter__(self) -> Kept:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; what was put is there."""
        self._open.close()

    def get(self, key: str) -> ClassAnswer | None:
        """The answer of that key; None where there is none, or where it is damaged."""
        text = self.text(key)
        return None if text is None else read_answer(text)

    def text(self, key: str) -> str | None:
        """The same as it was written, checked."""
        try:
            row = self._open.execute("SELECT answer, hash FROM answers WHERE key = ?", (key,)).fetchone()
        except sqlite3.DatabaseError:
            self._start_anew()
            return None
        if row is None:
            return None
        text, told = row
        try:
            if not isinstance(text, str) or told != hash_of(key, text):
                raise Damaged("the entry")
            read_answer(text)
        except Damaged:
            self.damaged += 1
            with self._open:
                self._open.execute("DELETE FROM answers WHERE key = ?", (key,))
            return None
        return text

    def put(self, answers: Iterable[tuple[str, ClassAnswer]]) -> None:
        """Keep some answers, all or none. Raises Unwritten where they cannot be written."""
        rows = []
        for key, answer in answers:
            text = canonical_json(answer_json(answer))
            rows.append((key, text, hash_of(key, text)))
        try:
            with self._open:
                self._open.executemany("INSERT OR REPLACE INTO answers VALUES (?, ?, ?)", rows)
        except sqlite3.Error as wrong:
            raise self._unwritten(str(wrong)) from wrong

    def each_key(self) -> Iterator[str]:
        """The keys that there are, in order."""
        return (row[0] for row in self._open.execute("SELECT key FROM answers ORDER BY key"))

    def __len__(self) -> int:
        return int(self._open.execute("SELECT COUNT(*) FROM answers").fetchone()[0])

    def _opened(self) -> sqlite3.Connection:
        if self.path is None:
            return self._connected()
        if not self.path.exists():
            self._create(self.path)
        elif not _is_ours(self.path):
            raise self._unwritten(said("is no file of kept answers: name another one"))
        try:
            return self._connected()
        except sqlite3.DatabaseError:
            return self._replaced()

    def _create(self, path: Path) -> None:
        """Whoever runs the program alone may read it: it says of what ages the children of a fleet's families are."""
        try:
            os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
        except OSError as wrong:
            raise self._unwritten(wrong.strerror or str(wrong)) from wrong

    def _connected(self) -> sqlite3.Connection:
        try:
            opened = sqlite3.connect(":memory:" if self.path is None else self.path, timeout=60)
        except sqlite3.OperationalError as wrong:
            raise self._unwritten(str(wrong)) from wrong
        try:
            with opened:
                opened.execute(_MAKE)
                opened.execute(f"PRAGMA application_id = {_OURS}")
            opened.execute("SELECT COUNT(*) FROM answers WHERE answer = hash")
        except sqlite3.OperationalError as wrong:
            opened.close()
            raise self._unwritten(str(wrong)) from wrong
        except sqlite3.DatabaseError:
            opened.close()
            raise
        return opened

    def _unwritten(self, told: str) -> Unwritten:
        return Unwritten(Problem(str(self.path), 0, 0, told))

    def _start_anew(self) -> None:
        self._open.close()
        self._open = self._replaced()

    def _replaced(self) -> sqlite3.Connection:
        """The file is none of ours any more, or is broken: it is put aside, never thrown away."""
        assert self.path is not None
        self.damaged += 1
        aside = self.path.with_name(self.path.name + ".damaged")
        number = 1
        while aside.exists():
            number += 1
            aside = self.path.with_name(f"{self.path.name}.damaged-{number}")
        try:
            self.path.rename(aside)
        except OSError as wrong:
            raise self._unwritten(wrong.strerror or str(wrong)) from wrong
        self._create(self.path)
        return self._connected()


def _is_ours(path: Path) -> bool:
    """Whether a file is empty, or a database that this program made, whatever became of it since."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except OSError:
        return False
    return not head or (head.startswith(b"SQLite format 3\0") and head[-4:] in (_OURS.to_bytes(4, "big"), bytes(4)))


def hash_of(key: str, text: str) -> str:
    """What an entry is checked by: an answer that stands under another key is damaged, too."""
    return sha256(f"{key}\n{text}".encode()).hexdigest()
