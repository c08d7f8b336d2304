"""Sentences of the rules about lower anchors."""

from __future__ import annotations

TEXT = {
    "no-lower-anchors": {
        "block": "{position} has no lower anchors",
        "pass": "{position} has bars {measured}",
    },
    "lower-anchors-off-spacing": {
        "block": "the bars at {position} are {measured} mm apart; {limit} mm is allowed: {shortfall} mm off",
        "pass": "the bars at {position} are {measured} mm apart; {limit} mm is allowed",
    },
    "lower-anchors-borrowed": {
        "block": "the bars at {position} belong to other seats; the instructions of {restraint} on borrowing: {measured}",
        "pass": "the bars at {position} belong to other seats, and both makers allow it",
    },
    "rigid-on-borrowed-bars": {
        "block": "rigid connectors do not go on borrowed bars",
        "pass": "flexible connectors on borrowed bars",
    },
    "lower-anchors-overloaded": {
        "block": "too heavy for lower anchors: {measured} kg of {limit} kg ({by}): {shortfall} kg over; use the belt",
        "pass": "{measured} kg of {limit} kg on lower anchors ({by})",
    },
    "lower-anchors-with-belt": {
        "block": "lower anchors and belt at once are {measured}",
        "pass": "lower anchors and belt at once are allowed by both makers",
    },
}
