"""What is read at the car once a restraint is in, and with the child in it: each reading once, for the boxes of the
sheet, the options of ``record``, the files and JSON.

A reading's key is its field in ``seatplan.model.Readings``; where the restraint's own instructions ask for something
else, they come first.
"""

from __future__ import annotations

from seatplan.frozen import frozen


@frozen
class Reading:
    """``label`` is what its box is called, ``how`` how it is taken, one sentence; ``unit`` is empty where it is no
    number; ``kind`` says what may stand there."""

    label: str
    how: str
    unit: str = ""
    kind: str = "length"


READINGS: dict[str, Reading] = {
    "sideways": Reading("left to right", "How far it moves left and right, held and pulled at the belt path.", "mm"),
    "forwards": Reading("forwards", "How far it moves forwards, held and pulled at the belt path.", "mm"),
    "moved": Reading("moved", "How far it moved at the belt path, held and pulled: the larger of both directions, in "
                     'whole millimetres, such as 12, or with a unit, such as "3.8 cm" or "1 1/2 in".', "mm"),
    "level": Reading("level", "What the indicator on the restraint said, for this child, on level ground.",
                     kind="yes or no"),
    "angle": Reading("angle", "How far its back leans from upright, in degrees, on level ground.", "°", "angle"),
    "zone": Reading("zone", "Where the indicator shows zones: in which one it stands.", kind="words"),
    "gap_ahead": Reading("gap ahead", "How far it is from the restraint to what is ahead of it.", "mm"),
    "seat_ahead": Reading("seat ahead, forward of rearmost", "How far the seat ahead stands forward of rearmost.",
                          "mm"),
    "row_forward": Reading("this row, forward of rearmost", "How far its own row stands forward of rearmost.", "mm"),
    "seat_forward": Reading("this seat, forward of rearmost", "How far its own seat stands forward of rearmost.",
                            "mm"),
    "straps": Reading("straps above the seat", "How far above the seat surface the shoulder straps leave the shell.",
                      "mm"),
    "head_below_top": Reading("head below top", "How far the top of the head is below the top of the shell.", "mm"),
    "belt_fits": Reading("belt fits", "Whether the lap part lies low on the hips and the shoulder part on the middle "
                         "of the shoulder; of a vest or a shield, whether the belt runs as its instructions show.",
                         kind="yes or no"),
}
