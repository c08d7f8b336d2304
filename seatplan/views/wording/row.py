"""Sentences of the rules about a row."""

from __future__ import annotations

TEXT = {
    "row-too-narrow": {
        "block": "they need {limit} and there are {measured}: {shortfall} short",
        "caution": "{shortfall} short side by side, which is less than the tape may be off",
        "pass": "they fit side by side with {measured} to spare",
    },
}
