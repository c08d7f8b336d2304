"""What nobody wrote down is never the answer that helps: a seeded tenth, trip by trip, and all of it in its own job.

``pytest tests/absence -m whole -s -n 0`` prints the table: fields, unknown when absent, exempt with why.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from absence import Told, fields, told
from pinned import GOOD, Pinned

from seatplan.files.library import names
from seatplan.files.load import load_trip
from seatplan.files.reading import YAML_LOADER

#: what is estimated may be likelier than a value beyond its ends: it is asked about in tests of its own
TRIPS = [name for name in names("trip") if load_trip(name).vehicle.not_measured is None]
_QUICK = [name for name in TRIPS if name != "nine-seat-shuttle"]         # its solve alone takes half a minute
_SEED = int(os.environ.get("SEATPLAN_SEED", "13"))
_TABLE: dict[str, Any] = yaml.load(Path(__file__).with_name("exempt.yaml").read_text(encoding="utf-8"),
                                   Loader=YAML_LOADER)


@cache
def _pinned(name: str) -> Pinned:
    return Pinned(load_trip(name))


def _told(name: str, share: float, rng: Random) -> list[Told]:
    pinned = _pinned(name)
    if pinned.verdict not in GOOD:
        return []
    return [told(pinned, field) for field in fields(pinned) if rng.random() < share]


def _entry(row: Told) -> dict[str, Any] | None:
    """The entry of the file of exemptions that speaks of a field."""
    return next((entry for entry in _TABLE["exempt"] if entry["field"] == row.field.name
                 and ("modes" not in entry or row.mode in entry["modes"])), None)


def _unlisted(rows: Iterable[Told]) -> list[str]:
    return sorted({f"{row.trip}: {row.field.path} absent: {row.without}; {row.refused!r}: {row.verdict}"
                   for row in rows if row.kind == "helps" and not _entry(row)})


def _kinds(rows: Iterable[Told]) -> dict[str, str]:
    """What each field comes to, of all its places: the gravest."""
    found: dict[str, str] = {}
    for row in rows:
        kind = row.kind
        if kind == "helps":
            kind = "exempt" if _entry(row) else "helps"
        order = ("alike", "exempt", "estimated", "unknown", "helps")
        found[row.field.name] = max(found.get(row.field.name, "alike"), kind, key=order.index)
    return found


@pytest.mark.parametrize("name", _QUICK)
def test_no_absence_helps_in_a_tenth_of_it(name: str) -> None:
    rows = _told(name, 0.1, Random(f"{_SEED} {name}"))
    assert len(rows) > 10 or _pinned(name).verdict not in GOOD
    assert _unlisted(rows) == []


def test_what_a_tenth_of_it_comes_to() -> None:
    """Some of what is asked about is unknown when absent, and some decides nothing."""
    kinds = {row.kind for row in _told("three-across-school-run", 0.1, Random(_SEED))}
    assert {"unknown", "alike"} <= kinds


@pytest.mark.whole
def test_no_absence_helps() -> None:
    rows = [row for name in TRIPS for row in _told(name, 1, Random(0))]
    kinds = _kinds(rows)
    places = Counter(row.field.name for row in rows)
    for field, kind in sorted(kinds.items()):
        print(f"{field:60} {places[field]:5} {kind}")
    helping = [row for row in rows if row.kind == "helps"]
    print()
    for entry in _TABLE["exempt"]:
        print(f"{entry['field']:60} {entry['refused']}: {entry['why']}: {entry['note']}")
    counts = Counter(kinds.values())
    print(f"\n{len(kinds)} fields at {len(rows)} places; {counts['unknown']} unknown when absent, "
          f"{counts['estimated']} estimated, {counts['exempt']} exempt with why, {counts['helps']} that help; "
          f"{counts['alike']} decide nothing in any bundled trip")
    assert _unlisted(rows) == []
    unused = [entry["field"] for entry in _TABLE["exempt"] if not any(_entry(row) is entry for row in helping)]
    assert unused == [], "exempt although no value of it refuses"


def test_every_exemption_has_a_reason() -> None:
    assert all(entry["why"] in _TABLE["reasons"] and entry["note"] and entry["refused"] for entry in _TABLE["exempt"])
    both = [(entry["field"], *entry.get("modes", ())) for entry in _TABLE["exempt"]]
    assert len(both) == len(set(both))


def test_a_field_that_helps_would_be_found() -> None:
    """With nothing listed, a value that turns down what its absence calls a fit is told."""
    pinned = _pinned("tall-driver")
    field = next(field for field in fields(pinned) if field.name == "restraints.expires")
    row = told(pinned, field)
    assert (row.kind, row.without, row.verdict) == ("helps", "fits", "rejected")
    mass = next(field for field in fields(pinned) if field.name == "riders.mass" and field.given)
    assert told(pinned, mass).without == "likely"          # by the age
    crash = next(field for field in fields(pinned) if field.name == "restraints.condition.crash" and field.given)
    assert told(pinned, crash).kind == "unknown"
