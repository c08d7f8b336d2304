"""Sentences of the rules about the vehicle belt."""

from __future__ import annotations

TEXT = {
    "no-belt": {
        "block": "{position} has no belt",
        "pass": "{position} has a {measured} belt",
    },
    "no-shoulder-belt": {
        "block": "{position} has a {measured} belt only; a shoulder belt is needed",
        "pass": "{position} has a shoulder belt",
    },
    "belt-inflatable": {
        "block": "the belt at {position} inflates; the instructions of {restraint} on that: {limit}",
        "caution": "the belt at {position} inflates; {restraint} allows that, the vehicle handbook must too",
        "pass": "the belt at {position} is a {measured} one",
    },
    "belt-cannot-be-locked": {
        "block": "nothing locks the belt round {restraint} at {position}: {measured}, no lock-off",
        "caution": "nothing locks the belt round {restraint} at {position} ({measured}, no lock-off); "
                   "mind how tight it stays",
        "pass": "the belt at {position} is locked by the {measured}",
    },
    "buckle-stalk-too-long": {
        "block": "the buckle at {position} stands {measured} up and the belt path begins at {limit}: "
                 "{shortfall} too long",
        "pass": "the buckle at {position} stands {measured} up, before the belt path at {limit}",
    },
    "belt-too-short": {
        "block": "the belt at {position} gives {measured} and {limit} are needed: {shortfall} too"
                 " short",
        "pass": "the belt at {position} gives {measured} and {limit} are needed",
    },
}
