"""Sentences of the rules about readiness."""

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
    "must-lie-sits": {
        "caution": "must lie flat, and this is not a lying-flat bed: ask whoever said so before you drive",
        "block": "must lie flat, and this is not a lying-flat bed",
        "pass": "must lie flat, and does",
    },
    "forward-facing-too-light": {
        "block": "weighs {measured} kg; facing forward begins at {limit} kg: {shortfall} kg under",
        "pass": "weighs {measured} kg; facing forward begins at {limit} kg",
    },
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
