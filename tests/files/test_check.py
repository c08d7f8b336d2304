"""What ``seatplan check`` finds in files of every kind: errors, what is odd, what is unlikely."""

from pathlib import Path

import file_samples
import pytest
from test_notices import CAR

from seatplan.doubt.check import check


def test_check_reports_every_kind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    files = {
        "car.yaml": CAR.replace("width: 330", "width: 300"),
        "seat.yaml": file_samples.RESTRAINT,
        "trip.yaml": file_samples.TRIP.replace("at: [2L, 2R]", "at: [9Z]"),
        "rules.yaml": "profile: mine\n",
        "what.yaml": "name: x\n",
        "rows.yaml": "rows: []\n",
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    reports = check([*files, "none.yaml"])
    assert [(report.path, report.kind) for report in reports] == [
        ("car.yaml", "vehicle"),
        ("seat.yaml", "restraint"),
        ("trip.yaml", "trip"),
        ("rules.yaml", "profile"),
        ("what.yaml", ""),
        ("rows.yaml", "vehicle"),
        ("none.yaml", ""),
    ]
    assert [len(report.problems) for report in reports] == [0, 0, 1, 0, 1, 2, 1]
    assert [len(report.notices) for report in reports] == [1, 0, 0, 0, 0, 0, 0]
    assert str(reports[4].problems[0]) == (
        'what.yaml:1:1: this file does not say what it is; expected key "vehicle", "restraint", "trip", "fleet" '
        'or "profile", '
        "with the name"
    )
    assert str(reports[6].problems[0]) == "none.yaml: there is no such file"


def test_check_tells_what_is_odd_in_an_inline_vehicle_and_restraint() -> None:
    seat = (
        "{restraint: S, modes: [{mode: backless-booster, parts: [{part: p, width: 700}], "
        "installations: [{by: lap-belt}]}]}"
    )
    car = "{vehicle: X, rows: [{row: 1, positions: [{position: 1L, width: 300}]}]}"
    document = f"trip: T\nvehicle: {car}\nrestraints: [{seat}]\ndrives: 1L\nriders: [{{rider: Ines}}]\n"
    import io
    from types import SimpleNamespace

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.stdin", SimpleNamespace(buffer=io.BytesIO(document.encode())))
        [report] = check(["-"])
    assert (report.path, report.kind, report.problems) == ("stdin", "trip", [])
    assert [notice.text for notice in report.notices] == [
        "width of position 1L is 300: unlikely (330 to 700 mm); it counts as unknown until `sure: {width: 300}` stands "
        "beside it",
        "width of restraint S, mode backless-booster, part p is 700: unlikely (180 to 620 mm); it counts as unknown "
        "until `sure: {width: 700}` stands beside it",
    ]


def test_a_body_is_told_with_its_age_and_what_to_write(tmp_path: Path) -> None:
    trip = tmp_path / "trip.yaml"
    trip.write_text("trip: T\nvehicle: pipkin-hatch\ndrives: 1L\non: 2026-11-28\nriders:\n"
                    "  - {rider: Wren, born: 2023-11-01, mass: 37.2 kg, height: 960}\n", encoding="utf-8")
    [report] = check([str(trip)])
    assert [str(notice).split(":", 1)[1] for notice in report.notices] == [
        "6:43: mass of rider Wren is 37.2 kg: unlikely for 3 years (10.2 to 22.3 kg); it counts as unknown until "
        "`sure: {mass: 37.2 kg}` stands beside it"]
