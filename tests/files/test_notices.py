"""What is odd but allowed. Sources: 49 CFR 571.10, 571.208 and 571.225, as named."""


import pytest

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


def leaning(gap: str, ahead: str = "seat: 1R, ") -> list[str]:
    return odd("[c, d], tether: t3}", f"[c, d], tether: t3, ahead: {{{ahead}gap: {gap}}}}}")


def test_a_seat_ahead_that_leans_away() -> None:
    assert leaning("[[0, 700], [300, 660], [600, 701]]") == [
        "car.yaml:17:105: 701 mm are free ahead of 2R at 600 mm, and 660 mm lower down, at 300 mm; a seat in use leans "
        "towards the row behind: measure again, with 1R fully back and its back as for somebody who sits there"]


@pytest.mark.parametrize(("gap", "ahead"), [
    ("[[0, 700], [300, 660], [600, 700]]", "seat: 1R, "),            # a hollow, and what two readings may be off
    ("[[0, 700], [300, 630], [600, 560], [780, 640]]", "seat: 1R, "),        # its head restraint stands back again
    ("[[0, 640], [200, 640], [300, 880]]", ""),                      # a console
], ids=["hollow", "head restraint", "console"])
def test_a_seat_ahead_that_leans_towards_us(gap: str, ahead: str) -> None:
    assert leaning(gap, ahead) == []


def test_a_seat_that_faces_the_bench_shows_its_cushion() -> None:
    turned = CAR.replace("{position: 1R}", "{position: 1R, facing: rear}").replace(
        "[c, d], tether: t3}", "[c, d], tether: t3, ahead: {seat: 1R, gap: [[0, 800], [300, 1100]]}}")
    document = parse(turned, "car.yaml")
    assert vehicle_notices(vehicle_from(document), document) == []


def test_what_was_not_measured_is_not_odd() -> None:
    assert odd("lower_anchors: [c, d], tether: t3", "centre: 900") == []


def test_lap_belt_before_2008_is_not_odd() -> None:
    old = CAR.replace("{kind: lap-shoulder}", "{kind: lap}").replace("2015", "2007")
    document = parse(old, "car.yaml")
    assert vehicle_notices(vehicle_from(document), document) == []


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


R44 = """\
restraint: Heavy
mass: 15.1 kg
approval: {standard: UN R44, category: isofix-semi-universal, groups: [0+, I]}
modes: [{mode: rear-facing-harness, installations: [{by: lower-anchors}]}]
"""


@pytest.mark.parametrize(("old", "new", "odd_at"), [
    ("", "", ["seat.yaml:2:7"]),
    ("15.1", "15", []),
    ("isofix-semi-universal", "universal", []),
    ("[0+, I]", "[II]", []),
    ("UN R44", "UN R129", []),
    ("mass: 15.1 kg\n", "", []),
])
def test_a_heavy_isofix_restraint_of_r44(old: str, new: str, odd_at: list[str]) -> None:
    """UN R44 (04 series) 6.3.1.2: ISOFIX restraints of groups 0, 0+ and I weigh 15 kg at most."""
    document = parse(R44.replace(old, new, 1) if old else R44, "seat.yaml")
    told = [str(notice) for notice in restraint_notices(restraint_from(document), document)]
    assert [notice.partition(": ")[0] for notice in told] == odd_at
