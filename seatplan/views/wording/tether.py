"""Sentences of the rules about the tether."""

from __future__ import annotations

TEXT = {
    "no-tether-anchor": {
        "block": "{restraint} needs a tether here; anchor at {position}: {measured}",
        "pass": "the tether goes to anchor {measured}",
    },
    "rear-facing-tether": {
        "block": "a tether on a rear-facing restraint at {position} is {measured} by the vehicle handbook",
        "pass": "the vehicle handbook allows a tether on a rear-facing restraint at {position}",
    },
    "tether-unused": {
        "caution": "the tether stays unused at {position}: {measured}",
        "block": "the tether must be used, and {position}: {measured}",
        "pass": "the tether goes to anchor {measured}",
    },
    "tether-not-on-restraint": {
        "block": "this installation needs a tether, and {restraint} has no strap for it",
        "pass": "{restraint} has a tether strap",
    },
    "tether-overloaded": {
        "block": "weighs {measured}; the tether anchor at {position} ends at {limit}{as_written}: {shortfall}"
                 " over",
        "pass": "weighs {measured}; the tether anchor at {position} ends at {limit}{as_written}",
    },
}
