"""What is odd but allowed. Sources: 49 CFR 571.3, 571.10, 571.208, 571.210 and 571.225, as named."""

from pathlib import Path

import file_samples
import pytest

from seatplan.files.check import check
from seatplan.files.load import restraint_from, trip_from, vehicle_from
from seatplan.files.notices import restraint_notices, seats_of_bench, trip_notices, vehicle_notices
from seatplan.files.reading import parse

CAR = """\
vehicle: Bench
model_year: 2015
rows:
  - row: 1
    positions:
      - {position: 1L}
      - {position: 1R}
  - row: 2
    cushion: {left: 100, right: 1150}
    lower_anchors: [{bar: a, across: 120}, {bar: b, across: 400}, 
                    {bar: c, across: 800}, {bar: d, across: 1080}]
    tethers: [{tether: t1}, {tether: t2}, {tether: t3}]
    positions:
      - {position: 2L, width: 330, lower_anchors: [a, b], tether: t1,
         belt: {kind: lap-shoulder, anchors: [100, 265]}}
      - {position: 2C, lower_anchors: none, tether: t2, belt: {kind: lap-shoulder}}
      - {position: 2R, lower_anchors: [c, d], tether: t3}
"""


def odd(old: str = "", new: str = "") -> list[str]:
    assert old in CAR
    document = parse(CAR.replace(old, new, 1), "car.yaml")
    return [str(notice) for notice in vehicle_notices(vehicle_from(document), document)]


@pytest.mark.parametrize(
    ("width", "seats"),
    [(331, 1), (699, 1), (700, 2), (1049, 2), (1050, 3), (1399, 3), (1400, 3), (1799, 3), (1800, 4)],
)
def test_seats_of_bench(width: int, seats: int) -> None:
    """49 CFR 571.10(b): N = floor(width / 350), at least 1, below 1,400 mm; floor(width / 450) from there."""
    assert seats_of_bench(width) == seats


def test_nothing_odd_at_the_limits() -> None:
    assert odd() == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "right: 1150",
            "right: 1149",
            "car.yaml:9:14: a bench 1049 mm wide counts as 2 seats (49 CFR 571.10), and here are 3",
        ),
        (
            "width: 330",
            "width: 329",
            "car.yaml:14:31: 2L is 329 mm wide; a seat has at least 330 mm (49 CFR 571.3)",
        ),
        (
            "[100, 265]",
            "[100, 264]",
            "car.yaml:15:46: belt anchors of 2L are 164 mm apart; at least 165 mm (49 CFR 571.210)",
        ),
        ("across: 400", "across: 413", "car.yaml:14:51: the bars of 2L are 293 mm apart; usually 280 mm"),
        ("across: 400", "across: 387", "car.yaml:14:51: the bars of 2L are 267 mm apart; usually 280 mm"),
        (
            "{kind: lap-shoulder}",
            "{kind: lap}",
            "car.yaml:16:70: 2C has a lap belt in a car of 2015; expected a shoulder belt (49 CFR 571.208)",
        ),
        ("[c, d]", "none", "car.yaml:4:3: 3 rear seats and lower anchors at 1; 49 CFR 571.225 asks for 2"),
        (
            "tether: t2, b",
            "tether: none, b",
            "car.yaml:4:3: 3 rear seats and tether anchors at 2; 49 CFR 571.225 asks for 3",
        ),
        (
            "    positions:\n      - {position: 1L}\n      - {position: 1R}",
            "    lower_anchors: [{bar: x, across: 900}, {bar: y, across: 1180}]\n    positions:\n"
            "      - {position: 1L}\n"
            "      - {position: 1R, lower_anchors: [x, y], airbag: {front: active}}",
            "car.yaml:8:39: 1R has lower anchors before an airbag that has no switch (49 CFR 571.225 S5(d))",
        ),
    ],
)
def test_odd_vehicle(old: str, new: str, says: str) -> None:
    assert odd(old, new) == [says]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("across: 400", "across: 412"),
        ("across: 400", "across: 388"),
        ("model_year: 2015\n", ""),
        ("right: 1150", "right: 1500"),
    ],
)
def test_not_odd(old: str, new: str) -> None:
    assert odd(old, new) == []


