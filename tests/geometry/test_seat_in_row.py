"""What a placement puts in the row, and which numbers a row cannot do without."""

import pytest

from seatplan.geometry.across import RowSpace, seat_of
from seatplan.geometry.shapes import Shapes
from seatplan.model import Restraint, Rider, Row

PLAYS = {"belt_play_mm": 25, "flexible_play_mm": 20, "rigid_play_mm": 5, "hand_room_mm": 40}
SHELL = {"part": "shell", "along": (0, 600), "up": (0, 560), "width": 440}
DOOR = {"name": "door", "left": 0, "right": 1360}
BELT = {"kind": "lap-shoulder", "anchors": (120, 521), "buckle": {"across": 460, "stalk": 110}}
WREN = Rider(rider="Wren", height=1200)
INES = Rider(rider="Ines", adult=True)


def row_of(trim=(DOOR,), **position):
    place = {"position": "2L", "centre": 315, "lower_anchors": ["a", "b"], "belt": BELT, **position}
    return Row(
        row=2,
        trim=list(trim),
        lower_anchors=[{"bar": "a", "across": 175}, {"bar": "b", "across": 456}],
        positions=[place, {"position": "2R", "centre": 1045, "belt": {"kind": "lap-shoulder"}}],
    )


def restraint_of(mode="forward-facing-harness", parts=(SHELL,), seat_up=None, **installation):
    return Restraint(
        restraint="Nook",
        modes=[
            {
                "mode": mode,
                "parts": list(parts),
                "seat_up": seat_up,
                "installations": [{"by": "lap-shoulder-belt", **installation}],
            }
        ],
    )


def seat_in(row, rider, restraint=None, bars=(), shapes=None, index=0):
    mode = restraint.modes[0] if restraint else None
    return seat_of(
        row,
        row.positions[index],
        rider,
        restraint,
        mode,
        mode.installations[0] if mode else None,
        bars,
        shapes or Shapes(),
        **PLAYS,
    )


def missing(row, *riders_with):
    shapes = Shapes()
    seats = [
        seat_in(row, rider, restraint, (), shapes, i) for i, (rider, restraint) in enumerate(riders_with)
    ]
    return [m.field for m in RowSpace(row, shapes).missing(seats)]


def test_the_belt_line_is_the_centre_or_else_the_middle_of_the_anchors():
    assert seat_in(row_of(), INES).centre == 2 * 315
    assert seat_in(row_of(centre=None), INES).centre == 120 + 521
    assert seat_in(row_of(centre=None, belt=None), INES).centre is None
    assert seat_in(row_of(), INES).hangs_on == "belt line of 2L"


@pytest.mark.parametrize(("connectors", "play"), [("flexible", 20), ("rigid", 5), (None, 5)])
def test_on_bars_the_middle_is_between_them(connectors, play):
    """631 / 2 mm; connectors that nobody looked at get the smaller play."""
    restraint = restraint_of(by="lower-anchors", connectors=connectors)
    found = seat_in(row_of(), WREN, restraint, ("a", "b"))
    assert (found.centre, found.play) == (175 + 456, 2 * play)


def test_an_unknown_bar_is_no_belt_line():
    assert seat_in(row_of(), WREN, restraint_of(by="lower-anchors"), ("a", "x")).centre is None


def test_play_of_the_belt_and_of_the_instructions():
    assert seat_in(row_of(), WREN, restraint_of()).play == 2 * 25
    assert seat_in(row_of(), WREN, restraint_of(play=12)).play == 2 * 12


def test_who_is_belted_in_needs_the_buckle():
    buckle = seat_in(row_of(), INES).buckle
    assert (buckle.at, buckle.room, buckle.zone.bounds) == (2 * 460, 2 * 40, (0, -50, 150, 150))
    assert seat_in(row_of(), WREN, restraint_of("high-back-booster")).buckle.at == 2 * 460
    assert seat_in(row_of(), WREN, restraint_of()).buckle is None


def test_nothing_is_missing_in_a_measured_row():
    measured = row_of()
    assert missing(measured) == []
    assert missing(measured, (WREN, restraint_of())) == []
    assert missing(measured, (WREN, restraint_of("high-back-booster", seat_up=100))) == []


@pytest.mark.parametrize(
    ("restraint", "field"),
    [
        (restraint_of(parts=[{**SHELL, "width": None}]), "width of Nook shell"),
        (restraint_of(parts=[]), "width of Nook"),
        (restraint_of("high-back-booster", parts=[], seat_up=100), "width of Nook"),
    ],
)
def test_an_unmeasured_restraint_is_missing(restraint, field):
    assert missing(row_of(), (WREN, restraint)) == [field]


def test_a_person_of_unknown_size_is_missing():
    assert missing(row_of(), (Rider(rider="Wren"), None)) == [
        "width of Wren's hips",
        "width of Wren's shoulders",
    ]


