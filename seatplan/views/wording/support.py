"""Sentences of the rules about cushion and floor."""

from __future__ import annotations

TEXT = {
    "base-off-the-cushion": {
        "block": "{measured} of the base lies on the cushion at {position}, needed {limit}"
        " (lost at: {lost}; {overhang} over the front edge)",
        "pass": "{measured} of the base lies on the cushion at {position}, needed {limit}",
    },
    "base-on-raised-cushion": {
        "caution": "{measured}; look whether the base lies flat and does not rock",
        "block": "{measured}; the base must lie flat",
        "pass": "nothing is raised under the base at {position}",
    },
    "base-on-waterfall-edge": {
        "caution": "the base reaches {measured} forward and the cushion falls away from {limit} on:"
        " {shortfall} too far",
        "block": "the base must not stand on the falling edge: it reaches {measured} forward and the"
        " cushion falls away from {limit} on",
        "pass": "the base reaches {measured} forward, the cushion is flat up to {limit}",
    },
    "outline-not-whole": {
        "block": "the parts of {restraint} that are listed are not the whole of it",
        "pass": "the parts of {restraint} that are listed are the whole of it",
    },
    "support-leg-does-not-reach": {
        "block": "the floor at {position} needs a support leg of {measured} and it can be set from"
        " {shortest:bare} to {longest}: {shortfall} {side}",
        "caution": "the floor at {position} needs a support leg of {measured} and it can be set from"
        " {shortest:bare} to {longest}: {shortfall} {side}, and measuring can be {measuring_off} off: try it"
        " in the car",
        "pass": "the floor at {position} needs a support leg of {measured} and it can be set from"
        " {shortest:bare} to {longest}{near}",
    },
}