def test_what_was_not_measured_is_not_odd() -> None:
    assert odd("lower_anchors: [c, d], tether: t3", "centre: 900") == []


def test_lap_belt_before_2008_is_not_odd() -> None:
    old = CAR.replace("{kind: lap-shoulder}", "{kind: lap}").replace("2015", "2007")
    document = parse(old, "car.yaml")
    assert vehicle_notices(vehicle_from(document), document) == []


@pytest.mark.parametrize(("width", "count"), [(250, 0), (249, 1), (600, 0), (601, 1)])
def test_odd_restraint(width: int, count: int) -> None:
    text = file_samples.RESTRAINT.replace("width: 440", f"width: {width}").replace("width: 360", "width: 200")
    document = parse(text, "seat.yaml")
    notices = [str(notice) for notice in restraint_notices(restraint_from(document), document)]
    assert (
        notices
        == [f"seat.yaml:11:75: Sample Shell is {width} mm wide (rear-facing-harness); usually 250 to 600 mm"][
            :count
        ]
    )


def test_airbag_that_nothing_switches_off() -> None:
    car = (
        "{vehicle: X, rows: [{row: 1, positions: [{position: 1L}, {position: 1R, airbag: {front: active}}]}]}"
    )
    document = parse(
        f"trip: T\nvehicle: {car}\ndrives: 1L\nriders: [{{rider: Ines}}]\nairbags_off: [1R]\n", "t.yaml"
    )
    assert [str(notice) for notice in trip_notices(trip_from(document), document)] == [
        "t.yaml:5:15: the airbag at 1R has no switch in the vehicle file; it is taken to be on"
    ]


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
        'what.yaml:1:1: this file does not say what it is; expected key "vehicle", "restraint", "trip" '
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
        "1L is 300 mm wide; a seat has at least 330 mm (49 CFR 571.3)",
        "S is 700 mm wide (backless-booster); usually 250 to 600 mm",
    ]


@pytest.mark.parametrize(
    ("field", "says"),
    [
        ("ahead: {seat: 1L, gap: [[0, 700]], travel: 401}",
         "what is ahead of 2R travels 401 mm; usually at most 400 mm"),
        ("ahead: {gap: [[0, 700], [300, 1601]]}", "1601 mm are free ahead of 2R; usually 250 to 1600 mm"),
        ("ahead: {gap: [[0, 249]]}", "249 mm are free ahead of 2R; usually 250 to 1600 mm"),
        ("head_restraint: {top: 1001}", "the head restraint at 2R comes up to 1001 mm; usually 500 to 1000 mm"),
        ("ahead: {seat: 1L, gap: [[0, 250], [300, 1600]], travel: 400}", None),
        ("head_restraint: {top: 1000}", None),
        ("head_restraint: {juts: 20}", None),
    ],
)
def test_lengths_along_the_car(field: str, says: str | None) -> None:
    """A zero too many would let everything fit."""
    found = odd("[c, d], tether: t3}", f"[c, d], tether: t3, {field}}}")
    assert [notice.split(": ", 1)[1] for notice in found] == ([] if says is None else [says])


@pytest.mark.parametrize(
    ("field", "says"),
    [
        ("slides: 401", "row 2 slides 401 mm; usually at most 400 mm"),
        ("seatback: {height: 901}", "the seatback of row 2 is 901 mm tall; usually 350 to 900 mm"),
        ("seatback: {height: 349}", "the seatback of row 2 is 349 mm tall; usually 350 to 900 mm"),
        ("slides: 400", None),
        ("seatback: {height: 350}", None),
    ],
)
def test_rows_along_the_car(field: str, says: str | None) -> None:
    found = odd("  - row: 2\n", f"  - row: 2\n    {field}\n")
    assert [notice.split(": ", 1)[1] for notice in found] == ([] if says is None else [says])
