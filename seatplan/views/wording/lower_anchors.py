"""Sentences of the rules about lower anchors."""

from __future__ import annotations

TEXT = {
    "no-lower-anchors": {
        "block": "{position} has no lower anchors",
        "pass": "{position} has bars {measured}",
    },
    "lower-anchors-off-spacing": {
        "block": "the bars are {measured} apart, allowed {limit}: {shortfall} off",
        "pass": "the bars are {measured} apart, allowed {limit}",
    },
    "lower-anchors-borrowed": {
        "block": "the bars at {position} belong to other seats; the instructions of {restraint} on that: "
                 "{measured}",
        "pass": "the bars at {position} belong to other seats, and both makers allow it",
    },
    "rigid-on-borrowed-bars": {
        "block": "rigid connectors do not reach borrowed bars {measured} apart, allowed {limit}: "
                 "{shortfall} off",
        "pass": "rigid connectors reach the borrowed bars, {measured} apart, allowed {limit}",
    },
    "lower-anchors-overloaded": {
        "block": "too heavy for lower anchors: {measured} of {limit} ({by}){as_written}: {shortfall} over; "
                 "use the belt",
        "caution": "{measured} on lower anchors, limit on the label: {label}; {by} end at {limit}: read it again",
        "pass": "{measured} of {limit} on lower anchors ({by}){as_written}",
    },
    "lower-anchors-with-belt": {
        "block": "lower anchors and belt at once are {measured}",
        "pass": "lower anchors and belt at once are allowed by both makers",
    },
    "lower-anchors-forbidden-here": {
        "block": "the vehicle handbook forbids lower anchors at {position} (page: {page})",
        "pass": "the vehicle handbook does not forbid lower anchors at {position}",
    },
}
