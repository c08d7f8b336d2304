"""Sentences of the rules about the child in the shell."""

from __future__ import annotations

TEXT = {
    "straps-above-shoulder": {
        "block": "the lowest strap slot is at {limit} and the shoulder at {measured}{estimate}: "
                 "{shortfall} too high",
        "pass": "the lowest strap slot is at {limit}, at or below the shoulder at {measured}{estimate}",
    },
    "straps-below-shoulder": {
        "block": "the highest strap slot is at {limit} and the shoulder at {measured}{estimate}: "
                 "{shortfall} too low",
        "pass": "the highest strap slot is at {limit}, at or above the shoulder at {measured}"
                "{estimate}",
    },
    "belt-guide-below-shoulder": {
        "block": "the highest belt guide is at {limit} and the shoulder at {measured}{estimate}: "
                 "{shortfall} too low",
        "pass": "the highest belt guide is at {limit}, at or above the shoulder at {measured}{estimate}",
    },
    "head-near-shell-top": {
        "block": "the head reaches {head}{estimate} in a shell of {top}, which must stand {limit} "
                 "above it: {shortfall} too little",
        "pass": "the head reaches {head}{estimate}, and the shell of {top} stands {measured} above "
                "it; it needs {limit}",
    },
    "ears-above-shell-top": {
        "block": "the ears are at {measured}{estimate} and the shell ends at {limit}: {shortfall} "
                 "too high",
        "pass": "the ears are at {measured}{estimate} and the shell ends at {limit}",
    },
}
