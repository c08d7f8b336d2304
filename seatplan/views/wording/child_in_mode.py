"""Sentences of the rules about the child in the mode."""

from __future__ import annotations

TEXT = {
    "child-too-heavy": {
        "block": "weighs {measured}; this mode takes up to {limit}{as_written}: {shortfall} over",
        "pass": "weighs {measured}; this mode takes up to {limit}{as_written}",
    },
    "child-too-light": {
        "block": "weighs {measured}; this mode takes {limit} and up{as_written}: {shortfall} under",
        "pass": "weighs {measured}; this mode takes {limit} and up{as_written}",
    },
    "child-too-tall": {
        "block": "is {measured} tall; this mode takes up to {limit}: {shortfall} over",
        "pass": "is {measured} tall; this mode takes up to {limit}",
    },
    "child-too-short": {
        "block": "is {measured} tall; this mode takes {limit} and up: {shortfall} under",
        "pass": "is {measured} tall; this mode takes {limit} and up",
    },
    "child-too-young": {
        "block": "is {measured} old; this mode takes {limit} and up",
        "pass": "is {measured} old; this mode takes {limit} and up",
    },
    "child-too-old": {
        "block": "is {measured} old; this mode takes up to {limit}",
        "pass": "is {measured} old; this mode takes up to {limit}",
    },
    "child-limits-unknown": {},
    "size-only-reckoned": {},
}
