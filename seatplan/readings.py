"""What is read at the car once a restraint is in, and with the child in it: each reading once, for the boxes of the
sheet, the options of ``record``, the files and JSON.

A reading's key is its field in ``seatplan.model.Readings``; where the restraint's own instructions ask for something
else, they come first.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Reading:
    """``label`` is what its box is called, ``how`` how it is taken, one sentence; ``unit`` is empty where it is no
    number."""

    label: str
    how: str
    unit: str = ""


READINGS: dict[str, Reading] = {
    "sideways": Reading("left to right", "hold it at the belt path and pull left and right: how far it moves", "mm"),
    "forwards": Reading("forwards", "hold it at the belt path and pull forward: how far it moves", "mm"),
    "angle": Reading("angle", "on level ground, how far its back leans from upright", "°"),
    "level": Reading("level, as its indicator shows", "on level ground, whether the indicator shows what the "
                     "instructions ask for this child: yes or no"),
    "zone": Reading("zone of the indicator", "where the indicator shows zones: in which one it stands"),
    "gap_ahead": Reading("gap ahead", "how far it is from the restraint to what is ahead of it", "mm"),
    "seat_ahead": Reading("seat ahead, forward of rearmost", "how far the seat ahead stands forward of rearmost", "mm"),
    "row_forward": Reading("this row, forward of rearmost", "how far its own row stands forward of rearmost", "mm"),
    "seat_forward": Reading("this seat, forward of rearmost", "how far its own seat stands forward of rearmost", "mm"),
    "straps": Reading("straps above the seat", "from the seat surface up to where the shoulder straps leave the shell",
                      "mm"),
    "head_below_top": Reading("head below top", "how far the top of the head is below the top of the shell", "mm"),
    "belt_fits": Reading("belt low on the hips and across the shoulder", "whether the lap part lies low on the hips "
                         "and the shoulder part on the middle of the shoulder: yes or no"),
}
