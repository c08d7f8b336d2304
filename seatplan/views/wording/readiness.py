"""Sentences of the rules about readiness."""

from __future__ import annotations

TEXT = {
    "not-ready-for-booster": {
        "block": "is not ready for a booster: {measured}, needed: {limit}",
        "pass": "is ready for a booster: {measured}, needed: {limit}",
    },
    "booster-before-five": {
        "caution": "is {measured} old; a harness is better until {limit}",
        "block": "is {measured} old; a harness is asked for until {limit}",
        "pass": "is {measured} old; a harness is better until {limit}",
    },
    "adult-belt-does-not-fit": {
        "block": "the adult belt does not fit by {by}: {measured}, needed: {limit}",
        "caution": "is tall enough for the adult belt, {measured} from {limit} on, and nobody tested it here: "
                   "sit back, knees bent over the edge, lap part low on the hips, shoulder part on the middle of the "
                   "shoulder, for a whole ride; then write `belt_fit`",
        "pass": "the adult belt fits by {by}: {measured}, needed: {limit}",
    },
}
