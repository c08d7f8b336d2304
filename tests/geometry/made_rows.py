"""Made-up rows of a car and bodies in them, for the tests of this folder. All lengths in mm."""

from itertools import pairwise

from hypothesis import strategies as st

from seatplan.geometry.across import Body, BuckleClearance
from seatplan.geometry.shapes import Box, Shape, side_box
from seatplan.model import Row

NAMES = "LCR"
BUCKLE_ZONE = ((0, 150), (-50, 150))


def made_row(trim=({"name": "door", "left": 0, "right": 1360},), positions=3, **fields):
    return Row(
        row=2, trim=list(trim), positions=[{"position": f"2{NAMES[i]}"} for i in range(positions)], **fields
    )


def body(name, *parts):
    """``parts``: (along, up, width), or (along, up, width, spread) of a person's."""
    return Shape(
        name,
        tuple(
            Box(
                f"{name} part {i}", side_box(along, up), width, *spread, person=bool(spread)
            )
            for i, (along, up, width, *spread) in enumerate(parts)
        ),
    )


def seat(rider, position, shape, centre, play=25, buckle=None, room=40):
    """One body; ``centre`` may end in .5."""
    reach = None
    if buckle is not None:
        reach = BuckleClearance(2 * buckle, 2 * room, side_box((0, 110 + room), (-50, 150)), position)
    return Body(
        rider,
        position,
        shape,
        None if centre is None else int(2 * centre),
        2 * play,
        f"belt line of {position}",
        reach,
    )


def block(name, width):
    """A plain body that is as wide everywhere."""
    return body(name, ((0, 700), (0, 600), width))


LOW_AND_HIGH = st.tuples(st.integers(-10, 60), st.integers(1, 50)).map(
    lambda t: (10 * t[0], 10 * (t[0] + t[1]))
)


@st.composite
def bodies(draw, name):
    parts = [
        (draw(LOW_AND_HIGH), draw(LOW_AND_HIGH), draw(st.integers(200, 500)))
        for _ in range(draw(st.integers(1, 3)))
    ]
    if draw(st.booleans()):
        parts.append(((-150, 250), (100, 600), draw(st.integers(250, 520)), draw(st.integers(0, 60))))
    return body(name, *parts)


@st.composite
def filled_rows(draw):
    """(width, trims as dicts, seats left to right) of a row, at times too narrow, some centres unknown."""
    count = draw(st.integers(1, 4))
    width = draw(st.integers(380, 520)) * count + draw(st.integers(-150, 150))
    trim = [{"name": "door", "left": draw(st.integers(-20, 20)), "right": width}]
    if draw(st.booleans()):
        trim.append(
            {
                "name": "armrest",
                "left": draw(st.integers(20, 60)),
                "right": width - draw(st.integers(0, 80)),
                "up": draw(LOW_AND_HIGH),
                "along": draw(LOW_AND_HIGH),
            }
        )
    seats = []
    for i in range(count):
        middle = width * (2 * i + 1) // (2 * count) + draw(st.integers(-60, 60))
        centre = None if draw(st.integers(0, 7)) == 0 else middle
        buckle = (
            middle + draw(st.sampled_from([-1, 1])) * draw(st.integers(120, 260))
            if draw(st.booleans())
            else None
        )
        seats.append(
            seat(
                f"rider {i}",
                f"2{'LCRX'[i]}",
                draw(bodies(f"body {i}")),
                centre,
                draw(st.integers(0, 60)),
                buckle,
                draw(st.integers(0, 60)),
            )
        )
    return width, trim, seats


def rectangles_near(a, b, tolerance):
    """Whether two upright rectangles in side view come within a tolerance; bounds (x0, y0, x1, y1)."""
    gaps = [max(0, b[k] - a[k + 2], a[k] - b[k + 2]) for k in (0, 1)]
    return gaps[0] ** 2 + gaps[1] ** 2 <= tolerance**2


def faults(trim, seats, middles):
    """What is wrong with a row whose middles stand there (half-mm), from the blocks themselves: a list of
    words.

    Knows nothing of separations: it looks at every part of every body where it stands.
    """
    found = []
    placed = [
        (s, p, m - p.width, m + p.width, p.outline.bounds)
        for s, m in zip(seats, middles, strict=True)
        for p in s.shape.boxes
    ]
    for i, (s, p, left, right, side) in enumerate(placed):
        for wall in trim:
            along, up = wall.get("along", (-9999, 9999)), wall.get("up", (-9999, 9999))
            if not rectangles_near(side, (along[0], up[0], along[1], up[1]), 5):
                continue
            if left < 2 * wall["left"] or right > 2 * wall["right"]:
                found.append(f"{p.label} in {wall['name']}")
        found += [
            f"{p.label} in {q.label}"
            for t, q, other_left, other_right, other_side in placed[i + 1 :]
            if t is not s
            and rectangles_near(side, other_side, 5)
            and left < other_right
            and other_left < right
        ]
        found += [
            f"{p.label} at the buckle of {t.rider}"
            for t in seats
            if t.buckle is not None
            and not p.person
            and rectangles_near(side, t.buckle.zone.bounds, 5)
            and covers_buckle(t, s, left, right, seats)
        ]
    for s, m in zip(seats, middles, strict=True):
        if s.centre is not None and abs(m - s.centre) > s.play:
            found.append(f"{s.rider} beyond its play")
    if any(a > b for a, b in pairwise(middles)):
        found.append("out of order")
    return found


def covers_buckle(owner, other, left, right, seats):
    """Whether a part from left to right (half-mm) keeps a hand from the owner's buckle."""
    buckle = owner.buckle
    if other is owner:
        return owner.centre is not None and (
            right > buckle.at if buckle.at >= owner.centre else left < buckle.at
        )
    if seats.index(owner) < seats.index(other):
        return left < buckle.at + buckle.room
    return right > buckle.at - buckle.room
