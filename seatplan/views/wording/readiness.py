"""Sentences of the rules about readiness."""

from __future__ import annotations

TEXT = {
    "not-ready-for-booster": {
        "block": "is not ready for a booster: {measured} {unit}, needed: {limit} {unit}",
        "pass": "is ready for a booster: {measured} {unit}, needed: {limit} {unit}",
    },
    "booster-before-five": {
        "caution": "is {measured} months old; a harness is better until {limit} months",
        "block": "is {measured} months old; a harness is asked for until {limit} months",
        "pass": "is {measured} months old; a harness is better until {limit} months",
    },
    "adult-belt-does-not-fit": {
        "block": "the adult belt does not fit by {by}: {measured} {unit}, needed: {limit} {unit}",
        "caution": "is tall enough for the adult belt, {measured} mm from {limit} mm on, and nobody tested it here: "
                   "sit back, knees bent over the edge, lap part low on the hips, shoulder part on the middle of the "
                   "shoulder, for a whole ride; then write `belt_fit`",
        "pass": "the adult belt fits by {by}: {measured} {unit}, needed: {limit} {unit}",
    },
}
