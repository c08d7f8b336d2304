"""Sentences of the rules about the way a child faces."""

from __future__ import annotations

TEXT = {
    "forward-facing-too-young": {
        "block": "is {measured} old; nobody faces forward before {limit}",
        "pass": "is {measured} old; nobody faces forward before {limit}",
    },
    "forward-facing-before-two": {
        "caution": "is {measured} old and faces forward: rear-facing is safer, at least until {limit}",
        "block": "is {measured} old and faces forward; rear-facing is asked for until {limit}",
        "pass": "is {measured} old; rear-facing is safer, at least until {limit}",
    },
    "still-fits-rear-facing": {
        "caution": "faces forward, and {measured} still takes {rider} rear-facing, which is safer as long as its limits"
                   " last",
        "block": "faces forward, and {measured} still takes {rider} rear-facing",
        "pass": "no restraint of this trip takes {rider} rear-facing any more",
    },
    "forward-facing-too-light": {
        "block": "weighs {measured}; facing forward begins at {limit}: {shortfall} under",
        "pass": "weighs {measured}; facing forward begins at {limit}",
    },
    "must-lie-sits": {
        "caution": "must lie flat, and this is not a lying-flat bed: ask whoever said so before you drive",
        "block": "must lie flat, and this is not a lying-flat bed",
        "pass": "must lie flat, and does",
    },
}
