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
    "rear-facing-before-airbag": {
        "block": "the front airbag at {position} is {measured}; it would strike the back of the "
                 "shell",
        "caution": "the front airbag at {position} must be off: look at its lamp on every trip",
        "pass": "the front airbag at {position}: {measured}",
    },
    "bed-before-airbag": {
        "block": "the front airbag at {position} is {measured}; it would strike the bed",
        "caution": "the front airbag at {position} must be off: look at its lamp on every trip",
        "pass": "the front airbag at {position}: {measured}",
    },
    "child-before-airbag": {
        "caution": "the front airbag at {position} is {measured}: have that seat as far back as it goes, and do what "
                   "the handbook says of children there",
        "block": "the front airbag at {position} is {measured}; a child belongs in another row",
        "pass": "the front airbag at {position}: {measured}",
    },
    "side-airbag-in-seat": {
        "caution": "{measured}: do what the vehicle handbook says of children there, and the child does not lean on "
                   "the door",
        "block": "{measured}; a child belongs on another seat",
        "pass": "the side airbag at {position}: {measured}",
    },
    "support-leg-over-floor-box": {
        "block": "no support leg may stand before {position}: there is a box in the floor",
        "caution": "the support leg needs the maker's filler in the floor box before {position}",
        "pass": "a support leg may stand before {position}",
    },
    "head-restraint-juts": {
        "caution": "the fixed head restraint at {position} juts {measured} mm, allowed {limit} mm; try "
                   "whether the "
                   "back of {restraint} still rests on the seatback",
        "block": "the fixed head restraint at {position} juts {measured} mm, allowed {limit} mm: "
                 "{shortfall} mm too much",
        "pass": "the head restraint at {position} is no obstacle ({juts}; comes off: {remove})",
    },
}
