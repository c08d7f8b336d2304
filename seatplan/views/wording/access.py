"""Sentences of the rules about the way out."""

from __future__ import annotations

TEXT = {
    "way-out-blocked": {
        "caution": "{child} at {seat} has no way out: {behind} keeps the seat from folding",
        "block": "{child} at {seat} has no way out: {behind} keeps the seat from folding",
        "pass": "everybody behind has a way out",
    },
    "cannot-climb-out": {
        "block": "{child} cannot climb and has no way out at {seat}: {behind} keeps the seat from folding",
        "pass": "everybody who cannot climb has a way out",
    },
}
