"""Sentences of the rules about the seating position."""

from __future__ import annotations

TEXT = {
    "driver-seat-taken": {
        "block": "{position} is the driver's seat",
        "pass": "drives, and this is the driver's seat",
    },
    "driver-elsewhere": {
        "block": "drives, so must sit at {limit}",
        "pass": "drives, at {limit}",
    },
    "position-not-forward-facing": {
        "block": "{position} faces the {measured}; a child needs a seat that faces forward",
        "pass": "{position} faces forward",
    },
    "fold-down-seat": {
        "block": "{position} is a fold-down seat; a child needs a fixed one",
        "pass": "{position} is a fixed seat",
    },
    "forbidden-by-handbook": {
        "block": "the vehicle handbook forbids it at {position}: {measured} (page: {page})",
        "pass": "the vehicle handbook forbids at {position}: {limit}",
    },
    "support-leg-over-floor-box": {
        "block": "no support leg may stand before {position}: there is a box in the floor",
        "caution": "the support leg needs the maker's filler in the floor box before {position}",
        "pass": "a support leg may stand before {position}",
    },
    "head-restraint-juts": {
        "caution": "the fixed head restraint at {position} juts {measured}, allowed {limit}; try "
                   "whether the "
                   "back of {restraint} still rests on the seatback",
        "block": "the fixed head restraint at {position} juts {measured}, allowed {limit}: "
                 "{shortfall} too much",
        "pass": "the head restraint at {position} is no obstacle ({juts}; comes off: {remove})",
    },
}