def test_an_unmeasured_middle_is_missing():
    assert missing(row_of(centre=None, belt={"kind": "lap"}), (WREN, restraint_of())) == [
        "centre of position 2L"
    ]


@pytest.mark.parametrize("buckle", [None, {"stalk": 110}, {"across": 460}, {}])
def test_the_buckle_is_missing_where_a_restraint_could_cover_it(buckle):
    row = row_of(belt={**BELT, "buckle": buckle})
    assert missing(row, (INES, None), (WREN, restraint_of())) == ["buckle place at position 2L"]
    assert missing(row, (WREN, restraint_of("backless-booster", seat_up=100))) == [
        "buckle place at position 2L"
    ]
    assert missing(row, (INES, None)) == []
    assert missing(row, (INES, None), (Rider(rider="Oslo", adult=True), None)) == []


ARMREST = {"name": "armrest", "up": (250, 420), "along": (150, 600), "left": 40, "right": 1320}
LOWER = {"name": "lower door", "up": (-100, 400), "left": 0, "right": 1360}
UPPER = {"name": "upper door", "up": (400, 900), "left": 10, "right": 1350}


@pytest.mark.parametrize(
    ("trim", "sides"),
    [
        ([], "left right"),
        ([{"name": "door", "left": 0}], "right"),
        ([{"name": "door", "right": 1360}], "left"),
        ([ARMREST], "left right"),
        ([LOWER], "left right"),
        ([LOWER, UPPER], ""),
        ([DOOR, ARMREST], ""),
        ([LOWER, {**UPPER, "right": None}], "right"),
    ],
)
def test_walls_are_missing_where_a_body_reaches_beyond_what_was_measured(trim, sides):
    expected = [f"{side} wall of row 2" for side in sides.split()]
    assert missing(row_of(trim), (WREN, restraint_of())) == expected
    assert missing(row_of(trim)) == []


def test_a_low_body_needs_the_lower_wall_only():
    low = restraint_of(parts=[{**SHELL, "up": (0, 390)}])
    assert missing(row_of([LOWER]), (WREN, low)) == []


def test_a_part_without_outline_needs_walls_everywhere():
    anywhere = restraint_of(parts=[{"part": "shell", "width": 440}])
    assert missing(row_of([LOWER, UPPER]), (WREN, anywhere)) == ["left wall of row 2", "right wall of row 2"]
    assert missing(row_of([DOOR]), (WREN, anywhere)) == []


def test_what_is_missing_never_grows_smaller_as_riders_are_added():
    row = row_of([LOWER], belt={**BELT, "buckle": None})
    alone = missing(row, (INES, None))
    assert set(alone) <= set(missing(row, (INES, None), (WREN, restraint_of())))


def test_a_row_with_every_number_but_one_still_shows_a_sum_that_does_not_come_out():
    """The left wall is unknown; two shells of 440 hung on one middle with 25 of play each cannot be."""
    row = row_of([{"name": "door", "right": 1360}])
    shapes, nook = Shapes(), restraint_of()
    seats = [seat_in(row, WREN, nook, (), shapes), seat_in(row, Rider(rider="Oslo"), nook, (), shapes)]
    space = RowSpace(row, shapes)
    assert space.missing(seats)
    assert space.shortfall(seats) == 2 * (440 - 50)


@pytest.mark.parametrize(("up", "low", "high"), [(None, 0, 560), (40, 40, 600), (-30, -30, 530)])
def test_on_a_cushion_of_its_own_a_body_stands_so_much_higher(up: int | None, low: int, high: int) -> None:
    """In the frame of the row, in which walls and neighbours are; so does the room for a hand."""
    row = row_of(cushion={"up": up})
    outline = seat_in(row, WREN, restraint_of()).shape.boxes[0].outline
    assert outline.bounds == (0, low, 600, high)
    buckle = seat_in(row, INES).buckle
    assert buckle.zone.bounds == (0, -50 + low, 150, 150 + low)


@pytest.mark.parametrize(("up", "need"), [(0, 880), (159, 880), (166, 0)])
def test_a_raised_place_passes_its_neighbour_beyond_the_tape(up: int, need: int) -> None:
    """Bases 160 mm high: from a cushion that lies 166 mm higher one stands 6 mm over the other."""
    base, shapes = {"part": "base", "along": (0, 400), "up": (0, 160), "width": 440}, Shapes()
    row = row_of(cushion={"up": up})
    left, right = (seat_in(row, WREN, restraint_of(parts=[base]), (), shapes, k) for k in (0, 1))
    assert shapes.reach(left.shape, right.shape).need == need


@pytest.mark.parametrize(("own", "turned"), [({}, False), ({"angle": 20}, True)])
def test_a_body_leans_with_the_cushion_of_its_place(own: dict, turned: bool) -> None:
    row = row_of(cushion=own)
    outline = seat_in(row, WREN, restraint_of()).shape.boxes[0].outline
    assert (outline.bounds != (0, 0, 600, 560)) is turned
