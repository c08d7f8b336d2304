"""Whether a copy may stand for its kind: by the rules' own words for dates and condition, and by quarantine."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from fleet_samples import DAY, FLEET, written

from seatplan.files.fleet_file import load_fleet
from seatplan.fleet.copies import RULES, Copies
from seatplan.fleet.reading import copies_of
from seatplan.fleet.records import CopyUnit
from seatplan.rules.load import load_profile
from seatplan.rules.registry import RULES as ALL_RULES
from seatplan.rules.restraint_condition import known_unfit
from seatplan.views.words import sentence

PROFILE = load_profile("us")
MORNING, NOON, EVENING = (datetime(2026, 11, 30, hour) for hour in (8, 12, 20))


def copies(folder: Path, changed: str) -> Copies:
    """The fleet in which the first copy is written otherwise."""
    text = FLEET.replace("made: 2025-01-15, in_order: yes}", changed + "}", 1)
    return Copies(load_fleet(str(written(folder, text)), DAY), PROFILE)


@pytest.mark.parametrize(("changed", "keys"), [
    ("made: 2025-01-15, in_order: yes", []),
    ("made: 2025-01-15, condition: {crash: none, recall: none, labels: readable, history: known}", []),
    ("made: 2025-01-15, condition: {crash: none, recall: remedied, labels: readable, history: known}", []),
    ("made: 2025-01-15", ["restraint-crashed", "restraint-recalled", "restraint-labels-missing",
                          "restraint-history-unknown"]),
    ("in_order: yes", []),
    ("condition: {crash: none, recall: none, labels: readable, history: known}", ["restraint-expired"]),
    ("made: 2001-01-15, in_order: yes", ["restraint-expired"]),
    ("expires: 2026-11-29, in_order: yes", ["restraint-expired"]),
    ("expires: 2026-11-30, in_order: yes", []),
    ("made: 2025-01-15, in_order: yes, condition: {crash: minor}", ["restraint-crashed", "restraint-recalled",
                                                                    "restraint-labels-missing",
                                                                    "restraint-history-unknown"]),
    ("made: 2025-01-15, condition: {crash: severe, recall: open, labels: missing, history: unknown}",
     ["restraint-crashed", "restraint-recalled", "restraint-labels-missing", "restraint-history-unknown"]),
    ("made: 2025-01-15, condition: {crash: unknown, recall: unknown, labels: unknown, history: known}",
     ["restraint-crashed", "restraint-recalled", "restraint-labels-missing"]),
    ("made: 2025-01-15, in_order: yes, quarantine: [{why: recall, from: 2026-11-01}]", ["quarantine-recall"]),
    ("made: 2025-01-15, in_order: yes, quarantine: [{why: crash, from: 2026-11-30 10:00}]", []),
    ("made: 2025-01-15, in_order: yes, quarantine: [{why: cleaning, from: 2026-11-30, until: 2026-11-30 08:00}]", []),
    ("made: 2025-01-15, in_order: yes, quarantine: [{why: cleaning, from: 2026-11-30, until: 2026-11-30 08:01}]",
     ["quarantine-cleaning"]),
    ("made: 2025-01-15, in_order: yes, quarantine: [{why: cleaning, from: 2026-11-28, until: 2026-11-29}]", []),
])
def test_why_a_copy_may_not_stand_for_its_kind(tmp_path: Path, changed: str, keys: list[str]) -> None:
    store = copies(tmp_path, changed)
    copy = store.fleet.copies[0]
    refused = store.refused(copy, MORNING, MORNING.replace(hour=10))
    assert [one.key for one in refused] == keys
    for one in refused:
        assert (one.finding is None) != (one.quarantine is None)
        if one.finding is not None and one.finding.outcome == "block":
            assert "S1" in sentence(one.finding)
    # nothing that a family would be refused or cautioned of stands for a kind
    if known_unfit(store.restraint(copy), DAY):
        assert keys


def test_all_rules_about_a_restraint_alone_are_asked() -> None:
    """Those that look at the restraint and nothing else; what it was approved to is a matter of its kind."""
    alone = {rule.id for rule in ALL_RULES if rule.scope == "placement" and rule.depends == ("restraint",)}
    assert alone - set(RULES) == {"approved-elsewhere"}


def test_a_booking_that_ends_after_the_last_day(tmp_path: Path) -> None:
    store = copies(tmp_path, "expires: 2026-11-30, in_order: yes")
    late = datetime(2026, 12, 1, 0, 30)
    assert [one.key for one in store.refused(store.fleet.copies[0], EVENING, late)] == ["restraint-expired"]


def test_what_the_kinds_file_says_of_its_own_piece_is_not_said_of_a_copy(tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text("restraint: Own\nkind: backless\nin_order: yes\nmade: 2025-01-01\n"
                                       "expires_after: 8y\n", encoding="utf-8")
    text = FLEET.replace("restraint: perch-slim", "restraint: own.yaml").replace("made: 2024-05-05, in_order: yes", "")
    store = Copies(load_fleet(str(written(tmp_path, text)), DAY), PROFILE)
    assert len(store.refused(store.fleet.copies[2], MORNING, NOON)) == 5


def unit(folder: Path, changed: str, latest: int = 0) -> CopyUnit:
    return copies_of(copies(folder, changed).fleet, PROFILE, DAY, latest)[0]


def test_a_copy_of_a_plans_day(tmp_path: Path) -> None:
    good = unit(tmp_path, "made: 2025-01-15, in_order: yes")
    assert (good.key, good.depot, good.vehicle, good.since) == ("S1", "Yard", "", None)
    assert (good.usable, good.why_not) == (True, "")
    assert good.last > "2027"
    assert good.kind == load_fleet(str(written(tmp_path)), DAY).kind("shell").restraint.key()
    cleaned, booster = copies_of(load_fleet(str(written(tmp_path)), DAY), PROFILE, DAY)[1:]
    assert (cleaned.vehicle, cleaned.position, cleaned.depot, cleaned.usable, cleaned.since) == (
        "V1", "2R", "Yard", True, 12 * 60)
    assert (booster.depot, booster.position) == ("Quay", "")


@pytest.mark.parametrize(("quarantine", "latest", "usable", "since"), [
    ("{why: cleaning, from: 2026-11-30 10:00, until: 2026-11-30 11:00}", 0, False, None),      # begins in the day
    ("{why: cleaning, from: 2026-11-29, until: 2026-11-30 11:00}", 0, True, 660),
    ("{why: cleaning, from: 2026-11-29, until: 2026-11-30}", 0, False, None),
    ("{why: recall, from: 2026-11-29}", 0, False, None),
    ("{why: recall, from: 2026-12-01}", 0, True, None),
    ("{why: recall, from: 2026-12-01}", 1470, False, None),                 # a booking goes on after midnight
    ("{why: cleaning, from: 2026-11-28, until: 2026-11-29}", 0, True, None),
])
def test_quarantine_in_a_plans_day(tmp_path: Path, quarantine: str, latest: int, usable: bool,
                                   since: int | None) -> None:
    found = unit(tmp_path, f"made: 2025-01-15, in_order: yes, quarantine: [{quarantine}]", latest)
    assert (found.usable, found.since) == (usable, since)
    assert bool(found.why_not) is not usable


@pytest.mark.parametrize("minute", range(0, 1440, 97))
def test_a_unit_is_never_usable_where_the_copy_is_refused(tmp_path: Path, minute: int) -> None:
    """Of the day's plan and of a single booking the stricter counts."""
    hour, rest = divmod(minute, 60)
    start = datetime(2026, 11, 30, hour, rest)
    end = start.replace(hour=23, minute=59)
    for text in ("{why: cleaning, from: 2026-11-30, until: 2026-11-30 09:42}",
                 "{why: crash, from: 2026-11-30 15:15}", "{why: recall, from: 2026-11-20, until: 2026-11-30 18:00}"):
        store = copies(tmp_path, f"made: 2025-01-15, in_order: yes, quarantine: [{text}]")
        found = copies_of(store.fleet, PROFILE, DAY)[0]
        if store.refused(store.fleet.copies[0], start, end):
            assert not found.usable or (found.since or 0) > minute
