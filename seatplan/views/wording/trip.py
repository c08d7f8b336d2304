"""Sentences of the rules about the whole trip."""

from __future__ import annotations

TEXT = {
    "front-seat-under-13": {
        "caution": "{child}, {years} years old, rides in front although {behind} could be had; under 13 the rear is better",
        "block": "{child}, {years} years old, rides in front although {behind} could be had",
        "pass": "{child} rides in front; no rear seat is left",
    },
    "wish-to-be-together-not-met": {
        "block": "you asked for {left} and {right} side by side",
        "pass": "they sit side by side, as you asked",
    },
    "rider-without-place": {
        "block": "{left_out} has no place",
        "pass": "everybody has a place",
    },
}
