"""Sentences of the rules about the child in the shell."""

from __future__ import annotations

TEXT = {
    "straps-above-shoulder": {
        "block": "the lowest strap slot is at {limit} mm and the shoulder at {measured} mm{estimate}: "
                 "{shortfall} mm too high",
        "pass": "the lowest strap slot is at {limit} mm, at or below the shoulder at {measured} mm{estimate}",
    },
    "straps-below-shoulder": {
        "block": "the highest strap slot is at {limit} mm and the shoulder at {measured} mm{estimate}: "
                 "{shortfall} mm too low",
        "pass": "the highest strap slot is at {limit} mm, at or above the shoulder at {measured} mm"
                "{estimate}",
    },
    "belt-guide-below-shoulder": {
        "block": "the highest belt guide is at {limit} mm and the shoulder at {measured} mm{estimate}: "
                 "{shortfall} mm too low",
        "pass": "the highest belt guide is at {limit} mm, at or above the shoulder at {measured} mm{estimate}",
    },
    "head-near-shell-top": {
        "block": "the head reaches {head} mm{estimate} in a shell of {top} mm, which must stand {limit} mm "
                 "above it: {shortfall} mm too little",
        "pass": "the head reaches {head} mm{estimate}, and the shell of {top} mm stands {measured} mm above "
                "it; it needs {limit} mm",
    },
    "ears-above-shell-top": {
        "block": "the ears are at {measured} mm{estimate} and the shell ends at {limit} mm: {shortfall} mm "
                 "too high",
        "pass": "the ears are at {measured} mm{estimate} and the shell ends at {limit} mm",
    },
}
