"""Records of plans: read back as they were, written over by nothing, and without whoever was deleted."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from invented_days import invented

from seatplan.files.errors import InputError
from seatplan.fleet.audit import Override, Recorded, forget, hash_of, keep, kept, record_of, text_of
from seatplan.fleet.planning import planned
from seatplan.fleet.records import Unserved


@pytest.fixture(scope="module")
def record() -> Recorded:
    day = invented(1, bookings=8, vehicles=3, levels=3)
    return Recorded(day.date, 0, {"bookings": hash_of(b"bookings")}, hash_of(b"rules"), "0.1.0", planned(day),
                    (Override("offer accepted", "the family asked for it", "b003"),))


def test_a_record_is_read_back_as_it_was(record: Recorded):
    assert record_of(text_of(record), "plan") == record
    assert text_of(record) == text_of(record_of(text_of(record), "plan"))


def test_a_record_of_one_reading_at_most_is_still_read(record: Recorded):
    reading = ("rider.mass", 0, "18 kg")
    unserved = {"b001": Unserved("reading", reading, "type 0", readings=(reading,)), "b002": Unserved("out of reach")}
    record = replace(record, plan=replace(record.plan, unserved=unserved))
    told = json.loads(text_of(record))
    del told["hash"]
    for why in told["plan"]["unserved"].values():
        del why["readings"]
    raw = json.dumps(told, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()
    assert record_of(json.dumps({**told, "hash": hash_of(raw)}), "plan") == record


def test_nothing_is_written_over(tmp_path: Path, record: Recorded):
    first, one = keep(tmp_path, record)
    raw = first.read_bytes()
    second, two = keep(tmp_path, replace(record, follows=one.number))
    assert first.read_bytes() == raw
    assert (one.number, two.number, two.follows) == (1, 2, 1)
    assert [file for file, _ in kept(tmp_path, record.date)] == [first, second]


def test_a_number_taken_meanwhile_is_left_alone(tmp_path: Path, record: Recorded, monkeypatch: pytest.MonkeyPatch):
    file, _ = keep(tmp_path, record)
    raw = file.read_bytes()
    monkeypatch.setattr("seatplan.fleet.audit._files", lambda folder, date: [])
    other, told = keep(tmp_path, record)
    assert other != file
    assert told.number == 2
    assert file.read_bytes() == raw


@pytest.mark.parametrize(("name", "value"), [
    ("bound", True), ("bound", "8"), ("proven", 1), ("routes", []), ("routes", {"v": [{}]}),
    ("unserved", {"b": {"why": "x"}})])
def test_a_field_of_another_type_is_no_record(record: Recorded, name: str, value: object):
    plain = json.loads(text_of(record))
    plain["plan"][name] = value
    with pytest.raises(InputError, match="no record"):
        record_of(json.dumps(plain), "plan.json")


@pytest.mark.parametrize("mangled", ["", "[]", "{}", "null", '{"hash": 1}', "{"])
def test_what_is_no_record_is_said(mangled: str):
    with pytest.raises(InputError, match="no record"):
        record_of(mangled, "plan.json")


def test_a_record_that_was_changed_is_said(record: Recorded):
    plain = json.loads(text_of(record))
    plain["plan"]["bound"] += 1
    with pytest.raises(InputError, match="was changed"):
        record_of(json.dumps(plain), "plan.json")


def test_a_deleted_booking_leaves_its_id_and_why_alone(tmp_path: Path, record: Recorded):
    keys = [leg.booking for legs in record.plan.routes.values() for leg in legs]
    for key in (keys[0], *list(record.plan.unserved)[:1], "b003"):
        file, _ = keep(tmp_path, record)
        before = json.loads(file.read_text())["hash"]
        assert file in forget(tmp_path, [key], "asked for by the family", "2026-12-01")
        after = record_of(file.read_text(), str(file))
        text = file.read_text()
        assert text.count(key) == 1
        assert [(one.booking, one.why, one.on, one.was) for one in after.deleted] == [
            (key, "asked for by the family", "2026-12-01", before)]
        assert key not in {leg.booking for legs in after.plan.routes.values() for leg in legs}
        assert forget(tmp_path, [key], "again", "2026-12-02") == []
