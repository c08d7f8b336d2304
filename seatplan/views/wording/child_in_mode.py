"""Sentences of the rules about the child in the mode."""

from __future__ import annotations

TEXT = {
    "child-too-heavy": {
        "block": "weighs {measured} kg; this mode takes up to {limit} kg{as_written}: {shortfall} kg over",
        "pass": "weighs {measured} kg; this mode takes up to {limit} kg{as_written}",
    },
    "child-too-light": {
        "block": "weighs {measured} kg; this mode takes {limit} kg and up{as_written}: {shortfall} kg under",
        "pass": "weighs {measured} kg; this mode takes {limit} kg and up{as_written}",
    },
    "child-too-tall": {
        "block": "is {measured} mm tall; this mode takes up to {limit} mm: {shortfall} mm over",
        "pass": "is {measured} mm tall; this mode takes up to {limit} mm",
    },
    "child-too-short": {
        "block": "is {measured} mm tall; this mode takes {limit} mm and up: {shortfall} mm under",
        "pass": "is {measured} mm tall; this mode takes {limit} mm and up",
    },
    "child-too-young": {
        "block": "is {measured} months old; this mode takes {limit} months and up",
        "pass": "is {measured} months old; this mode takes {limit} months and up",
    },
    "child-too-old": {
        "block": "is {measured} months old; this mode takes up to {limit} months",
        "pass": "is {measured} months old; this mode takes up to {limit} months",
    },
    "child-limits-unknown": {},
    "size-only-reckoned": {},
}
