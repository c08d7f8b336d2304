"""Sentences of the rules about the way out."""

from __future__ import annotations

TEXT = {
    "way-out-blocked": {
        "caution": "{child} at {seat} has no way out: {behind} {keep}{others}",
        "block": "{child} at {seat} has no way out: {behind} {keep}{others}",
        "pass": "everybody behind has a way out",
    },
    "cannot-climb-out": {
        "block": "{child} cannot climb and has no way out at {seat}: {behind} {keep}{others}",
        "pass": "everybody who cannot climb has a way out",
    },
}
