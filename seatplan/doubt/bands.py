"""The table of bands, ``data/bands.yaml``, and what in a record lies outside of it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import groupby
from pathlib import Path as File
from typing import Any, NamedTuple

import yaml

from seatplan.files.reading import YAML_LOADER
from seatplan.model.doubt import Path
from seatplan.model.record import Record
from seatplan.units import Stature

_FILE = File(__file__).resolve().parent.parent / "data" / "bands.yaml"
#: what an installation has of its own is like that of the mode
_ALIKE = ("modes.installations.", ("parts", "limits"))


class Odd(NamedTuple):
    """A value outside its band: ``path`` leads to the field, ``item`` into its value; ``why`` says what the band
    holds for, in a word or two."""

    path: Path
    item: tuple[int, ...]
    value: Fraction | float
    low: Fraction | float | None
    high: Fraction | float | None
    unit: str
    source: str
    why: str = ""


class Band(NamedTuple):
    """From ``low`` to ``high``, both within; 0 as well where ``zero``."""

    low: float
    high: float
    unit: str
    source: str
    zero: bool = False

    def holds(self, value: Fraction | float) -> bool:
        return self.low <= value <= self.high or (self.zero and value == 0)

    def odd(self, path: Path, item: tuple[int, ...], value: Fraction | float, why: str = "") -> Iterator[Odd]:
        """The value as an odd one; nothing where the band holds it."""
        if not self.holds(value):
            yield Odd(path, item, value, self.low, self.high, self.unit, self.source, why)


class _Entry(NamedTuple):
    band: Band
    item: str
    kind: str | None
    mode: str | None


@lru_cache(maxsize=1)
def table() -> dict[str, Any]:
    """The whole file as it is."""
    found: dict[str, Any] = yaml.load(_FILE.read_text(encoding="utf-8"), Loader=YAML_LOADER)
    return found


def band_at(*keys: str, unit: str = "mm") -> Band:
    """A band that stands at a place of the file, as a mapping."""
    found: Any = table()
    for key in keys:
        found = found[key]
    return Band(found["low"], found["high"], found.get("unit", unit), found["source"])


def number(value: Any) -> Fraction | float:
    """A value as it compares: a stature with its fraction of a mm."""
    return value.exact if isinstance(value, Stature) else value


@lru_cache(maxsize=1)
def _entries() -> dict[str, tuple[_Entry, ...]]:
    def key(entry: dict[str, Any]) -> str:
        return str(entry["field"])

    made = sorted(table()["bands"], key=key)
    return {field: tuple(
        _Entry(Band(e["low"], e["high"], e["unit"], e["source"], e.get("zero", False)), e.get("item", ""),
               e.get("kind"), e.get("mode")) for e in own) for field, own in groupby(made, key)}


def outside(record: Record, kind: str = "", at: str = "") -> Iterator[Odd]:
    """Every value of a record that lies outside the band of its field.

    ``kind``: of what kind the record is, where entries tell some apart; ``at``: where it stands in the trip.
    """
    yield from _outside(record, (), at, kind, "")


def _outside(record: Record, path: Path, name: str, kind: str, mode: str) -> Iterator[Odd]:
    mode = getattr(record, "mode", mode) if name == "modes" else mode
    for field in type(record).model_fields:
        value, here = getattr(record, field), f"{name}.{field}" if name else field
        if field == "sure" or value is None or value == () or isinstance(value, str):
            continue
        if isinstance(value, Record):
            yield from _outside(value, (*path, field), here, kind, mode)
        elif isinstance(value, list) and value and isinstance(value[0], Record):
            for k, inner in enumerate(value):
                yield from _outside(inner, (*path, field, k), here, kind, mode)
        else:
            yield from _by_entries(value, (*path, field), here, kind, mode)


def _by_entries(value: Any, path: Path, field: str, kind: str, mode: str) -> Iterator[Odd]:
    """The first entry of each item counts."""
    seen: set[str] = set()
    start, parts = _ALIKE
    if field.startswith(tuple(start + part for part in parts)):
        field = "modes." + field.removeprefix(start)
    if field.startswith(("installed.readings.", "arrived.readings.")):
        field = "tried." + field.partition(".")[2]
    for entry in _entries().get(field, ()):
        if entry.item in seen or (entry.kind and entry.kind != kind) or (entry.mode and entry.mode != mode):
            continue
        seen.add(entry.item)
        for item, own in _items(value, entry.item):
            yield from entry.band.odd(path, item, number(own))


def _items(value: Any, item: str) -> Iterator[tuple[tuple[int, ...], Any]]:
    """The parts of a value that an entry speaks of."""
    if item == "":
        yield (), value
    elif item == "span":
        yield (), value[1] - value[0]
    elif item.startswith("[]"):
        for k, inner in enumerate(value):
            for rest, own in _items(inner, item[2:]):
                yield (k, *rest), own
    else:
        k = int(item[1:-1])
        yield (k,), value[k]
