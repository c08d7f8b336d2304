"""Sentences of the rules about the way a child faces."""

from __future__ import annotations

TEXT = {
    "forward-facing-too-young": {
        "block": "is {measured} months old; nobody faces forward before {limit} months",
        "pass": "is {measured} months old; nobody faces forward before {limit} months",
    },
    "forward-facing-before-two": {
        "caution": "is {measured} months old and faces forward: rear-facing is safer, at least until {limit} months",
        "block": "is {measured} months old and faces forward; rear-facing is asked for until {limit} months",
        "pass": "is {measured} months old; rear-facing is safer, at least until {limit} months",
    },
    "still-fits-rear-facing": {
        "caution": "faces forward, and {measured} still takes {rider} rear-facing, which is safer as long as its limits"
                   " last",
        "block": "faces forward, and {measured} still takes {rider} rear-facing",
        "pass": "no restraint of this trip takes {rider} rear-facing any more",
    },
    "forward-facing-too-light": {
        "block": "weighs {measured} kg; facing forward begins at {limit} kg: {shortfall} kg under",
        "pass": "weighs {measured} kg; facing forward begins at {limit} kg",
    },
    "must-lie-sits": {
        "caution": "must lie flat, and this is not a lying-flat bed: ask whoever said so before you drive",
        "block": "must lie flat, and this is not a lying-flat bed",
        "pass": "must lie flat, and does",
    },
}
