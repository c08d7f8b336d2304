"""Sentences of the rules about the seating position, what was tried there, and wishes for it."""

from __future__ import annotations

TEXT = {
    "driver-seat-taken": {
        "block": "{measured} cannot be: the driver sits at the driver's seat and nowhere else",
        "pass": "does not want the driver's seat",
    },
    "position-not-forward-facing": {
        "block": "{position} faces {measured}; a child needs a seat that faces forward",
        "pass": "{position} faces forward",
    },
    "fold-down-seat": {
        "block": "{position} is a fold-down seat; a child needs a fixed one",
        "pass": "{position} is a fixed seat",
    },
    "forbidden-by-handbook": {
        "block": "the vehicle handbook forbids it at {position}: {measured}",
        "pass": "the vehicle handbook forbids only {limit} at {position}",
    },
    "rear-facing-before-airbag": {
        "block": "the front airbag at {position} is not off ({measured}); it would strike the back of the shell",
        "pass": "the front airbag at {position}: {measured}",
    },
    "support-leg-over-floor-box": {
        "block": "no support leg may stand before {position}: there is a box in the floor",
        "caution": "the support leg needs the maker's filler in the floor box before {position}",
        "pass": "a support leg may stand before {position}",
    },
    "head-restraint-juts": {
        "block": "the fixed head restraint at {position} juts {measured} mm; up to {limit} mm is fine: {shortfall} mm too much",
        "pass": "the head restraint at {position} is no obstacle",
    },
    "moved-when-tried": {
        "block": "tried on {on}: {tried}, allowed {limit} {unit}",
        "pass": "tried on {on}: moved {measured} mm, allowed {limit} mm",
    },
    "wish-for-seat-not-met": {
        "block": "you asked for {limit}, this is {measured}",
        "pass": "this is where you asked for",
    },
}
